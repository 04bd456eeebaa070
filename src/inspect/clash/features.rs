//! The nearest points of two convex pieces by trying every edge pair and every corner on every
//! face: slow, plain and exact, for when a quicker search cannot prove its answer.
//!
//! In: two pieces that do not overlap, mm in the flight's frame. Out: the nearest points.

use nalgebra::Point3;

use crate::measure::tolerance::SAME_POINT_MM;
use crate::solids::Convex;

/// The nearest points, on the first piece and on the second. `None` for pieces without edges.
pub(super) fn closest(a: &Convex, b: &Convex) -> Option<(Point3<f64>, Point3<f64>)> {
    let mut pairs = edge_pairs(a, b);
    pairs.extend(corners_on_faces(a, b));
    pairs.extend(
        corners_on_faces(b, a)
            .into_iter()
            .map(|(on_b, on_a)| (on_a, on_b)),
    );
    pairs.into_iter().min_by(|p, q| span(p).total_cmp(&span(q)))
}

fn span((p, q): &(Point3<f64>, Point3<f64>)) -> f64 {
    (q - p).norm_squared()
}

fn edge_pairs(a: &Convex, b: &Convex) -> Vec<(Point3<f64>, Point3<f64>)> {
    let edges_b = b.edges();
    let mut pairs = Vec::with_capacity(edges_b.len() * 12);
    for (from_a, to_a) in a.edges() {
        for &(from_b, to_b) in &edges_b {
            let first = [a.corners()[from_a], a.corners()[to_a]];
            let second = [b.corners()[from_b], b.corners()[to_b]];
            pairs.push(closest_on_edges(first, second));
        }
    }
    pairs
}

/// The nearest points of two segments.
pub(in crate::inspect) fn closest_on_edges(
    p: [Point3<f64>; 2],
    q: [Point3<f64>; 2],
) -> (Point3<f64>, Point3<f64>) {
    let (along_p, along_q, between) = (p[1] - p[0], q[1] - q[0], p[0] - q[0]);
    let (pp, qq, pq) = (
        along_p.norm_squared(),
        along_q.norm_squared(),
        along_p.dot(&along_q),
    );
    let (p_between, q_between) = (along_p.dot(&between), along_q.dot(&between));
    // Zero where the segments are parallel: then any start will do, and the clamps below find the
    // nearest ends.
    let square = pp * qq - pq * pq;
    let start = if square > f64::EPSILON * pp * qq {
        ((pq * q_between - p_between * qq) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let share = |numerator: f64, denominator: f64| {
        if denominator > f64::MIN_POSITIVE {
            (numerator / denominator).clamp(0.0, 1.0)
        } else {
            0.0
        }
    };
    let t = share(pq * start + q_between, qq);
    let s = share(pq * t - p_between, pp);
    (p[0] + along_p * s, q[0] + along_q * t)
}

/// Each corner of `a` with its foot on each face of `b` that lies under it.
fn corners_on_faces(a: &Convex, b: &Convex) -> Vec<(Point3<f64>, Point3<f64>)> {
    let mut pairs = Vec::new();
    for (face, plane) in b.planes().iter().enumerate() {
        let ring: Vec<_> = b.ring(face).collect();
        for corner in a.corners() {
            let height = plane.distance(corner);
            let foot = corner - plane.normal.into_inner() * height;
            let inside = (0..ring.len()).all(|i| {
                let (from, to) = (ring[i], ring[(i + 1) % ring.len()]);
                (to - from).cross(&(foot - from)).dot(&plane.normal)
                    >= -SAME_POINT_MM * SAME_POINT_MM
            });
            // Where two faces touch, rounding may put a corner a hair behind the other.
            if height >= -SAME_POINT_MM && inside {
                pairs.push((*corner, foot));
            }
        }
    }
    pairs
}
