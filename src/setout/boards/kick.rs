//! Kicks: what each is cut to between what its ends meet.
//!
//! A kick stands behind the tread below it and under the tread above it: from the underside of the
//! one to the underside of the other.

use nalgebra::{Point2, Point3, Vector3};

use crate::job::{Hand, Kicks, Meets, Side};
use crate::measure::{Angle, Length};
use crate::setout::plan;
use crate::site::Step;

use super::seam;
use super::sides::Sides;
use super::tread::Blank;

/// One kick as it is cut. Widths lie on its show face, which is the long one; left and right are
/// those of one going up.
#[derive(Clone, Debug, PartialEq)]
pub struct KickSet {
    /// The kick.
    pub step: u32,
    /// Width along its lower edge, between the long points.
    pub bottom: Length,
    /// Width along its upper edge.
    pub top: Length,
    /// The same two on the hidden face, between the short points: bottom, then top.
    pub short: (Length, Length),
    /// The left end.
    pub left: KickEnd,
    /// The right end.
    pub right: KickEnd,
    /// Height of the board, along its face, at the left and the right end.
    pub height: (Length, Length),
    /// What of it shows between the treads, plumb, at the left and the right end.
    pub shows: (Length, Length),
    /// Undercut of the upper edge, under the tread.
    pub top_undercut: Angle,
    /// Out of plumb, the head up the flight of the foot.
    pub lean: Angle,
    /// What to cut it from.
    pub blank: Blank,
}

impl KickSet {
    /// How much shorter than the show face the hidden one is.
    #[must_use]
    pub fn shorter(&self) -> Length {
        self.bottom - self.short.0
    }
}

/// One end of a kick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KickEnd {
    /// What it meets.
    pub meets: Meets,
    /// Inside angle between the lower edge and this end; 90 is square.
    pub angle: Angle,
    /// The saw's tilt from square, under the show face: the undercut, or the mitre.
    pub tilt: Angle,
    /// True where it is mitred to the skirt on the open side.
    pub mitred: bool,
}

/// Every kick of a flight, from the bottom; none where the stair has no kicks.
pub(super) fn all(sides: &Sides<'_>) -> Vec<KickSet> {
    if sides.job.flight.kicks == Kicks::Open {
        return Vec::new();
    }
    let steps = sides.site.steps.iter();
    steps.map(|step| one(sides, step)).collect()
}

/// How far a kick leans up the flight per height, no unit.
pub(super) fn lean(sides: &Sides<'_>, step: u32) -> f64 {
    let read = sides.boards.kick_leans.iter().find(|one| one.step == step);
    read.map_or(0.0, |read| read.by.value / read.over.value)
}

/// Where a kick's face stands at an offset: foot, the tread's top (or floor) in front of it, head.
struct Upright {
    foot: Point3<f64>,
    shown_from: f64,
    head: Point3<f64>,
}

fn one(sides: &Sides<'_>, step: &Step) -> KickSet {
    let lean = lean(sides, step.number);
    let hands = [Hand::Left, Hand::Right];
    let uprights = hands.map(|hand| upright(sides, step, sides.on(hand), lean));
    let [left, right] = &uprights;
    let ring = ring([left.foot, right.foot, right.head, left.head]);
    let angles = plan::angles(&ring);
    let cuts = hands.map(|hand| cut(sides, step, sides.on(hand), lean));
    let thickness = Length::mm(step.kick_thickness);
    let end = |at: usize| KickEnd {
        angle: angles[at],
        ..cuts[at]
    };
    let off: Length = (0..2)
        .map(|at| thickness * (cuts[at].tilt.as_radians().tan() / angles[at].as_radians().sin()))
        .sum();
    let widths = plan::sides(&ring);
    let (bottom, top) = (widths[0], widths[2]);
    let over = &sides.boards.blank;
    let (low, high) = plan::extent(&ring, |point| point.x);
    let (foot, head) = plan::extent(&ring, |point| point.y);
    KickSet {
        step: step.number,
        bottom,
        top,
        short: (bottom - off, top - off),
        left: end(0),
        right: end(1),
        height: (widths[3], widths[1]),
        shows: (
            Length::mm(left.head.z - left.shown_from),
            Length::mm(right.head.z - right.shown_from),
        ),
        top_undercut: sides.boards.undercut.kick_top.value,
        lean: Angle::radians(lean.atan()),
        blank: Blank {
            length: Length::mm(high - low) + over.length.value,
            depth: Length::mm(head - foot) + over.depth.value,
            thickness,
        },
    }
}

/// True where the kick is mitred to a skirt on this side.
fn is_mitred(sides: &Sides<'_>, side: Side) -> bool {
    let skirt = sides
        .job
        .skirts
        .iter()
        .any(|skirt| skirt.side == Side::Open);
    side == Side::Open && sides.open.meets == Meets::Return && skirt
}

/// The offset of a kick's end at a place and height.
fn end_at(sides: &Sides<'_>, step: &Step, side: Side, x: f64, z: f64) -> f64 {
    match (side, sides.of(side).meets) {
        // Under a step that reaches past the others the kick goes as far as it.
        (Side::Open, Meets::Return) if sides.job.flight.reaches_beyond(step.number) => {
            step.open_q - step.overhang.max(0.0)
        }
        (Side::Open, Meets::Return) => sides.skirt_face.at(x),
        (Side::Wall, Meets::Return) => sides.kick_end(step, side, x, z) + step.overhang.max(0.0),
        _ => sides.kick_end(step, side, x, z),
    }
}

/// Height of the underside of the tread below a kick, or of the lower floor; and of its top.
pub(super) fn foot(sides: &Sides<'_>, step: &Step, x: f64, q: f64) -> (f64, f64) {
    let below = step
        .number
        .checked_sub(1)
        .and_then(|at| sides.site.step(at));
    below.map_or_else(
        || {
            let floor = sides.site.lower_floor(x, q);
            (floor, floor)
        },
        |tread| {
            let top = tread.top(x, q);
            (top - tread.thickness, top)
        },
    )
}

/// Where a kick ends on the wall side and on the open side, outward, half way up.
pub(super) fn ends(sides: &Sides<'_>, step: &Step) -> [f64; 2] {
    let middle = step.height - step.thickness - step.rise / 2.0;
    [Side::Wall, Side::Open].map(|side| end_at(sides, step, side, step.kick_x, middle))
}

/// The face is taken to be read at the foot; the head leans from there.
fn upright(sides: &Sides<'_>, step: &Step, side: Side, lean: f64) -> Upright {
    // The end's place hangs on the height, and the height on the place, by slopes of a hundredth
    // or so each: a few turns settle both.
    let settle = |head: bool| {
        let mut q = end_at(sides, step, side, step.kick_x, step.height);
        let mut place = (step.kick_x, 0.0);
        for _ in 0..SETTLE {
            let face = step.kick_at(q);
            let (low, _) = foot(sides, step, face, q);
            place = if head {
                let high = step.top(face, q) - step.thickness;
                (face + lean * (high - low), high)
            } else {
                (face, low)
            };
            q = end_at(sides, step, side, place.0, place.1);
        }
        sides.site.at(place.0, q, place.1)
    };
    let (low, high) = (settle(false), settle(true));
    let (_, shown_from) = foot(sides, step, low.x, sides.site.outward * low.y);
    Upright {
        foot: low,
        shown_from,
        head: high,
    }
}

/// Turns until place and height agree: each takes off two digits.
const SETTLE: usize = 8;

/// The show face in its own plane, from the left foot anticlockwise as one going up sees it.
pub(super) fn ring(corners: [Point3<f64>; 4]) -> [Point2<f64>; 4] {
    let [left, right, _, left_head] = corners;
    let u = (right - left).normalize();
    let rise = left_head - left;
    let v = (rise - u * rise.dot(&u)).normalize();
    corners.map(|point| {
        let from = point - left;
        Point2::new(from.dot(&u), from.dot(&v))
    })
}

/// What is cut under the show face at one end; the angle is filled in by the outline.
fn cut(sides: &Sides<'_>, step: &Step, side: Side, lean: f64) -> KickEnd {
    let meets = sides.of(side).meets;
    let mitred = is_mitred(sides, side);
    let tilt = if mitred {
        mitre(sides, step, lean).1
    } else if meets == Meets::Return {
        Angle::ZERO
    } else {
        sides.boards.undercut.kick_ends.value
    };
    KickEnd {
        meets,
        angle: Angle::ZERO,
        tilt,
        mitred,
    }
}

/// The saw's tilt from square at the mitre between the skirt on the open side and a kick: on the
/// skirt, on the kick.
pub(super) fn mitre(sides: &Sides<'_>, step: &Step, lean: f64) -> (Angle, Angle) {
    let outward = sides.site.outward;
    // Faces x = kick + skew q + lean z and q = foot + slope x, with q = outward y.
    let kick = Vector3::new(-1.0, step.skew * outward, lean).normalize();
    let skirt = Vector3::new(-sides.skirt_face.slope, outward, 0.0).normalize();
    let seam_line = kick.cross(&skirt);
    let tilt = |face: &Vector3<f64>, other: &Vector3<f64>| {
        seam::corner_cut(face, other, &seam_line.cross(face))
            .1
            .abs()
    };
    (tilt(&skirt, &kick), tilt(&kick, &skirt))
}
