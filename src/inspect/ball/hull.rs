//! Bounds over the hull of a few corners, and where to split it when they are too loose.

use nalgebra::Point3;

use super::game::{self, CORNERS, Row, Value};
use super::scene::Scene;
use crate::measure::tolerance::BALL_ROUNDING_MM as ROUNDING;

/// Which pieces still matter, one bit each; pieces past the last bit are the farthest and only
/// ever tighten an upper bound, so leaving them out is safe.
pub(super) type Mask = u64;

pub(super) const EVERY: Mask = Mask::MAX;

/// What is known over a hull of corners.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hull {
    /// No point of the hull has a greater clearance, mm.
    pub(super) upper: f64,
    /// Where such a point would stand, by the bound.
    pub(super) likely: Point3<f64>,
    weights: [(usize, f64); CORNERS],
    /// The pieces that can matter to any part of the hull.
    pub(super) mask: Mask,
}

impl Hull {
    pub(super) fn new(scene: &Scene, corners: &[Point3<f64>], mask: Mask) -> Self {
        Self::of(&rows(scene, corners, mask), corners, mask)
    }

    /// From the pieces' distances to the corners.
    pub(super) fn of(rows: &[Row], corners: &[Point3<f64>], mask: Mask) -> Self {
        let reach = corners
            .iter()
            .map(|corner| (corner - corners[0]).norm())
            .fold(0.0, f64::max);
        let Some(value) = game::solve(rows, corners.len()) else {
            return Self {
                upper: f64::INFINITY,
                likely: middle(corners),
                weights: [(0, 0.0); CORNERS],
                mask,
            };
        };
        let mut left = 0;
        for row in rows {
            let lowest = row.at[..corners.len()]
                .iter()
                .copied()
                .fold(f64::INFINITY, f64::min);
            // No point of the hull is farther than `reach` from its nearest corner.
            if lowest - reach <= value.upper {
                left |= 1 << row.piece;
            }
        }
        Self {
            upper: value.upper,
            likely: mixed(corners, &value),
            weights: value.weights,
            mask: left,
        }
    }

    /// Which way to cut the hull: between which of the pairs of opposite points.
    ///
    /// A bound is loose where distances curve: the middle hangs below the chord, and a cut between
    /// the ends wins about that sag back. Where the sag does not explain the looseness, something
    /// else hides in between: then across the way in which clearance changes most. Ridges between
    /// parallel parts are never cut along.
    pub(super) fn cut<const WAYS: usize>(
        &self,
        scene: &Scene,
        mid: &Point3<f64>,
        ends: [[Point3<f64>; 2]; WAYS],
    ) -> usize {
        let (nearest, clearance) = scene.nearest(mid);
        let (most, sag) = greatest(self.sags(scene, mid, &ends, nearest));
        if sag > EXPLAINS * (self.upper - clearance).max(ROUNDING) {
            return most;
        }
        let (most, change) = greatest(ends.map(|ends| {
            let [low, high] = ends.map(|end| scene.clearance(&end));
            low.max(high).max(clearance) - low.min(high).min(clearance)
        }));
        if change > ROUNDING {
            return most;
        }
        greatest(ends.map(|[low, high]| (high - low).norm())).0
    }

    /// How far each way's middle hangs below its chord: for the pieces that the bound rests on, in
    /// their shares, or for another one, whichever is more.
    fn sags<const WAYS: usize>(
        &self,
        scene: &Scene,
        mid: &Point3<f64>,
        ends: &[[Point3<f64>; 2]; WAYS],
        also: usize,
    ) -> [f64; WAYS] {
        let of_piece = |piece: usize| {
            let near = |point: &Point3<f64>| scene.pieces[piece].near(point).distance;
            let at_mid = near(mid);
            ends.map(|ends| f64::midpoint(near(&ends[0]), near(&ends[1])) - at_mid)
        };
        let mut proved = [0.0; WAYS];
        let mut beside = None;
        for &(piece, weight) in self.weights.iter().filter(|(_, weight)| *weight > 0.0) {
            let sags = of_piece(piece);
            if piece == also {
                beside = Some(sags);
            }
            for (proved, sag) in proved.iter_mut().zip(sags) {
                *proved += weight * sag;
            }
        }
        let beside = beside.unwrap_or_else(|| of_piece(also));
        std::array::from_fn(|way| proved[way].max(beside[way]))
    }

    /// The pieces that the bound rests on.
    pub(super) fn holding(&self) -> impl Iterator<Item = usize> + '_ {
        self.weights
            .iter()
            .filter(|(_, weight)| *weight > 0.0)
            .map(|&(piece, _)| piece)
    }
}

/// The distances of those pieces that still matter from the corners.
pub(super) fn rows(scene: &Scene, corners: &[Point3<f64>], mask: Mask) -> Vec<Row> {
    let pieces = scene.pieces.iter().enumerate().take(Mask::BITS as usize);
    pieces
        .filter(|(piece, _)| mask & (1 << piece) != 0)
        .map(|(piece, solid)| {
            let mut at = [0.0; CORNERS];
            for (at, corner) in at.iter_mut().zip(corners) {
                *at = solid.near(corner).distance;
            }
            Row { piece, at }
        })
        .collect()
}

/// The share of a bound's looseness that sag must make up to choose the cut.
const EXPLAINS: f64 = 0.05;

fn greatest<const WAYS: usize>(values: [f64; WAYS]) -> (usize, f64) {
    let mut most = (0, f64::NEG_INFINITY);
    for (way, value) in values.into_iter().enumerate() {
        if value > most.1 {
            most = (way, value);
        }
    }
    most
}

/// A cut near a wanted place that leaves neither part a sliver.
pub(super) fn uneven(span: [f64; 2], wanted: f64) -> f64 {
    let quarter = (span[1] - span[0]) / 4.0;
    // Not `clamp`, which panics where a bound is not a number.
    wanted.max(span[0] + quarter).min(span[1] - quarter)
}

fn middle(corners: &[Point3<f64>]) -> Point3<f64> {
    corners.iter().fold(Point3::origin(), |sum, corner| {
        sum + corner.coords / corners.len() as f64
    })
}

fn mixed(corners: &[Point3<f64>], value: &Value) -> Point3<f64> {
    corners
        .iter()
        .zip(value.corners)
        .fold(Point3::origin(), |sum, (corner, weight)| {
            sum + corner.coords * weight
        })
}
