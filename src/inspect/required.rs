//! Whether a guard or a handrail is asked at all, and whether it is there.
//!
//! In: the runs and the rule pack. Out: for each run, what is not asked of it and why; and findings
//! of [`Kind::Missing`] where what is asked is there or not.
//!
//! A guard is asked by the drop beside a run: from its highest tread (or a level run's floor) to
//! the lowest floor of the job, because what lies beside a flight in the stairwell is seldom higher
//! than that and nobody reads it; one that stands is held to its rules anyhow. A handrail is asked by the number of rises between landings.
//!
//! What is not asked is neither met nor broken: the run is held against a pack without it.

use nalgebra::Point3;

use crate::job::Duty;
use crate::measure::Length;
use crate::rules::{Pack, Quantity, Rule, Sense};

use super::railing::{Limit, exact};
use super::{Finding, Key, Kind, NotAsked, Run, Severity};

/// What is asked of the runs of a stair.
#[derive(Clone, Debug, Default)]
pub(super) struct Asked {
    /// What is not asked, run by run.
    pub(super) not: Vec<NotAsked>,
    /// What is asked, there or missing; places in the first run's frame.
    pub(super) findings: Vec<Finding>,
}

impl Asked {
    /// What is not asked of a run.
    pub(super) fn not_of(&self, run: usize) -> Vec<Quantity> {
        let own = self.not.iter().filter(|one| one.run == run);
        own.map(|one| one.quantity).collect()
    }

    fn not(&mut self, run: usize, of: impl Fn(Quantity) -> bool, why: &str) {
        let all = Quantity::ALL.into_iter().filter(|one| of(*one));
        self.not.extend(all.map(|quantity| NotAsked {
            run,
            quantity,
            why: why.to_owned(),
        }));
    }
}

/// What a pack asks of a stair in the way of guards and handrails.
pub(super) fn asked(runs: &[Run<'_>], pack: &Pack) -> Asked {
    let mut asked = Asked::default();
    let ground = lowest_floor(runs);
    for run in runs {
        let guard = guard(&mut asked, run, pack, ground);
        let handrail = handrail(&mut asked, run, runs, pack);
        if !guard && !handrail {
            let number = run.solid.number;
            let why = "neither a guard nor a handrail is asked";
            asked.not(number, |one| one == Quantity::TopLoad, why);
        }
    }
    asked
}

/// Height of the lowest floor of any flight, in the first run's frame, mm.
fn lowest_floor(runs: &[Run<'_>]) -> f64 {
    let floors = runs.iter().filter(|run| run.solid.job.level.is_none());
    floors
        .map(|run| {
            let floor = Point3::new(0.0, 0.0, run.solid.site.lower_floor(0.0, 0.0));
            run.frame.to_first(&floor).z
        })
        .fold(f64::INFINITY, f64::min)
}

/// The highest walking surface on a run's open side, in the run's frame: the last tread's nosing
/// (the step after it is the floor above), or the edge of a level run's floor.
fn edge(run: &Run<'_>) -> Option<Point3<f64>> {
    let site = run.solid.site;
    if let Some(level) = &site.level {
        return Some(site.at(0.0, level.open_q, site.lower_floor(0.0, level.open_q)));
    }
    let last = site.steps.len().checked_sub(2)?;
    let step = site.steps.get(last)?;
    Some(site.at(step.nosing_at(step.open_q), step.open_q, step.height))
}

/// Whether a guard is asked of a run; tells where it is not, or whether it is there.
fn guard(asked: &mut Asked, run: &Run<'_>, pack: &Pack, ground: f64) -> bool {
    let Some((rule, limit)) = pack
        .rule(Quantity::GuardDrop)
        .and_then(|rule| Some((rule, rule.length()?)))
    else {
        // A pack that does not say asks it always.
        return true;
    };
    let Some(edge) = edge(run).map(|edge| run.frame.to_first(&edge)) else {
        return true;
    };
    let job = run.solid.job;
    let (tape, drop) = (job.tape, Length::mm(edge.z - ground));
    let name = &run.solid.setout.rail.name;
    // A guard that stands is held to its rules whatever is known of the drop: what lies beside a
    // flight may be lower than any floor that was read.
    let is_there = job.design.rail.duty != Duty::Handrail;
    if rule.sense.holds(drop, limit) && !is_there {
        let over = if rule.sense == Sense::Under {
            "from"
        } else {
            "over"
        };
        let why = format!(
            "beside rail {name} one falls {} to the lowest floor that was read, and a guard is asked \
             {over} {}",
            tape.print(drop),
            tape.print(limit)
        );
        let of = |one: Quantity| one == Quantity::GuardDrop || one.is_of_guard();
        asked.not(run.solid.number, of, &why);
        return false;
    }
    let says = if is_there {
        format!("a guard stands where one falls {}", tape.print(drop))
    } else {
        format!(
            "one falls {} beside rail {name}, which is there to hold only: a guard is asked",
            tape.print(drop)
        )
    };
    // The drop that no guard stands beside.
    let value = if is_there { Length::ZERO } else { drop };
    let limit = (rule, limit, rule.sense);
    asked
        .findings
        .push(missing(run, "guard", value, limit, edge, says));
    true
}

/// Whether a handrail is asked of a flight; tells where it is not, or whether it is there.
fn handrail(asked: &mut Asked, run: &Run<'_>, runs: &[Run<'_>], pack: &Pack) -> bool {
    let number = run.solid.number;
    if run.solid.job.level.is_some() {
        asked.not(
            number,
            |one| one == Quantity::HandrailRisers || one.is_of_handrail(),
            "a level run has no rises",
        );
        return false;
    }
    // A railing on the wall side is a rail of the flight that it stands on.
    let stair = run.solid.beside.unwrap_or(number);
    let rises = rises(runs, stair);
    let rule = pack.rule(Quantity::HandrailRisers);
    let asked_from = rule.and_then(|rule| Some((rule, rule.limit.count()?)));
    if let Some((_, from)) = asked_from
        && rises < from
    {
        let why = format!("the flight has {rises} rises, and a handrail is asked from {from}");
        let of = |one: Quantity| one == Quantity::HandrailRisers || one.is_of_handrail();
        asked.not(number, of, &why);
        return false;
    }
    if run.solid.beside.is_some() {
        return true;
    }
    let sides = rails_to_hold(run, runs);
    let at = edge(run).unwrap_or(run.solid.setout.rail.lower);
    let at = run.frame.to_first(&at);
    if let Some((rule, from)) = asked_from {
        let says = if sides > 0 {
            format!("a handrail runs up the flight of {rises} rises")
        } else {
            format!("no rail to hold runs up the flight of {rises} rises; one is asked from {from}")
        };
        // Rises without a handrail; a count has no unit, and stands where a length does.
        let count = |number: u32| Length::mm(f64::from(number));
        let value = if sides > 0 {
            Length::ZERO
        } else {
            count(rises)
        };
        let limit = (rule, count(from), Sense::Under);
        let found = missing(run, "handrail", value, limit, at, says);
        asked.findings.push(found);
    }
    both_sides(asked, run, (sides, at), pack);
    true
}

/// Whether a second rail to hold is asked of a flight, by its width.
fn both_sides(asked: &mut Asked, run: &Run<'_>, (sides, at): (usize, Point3<f64>), pack: &Pack) {
    let number = run.solid.number;
    let unasked = match sides {
        0 => [Some(Quantity::WidthOneRail), Some(Quantity::WidthTwoRails)],
        1 => [Some(Quantity::WidthTwoRails), None],
        _ => [Some(Quantity::WidthOneRail), None],
    };
    let why = match sides {
        0 => "no rail to hold runs up the flight",
        1 => "a rail to hold runs up one side only",
        _ => "rails to hold run up both sides",
    };
    asked.not(number, |one| unasked.contains(&Some(one)), why);
    let Some((rule, limit)) = pack
        .rule(Quantity::HandrailBothWidth)
        .and_then(|rule| Some((rule, rule.length()?)))
    else {
        return;
    };
    let (tape, width) = (run.solid.job.tape, narrowest(run));
    if !Sense::AtLeast.holds(width, limit) {
        let why = format!(
            "the stair is {} wide, and a handrail on both sides is asked from {}",
            tape.print(width),
            tape.print(limit)
        );
        asked.not(number, |one| one == Quantity::HandrailBothWidth, &why);
        return;
    }
    let says = if sides > 1 {
        "rails to hold run up both sides".to_owned()
    } else {
        let from = if limit > Length::ZERO {
            format!(" from {} of width", tape.print(limit))
        } else {
            String::new()
        };
        format!(
            "the stair is {} wide and has a rail to hold on {}; both sides are asked{from}",
            tape.print(width),
            if sides == 1 {
                "one side"
            } else {
                "neither side"
            }
        )
    };
    // The width that has no rail on both sides.
    let value = if sides > 1 { Length::ZERO } else { width };
    let limit = (rule, limit.max(Length::mm(ALWAYS)), Sense::Under);
    let found = missing(run, "second handrail", value, limit, at, says);
    asked.findings.push(found);
}

/// A limit of nothing asks it of every width; a width of nothing is of no stair.
const ALWAYS: f64 = 1.0;

/// The sides of a flight with a rail to hold: the open side's rail, and on the wall side a rail on
/// the wall or a railing of its own.
fn rails_to_hold(run: &Run<'_>, runs: &[Run<'_>]) -> usize {
    let design = &run.solid.job.design;
    let beside = runs.iter().any(|other| {
        other.solid.beside == Some(run.solid.number)
            && other.solid.job.design.rail.duty != Duty::Guard
    });
    let sides = [
        design.rail.duty != Duty::Guard,
        design.wall_rail.is_some() || beside,
    ];
    sides.into_iter().filter(|side| *side).count()
}

/// The width of the narrowest tread as found.
fn narrowest(run: &Run<'_>) -> Length {
    let steps = run.solid.site.steps.iter();
    let widths = steps.map(|step| (step.open_q - step.wall_q).abs());
    let least = widths.fold(f64::INFINITY, f64::min);
    if least.is_finite() {
        Length::mm(least)
    } else {
        run.solid.job.flight.width.value
    }
}

/// The rises from landing to landing through a flight: those of its turns, and of every flight
/// that it goes on from or that goes on from it on winders.
fn rises(runs: &[Run<'_>], stair: usize) -> u32 {
    let mut joined = vec![stair];
    let mut next = 0;
    while let Some(here) = joined.get(next).copied() {
        next += 1;
        for run in runs.iter().filter(|run| run.solid.beside.is_none()) {
            let number = run.solid.number;
            for turn in run.solid.turns {
                for (one, other) in [(number, turn.base), (turn.base, number)] {
                    if one == here && !joined.contains(&other) {
                        joined.push(other);
                    }
                }
            }
        }
    }
    let of = runs.iter().filter(|run| joined.contains(&run.solid.number));
    let counts = of.map(|run| {
        let turns = run.solid.turns.iter().map(|turn| {
            let treads = turn.site.treads.len();
            treads - usize::from(!turn.has_first_kick && treads > 0)
        });
        run.solid.site.steps.len() + turns.sum::<usize>()
    });
    u32::try_from(counts.sum::<usize>()).unwrap_or(u32::MAX)
}

/// A finding about what is asked: how much of the stair goes without it.
fn missing(
    run: &Run<'_>,
    what: &str,
    value: Length,
    (rule, limit, sense): (&Rule, Length, Sense),
    at: Point3<f64>,
    says: String,
) -> Finding {
    let key = Key {
        kind: Kind::Missing,
        parts: vec![run.solid.setout.rail.name.clone(), what.to_owned()],
    };
    let limit = Limit {
        limit,
        sense,
        source: &rule.clause,
    };
    Finding {
        run: run.solid.number,
        ..exact(key, value, limit, Severity::Stop, at, says)
    }
}
