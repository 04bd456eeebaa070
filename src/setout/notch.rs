//! What is cut out of treads, kicks and open-side skirts for a newel.
//!
//! mm in the flight's frame. A newel that leans is cut for where it stands at the height of the
//! cut, not at its foot.

use nalgebra::{Point2, Point3, Unit, Vector2, Vector3};

use crate::job::{Job, Kicks, Side};
use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;
use crate::site::{Site, Step};

use super::{Cutout, Notch, plan};

/// A newel's body: the ring of its foot, and how it leans.
#[derive(Clone, Copy, Debug)]
pub(super) struct Body<'a> {
    pub(super) ring: &'a [Point2<f64>],
    pub(super) foot: Point3<f64>,
    pub(super) axis: Unit<Vector3<f64>>,
}

impl Body<'_> {
    /// How far the newel leans, level, per height.
    pub(super) fn lean(&self) -> Vector2<f64> {
        self.axis.xy() / self.axis.z
    }

    /// Its ring at a height.
    pub(super) fn at(&self, z: f64) -> Vec<Point2<f64>> {
        let shift = self.lean() * (z - self.foot.z);
        self.ring.iter().map(|point| point + shift).collect()
    }
}

/// A four-cornered outline in plan between two distances up the flight and two offsets across it,
/// anticlockwise.
pub(super) fn outline(site: &Site, x: [&dyn Fn(f64) -> f64; 2], q: [f64; 2]) -> Vec<Point2<f64>> {
    let at = |x: &dyn Fn(f64) -> f64, q: f64| Point2::new(x(q), site.outward * q);
    let mut ring = vec![
        at(x[0], q[0]),
        at(x[1], q[0]),
        at(x[1], q[1]),
        at(x[0], q[1]),
    ];
    if plan::area(&ring) < 0.0 {
        ring.reverse();
    }
    ring
}

/// What two rings have in common, if it is more than a scribe line.
pub(super) fn common(ring: &[Point2<f64>], with: &[Point2<f64>]) -> Option<Vec<Point2<f64>>> {
    let mut corners = plan::common(ring, with);
    // Where a side only just reaches the other ring, clipping leaves one corner twice.
    let same = |a: &Point2<f64>, b: &Point2<f64>| (a - b).norm() < SAME_POINT_MM;
    corners.dedup_by(|b, a| same(a, b));
    while corners.len() > 1 && same(&corners[0], &corners[corners.len() - 1]) {
        corners.pop();
    }
    (corners.len() >= 3 && plan::area(&corners) >= NOTCH_LEAST_MM2).then_some(corners)
}

/// A cut-out smaller than this is a scribe line, not a notch.
const NOTCH_LEAST_MM2: f64 = 1.0;

/// The greatest of a value over the corners of a ring, each given as distance up the flight and
/// outward offset.
pub(super) fn most(site: &Site, ring: &[Point2<f64>], of: impl Fn(f64, f64) -> f64) -> f64 {
    plan::extent(ring, |point| of(point.x, site.outward * point.y)).1
}

/// The cut-out of one tread, if the newel meets it.
pub(super) fn tread(site: &Site, step: &Step, body: &Body<'_>) -> Option<Notch> {
    let outline = outline(
        site,
        [&|q| step.nosing_at(q), &|q| step.back_at(q)],
        [step.wall_q, step.open_q],
    );
    let middle = Point2::new(body.foot.x, site.outward * body.foot.y);
    let corners = common(&body.at(step.top(middle.x, middle.y)), &outline)?;
    Some(Notch {
        step: step.number,
        sides: plan::sides(&corners),
        angles: plan::angles(&corners),
        from_nosing: Length::mm(most(site, &corners, |x, q| x - step.nosing_at(q))),
        from_open_end: Length::mm(most(site, &corners, |_, q| step.open_q - q)),
        behind_kick_face: Length::mm(most(site, &corners, |x, q| x - step.kick_at(q))),
        corners,
    })
}

/// The cut-outs of the kicks and open-side skirts of the steps above the surface that a newel
/// stands on.
pub(super) fn cutouts(job: &Job, site: &Site, surface: u32, body: &Body<'_>) -> Vec<Cutout> {
    let above = site.steps.iter().filter(|step| step.number > surface);
    let has_kicks = job.flight.kicks == Kicks::Closed;
    above
        .flat_map(|step| {
            let skirts = job.skirts.iter().filter(|skirt| skirt.side == Side::Open);
            let skirts = skirts.filter_map(|skirt| {
                let outer = skirt_face(site);
                let q = [outer - skirt.thickness.mm(), outer];
                in_skirt(site, step, &skirt.name, q, body)
            });
            let kick = has_kicks.then(|| kick(site, step, body)).flatten();
            kick.into_iter().chain(skirts).collect::<Vec<_>>()
        })
        .collect()
}

/// The outer face of an open-side skirt, outward from y = 0: it is mitred to the kicks, whose ends
/// stand back from the tread ends by the return nosing.
pub(super) fn skirt_face(site: &Site) -> f64 {
    site.steps
        .iter()
        .map(kick_end)
        .fold(f64::INFINITY, f64::min)
}

/// The outer face of an open-side skirt, outward from y = 0 in the flight's frame; as far as any where
/// a run has no steps.
#[must_use]
pub fn open_skirt_face(site: &Site) -> Length {
    Length::mm(skirt_face(site))
}

/// The open end of a kick, outward from y = 0.
pub(super) fn kick_end(step: &Step) -> f64 {
    step.open_q - step.overhang.max(0.0)
}

fn kick(site: &Site, step: &Step, body: &Body<'_>) -> Option<Cutout> {
    let end = kick_end(step);
    let board = outline(
        site,
        [&|q| step.kick_at(q), &|q| {
            step.kick_at(q) + step.kick_thickness
        }],
        [step.wall_q, end],
    );
    let middle = site.outward * body.foot.y;
    let head = step.top(step.kick_at(middle), middle) - step.thickness;
    let below = site.step(step.number - 1);
    let foot = site.height_of(step.number - 1, step.kick_x, middle)
        - below.map_or(0.0, |tread| tread.thickness);
    let low = foot.max(body.foot.z);
    let (plan, z) = deeper(body, [low, head], &board, |ring| {
        most(site, ring, |x, q| x - step.kick_at(q))
    })?;
    let depth = most(site, &plan, |x, q| x - step.kick_at(q));
    let (least, greatest) = plan::extent(&body.at(z), |point| site.outward * point.y);
    let band = outline(
        site,
        [&|q| step.kick_at(q), &|q| {
            step.kick_at(q) + step.kick_thickness
        }],
        [least - PAST, greatest + PAST],
    );
    // In from the open end; a newel that leans outward comes nearer to it as it goes up.
    let across = -site.outward * body.lean().y;
    let (near, far) = at_foot(body, (z, across), &band, |point| {
        end - site.outward * point.y
    });
    let reach = end - step.wall_q;
    on_face(
        (site.kick_name(step.number), step.number),
        plan,
        &Elevation {
            near: [near, across],
            far: [far, across],
            reach,
            low: low - body.foot.z,
            head: head - body.foot.z,
        },
        (depth, step.kick_thickness),
    )
}

fn in_skirt(site: &Site, step: &Step, name: &str, q: [f64; 2], body: &Body<'_>) -> Option<Cutout> {
    // A skirt ends at the last kick: the upper floor has none.
    site.step(step.number + 1)?;
    let board = outline(site, [&|q| step.kick_at(q), &|q| step.back_at(q)], q);
    let head = step.top(step.kick_at(q[1]), q[1]) - step.thickness;
    let (plan, z) = deeper(body, [body.foot.z, head], &board, |ring| {
        most(site, ring, |x, q| x - step.kick_at(q))
    })?;
    let kick = step.kick_at(q[1]);
    let (least, greatest) = plan::extent(&body.at(z), |point| point.x);
    let band = outline(site, [&|_| least - PAST, &|_| greatest + PAST], q);
    let along = body.lean().x;
    let (near, far) = at_foot(body, (z, along), &band, |point| point.x - kick);
    // In from its outer face.
    let depth = most(site, &plan, |_, offset| q[1] - offset);
    on_face(
        (name.to_owned(), step.number),
        plan,
        &Elevation {
            near: [near, along],
            far: [far, along],
            reach: step.back_at(q[1]) - kick,
            low: 0.0,
            head: head - body.foot.z,
        },
        (depth, q[1] - q[0]),
    )
}

/// What a board and a newel have in common at the lower or the upper end of the cut, whichever goes
/// deeper, and the height of that end.
fn deeper(
    body: &Body<'_>,
    heights: [f64; 2],
    board: &[Point2<f64>],
    depth: impl Fn(&[Point2<f64>]) -> f64,
) -> Option<(Vec<Point2<f64>>, f64)> {
    if heights[1] <= heights[0] {
        return None;
    }
    heights
        .into_iter()
        .filter_map(|z| Some((common(&body.at(z), board)?, z)))
        .max_by(|a, b| depth(&a.0).total_cmp(&depth(&b.0)))
}

/// How far a newel reaches within a board's thickness, at the height of its foot. It is read off
/// the ring at the height of the cut, where the board's end takes nothing from it, and carried back
/// down along the lean.
fn at_foot(
    body: &Body<'_>,
    (z, per_height): (f64, f64),
    band: &[Point2<f64>],
    of: impl Fn(&Point2<f64>) -> f64,
) -> (f64, f64) {
    let (near, far) = plan::extent(&plan::common(&body.at(z), band), of);
    let leans = per_height * (z - body.foot.z);
    (near - leans, far - leans)
}

/// A board's thickness is drawn this far past a newel's ring, so that no end of it clips the ring.
const PAST: f64 = 1.0;

/// A cut on a board's face: its two sides, each as distance from the board's end at the newel's
/// foot and how that grows with height, and the heights between which the board stands.
struct Elevation {
    near: [f64; 2],
    far: [f64; 2],
    reach: f64,
    low: f64,
    head: f64,
}

fn on_face(
    (part, step): (String, u32),
    plan: Vec<Point2<f64>>,
    cut: &Elevation,
    (depth, thickness): (f64, f64),
) -> Option<Cutout> {
    let side = |side: [f64; 2], height: f64| Point2::new(side[0] + side[1] * height, height);
    // From end to end of the board at both heights, so that a lean is clipped to the board.
    let newel = [
        side(cut.near, cut.low),
        side(cut.far, cut.low),
        side(cut.far, cut.head),
        side(cut.near, cut.head),
    ];
    let board = [
        Point2::new(0.0, cut.low),
        Point2::new(cut.reach, cut.low),
        Point2::new(cut.reach, cut.head),
        Point2::new(0.0, cut.head),
    ];
    let face = common(&newel, &board)?;
    let (_, from_end) = plan::extent(&face, |point| point.x);
    let (lowest, _) = plan::extent(&face, |point| point.y);
    Some(Cutout {
        part,
        step,
        sides: plan::sides(&face),
        angles: plan::angles(&face),
        from_end: Length::mm(from_end),
        from_top: Length::mm(cut.head - lowest),
        depth: Length::mm(depth.min(thickness)),
        remains: Length::mm((thickness - depth).max(0.0)),
        plan,
        face,
    })
}
