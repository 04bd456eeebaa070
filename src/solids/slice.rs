//! Sections: where a plane cuts convex solids.
//!
//! Coordinates are millimetres in whichever frame the solid and the plane share. The ring of a convex
//! solid is convex, so it is found exactly from the crossings of the edges.

use nalgebra::Point3;

use crate::measure::tolerance::SAME_POINT_MM;

use super::convex::{any_square_to, centroid};
use super::{Convex, Part, Plane};

/// The ring in which a plane cuts a solid, anticlockwise seen from the plane's outward side. `None`
/// where the plane passes by the solid or only touches it.
#[must_use]
pub fn slice(solid: &Convex, plane: &Plane) -> Option<Vec<Point3<f64>>> {
    let corners = solid.corners();
    let height = |at: usize| {
        let height = plane.distance(&corners[at]);
        // Corners on the plane are taken as exactly on it, so that no sliver is made.
        if height.abs() < SAME_POINT_MM {
            0.0
        } else {
            height
        }
    };
    let heights: Vec<f64> = (0..corners.len()).map(height).collect();
    let above = heights.iter().any(|height| *height > 0.0);
    let below = heights.iter().any(|height| *height < 0.0);
    if !(above && below) {
        return None;
    }
    let used = |at: usize| solid.faces().iter().any(|face| face.contains(&at));
    let on = (0..corners.len()).filter(|&at| heights[at] == 0.0 && used(at));
    let mut ring: Vec<Point3<f64>> = on.map(|at| corners[at]).collect();
    for (a, b) in solid.edges() {
        let (from, to) = (heights[a], heights[b]);
        if from * to < 0.0 {
            ring.push(corners[a] + (corners[b] - corners[a]) * (from / (from - to)));
        }
    }
    if ring.len() < 3 {
        return None;
    }
    let middle = centroid(&ring);
    let normal = plane.normal.into_inner();
    let across = any_square_to(&normal);
    let up = normal.cross(&across);
    let turn = |at: &Point3<f64>| {
        let out = at - middle;
        out.dot(&up).atan2(out.dot(&across))
    };
    ring.sort_by(|a, b| turn(a).total_cmp(&turn(b)));
    Some(ring)
}

/// The rings in which a plane cuts a part, one for each piece that it cuts.
#[must_use]
pub fn slices(part: &Part, plane: &Plane) -> Vec<Vec<Point3<f64>>> {
    let pieces = part.pieces.iter();
    pieces.filter_map(|piece| slice(piece, plane)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use nalgebra::Vector3;
    use proptest::prelude::*;

    /// Area of a flat ring, mm^2, positive where it runs anticlockwise seen from where the normal
    /// points (the shoelace formula in space).
    fn area(ring: &[Point3<f64>], normal: &Vector3<f64>) -> f64 {
        let twice: Vector3<f64> = (0..ring.len())
            .map(|i| ring[i].coords.cross(&ring[(i + 1) % ring.len()].coords))
            .sum();
        twice.dot(normal) / 2.0
    }

    fn cut(solid: &Convex, at: Point3<f64>, normal: Vector3<f64>) -> f64 {
        let plane = Plane::through(at, normal).unwrap();
        slice(solid, &plane).map_or(0.0, |ring| area(&ring, &plane.normal))
    }

    fn board() -> Convex {
        Convex::cuboid(Point3::origin(), Point3::new(270.0, 900.0, 25.0)).unwrap()
    }

    #[test]
    fn a_board_cut_at_an_angle_is_longer_by_the_secant() {
        // Elementary geometry: tilted by t about the board's width, the cut is width * thick / cos t
        // while it leaves by both faces.
        let middle = Point3::new(135.0, 450.0, 12.5);
        for degrees in [0.0_f64, 20.0, 45.0, 60.0] {
            let tilt = degrees.to_radians();
            let normal = Vector3::new(tilt.cos(), 0.0, tilt.sin());
            let expected = 900.0 * 25.0 / tilt.cos();
            assert_relative_eq!(
                cut(&board(), middle, normal),
                expected,
                max_relative = 1e-12
            );
        }
    }

    #[test]
    fn a_cube_cut_square_to_its_diagonal_is_a_regular_hexagon() {
        // Area of the hexagon with side a / sqrt 2: (3 sqrt 3 / 4) a^2.
        let cube = Convex::cuboid(Point3::origin(), Point3::new(40.0, 40.0, 40.0)).unwrap();
        let plane = Plane::through(Point3::new(20.0, 20.0, 20.0), Vector3::repeat(1.0)).unwrap();
        let ring = slice(&cube, &plane).unwrap();
        assert_eq!(ring.len(), 6);
        let expected = 3.0 * 3.0_f64.sqrt() / 4.0 * 1600.0;
        assert_relative_eq!(area(&ring, &plane.normal), expected, max_relative = 1e-12);
    }

    #[test]
    fn a_plane_that_passes_by_or_touches_cuts_nothing() {
        let up = Vector3::z();
        assert!(cut(&board(), Point3::new(0.0, 0.0, 30.0), up).abs() < f64::EPSILON);
        assert!(cut(&board(), Point3::new(0.0, 0.0, 25.0), up).abs() < f64::EPSILON);
        // Along one edge only.
        let slant = Vector3::new(1.0, 0.0, 1.0);
        assert!(cut(&board(), Point3::origin(), slant).abs() < f64::EPSILON);
        // Through two opposite edges: the diagonal by the width.
        let diagonal = cut(&board(), Point3::origin(), Vector3::new(25.0, 0.0, -270.0));
        assert_relative_eq!(
            diagonal,
            900.0 * 270.0_f64.hypot(25.0),
            max_relative = 1e-12
        );
    }

    proptest! {
        #[test]
        fn slices_add_up_to_the_volume(
            tilt in prop::collection::vec(-1.0..1.0_f64, 9),
            corner in (20.0..250.0_f64, 20.0..880.0_f64, 5.0..20.0_f64),
        ) {
            // Cavalieri's principle. Between two neighbouring corners the area is a quadratic in the
            // height, which Simpson's rule sums exactly.
            let normal = |i: usize| Vector3::new(tilt[i], tilt[i + 1], tilt[i + 2]);
            prop_assume!((0..3).all(|i| normal(3 * i).norm() > 0.1));
            let at = Point3::new(corner.0, corner.1, corner.2);
            let mitred = Plane::through(at, normal(0)).and_then(|plane| board().clip(&plane));
            let bevelled = Plane::through(at, normal(3)).zip(mitred);
            let Some(solid) = bevelled.and_then(|(plane, solid)| solid.clip(&plane)) else {
                return Ok(());
            };
            let along = normal(6).normalize();
            let mut heights: Vec<f64> =
                solid.corners().iter().map(|corner| along.dot(&corner.coords)).collect();
            heights.sort_by(f64::total_cmp);
            let area_at = |height: f64| cut(&solid, Point3::from(along * height), along);
            // A hair inside either end, where the plane does cut.
            let sum: f64 = heights.windows(2).filter(|pair| pair[1] - pair[0] > 1e-3).map(|pair| {
                let hair = 1e-5;
                let (low, high) = (pair[0] + hair, pair[1] - hair);
                let middle = f64::midpoint(low, high);
                (high - low) / 6.0 * (area_at(low) + 4.0 * area_at(middle) + area_at(high))
            }).sum();
            let volume = solid.volume();
            prop_assert!((sum - volume).abs() <= 1e-4 * volume + 60.0, "{sum} {volume}");
        }
    }
}
