//! Seats that are too shallow: balusters that stop short in their rail, pegs that are not in what
//! they stand on, rails that stand off their newels, pegs that come out under their tread.
//!
//! Depths are read on the part's middle line, where it goes into what it sits in.
//! In: the whole stair, mm in the first run's frame. Out: findings in the same frame.

use nalgebra::{Point3, Vector3};

use crate::job::{Ground, Job};
use crate::measure::Length;
use crate::rules::Sense;
use crate::setout::BalusterSet;

use super::bore::intervals;
use super::clash;
use super::railing::{Limit, exact};
use super::whole::Stair;
use super::{Finding, Key, Kind, Run, Severity};

/// A peg leaves at least this much of its tread under it: 1/8 in, common practice, no source.
const UNDER_PEG: Length = Length::inches(0.125);

/// Every seat and peg of every run, and every end of a rail at a newel.
pub(super) fn findings(stair: &Stair<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for run in stair.runs {
        let setout = run.solid.setout;
        for one in &setout.balusters {
            found.extend(head(stair, run, one));
            found.extend(foot(stair, run, one));
            found.extend(under_peg(run, one));
        }
        found.extend(rail_ends(stair, run));
    }
    found
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
fn head(stair: &Stair<'_>, run: &Run<'_>, one: &BalusterSet) -> Option<Finding> {
    let Run { solid, .. } = run;
    let design = &solid.job.design;
    let rail = &solid.setout.rail;
    let (part, other) = (stair.place(&one.name)?, stair.place(&rail.name)?);
    let line = middle(run, one, true)?;
    let depth = line.depth(stair, part, other)? * line.way.z;
    let plough = design.rail.plough.as_ref();
    let plough = plough.map_or(0.0, |plough| plough.depth.mm() * secant(run));
    let asked = design.balusters.seat.value + Length::mm(plough);
    let what = Seat {
        parts: [&one.name, &rail.name],
        depth: Length::mm(depth),
        asked,
        name: "seat",
        of: "the job's seat less its fitting allowance",
    };
    Some(what.finding(solid.job, run, line.from))
}

/// How deep a baluster's foot or peg sits in what it stands on, square to that.
fn foot(stair: &Stair<'_>, run: &Run<'_>, one: &BalusterSet) -> Option<Finding> {
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
    let what = Seat {
        parts: [&one.name, &name],
        depth: Length::mm(depth),
        asked,
        name: if on_shoe { "plough" } else { "peg" },
        of: "the job's peg less its fitting allowance",
    };
    Some(what.finding(solid.job, run, line.from))
}

/// The tread that a baluster stands on; `None` on floors, which runs share.
fn ground(run: &Run<'_>, step: u32) -> Option<String> {
    let top = run.solid.job.flight.count;
    (step > 0 && step < top).then(|| run.solid.stair_name(step))
}

/// How deep one part sits in another.
struct Seat<'a> {
    parts: [&'a String; 2],
    depth: Length,
    asked: Length,
    name: &'static str,
    of: &'static str,
}

impl Seat<'_> {
    fn finding(&self, job: &Job, run: &Run<'_>, at: Point3<f64>) -> Finding {
        let fitting = job.design.fitting.value;
        let limit = self.asked - fitting;
        let print = |length: Length| job.tape.print(length);
        let [part, other] = self.parts;
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
            parts: vec![part.clone(), other.clone()],
        };
        let limit = Limit {
            limit,
            sense: Sense::AtLeast,
            source: self.of,
        };
        let mut found = exact(key, self.depth, limit, Severity::Fix, at, says);
        found.run = run.solid.number;
        found
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
            let what = Seat {
                parts: [name, &newel],
                depth: Length::mm(-gap.distance),
                asked: Length::ZERO,
                name: "end",
                of: "the job's fitting allowance",
            };
            let at = nalgebra::center(&gap.on_a, &gap.on_b);
            Some(what.finding(solid.job, run, at))
        })
        .collect()
}
