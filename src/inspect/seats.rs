//! Seats that are too shallow: balusters that stop short in their rail, pegs that are not in what
//! they stand on, rails that stand off their newels, pegs that come out under their tread.
//!
//! Depths are read on the part's middle line, where it goes into what it sits in.
//! In: the whole stair, mm in the first run's frame. Out: findings in the same frame.

use std::collections::BTreeSet;

use nalgebra::{Point3, Vector3};

use crate::job::Ground;
use crate::measure::Length;
use crate::rules::Sense;
use crate::setout::BalusterSet;

use super::bore::intervals;
use super::clash;
use super::heading::travel_words;
use super::railing::{Limit, exact};
use super::whole::Stair;
use super::{ClashClass, ClashFound, Finding, Key, Kind, Run, Severity};

/// A peg leaves at least this much of its tread under it: 1/8 in, common practice, no source.
const UNDER_PEG: Length = Length::inches(0.125);

/// Every seat and peg of every run, and every end of a rail at a newel; and those that are deeper
/// than they ask and are not among the clashes: a short peg that is sunk has its shortest way out
/// through the underside, where its baluster cannot go.
pub(super) fn findings(
    stair: &Stair<'_>,
    clashes: &[ClashFound],
) -> (Vec<ClashFound>, Vec<Finding>) {
    let known: BTreeSet<[&str; 2]> = clashes
        .iter()
        .map(|one| [one.parts[0].as_str(), one.parts[1].as_str()])
        .collect();
    let mut found = Vec::new();
    let mut deep = Vec::new();
    for run in stair.runs {
        let setout = run.solid.setout;
        for one in &setout.balusters {
            for seat in [head(stair, run, one), foot(stair, run, one)] {
                let Some(seat) = seat else { continue };
                found.push(seat.finding(run));
                let [part, other] = seat.parts.each_ref().map(String::as_str);
                if !known.contains(&[part, other]) && !known.contains(&[other, part]) {
                    deep.extend(seat.too_deep(stair, run));
                }
            }
            found.extend(under_peg(run, one));
        }
        found.extend(rail_ends(stair, run));
    }
    let (clashes, findings): (Vec<ClashFound>, Vec<Finding>) = deep.into_iter().unzip();
    found.extend(findings);
    (clashes, found)
}

/// A part's middle line as it goes into another.
struct Line {
    from: Point3<f64>,
    /// Unit vector, into the other part.
    way: Vector3<f64>,
}

impl Line {
    /// How deep a part goes into another along the line, mm; negative where it stops short of it.
    /// Where the line does not meet the other at all: less the distance between the two, or
    /// nothing where they touch beside the line.
    fn depth(&self, stair: &Stair<'_>, part: usize, other: usize) -> Option<f64> {
        let own = intervals(stair.part(part)?, &self.from, &self.way);
        let (_, end) = own.last()?;
        let others = intervals(stair.part(other)?, &self.from, &self.way);
        // Of several the one that begins nearest to where the part should meet it.
        let met = others.iter().min_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
        match met {
            Some((begin, _)) => Some(end - begin),
            None => Some(-clash::nearest(stair.solids, part, other)?.distance),
        }
    }
}

/// A baluster's middle line, downwards or upwards, in the first run's frame.
fn middle(run: &Run<'_>, one: &BalusterSet, up: bool) -> Option<Line> {
    let axis = (one.top - one.foot).try_normalize(f64::MIN_POSITIVE)?;
    let (from, way) = if up {
        (one.top, axis)
    } else {
        (one.foot, -axis)
    };
    Some(Line {
        from: run.frame.to_first(&from),
        way: run.frame.way_to_first(&way),
    })
}

/// The secant of the rail's pitch: what is square to the rake is so much longer plumb.
fn secant(run: &Run<'_>) -> f64 {
    run.solid.setout.rail.pitch.slope().hypot(1.0)
}

/// How deep a baluster's head sits in the rail, plumb.
fn head(stair: &Stair<'_>, run: &Run<'_>, one: &BalusterSet) -> Option<Seat> {
    let Run { solid, .. } = run;
    let design = &solid.job.design;
    let rail = &solid.setout.rail;
    let (part, other) = (stair.place(&one.name)?, stair.place(&rail.name)?);
    let line = middle(run, one, true)?;
    let depth = line.depth(stair, part, other)? * line.way.z;
    let plough = design.rail.plough.as_ref();
    let plough = plough.map_or(0.0, |plough| plough.depth.mm() * secant(run));
    let asked = design.balusters.seat.value + Length::mm(plough);
    Some(Seat {
        parts: [one.name.clone(), rail.name.clone()],
        depth: Length::mm(depth),
        asked,
        name: "seat",
        of: "the job's seat less its fitting allowance",
        line,
    })
}

/// How deep a baluster's foot or peg sits in what it stands on, square to that.
fn foot(stair: &Stair<'_>, run: &Run<'_>, one: &BalusterSet) -> Option<Seat> {
    let Run { solid, .. } = run;
    let balusters = &solid.job.design.balusters;
    let setout = solid.setout;
    let on_shoe = matches!(balusters.on, Ground::Shoe { .. });
    let (name, asked, square) = if let Some(base) = setout.base.as_ref().filter(|_| on_shoe) {
        (base.shoe.name.clone(), base.plough.1, 1.0 / secant(run))
    } else if let Some(rail) = &setout.bottom_rail {
        (rail.name.clone(), balusters.peg.value, 1.0 / secant(run))
    } else {
        let (climb, tilt) = solid.site.slopes(one.step);
        let square = 1.0 / climb.hypot(tilt).hypot(1.0);
        (ground(run, one.step)?, balusters.peg.value, square)
    };
    let (part, other) = (stair.place(&one.name)?, stair.place(&name)?);
    let line = middle(run, one, false)?;
    let depth = line.depth(stair, part, other)? * -line.way.z * square;
    Some(Seat {
        parts: [one.name.clone(), name],
        depth: Length::mm(depth),
        asked,
        name: if on_shoe { "plough" } else { "peg" },
        of: "the job's peg less its fitting allowance",
        line,
    })
}

/// The tread that a baluster stands on; `None` on floors, which runs share.
fn ground(run: &Run<'_>, step: u32) -> Option<String> {
    let top = run.solid.job.flight.count;
    (step > 0 && step < top).then(|| run.solid.stair_name(step))
}

/// How deep one part sits in another.
struct Seat {
    parts: [String; 2],
    depth: Length,
    asked: Length,
    name: &'static str,
    of: &'static str,
    /// Where it is read.
    line: Line,
}

impl Seat {
    fn finding(&self, run: &Run<'_>) -> Finding {
        let job = run.solid.job;
        let fitting = job.design.fitting.value;
        let print = |length: Length| job.tape.print(length);
        let [part, other] = &self.parts;
        let name = self.name;
        let reaches = if self.depth < Length::ZERO {
            format!("{part} stops {} short of {other}", print(self.depth.abs()))
        } else {
            format!("{part} goes {} into {other}", print(self.depth))
        };
        let says = format!(
            "{reaches}; its {name} asks {}, less {} for fitting",
            print(self.asked),
            print(fitting)
        );
        let key = Key {
            kind: Kind::SeatShallow,
            parts: self.parts.to_vec(),
        };
        let limit = Limit {
            limit: self.asked - fitting,
            sense: Sense::AtLeast,
            source: self.of,
        };
        let at = self.line.from;
        let mut found = exact(key, self.depth, limit, Severity::Fix, at, says);
        found.run = run.solid.number;
        found
    }

    /// The same as a clash, where it is deeper than it asks by more than fitting takes. The part
    /// backs out along its own line.
    fn too_deep(&self, stair: &Stair<'_>, run: &Run<'_>) -> Option<(ClashFound, Finding)> {
        let over = self.depth - self.asked;
        if over <= run.solid.job.design.fitting.value {
            return None;
        }
        let [part, other] = &self.parts;
        let tape = stair.tape();
        let back = -self.line.way;
        let own = run.frame.way_from_first(&(back * over.as_mm()));
        let to_clear = format!("move {part} {}", travel_words(run.solid.site, tape, &own));
        let says = format!(
            "{part} goes {} deeper into {other} than its {} of {}: {to_clear}",
            tape.print(over),
            self.name,
            tape.print(self.asked)
        );
        // Where the baluster stands later in the list, as it does, the other part is the first.
        let parts = [other.clone(), part.clone()];
        let key = Key {
            kind: Kind::SeatDeep,
            parts: parts.to_vec(),
        };
        let limit = Limit {
            limit: Length::ZERO,
            sense: Sense::AtMost,
            source: "the seat that the joint allows",
        };
        let at = self.line.from + self.line.way * (self.depth.as_mm() / 2.0);
        let mut found = exact(key, over, limit, Severity::Fix, at, says);
        found.run = run.solid.number;
        let clash = ClashFound {
            parts,
            class: ClashClass::SeatTooDeep,
            depth: over,
            clear_by: back,
            to_clear,
            at,
            points: vec![at],
        };
        Some((clash, found))
    }
}

/// What a tread keeps under a peg.
fn under_peg(run: &Run<'_>, one: &BalusterSet) -> Option<Finding> {
    let Run { solid, .. } = run;
    if !solid.setout.on_treads() {
        return None;
    }
    let tread = ground(run, one.step)?;
    let step = solid.site.step(one.step)?;
    // The tread's thickness is measured plumb, and the peg square to its top.
    let (climb, tilt) = solid.site.slopes(one.step);
    let thick = Length::mm(step.thickness / climb.hypot(tilt).hypot(1.0));
    let left = thick - one.peg.0;
    let print = |length: Length| solid.job.tape.print(length);
    let says = if left < Length::ZERO {
        format!(
            "the peg of {} comes {} out under tread {tread}, which is {} thick",
            one.name,
            print(left.abs()),
            print(thick)
        )
    } else {
        format!(
            "the bore for the peg of {} leaves {} of tread {tread} under it; at least {} is asked",
            one.name,
            print(left),
            print(UNDER_PEG)
        )
    };
    let key = Key {
        kind: Kind::BoreEdge,
        parts: vec![one.name.clone(), tread],
    };
    let limit = Limit {
        limit: UNDER_PEG,
        sense: Sense::AtLeast,
        source: "common practice",
    };
    let at = run.frame.to_first(&one.foot);
    let mut found = exact(key, left, limit, Severity::Fix, at, says);
    found.run = solid.number;
    Some(found)
}

/// How far the rails' ends stand off the newels that they end at.
fn rail_ends(stair: &Stair<'_>, run: &Run<'_>) -> Vec<Finding> {
    let Run { solid, .. } = run;
    let rail = &solid.job.design.rail;
    let name = &solid.setout.rail.name;
    let newels = [&rail.lower, &rail.upper]
        .into_iter()
        .filter_map(|end| match end {
            crate::job::RailEnd::Newel(newel) => Some(newel.clone()),
            _ => None,
        });
    let halves = solid.setout.half_newels.iter();
    let newels = newels.chain(halves.map(|half| half.name.clone()));
    newels
        .filter_map(|newel| {
            let (part, other) = (stair.place(name)?, stair.place(&newel)?);
            let gap = clash::nearest(stair.solids, part, other)?;
            let end = Seat {
                parts: [name.clone(), newel],
                depth: Length::mm(-gap.distance),
                asked: Length::ZERO,
                name: "end",
                of: "the job's fitting allowance",
                line: Line {
                    from: nalgebra::center(&gap.on_a, &gap.on_b),
                    way: gap.on_b - gap.on_a,
                },
            };
            Some(end.finding(run))
        })
        .collect()
}
