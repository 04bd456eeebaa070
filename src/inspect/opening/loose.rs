//! Where a railing ends and another goes on beside it: the opening between the newel that it ends
//! on and the nearest upright of another run, or a wall, at the edge of a drop.
//!
//! First run's frame, mm. An end that two railings share, and one on a wall, leaves none.

use nalgebra::{Isometry3, Point2, Point3, Translation3, UnitQuaternion, Vector2, Vector3};

use crate::inspect::Run;
use crate::inspect::ball::Cell;
use crate::job::RailEnd;
use crate::measure::Length;
use crate::rules::{Quantity, Rule};
use crate::setout::{NewelSet, plan};
use crate::solids::{Bounds, Convex};

use super::Look;
use super::place::{Place, REACH_THROUGH};
use super::slot::SLOT_LEAST;

/// What is wider than this is a way through, not an opening beside it: under the least width of any
/// stair, 600 mm on a loft's (Approved Document K, from memory).
const WAY_LEAST: f64 = 500.0;
/// A drop that a pack says nothing about counts from here on: the least of the published limits
/// (Approved Document K: 600 mm in dwellings, from memory).
const DROP: f64 = 600.0;
/// How far to either side of an opening its ground is looked for.
const BESIDE: f64 = 150.0;
/// How far into a wall, or the upright across, the cell reaches.
const INTO: f64 = 40.0;
/// The same place, for a newel that two runs know.
const SAME: f64 = 1.0;
/// Ground this far over a newel's foot is not what it stands on.
const STEP_UP: f64 = 100.0;
/// Openings that lie in directions closer than this (its cosine) are one.
const ONE_WAY: f64 = 0.5;
/// A floor block under the opening is this deep, and reaches this far past the cell.
const BLOCK: f64 = 400.0;

/// An opening between a railing's end and what stands beside it.
#[derive(Clone, Debug)]
pub(super) struct Loose {
    /// The later of both runs.
    pub(super) run: usize,
    pub(super) between: [String; 2],
    /// Which runs the two belong to.
    of: [usize; 2],
    /// From the middle of the newel's foot.
    from: Point3<f64>,
    /// Towards the other, level, unit vector.
    way: Vector2<f64>,
    /// How far the cell reaches that way, and how wide the opening is on it.
    reach: f64,
    clear: f64,
    /// How far the uprights reach across.
    half: f64,
    /// The ground, and the lower of both heads.
    up: [f64; 2],
}

/// An upright, in plan.
struct Upright<'a> {
    run: usize,
    name: &'a str,
    foot: Point3<f64>,
    head: f64,
    ring: Vec<Point2<f64>>,
}

impl Look<'_> {
    /// Every such opening of the stair.
    pub(super) fn find_loose(&self) -> Vec<Loose> {
        let runs = self.bodies.runs();
        let ends: Vec<Upright<'_>> = runs.iter().enumerate().flat_map(ends).collect();
        let loose = ends.iter().filter(|end| {
            let twins = ends
                .iter()
                .filter(|other| (other.foot - end.foot).norm() < SAME);
            twins.count() == 1
        });
        let mut found: Vec<Loose> = Vec::new();
        for end in loose {
            for one in self.beside(end) {
                let known = |known: &Loose| {
                    let [a, b] = &known.between;
                    one.between == known.between || one.between == [b.clone(), a.clone()]
                };
                if !found.iter().any(known) {
                    found.push(one);
                }
            }
        }
        found
    }

    /// What stands beside a railing's end, nearest first, one in each direction.
    fn beside(&self, end: &Upright<'_>) -> Vec<Loose> {
        let runs = self.bodies.runs();
        let room = Vector3::repeat(WAY_LEAST);
        let within = Bounds {
            low: end.foot - room,
            high: end.foot + room,
        };
        let near = self.standing.meeting(end.run, &within);
        let mut near: Vec<Loose> = near
            .into_iter()
            .filter_map(|(run, name)| upright(run, &runs[run], name))
            .filter(|other| (other.foot - end.foot).norm() > SAME)
            .filter_map(|other| facing(end, &other))
            .chain(walls(end, runs))
            .filter(|one| (SLOT_LEAST..WAY_LEAST).contains(&one.clear))
            .collect();
        near.sort_by(|a, b| a.clear.total_cmp(&b.clear));
        let mut ways: Vec<Vector2<f64>> = Vec::new();
        near.retain(|one| {
            let new = ways.iter().all(|way| way.dot(&one.way) < ONE_WAY);
            if new {
                ways.push(one.way);
            }
            new
        });
        near.retain_mut(|one| self.falls(one));
        near
    }

    /// Whether the ground falls away on one side of an opening; it then starts from the higher.
    fn falls(&self, one: &mut Loose) -> bool {
        let rule = self.pack.rule(Quantity::GuardDrop);
        let drop = rule.and_then(Rule::length).map_or(DROP, Length::as_mm);
        let across = Vector2::new(-one.way.y, one.way.x);
        let middle = one.from.xy() + one.way * (one.reach / 2.0);
        let heights = [-1.0, 1.0].map(|side| {
            let at = middle + across * (side * (one.half + BESIDE));
            self.ground(&Point3::new(at.x, at.y, one.up[0] + STEP_UP))
        });
        // Nothing is drawn where the stair's lowest floor goes on.
        let lowest = self.bodies.runs().iter().map(|run| run.frame.origin.z);
        let lowest = lowest.fold(f64::INFINITY, f64::min);
        let (high, low) = match heights {
            [None, None] => return false,
            [Some(one), None] | [None, Some(one)] => (one, lowest),
            [Some(one), Some(other)] => (one.max(other), one.min(other)),
        };
        one.up[0] = high;
        high - low > drop && one.up[1] - high > SLOT_LEAST
    }

    /// The highest ground under a point.
    fn ground(&self, under: &Point3<f64>) -> Option<f64> {
        let runs = self.bodies.runs().iter();
        let grounds = runs.flat_map(|run| of_run(run, under));
        grounds.filter(|z| *z <= under.z).reduce(f64::max)
    }

    /// The cell of one.
    pub(super) fn loose_place(&self, one: &Loose) -> Place<'_> {
        let turn = one.way.y.atan2(one.way.x);
        let turn = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), turn);
        let half = Vector3::new(
            one.reach / 2.0,
            one.half + REACH_THROUGH,
            (one.up[1] - one.up[0]) / 2.0,
        );
        let plan = one.from.xy() + one.way * half.x;
        let middle = Point3::new(plan.x, plan.y, f64::midpoint(one.up[0], one.up[1]));
        let frame = Isometry3::from_parts(Translation3::from(middle), turn);
        let mut place = Place::empty(Cell { frame, half }, one.clear);
        for (name, run) in one.between.iter().zip(one.of) {
            place.add(self.bodies.pieces(run, name));
        }
        let row = Vector3::new(half.x, one.half, half.z);
        let row = Bounds::around(&corners(&frame, &row));
        for (run, name) in row.map_or_else(Vec::new, |row| self.standing.meeting(usize::MAX, &row))
        {
            if !one.between.iter().any(|known| known == name) {
                place.add(self.bodies.pieces(run, name));
            }
        }
        let far = half + Vector3::repeat(BLOCK);
        let low = Point3::new(-far.x, -far.y, -half.z - BLOCK);
        let high = Point3::new(far.x, far.y, -half.z);
        if let Some(floor) = Convex::cuboid(low, high) {
            place.add(vec![floor.moved(&frame)].into());
        }
        place
    }
}

fn corners(frame: &Isometry3<f64>, half: &Vector3<f64>) -> [Point3<f64>; 8] {
    std::array::from_fn(|i| {
        let sign = |bit: usize| if i >> bit & 1 == 0 { -1.0 } else { 1.0 };
        frame * Point3::new(sign(0) * half.x, sign(1) * half.y, sign(2) * half.z)
    })
}

/// The newels that a run's rail ends on.
fn ends<'a>((number, run): (usize, &'a Run<'a>)) -> Vec<Upright<'a>> {
    let rail = &run.solid.job.design.rail;
    let ends = [&rail.lower, &rail.upper].into_iter();
    ends.filter_map(|end| match end {
        RailEnd::Newel(name) => run.solid.setout.newel(name),
        RailEnd::Wall { .. } | RailEnd::HalfNewel { .. } => None,
    })
    .map(|newel| of_newel(number, run, newel))
    .collect()
}

fn of_newel<'a>(number: usize, run: &Run<'_>, newel: &'a NewelSet) -> Upright<'a> {
    let foot = run.frame.to_first(&newel.foot);
    Upright {
        run: number,
        name: &newel.name,
        foot,
        head: foot.z + newel.height.as_mm() * newel.axis.z,
        ring: (newel.footprint.iter())
            .map(|point| run.frame.plan_to_first(point))
            .collect(),
    }
}

/// A newel, half newel, baluster or panel of a run by its name.
fn upright<'a>(number: usize, run: &'a Run<'a>, name: &str) -> Option<Upright<'a>> {
    let setout = run.solid.setout;
    if let Some(newel) = setout.newels.iter().find(|newel| newel.name == name) {
        return Some(of_newel(number, run, newel));
    }
    let one = setout.balusters.iter().find(|one| one.name == name)?;
    let ring = plan::section(
        one.foot.xy(),
        one.along.as_mm(),
        one.across.as_mm(),
        one.round,
        crate::measure::Angle::ZERO,
    );
    Some(Upright {
        run: number,
        name: &one.name,
        foot: run.frame.to_first(&one.foot),
        head: run.frame.to_first(&one.top).z,
        ring: ring
            .iter()
            .map(|point| run.frame.plan_to_first(point))
            .collect(),
    })
}

/// How far a ring reaches along a level direction from a place.
fn reach(ring: &[Point2<f64>], from: Point2<f64>, way: &Vector2<f64>) -> (f64, f64) {
    plan::extent(ring, |point| (point - from).dot(way))
}

/// The opening between a railing's end and an upright.
fn facing(end: &Upright<'_>, other: &Upright<'_>) -> Option<Loose> {
    let from = end.foot.xy();
    let way = other.foot.xy() - from;
    let apart = way.norm();
    let way = way.try_normalize(SAME)?;
    let across = Vector2::new(-way.y, way.x);
    let begins = reach(&end.ring, from, &way).1;
    let ends = reach(&other.ring, from, &way).0;
    let sides = [end, other].map(|one| {
        let (low, high) = reach(&one.ring, from, &across);
        high.max(-low)
    });
    let (first, second) = if end.run <= other.run {
        (end, other)
    } else {
        (other, end)
    };
    Some(Loose {
        run: second.run,
        between: [first.name.to_owned(), second.name.to_owned()],
        of: [first.run, second.run],
        from: end.foot,
        way,
        reach: apart,
        clear: ends - begins,
        half: sides[0].max(sides[1]),
        up: [end.foot.z.max(other.foot.z), end.head.min(other.head)],
    })
}

/// The openings between a railing's end and the walls beside it.
fn walls(end: &Upright<'_>, runs: &[Run<'_>]) -> Vec<Loose> {
    let all = runs.iter().enumerate().flat_map(|(number, run)| {
        let site = run.solid.site;
        site.walls
            .iter()
            .take(site.own_walls)
            .map(move |wall| (number, run, wall))
    });
    all.filter_map(|(number, run, wall)| {
        let here = run.frame.from_first(&end.foot);
        let along = (wall.to - wall.from) / wall.length();
        let normal = Vector3::new(-along.y, along.x, 0.0);
        let middle = here + Vector3::z() * ((end.head - end.foot.z) / 2.0);
        let (met, place, _) = wall.meet(&middle, &-normal)?;
        let apart = (middle - met).dot(&normal);
        let on_face =
            (0.0..=wall.length()).contains(&place) && (wall.foot..=wall.head).contains(&met.z);
        if !on_face || apart <= 0.0 {
            return None;
        }
        let way = run.frame.way_to_first(&-normal).xy();
        let across = Vector2::new(-way.y, way.x);
        let from = end.foot.xy();
        let (low, high) = reach(&end.ring, from, &across);
        Some(Loose {
            run: number.max(end.run),
            between: [end.name.to_owned(), wall.name.clone()],
            of: [end.run, number],
            from: end.foot,
            way,
            reach: apart + INTO,
            clear: apart - reach(&end.ring, from, &way).1,
            half: high.max(-low),
            up: [end.foot.z, end.head],
        })
    })
    .collect()
}

/// The heights of a run's floors and treads at a place of the first run's frame.
fn of_run(run: &Run<'_>, at: &Point3<f64>) -> Vec<f64> {
    let site = run.solid.site;
    let here = run.frame.from_first(at);
    let (x, q) = (here.x, site.outward * here.y);
    let up = |z: f64| run.frame.origin.z + z;
    let last = site.steps.len();
    let steps = site.steps.iter().filter(|step| {
        let out = if step.number as usize == last {
            site.floor_out
        } else {
            0.0
        };
        (step.nosing_at(q)..=step.back_at(q)).contains(&x)
            && (step.wall_q..=step.open_q + out).contains(&q)
    });
    let mut heights: Vec<f64> = steps.map(|step| up(step.top(x, q))).collect();
    let level = site.level.iter().filter(|level| {
        (0.0..=level.length).contains(&x) && (level.wall_q..=level.open_q).contains(&q)
    });
    heights.extend(level.map(|_| up(site.lower_floor(x, q))));
    for turn in run.solid.turns {
        let here = turn.frame.from_first(at);
        let treads = turn.site.treads.iter();
        let under = treads.filter(|tread| holds(&tread.outline, here.xy()));
        heights.extend(under.map(|tread| turn.frame.origin.z + tread.top(&here.xy())));
    }
    heights
}

/// Whether a ring holds a place: by how often a line from it to one side crosses the ring.
fn holds(ring: &[Point2<f64>], at: Point2<f64>) -> bool {
    let sides = (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]));
    let crossed = sides.filter(|(a, b)| {
        (a.y > at.y) != (b.y > at.y) && at.x < a.x + (b.x - a.x) * (at.y - a.y) / (b.y - a.y)
    });
    crossed.count() % 2 == 1
}
