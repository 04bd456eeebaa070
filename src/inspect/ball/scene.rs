//! [`Scene`]: the pieces round one cell, in the cell's frame: clearance at a point and along a
//! straight path.

use nalgebra::{Point3, Vector3};

use super::Cell;
use super::piece::Piece;
use crate::measure::tolerance::BALL_ROUNDING_MM;
use crate::solids::Convex;

/// Where a path is tightest, and how tight.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tight {
    /// A lower bound on the clearance all along, mm, a hair under the clearance at `at`.
    pub(super) clearance: f64,
    pub(super) at: Point3<f64>,
}

impl Tight {
    pub(super) fn tighter(self, other: Self) -> Self {
        if other.clearance < self.clearance {
            other
        } else {
            self
        }
    }
}

/// The pieces near a cell, nearest to its middle first, and the cell's half sides, mm.
#[derive(Clone, Debug)]
pub(super) struct Scene {
    pub(super) pieces: Vec<Piece>,
    pub(super) half: Vector3<f64>,
}

/// Steps of the search along a segment. Each at least halves what is left in practice; the bound
/// holds wherever it stops.
const STEPS: usize = 60;

impl Scene {
    pub(super) fn new(solids: &[&Convex], cell: &Cell) -> Self {
        let to_cell = cell.frame.inverse();
        let mut pieces: Vec<_> = solids
            .iter()
            .map(|solid| Piece::new(solid, &to_cell))
            .map(|piece| (piece.near(&Point3::origin()).distance, piece))
            .collect();
        pieces.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self {
            pieces: pieces.into_iter().map(|(_, piece)| piece).collect(),
            // Not `max`, which would turn a side that is no number into none.
            half: cell.half.map(|half| if half < 0.0 { 0.0 } else { half }),
        }
    }

    /// Whether every coordinate is a number to reckon with.
    pub(super) fn is_finite(&self) -> bool {
        let mut corners = self.pieces.iter().flat_map(Piece::corners);
        let finite = |corner: &Point3<f64>| corner.iter().all(|x| x.is_finite());
        self.half.iter().all(|half| half.is_finite()) && corners.all(finite)
    }

    /// Signed clearance at a point, mm: negative inside a piece.
    pub(super) fn clearance(&self, point: &Point3<f64>) -> f64 {
        self.nearest(point).1
    }

    /// The nearest piece and its signed distance, mm.
    pub(super) fn nearest(&self, point: &Point3<f64>) -> (usize, f64) {
        let mut best = (0, f64::INFINITY);
        for (index, piece) in self.pieces.iter().enumerate() {
            if best.1 > 0.0 && piece.box_square(point) >= best.1 * best.1 {
                continue;
            }
            let distance = piece.near(point).distance;
            if distance < best.1 {
                best = (index, distance);
            }
        }
        best
    }

    /// The least clearance along a segment. Where it falls under `floor` the search stops and
    /// what is returned is under `floor` too.
    pub(super) fn along(&self, start: Point3<f64>, end: Point3<f64>, floor: f64) -> Tight {
        let mut tight = Tight {
            clearance: f64::INFINITY,
            at: start,
        };
        for piece in &self.pieces {
            if tight.clearance < floor {
                break;
            }
            if piece.parted(&start, &end) < tight.clearance {
                tight = tight.tighter(least_along(piece, start, end, tight.clearance));
            }
        }
        tight
    }

    /// A point moved into the cell.
    pub(super) fn within(&self, point: Point3<f64>) -> Point3<f64> {
        Point3::from(point.coords.sup(&-self.half).inf(&self.half))
    }
}

/// A lower bound on one piece's distance from a segment, `enough` or more where that is certain.
///
/// The distance along the segment is convex, so it stays above its tangents: where the tangents
/// from both sides cross is a certain lower bound and the next place to look.
fn least_along(piece: &Piece, start: Point3<f64>, end: Point3<f64>, enough: f64) -> Tight {
    let along = end - start;
    let look = |reach: f64| {
        let at = start + along * reach;
        let near = piece.near(&at);
        (near.distance, near.away.dot(&along), at)
    };
    let mut left = (0.0, look(0.0));
    if left.1.1 >= 0.0 {
        return Tight {
            clearance: left.1.0,
            at: start,
        };
    }
    let mut right = (1.0, look(1.0));
    if right.1.1 <= 0.0 {
        return Tight {
            clearance: right.1.0,
            at: end,
        };
    }
    let mut tight = Tight {
        clearance: f64::NEG_INFINITY,
        at: start,
    };
    for _ in 0..STEPS {
        let ((a, (at_a, slope_a, _)), (b, (at_b, slope_b, _))) = (left, right);
        let reach = ((at_b - at_a + slope_a * a - slope_b * b) / (slope_a - slope_b))
            .max(a)
            .min(b);
        let here = look(reach);
        tight = Tight {
            clearance: at_a + slope_a * (reach - a),
            at: here.2,
        };
        if tight.clearance >= enough || here.0 - tight.clearance <= BALL_ROUNDING_MM {
            break;
        }
        if here.1 < 0.0 {
            left = (reach, here);
        } else {
            right = (reach, here);
        }
    }
    tight
}
