//! What stands behind and beside a newel's notch: stringers, blocks and hidden fasteners that are
//! cut, what bears the newel, and the blocks that it still needs.
//!
//! mm in the flight's frame.

use nalgebra::{Point2, Point3};

use crate::job::{BlockPlaced, Job};
use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;
use crate::site::{Site, Step};

use super::notch::{Body, common, most, outline};
use super::{Behind, BlockNeeded, Cutout, FastenerMet, NewelSide, Notch, plan};

/// A block is thick enough to take a bolt's or screw's thread: 1 1/2 in, common practice, no source.
const BLOCK_MM: f64 = 38.1;
/// What a shim makes up: 1/8 in, common practice, no source.
const SHIM_MM: f64 = 3.175;
/// A strip of a newel's side narrower than this takes no screw: 1/4 in, common practice, no source.
const STRIP_MM: f64 = 6.35;
/// A fastener further than this from a cut is no concern of the saw: 2 in, common practice, no
/// source.
const NEAR_MM: f64 = 50.8;

/// What a newel goes into behind the notched kicks: kicks, stringers and blocks, step by step.
pub(super) fn behind(
    job: &Job,
    site: &Site,
    body: &Body<'_>,
    notches: &[Notch],
    cutouts: &[Cutout],
) -> Vec<Behind> {
    let mut found = Vec::new();
    for step in notches.iter().filter_map(|notch| site.step(notch.step)) {
        let kick = site.kick_name(step.number);
        let kicks = cutouts.iter().filter(|cutout| cutout.part == kick);
        found.extend(kicks.map(|cutout| Behind {
            part: kick.clone(),
            depth: cutout.depth,
            remains: cutout.remains,
            carries: false,
        }));
        found.extend(stringers(job, site, step, body));
        found.extend(blocks(job, site, step, body));
    }
    found
}

fn stringers(job: &Job, site: &Site, step: &Step, body: &Body<'_>) -> Vec<Behind> {
    // A stringer ends behind the last kick: what is under the upper floor is the floor's own.
    let Some(next) = site.step(step.number + 1) else {
        return Vec::new();
    };
    let back = |q: f64| step.kick_at(q) + step.kick_thickness;
    let ring = body.at(step.height - step.thickness);
    job.stringers
        .iter()
        .filter_map(|stringer| {
            let outer = -stringer.inset.mm();
            let q = [outer - stringer.thickness.mm(), outer];
            let board = outline(site, [&back, &|q| next.kick_at(q) + next.kick_thickness], q);
            let cut = common(&ring, &board)?;
            let depth = most(site, &cut, |x, q| x - back(q));
            Some(Behind {
                part: stringer.name.clone(),
                depth: Length::mm(depth),
                remains: Length::mm(stringer.thickness.mm() - across(&cut)),
                carries: true,
            })
        })
        .collect()
}

fn across(ring: &[Point2<f64>]) -> f64 {
    let (low, high) = plan::extent(ring, |point| point.y);
    high - low
}

/// A block in its place.
struct Placed {
    x: [f64; 2],
    q: [f64; 2],
    z: [f64; 2],
}

fn placed(site: &Site, block: &BlockPlaced) -> Option<Placed> {
    let step = site.step(block.step)?;
    let near = step.kick_x + block.from.mm();
    let outer = -block.inset.mm();
    let x = [near, near + block.along.mm()];
    let q = [outer - block.across.mm(), outer];
    let middle = step.top(f64::midpoint(x[0], x[1]), f64::midpoint(q[0], q[1]));
    let top = middle - step.thickness - block.below.mm();
    Some(Placed {
        x,
        q,
        z: [top - block.height.mm(), top],
    })
}

/// The least and the greatest corner of a block as it is placed, in the flight's frame, mm. `None`
/// where the run has no such step.
#[must_use]
pub fn block_corners(site: &Site, block: &BlockPlaced) -> Option<[Point3<f64>; 2]> {
    let at = placed(site, block)?;
    let [a, b] = at.q.map(|q| site.outward * q);
    Some([
        Point3::new(at.x[0], a.min(b), at.z[0]),
        Point3::new(at.x[1], a.max(b), at.z[1]),
    ])
}

impl Placed {
    fn ring(&self, site: &Site) -> Vec<Point2<f64>> {
        outline(site, [&|_| self.x[0], &|_| self.x[1]], self.q)
    }
}

/// Blocks that a newel cuts.
fn blocks(job: &Job, site: &Site, step: &Step, body: &Body<'_>) -> Vec<Behind> {
    let here = job
        .blocking
        .iter()
        .filter(|block| block.step == step.number);
    here.filter_map(|block| {
        let at = placed(site, block)?;
        if at.z[1] - body.foot.z <= SAME_POINT_MM {
            return None;
        }
        let cut = common(&body.at(at.z[1]), &at.ring(site))?;
        let (low, high) = plan::extent(&cut, |point| point.x);
        Some(Behind {
            part: block.name.clone(),
            depth: Length::mm(high - low),
            remains: Length::mm(block.across.mm() - across(&cut)),
            carries: false,
        })
    })
    .collect()
}

/// Hidden fasteners in or near the cut, in the steps above what the newel stands on.
pub(super) fn fasteners(job: &Job, site: &Site, surface: u32, body: &Body<'_>) -> Vec<FastenerMet> {
    let here = job.fasteners.iter().filter(|one| one.step > surface);
    here.filter_map(|one| {
        let step = site.step(one.step)?;
        let (x, q) = (step.kick_x + one.from.mm(), -one.inset.mm());
        let at = site.at(x, q, step.top(x, q));
        let clear = outside(&body.at(at.z), &at.xy()) - one.diameter.mm() / 2.0;
        (clear < NEAR_MM).then(|| FastenerMet {
            name: one.name.clone(),
            clear: Length::mm(clear),
            at,
        })
    })
    .collect()
}

/// How far a point stands outside a convex anticlockwise ring, mm; negative inside: the way to the
/// nearest side.
pub(super) fn outside(ring: &[Point2<f64>], point: &Point2<f64>) -> f64 {
    let sides = (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()]));
    let inside = sides
        .clone()
        .map(|(a, b)| (b - a).perp(&(point - a)) / (b - a).norm())
        .fold(f64::INFINITY, f64::min);
    if inside >= 0.0 {
        return -inside;
    }
    sides
        .map(|(a, b)| {
            let share = (point - a).dot(&(b - a)) / (b - a).norm_squared();
            (point - (a + (b - a) * share.clamp(0.0, 1.0))).norm()
        })
        .fold(f64::INFINITY, f64::min)
}

/// What bears a newel already, and the blocks that it still needs.
#[derive(Clone, Debug, Default)]
pub(super) struct Borne {
    pub(super) bears_on: Vec<(NewelSide, String)>,
    pub(super) needs: Vec<BlockNeeded>,
}

impl Borne {
    fn add(&mut self, side: NewelSide, on: Option<String>, block: BlockNeeded) {
        match on {
            Some(part) => self.bears_on.push((side, part)),
            None => self.needs.push(block),
        }
    }
}

/// What bears a newel that is notched into a step: wood behind its uphill side and beside its
/// inward side.
pub(super) fn borne(job: &Job, site: &Site, body: &Body<'_>, notches: &[Notch]) -> Borne {
    let mut borne = Borne::default();
    let Some(step) = notches.first().and_then(|notch| site.step(notch.step)) else {
        return borne;
    };
    let back = step.kick_x + step.kick_thickness;
    let ring = body.at(step.height - step.thickness);
    let (_, far) = plan::extent(&ring, |point| point.x);
    let (inner, outer) = plan::extent(&ring, |point| site.outward * point.y);
    let middle = f64::midpoint(inner, outer);
    let z = [body.foot.z, step.top(far, middle) - step.thickness];
    if z[1] - z[0] < STRIP_MM {
        return borne;
    }
    let from = far.max(back);
    let uphill = Placed {
        x: [from, from + BLOCK_MM],
        q: [inner, outer],
        z,
    };
    let on = (from - far < SHIM_MM)
        .then(|| on_stringer(job, [inner, outer]).filter(|_| is_tread(site, step)))
        .flatten()
        .or_else(|| on_block(job, site, step, &uphill, SIDE_UPHILL));
    borne.add(
        NewelSide::Uphill,
        on,
        needed(site, NewelSide::Uphill, &uphill),
    );
    if far - back < STRIP_MM {
        return borne;
    }
    let beside = job
        .stringers
        .iter()
        .map(|stringer| (stringer, inner + stringer.inset.mm()))
        // Further out than the newel's inward side by its whole thickness: on the other side of it.
        .filter(|(stringer, gap)| *gap > -stringer.thickness.mm())
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|_| is_tread(site, step));
    let gap = beside.map_or(BLOCK_MM, |(_, gap)| gap);
    let inward = Placed {
        x: [back, far],
        q: [inner - gap.max(0.0), inner],
        z,
    };
    let on = beside
        .filter(|(_, gap)| *gap < SHIM_MM)
        .map(|(stringer, _)| stringer.name.clone())
        .or_else(|| on_block(job, site, step, &inward, SIDE_INWARD));
    borne.add(
        NewelSide::Inward,
        on,
        needed(site, NewelSide::Inward, &inward),
    );
    borne
}

/// A newel on a surface needs a block under it, as large as itself.
pub(super) fn under(job: &Job, site: &Site, surface: u32, body: &Body<'_>) -> Borne {
    let mut borne = Borne::default();
    let (low, high) = plan::extent(body.ring, |point| point.x);
    let (inner, outer) = plan::extent(body.ring, |point| site.outward * point.y);
    let step = site.step(surface);
    let top = body.foot.z - step.map_or(0.0, |step| step.thickness);
    let block = Placed {
        x: [low, high],
        q: [inner, outer],
        z: [top - BLOCK_MM, top],
    };
    let on = step.and_then(|step| on_block(job, site, step, &block, SIDE_UNDER));
    borne.add(NewelSide::Under, on, needed(site, NewelSide::Under, &block));
    borne
}

fn is_tread(site: &Site, step: &Step) -> bool {
    site.step(step.number + 1).is_some()
}

fn needed(site: &Site, side: NewelSide, block: &Placed) -> BlockNeeded {
    let middle = |pair: [f64; 2]| f64::midpoint(pair[0], pair[1]);
    let size = |pair: [f64; 2]| Length::mm(pair[1] - pair[0]);
    let at: Point3<f64> = site.at(middle(block.x), middle(block.q), middle(block.z));
    BlockNeeded {
        side,
        along: size(block.x),
        across: size(block.q),
        height: size(block.z),
        at,
    }
}

/// The part that two spans share of the first.
fn share(span: [f64; 2], of: [f64; 2]) -> f64 {
    (span[1].min(of[1]) - span[0].max(of[0])) / (span[1] - span[0])
}

/// The stringer that covers half of a newel's width.
fn on_stringer(job: &Job, q: [f64; 2]) -> Option<String> {
    let half = job.stringers.iter().find(|stringer| {
        let outer = -stringer.inset.mm();
        share(q, [outer - stringer.thickness.mm(), outer]) >= HALF
    });
    half.map(|stringer| stringer.name.clone())
}

/// Half of a side on wood is borne: common practice, no source.
const HALF: f64 = 0.5;

/// For each side of a newel the direction that a block stands in from it: which of x, q, z, and
/// whether the block's near face is its lower end.
type Way = (usize, bool);
const SIDE_UPHILL: Way = (0, true);
const SIDE_INWARD: Way = (1, false);
const SIDE_UNDER: Way = (2, false);

/// A block of the job that lies where one is needed: its near face against the newel (or cut by
/// it), and over half of the side.
fn on_block(
    job: &Job,
    site: &Site,
    step: &Step,
    wanted: &Placed,
    (axis, lower): Way,
) -> Option<String> {
    let spans = |block: &Placed| [block.x, block.q, block.z];
    let here = job
        .blocking
        .iter()
        .filter(|block| block.step == step.number);
    here.filter_map(|block| Some((block, placed(site, block)?)))
        .find(|(_, at)| {
            let (at, wanted) = (spans(at), spans(wanted));
            let over = (0..3)
                .filter(|one| *one != axis)
                .all(|one| share(wanted[one], at[one]) >= HALF);
            // How far the block stands off the newel, and how far it goes past the newel's side.
            let (off, past) = if lower {
                (at[axis][0] - wanted[axis][0], at[axis][1] - wanted[axis][0])
            } else {
                (wanted[axis][1] - at[axis][1], wanted[axis][1] - at[axis][0])
            };
            over && off < SHIM_MM && past > STRIP_MM
        })
        .map(|(block, _)| block.name.clone())
}
