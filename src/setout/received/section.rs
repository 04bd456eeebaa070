//! Sections as read, in plan about their middle, mm: x uphill, y to the left.

use nalgebra::{Point2, Rotation2, Vector2};

use crate::job::FourSides;

/// How far about the first diagonal the best one is looked for, mm: past what the job's check lets
/// by.
const SEARCH: f64 = 8.0;
/// Steps of the golden section: each leaves 0.618 of it, so this many reach 1e-11 mm.
const STEPS: usize = 60;

/// The corners of a section with these sides and, as nearly as can be, these diagonals, about the
/// mean of its corners: downhill right, uphill right, uphill left, downhill left. Its side faces run
/// up the flight as nearly as they can. `None` where the sides do not close.
///
/// Four sides leave one freedom, and two diagonals were read: their squared misfits are least.
#[must_use]
pub fn four_sided(section: &FourSides) -> Option<[Point2<f64>; 4]> {
    let sides = [
        section.right.mm(),
        section.uphill.mm(),
        section.left.mm(),
        section.downhill.mm(),
    ];
    let (first, second) = (
        section.from_downhill_right.mm(),
        section.from_uphill_right.mm(),
    );
    let misfit = |diagonal: f64| {
        let corners = corners(sides, diagonal)?;
        let other = (corners[3] - corners[1]).norm();
        Some((diagonal - first).powi(2) + (other - second).powi(2))
    };
    let diagonal = golden(first - SEARCH, first + SEARCH, |diagonal| {
        misfit(diagonal).unwrap_or(f64::INFINITY)
    });
    let corners = corners(sides, diagonal)?;
    let middle = corners
        .iter()
        .fold(Vector2::zeros(), |sum, corner| sum + corner.coords)
        / 4.0;
    // Both side faces' directions together.
    let up = (corners[1] - corners[0]) + (corners[2] - corners[3]);
    let turn = Rotation2::new(-up.y.atan2(up.x));
    Some(corners.map(|corner| Point2::from(turn * (corner.coords - middle))))
}

/// Corners from the sides (right, uphill, left, downhill) and the diagonal from the first corner to
/// the third: two triangles on that diagonal.
fn corners([right, uphill, left, downhill]: [f64; 4], diagonal: f64) -> Option<[Point2<f64>; 4]> {
    let apex = |from_first: f64, from_third: f64| {
        let along = (from_first.powi(2) - from_third.powi(2) + diagonal.powi(2)) / (2.0 * diagonal);
        let off = from_first.powi(2) - along.powi(2);
        (diagonal > 0.0 && off >= 0.0).then(|| (along, off.sqrt()))
    };
    let (along_right, off_right) = apex(right, uphill)?;
    let (along_left, off_left) = apex(downhill, left)?;
    Some([
        Point2::origin(),
        Point2::new(along_right, -off_right),
        Point2::new(diagonal, 0.0),
        Point2::new(along_left, off_left),
    ])
}

/// The least of a function with one dip.
fn golden(mut low: f64, mut high: f64, of: impl Fn(f64) -> f64) -> f64 {
    let share = (5f64.sqrt() - 1.0) / 2.0;
    for _ in 0..STEPS {
        let (a, b) = (high - share * (high - low), low + share * (high - low));
        // Both out of reach: the near end is the shorter diagonal.
        if of(a) <= of(b) {
            high = b;
        } else {
            low = a;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Len;
    use approx::assert_relative_eq;

    fn read(sides: [f64; 4], diagonals: [f64; 2]) -> FourSides {
        let mm = Len::millimetres;
        FourSides {
            right: mm(sides[0]),
            uphill: mm(sides[1]),
            left: mm(sides[2]),
            downhill: mm(sides[3]),
            from_downhill_right: mm(diagonals[0]),
            from_uphill_right: mm(diagonals[1]),
        }
    }

    #[test]
    fn a_square_is_a_square() {
        let long = 90.0 * 2f64.sqrt();
        let corners = four_sided(&read([90.0; 4], [long; 2])).expect("it closes");
        for (corner, wanted) in corners.iter().zip([(-1, -1), (1, -1), (1, 1), (-1, 1)]) {
            assert_relative_eq!(corner.x, 45.0 * f64::from(wanted.0), epsilon = 1e-6);
            assert_relative_eq!(corner.y, 45.0 * f64::from(wanted.1), epsilon = 1e-6);
        }
    }

    #[test]
    fn a_rhombus_has_both_its_diagonals() {
        // Sides of 50 on diagonals of 60 and 80: four triangles of 3-4-5.
        let corners = four_sided(&read([50.0; 4], [80.0, 60.0])).expect("it closes");
        assert_relative_eq!((corners[2] - corners[0]).norm(), 80.0, epsilon = 1e-6);
        assert_relative_eq!((corners[3] - corners[1]).norm(), 60.0, epsilon = 1e-6);
        // Its side faces run up the flight.
        assert_relative_eq!(corners[0].y, corners[1].y, epsilon = 1e-6);
        // Height of a rhombus: area over side, 2400 / 50.
        assert_relative_eq!(corners[3].y - corners[0].y, 48.0, epsilon = 1e-6);
    }

    #[test]
    fn what_does_not_close_is_no_section() {
        assert_eq!(
            four_sided(&read([10.0, 10.0, 90.0, 10.0], [100.0, 5.0])),
            None
        );
    }
}
