//! [`closest`] and [`nearest`]: how far apart two pieces or two parts stand.
//!
//! In: convex pieces, mm in the flight's frame. Out: [`Gap`] in the same frame.

use nalgebra::Point3;

use super::separate::{separate, shared_point};
use super::{features, parry};
use crate::measure::tolerance::{DISTANCE_SHARE, SAME_POINT_MM};
use crate::solids::{Bounds, Convex, Solids};

/// How far apart two things stand, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The distance, mm; zero where they touch or overlap.
    pub distance: f64,
    /// The nearest point of the first, mm.
    pub on_a: Point3<f64>,
    /// The nearest point of the second, mm. Where they overlap both are one point of the overlap.
    pub on_b: Point3<f64>,
}

impl Gap {
    pub(in crate::inspect) fn between(on_a: Point3<f64>, on_b: Point3<f64>) -> Self {
        Self {
            distance: (on_b - on_a).norm(),
            on_a,
            on_b,
        }
    }
}

/// The distance between two convex pieces, with the proof checked: the slab between the two points
/// found must hold nothing of either piece. Where the search's answer fails that, every pair of
/// features is tried. `None` for a piece without faces, which [`Convex`] does not make.
#[must_use]
pub fn closest(a: &Convex, b: &Convex) -> Option<Gap> {
    if let parry::Found::Apart(on_a, on_b) = parry::closest(a, b) {
        let gap = Gap::between(on_a, on_b);
        if is_proven(a, b, &gap) {
            return Some(gap);
        }
    }
    let separation = separate(a, b)?;
    if separation.depth > 0.0 {
        let at = separation
            .at
            .or_else(|| shared_point(b, a))
            .unwrap_or_else(|| boxes_meet(a, b));
        return Some(Gap {
            distance: 0.0,
            on_a: at,
            on_b: at,
        });
    }
    features::closest(a, b).map(|(on_a, on_b)| Gap::between(on_a, on_b))
}

/// The nearest points of two parts: the least over their pieces. `None` where an index is no part
/// or a part has no pieces.
#[must_use]
pub fn nearest(solids: &Solids, part_a: usize, part_b: usize) -> Option<Gap> {
    nearest_within(solids, part_a, part_b, f64::INFINITY)
}

/// The same for two parts that are no further apart than `within`, mm; `None` for others.
#[must_use]
pub fn nearest_within(solids: &Solids, part_a: usize, part_b: usize, within: f64) -> Option<Gap> {
    let [a, b] = [part_a, part_b].map(|part| solids.parts.get(part));
    pieces_within(&a?.pieces, &b?.pieces, within)
}

/// The nearest points of two unions of pieces; `None` where one has none.
#[must_use]
pub fn nearest_pieces(part_a: &[Convex], part_b: &[Convex]) -> Option<Gap> {
    pieces_within(part_a, part_b, f64::INFINITY)
}

fn pieces_within(part_a: &[Convex], part_b: &[Convex], within: f64) -> Option<Gap> {
    let bounded =
        |pieces: &'_ [Convex]| -> Vec<Bounds> { pieces.iter().map(Convex::bounds).collect() };
    let (bounds_a, bounds_b) = (bounded(part_a), bounded(part_b));
    let pieces_a: Vec<(&Convex, Bounds)> = part_a.iter().zip(bounds_a).collect();
    let pieces_b: Vec<(&Convex, Bounds)> = part_b.iter().zip(bounds_b).collect();
    let mut pairs = Vec::new();
    for (a, bounds_a) in &pieces_a {
        for (b, bounds_b) in &pieces_b {
            let apart = box_distance(bounds_a, bounds_b);
            let far = apart > within || faces_part(a, b, within) || faces_part(b, a, within);
            if !far {
                pairs.push((apart, *a, *b));
            }
        }
    }
    // Nearest boxes first: once the next box is further than the best gap, no later pair can win.
    pairs.sort_by(|p, q| p.0.total_cmp(&q.0));
    let mut best: Option<Gap> = None;
    for (at_least, a, b) in pairs {
        if best.is_some_and(|best| at_least >= best.distance) {
            break;
        }
        let Some(gap) = closest(a, b) else { continue };
        if gap.distance <= within && best.is_none_or(|best| gap.distance < best.distance) {
            best = Some(gap);
        }
    }
    best
}

/// Whether a face of the one has all of the other further out than this.
fn faces_part(a: &Convex, b: &Convex, within: f64) -> bool {
    let mut planes = a.planes().iter();
    planes.any(|plane| {
        let mut corners = b.corners().iter();
        corners.all(|corner| plane.distance(corner) > within)
    })
}

/// Whether the planes square to the gap at its two ends part the pieces.
fn is_proven(a: &Convex, b: &Convex, gap: &Gap) -> bool {
    is_parted(a.corners(), b.corners(), gap)
}

/// Whether the planes square to the gap at its two ends part what some corners span.
pub(in crate::inspect) fn is_parted(a: &[Point3<f64>], b: &[Point3<f64>], gap: &Gap) -> bool {
    let Some(across) = (gap.on_b - gap.on_a).try_normalize(f64::MIN_POSITIVE) else {
        return false;
    };
    let reach = |corner: &Point3<f64>| across.dot(&(corner - gap.on_a));
    let high_a = a.iter().map(reach).fold(f64::NEG_INFINITY, f64::max);
    let low_b = b.iter().map(reach).fold(f64::INFINITY, f64::min);
    gap.distance - (low_b - high_a) <= SAME_POINT_MM.max(DISTANCE_SHARE * gap.distance)
}

/// The distance between two boxes, mm.
fn box_distance(a: &Bounds, b: &Bounds) -> f64 {
    (a.low - b.high)
        .sup(&(b.low - a.high))
        .map(|apart| apart.max(0.0))
        .norm()
}

/// The middle of what two overlapping boxes have in common.
pub(super) fn boxes_meet(a: &Convex, b: &Convex) -> Point3<f64> {
    let (a, b) = (a.bounds(), b.bounds());
    Bounds {
        low: a.low.sup(&b.low),
        high: a.high.inf(&b.high),
    }
    .centre()
}
