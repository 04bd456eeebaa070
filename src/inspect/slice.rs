//! A convex piece cut across the flight at a place.

use nalgebra::{Point2, Point3};

use crate::measure::tolerance::SAME_POINT_MM;
use crate::solids::Convex;

/// Where a piece lies at a place up the flight, between two heights: least and greatest y, mm.
/// `None` where it is not there.
pub(super) fn slice(piece: &Convex, x: f64, heights: [f64; 2]) -> Option<[f64; 2]> {
    let corners = piece.corners();
    // Most pieces of a railing stand elsewhere: no edge of theirs crosses the place.
    let past = |corner: &Point3<f64>| corner.x - x > SAME_POINT_MM;
    let short = |corner: &Point3<f64>| x - corner.x > SAME_POINT_MM;
    if corners.iter().all(past) || corners.iter().all(short) {
        return None;
    }
    let mut reach: Option<[f64; 2]> = None;
    for face in piece.faces() {
        let ring = (0..face.len()).map(|i| {
            let next = face[(i + 1) % face.len()];
            (corners[face[i]], corners[next])
        });
        // A face is met along a segment: between the first and any other of its crossings.
        let met = ring.flat_map(|(a, b)| crossings(&a, &b, x));
        let met: Vec<Point2<f64>> = met.flatten().collect();
        for (at, one) in met.iter().enumerate() {
            for other in &met[at..] {
                for y in within(one, other, heights).into_iter().flatten() {
                    reach = Some(reach.map_or([y, y], |[low, high]| [low.min(y), high.max(y)]));
                }
            }
        }
    }
    reach
}

/// Where an edge crosses the place, as y and z: both its ends where it lies in it.
fn crossings(a: &Point3<f64>, b: &Point3<f64>, x: f64) -> [Option<Point2<f64>>; 2] {
    let (before, after) = (a.x - x, b.x - x);
    if before * after > 0.0 {
        return [None; 2];
    }
    let long = b.x - a.x;
    if long.abs() < SAME_POINT_MM {
        return [a, b].map(|end| Some(Point2::new(end.y, end.z)));
    }
    let at = a + (b - a) * (-before / long);
    [Some(Point2::new(at.y, at.z)), None]
}

/// The ends in y of the part of a segment that lies between two heights.
fn within(a: &Point2<f64>, b: &Point2<f64>, [low, high]: [f64; 2]) -> Option<[f64; 2]> {
    let (a, b) = if a.y <= b.y { (a, b) } else { (b, a) };
    if b.y < low || a.y > high {
        return None;
    }
    let climb = b.y - a.y;
    let at = |z: f64| {
        if climb < SAME_POINT_MM {
            a.x
        } else {
            a.x + (b.x - a.x) * ((z - a.y) / climb).clamp(0.0, 1.0)
        }
    };
    if climb < SAME_POINT_MM {
        return Some([a.x, b.x]);
    }
    Some([at(low.max(a.y)), at(high.min(b.y))])
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    // A wedge from y = 0 to y = 10 - z, seen at any x: elementary geometry.
    #[test]
    fn a_slanted_face_is_met_where_the_heights_end() {
        let ring: Vec<Point3<f64>> = [(0.0, 0.0), (10.0, 0.0), (0.0, 10.0)]
            .iter()
            .map(|&(y, z)| Point3::new(0.0, y, z))
            .collect();
        let wedge = Convex::prism(&ring, nalgebra::Vector3::x() * 100.0).unwrap();
        let at = |x: f64, heights: [f64; 2]| slice(&wedge, x, heights);
        let [low, high] = at(40.0, [2.0, 30.0]).unwrap();
        assert_relative_eq!(low, 0.0, epsilon = 1e-9);
        assert_relative_eq!(high, 8.0, epsilon = 1e-9);
        let [_, high] = at(0.0, [-5.0, 30.0]).unwrap();
        assert_relative_eq!(high, 10.0, epsilon = 1e-9);
        assert!(at(101.0, [0.0, 10.0]).is_none());
        assert!(at(-1.0, [0.0, 10.0]).is_none());
        // A face that lies in the place is met all over.
        let [low, high] = at(100.0, [0.0, 30.0]).unwrap();
        assert_relative_eq!(low, 0.0, epsilon = 1e-9);
        assert_relative_eq!(high, 10.0, epsilon = 1e-9);
        assert!(at(50.0, [11.0, 20.0]).is_none());
    }
}
