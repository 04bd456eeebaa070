//! What is told of flights, railings and parts in the standard's property and quantity sets.
//!
//! In: the chain. Out: `Pset_StairCommon`, `Pset_StairFlightCommon`, `Pset_RailingCommon`, the base
//! quantities, and a set of our own, `Rakewell_Part`. Names and types are the standard's, from memory,
//! and held against its templates in tests/reference/building.py. Sizes are as found: where steps
//! differ, their mean; no length is told that the run has not.

use crate::chain::{Chain, RunChain};
use crate::measure::Length;
use crate::publish::parts::{cut_lines, run_of};
use crate::shop::parts::PartLine;
use crate::site::PlacedTurn;

use super::product::Product;
use super::schema::{Model, Thing, label};
use super::step::Arg;

/// What is said of sizes that differ from step to step.
const MEANS: &str = "As found: mean of the rises, of the goings on the baluster line and of the \
                     overhangs. What each one is, the set-out tells.";
/// What the height of a railing is.
const LOWEST: &str = "Where the rail's top stands lowest, plumb over a nosing or the floor.";

/// Rises and treads, and the sum of what they measure.
#[derive(Clone, Copy, Debug, Default)]
struct Climb {
    risers: u64,
    treads: u64,
    rises: f64,
    goings: (f64, u64),
    overhangs: (f64, u64),
}

impl Climb {
    fn of_run(run: &RunChain) -> Self {
        let steps = &run.site.steps;
        // The last step is the upper floor; where the last kick reaches a winder, that one.
        let treads = steps.len().saturating_sub(1) as u64;
        let below = steps.iter().take(steps.len().saturating_sub(1));
        Self {
            risers: steps.len() as u64,
            treads,
            rises: steps.iter().map(|step| step.rise).sum(),
            goings: (below.map(|step| step.going).sum(), treads),
            overhangs: (
                steps.iter().map(|step| step.overhang).sum(),
                steps.len() as u64,
            ),
        }
    }

    /// A turn's first kick may be the last of the flight before it, and is told there.
    fn of_turn(turn: &PlacedTurn) -> Self {
        let treads = &turn.site.treads;
        let own = usize::from(!turn.has_first_kick);
        Self {
            risers: treads.len().saturating_sub(own) as u64,
            treads: treads.len() as u64,
            rises: treads.iter().skip(own).map(|tread| tread.rise).sum(),
            ..Self::default()
        }
    }

    fn and(self, other: Self) -> Self {
        let sum = |a: (f64, u64), b: (f64, u64)| (a.0 + b.0, a.1 + b.1);
        Self {
            risers: self.risers + other.risers,
            treads: self.treads + other.treads,
            rises: self.rises + other.rises,
            goings: sum(self.goings, other.goings),
            overhangs: sum(self.overhangs, other.overhangs),
        }
    }

    fn told(self) -> Vec<(&'static str, Arg)> {
        let mut told = vec![
            ("NumberOfRiser", count(self.risers)),
            ("NumberOfTreads", count(self.treads)),
        ];
        let rise = mean((self.rises, self.risers)).and_then(positive);
        told.extend(rise.map(|rise| ("RiserHeight", rise)));
        let going = mean(self.goings).and_then(positive);
        told.extend(going.map(|going| ("TreadLength", going)));
        let overhang = mean(self.overhangs);
        let length = |overhang| Arg::Typed("IFCLENGTHMEASURE", Box::new(Arg::Real(overhang)));
        told.extend(overhang.map(|overhang| ("NosingLength", length(overhang))));
        told
    }
}

fn mean((sum, count): (f64, u64)) -> Option<f64> {
    (count > 0).then(|| sum / count as f64)
}

fn count(number: u64) -> Arg {
    Arg::Typed("IFCCOUNTMEASURE", Box::new(Arg::Whole(number)))
}

/// A length that must be more than nought.
fn positive(length: f64) -> Option<Arg> {
    let measure = || Arg::Typed("IFCPOSITIVELENGTHMEASURE", Box::new(Arg::Real(length)));
    (length > 0.0).then(measure)
}

fn word(text: &str) -> Arg {
    Arg::Typed("IFCLABEL", Box::new(label(text)))
}

/// What is told of the whole stair.
pub(super) fn stair(model: &mut Model, of: &Thing, chain: &Chain) {
    let climb = chain.stairs().fold(Climb::default(), |sum, (_, run)| {
        let turns = run.turns.iter().map(Climb::of_turn);
        turns.fold(sum.and(Climb::of_run(run)), Climb::and)
    });
    model.properties(of, "Pset_StairCommon", Some(MEANS), climb.told());
}

/// What is told of a flight.
pub(super) fn flight(model: &mut Model, of: &Thing, run: &RunChain) {
    let told = Climb::of_run(run).told();
    model.properties(of, "Pset_StairFlightCommon", Some(MEANS), told);
}

/// What is told of a turn on winders.
pub(super) fn turn(model: &mut Model, of: &Thing, turn: &PlacedTurn) {
    let told = Climb::of_turn(turn).told();
    model.properties(of, "Pset_StairFlightCommon", Some(MEANS), told);
}

/// What is told of a railing.
pub(super) fn railing(model: &mut Model, of: &Thing, run: &RunChain) {
    height(model, of, run.setout.rail.window.lowest.0);
}

/// What is told of a handrail on the wall side.
pub(super) fn wall_rail(model: &mut Model, of: &Thing, run: &RunChain) {
    if let Some(rail) = &run.setout.wall_rail {
        height(model, of, rail.window.lowest.0);
    }
}

fn height(model: &mut Model, of: &Thing, height: Length) {
    let told = positive(height.as_mm()).map(|height| ("Height", height));
    let told = told.into_iter().collect();
    model.properties(of, "Pset_RailingCommon", Some(LOWEST), told);
}

/// What is told of a part.
pub(super) fn part(
    model: &mut Model,
    of: &Thing,
    chain: &Chain,
    part: &PartLine,
    product: &Product,
) {
    let (set, long) = product.quantities;
    let length = long.then(|| part.length.as_mm());
    model.quantities(of, set, part.volume, length);
    let mut told = vec![("Run", word(run_of(chain, part)))];
    if !part.cut.is_empty() {
        told.push(("CutListLines", word(&cut_lines(part))));
    }
    told.extend(
        part.received
            .as_deref()
            .map(|mark| ("Received", word(mark))),
    );
    model.properties(of, "Rakewell_Part", None, told);
}
