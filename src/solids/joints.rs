//! Which parts of a stair are meant to meet, and how deep.

use std::collections::BTreeMap;

use crate::job::Job;
use crate::setout::SetOut;
use crate::site::{PlacedTurn, Site};

use super::{Bounds, Joint, JointKind, Part, PartKind, Solids};

/// One run with what was solved for it, in its own frame.
#[derive(Clone, Copy, Debug)]
pub struct Run<'a> {
    /// Its number.
    pub number: usize,
    /// For a railing on the wall side, the number of the run whose stair it stands on.
    pub beside: Option<usize>,
    /// The run as a job by itself.
    pub job: &'a Job,
    /// As found.
    pub site: &'a Site,
    /// The turns on winders that lead to it.
    pub turns: &'a [PlacedTurn],
    /// As set out.
    pub setout: &'a SetOut,
}

impl Run<'_> {
    /// The number of the run whose stair it stands on.
    pub(super) fn stair(&self) -> usize {
        self.beside.unwrap_or(self.number)
    }

    /// The name of a tread of the stair that the run stands on.
    #[must_use]
    pub fn stair_name(&self, step: u32) -> String {
        self.site.tread_name(step)
    }
}

/// Every declared joint. Only parts whose boxes meet can need one.
pub(super) fn joints(runs: &[Run<'_>], solids: &Solids) -> Vec<Joint> {
    let boxes: Vec<Option<Bounds>> = solids.parts.iter().map(Part::bounds).collect();
    let mut order: Vec<usize> = (0..boxes.len()).filter(|&at| boxes[at].is_some()).collect();
    let low = |at: usize| boxes[at].map_or(f64::INFINITY, |bounds| bounds.low.z);
    order.sort_by(|&a, &b| low(a).total_cmp(&low(b)).then(a.cmp(&b)));
    let steps: Vec<Steps<'_>> = runs.iter().map(Steps::of).collect();
    let mut found = Vec::new();
    for (place, &a) in order.iter().enumerate() {
        let Some(here) = boxes[a] else { continue };
        for &b in &order[place + 1..] {
            let Some(there) = boxes[b] else { continue };
            if there.low.z > here.high.z + NEAR_MM {
                break;
            }
            if !here.meets(&there, NEAR_MM) {
                continue;
            }
            let (first, second) = (a.min(b), a.max(b));
            let (one, other) = (&solids.parts[first], &solids.parts[second]);
            let run = |at: usize| &runs[solids.runs[at]];
            let steps = |at: usize| &steps[solids.runs[at]];
            let declared = if cross(run(first), run(second), one, other) {
                None
            } else {
                declared(run(first), steps(first), one, other)
                    .or_else(|| declared(run(second), steps(second), other, one))
            };
            found.extend(declared.map(|(kind, seat)| Joint {
                a: first,
                b: second,
                kind,
                seat,
            }));
        }
    }
    found.sort_by_key(|joint| (joint.a, joint.b));
    found
}

/// The step that each baluster of a run stands on, by its name.
struct Steps<'a>(BTreeMap<&'a str, u32>);

impl<'a> Steps<'a> {
    fn of(run: &Run<'a>) -> Self {
        let balusters = run.setout.balusters.iter();
        Self(balusters.map(|one| (one.name.as_str(), one.step)).collect())
    }
}

/// Parts further apart than this do not touch.
const NEAR_MM: f64 = 1.0;

/// True for two parts of different flights that nothing scribes to each other: runs meet at floors
/// and newels only, and where their own stairs overlap they cross.
fn cross(a: &Run<'_>, b: &Run<'_>, one: &Part, other: &Part) -> bool {
    use PartKind::{Kick, Skirt, Stringer, Tread};
    let of_stair = |part: &Part| matches!(part.kind, Tread | Kick | Skirt | Stringer);
    // A turn's treads are scribed to the flight that it goes on from.
    let of_turn = |run: &Run<'_>, part: &Part| {
        run.turns
            .iter()
            .any(|turn| part.name.starts_with(&turn.mark))
    };
    a.stair() != b.stair()
        && of_stair(one)
        && of_stair(other)
        && !of_turn(a, one)
        && !of_turn(b, other)
}

/// The joint between two parts, if they are meant to meet, with how deep they may overlap; `run` is
/// the one that the first belongs to.
fn declared(
    run: &Run<'_>,
    steps: &Steps<'_>,
    part: &Part,
    other: &Part,
) -> Option<(JointKind, f64)> {
    use PartKind::{
        Baluster, BottomRail, Floor, HalfWall, Kick, Newel, Panel, Rail, Rosette, Shoe, Skirt,
        Stringer, Tread, Wall,
    };
    let job = run.job;
    let balusters = &job.design.balusters;
    match (part.kind, other.kind) {
        (Baluster, Tread | Floor) if stands_on(run, steps, part, other) => {
            Some((JointKind::Peg, balusters.peg.mm()))
        }
        (Baluster, BottomRail) => Some((JointKind::Peg, balusters.peg.mm())),
        (Baluster, Rail) => Some((JointKind::Seat, seat_in_rail(run))),
        // In the plough, whose depth the foot stands in.
        (Baluster, Shoe) => {
            let plough = run.setout.base.as_ref().map(|base| base.plough.1.as_mm());
            Some((JointKind::Peg, plough.unwrap_or(0.0)))
        }
        (Panel, Rail | BottomRail | Shoe) => Some((JointKind::Seat, 0.0)),
        // A newel's foot is scribed to a tread that is out of level, a half wall is framed up to it.
        (Newel, Tread | Kick | Floor | Skirt | HalfWall) => Some((JointKind::Notch, SCRIBE)),
        (Rail | BottomRail | Shoe, Newel) => Some((JointKind::RailToNewel, 0.0)),
        (Newel, Wall) => scribed(run, &part.name, &other.name),
        (Rail | BottomRail | Rosette | Shoe | HalfWall, Wall) if meets_wall(job, &other.name) => {
            // The rosette lies on a face that is not quite flat.
            Some((JointKind::RailToWall, SCRIBE))
        }
        (Rail | BottomRail, Rosette) => Some((JointKind::RailToWall, SCRIBE)),
        // Treads, kicks, boards and floors are scribed to each other and to the walls; how is a
        // matter of its own, so their overlaps are not clashes here.
        (
            Tread | Kick | Floor | Stringer | Skirt | HalfWall,
            Tread | Kick | Floor | Stringer | Skirt | HalfWall | Wall,
        )
        | (Shoe, Shoe | HalfWall)
        | (Wall, Wall) => Some((JointKind::Carcass, f64::INFINITY)),
        _ => None,
    }
}

/// How deep a baluster's head goes into the rail, square to the rake: its seat is told plumb, the
/// plough square. Under a fitting the seat may be as deep square as it is plumb.
fn seat_in_rail(run: &Run<'_>) -> f64 {
    let rail = &run.setout.rail;
    let plough = run.job.design.rail.plough.as_ref();
    let plough = plough.map_or(0.0, |plough| plough.depth.mm());
    let seat = run.job.design.balusters.seat.mm();
    let square = if rail.fittings.is_empty() {
        1.0 / rail.pitch.slope().hypot(1.0)
    } else {
        1.0
    };
    seat * square + plough
}

/// What scribing takes off where a part meets a wall or a tread: 1/8 in, common practice, no source.
const SCRIBE: f64 = 3.175;

fn meets_wall(job: &Job, name: &str) -> bool {
    let rail = &job.design.rail;
    let beside = job.design.wall_rail.as_ref();
    [&rail.lower, &rail.upper]
        .iter()
        .any(|end| end.wall() == Some(name))
        || beside.is_some_and(|rail| rail.wall == name)
}

/// A half newel goes into its wall as far as it is scribed.
fn scribed(run: &Run<'_>, newel: &str, wall: &str) -> Option<(JointKind, f64)> {
    let mut halves = run.setout.half_newels.iter();
    let half = halves.find(|half| half.name == newel && half.wall == wall)?;
    Some((JointKind::RailToWall, half.scribe.1.as_mm() + SCRIBE))
}

/// Whether a baluster has its peg in this tread or floor, and not in one that it only touches.
fn stands_on(run: &Run<'_>, steps: &Steps<'_>, baluster: &Part, ground: &Part) -> bool {
    if !run.setout.on_treads() {
        return false;
    }
    let step = steps.0.get(baluster.name.as_str());
    step.is_some_and(|&step| match step {
        // The floor under a run may be drawn by the run before.
        0 => ground.kind == PartKind::Floor,
        step if step == run.job.flight.count => ground.kind == PartKind::Floor,
        step => ground.name == run.stair_name(step),
    })
}
