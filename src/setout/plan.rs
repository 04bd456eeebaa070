//! Plan geometry: rings of points seen from above, mm.

use nalgebra::{Point2, Vector2};

use crate::measure::{Angle, Length};

/// Area of a ring, positive where it runs anticlockwise, mm^2.
#[must_use]
pub fn area(ring: &[Point2<f64>]) -> f64 {
    (0..ring.len())
        .map(|i| ring[i].coords.perp(&ring[(i + 1) % ring.len()].coords))
        .sum::<f64>()
        / 2.0
}

/// The middle of a ring's area.
#[must_use]
pub fn centre(ring: &[Point2<f64>]) -> Point2<f64> {
    let mut moment = Vector2::zeros();
    let mut twice = 0.0;
    for i in 0..ring.len() {
        let (a, b) = (ring[i].coords, ring[(i + 1) % ring.len()].coords);
        let cross = a.perp(&b);
        twice += cross;
        moment += (a + b) * cross;
    }
    if twice == 0.0 {
        return ring.first().copied().unwrap_or_else(Point2::origin);
    }
    Point2::from(moment / (3.0 * twice))
}

/// A rectangle (or, for a round, a regular ring with flats facing along and across, drawn around
/// the circle so that its widths are the true diameter) about a centre, turned anticlockwise; mm.
#[must_use]
pub fn section(
    centre: Point2<f64>,
    along: f64,
    across: f64,
    round: bool,
    twist: Angle,
) -> Vec<Point2<f64>> {
    let turn = nalgebra::Rotation2::new(twist.as_radians());
    let place = |x: f64, y: f64| centre + turn * Vector2::new(x, y);
    if round {
        corners(along, ROUND_SIDES)
            .map(|(x, y)| place(x, y))
            .collect()
    } else {
        let (x, y) = (along / 2.0, across / 2.0);
        vec![place(-x, -y), place(x, -y), place(x, y), place(-x, y)]
    }
}

/// A regular ring drawn around a circle (its diameter in mm), with flats facing along and across
/// where its sides are a multiple of four.
#[must_use]
pub fn ring(centre: Point2<f64>, diameter: f64, sides: u32) -> Vec<Point2<f64>> {
    corners(diameter, sides)
        .map(|(x, y)| centre + Vector2::new(x, y))
        .collect()
}

fn corners(diameter: f64, sides: u32) -> impl Iterator<Item = (f64, f64)> {
    let step = std::f64::consts::TAU / f64::from(sides);
    let reach = diameter / 2.0 / (step / 2.0).cos();
    (0..sides)
        .map(move |side| (f64::from(side) + 0.5) * step)
        .map(move |angle| (reach * angle.cos(), reach * angle.sin()))
}

/// Sides of the ring that stands for a round: 16 keep it within 2 % of the circle outside, and
/// exact where gaps are read.
const ROUND_SIDES: u32 = 16;

/// What two convex anticlockwise rings have in common (Sutherland and Hodgman, Reentrant polygon
/// clipping, 1974). Empty where they do not meet.
#[must_use]
pub fn common(subject: &[Point2<f64>], clip: &[Point2<f64>]) -> Vec<Point2<f64>> {
    let mut ring = subject.to_vec();
    for i in 0..clip.len() {
        let (a, b) = (clip[i], clip[(i + 1) % clip.len()]);
        let left_of = |p: &Point2<f64>| (b - a).perp(&(p - a));
        let mut kept = Vec::with_capacity(ring.len() + 1);
        for j in 0..ring.len() {
            let (p, q) = (ring[j], ring[(j + 1) % ring.len()]);
            let (at_p, at_q) = (left_of(&p), left_of(&q));
            if at_p >= 0.0 {
                kept.push(p);
            }
            if at_p * at_q < 0.0 {
                kept.push(p + (q - p) * (at_p / (at_p - at_q)));
            }
        }
        ring = kept;
    }
    ring
}

/// The length of each side of a ring, from each corner to the next.
#[must_use]
pub fn sides(ring: &[Point2<f64>]) -> Vec<Length> {
    (0..ring.len())
        .map(|i| Length::mm((ring[(i + 1) % ring.len()] - ring[i]).norm()))
        .collect()
}

/// The inside angle at each corner of a convex ring.
#[must_use]
pub fn angles(ring: &[Point2<f64>]) -> Vec<Angle> {
    let count = ring.len();
    (0..count)
        .map(|i| {
            let back = ring[(i + count - 1) % count] - ring[i];
            let on = ring[(i + 1) % count] - ring[i];
            Angle::radians(back.angle(&on))
        })
        .collect()
}

/// The least and greatest of one coordinate of a ring, in its unit.
#[must_use]
pub fn extent(ring: &[Point2<f64>], of: impl Fn(&Point2<f64>) -> f64) -> (f64, f64) {
    ring.iter()
        .map(of)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        })
}

/// From a point to the nearest of a side between two others.
#[must_use]
pub fn off_side([from, to]: [Point2<f64>; 2], at: &Point2<f64>) -> f64 {
    let along = to - from;
    let share = (at - from).dot(&along) / along.norm_squared().max(f64::MIN_POSITIVE);
    (from + along * share.clamp(0.0, 1.0) - at).norm()
}

/// From a point to the nearest of a ring's sides, mm.
#[must_use]
pub fn off_ring(ring: &[Point2<f64>], at: &Point2<f64>) -> f64 {
    (0..ring.len())
        .map(|i| off_side([ring[i], ring[(i + 1) % ring.len()]], at))
        .fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_round_is_as_wide_as_its_diameter() {
        let ring = section(Point2::new(5.0, 7.0), 30.0, 30.0, true, Angle::ZERO);
        let (low, high) = extent(&ring, |p| p.x);
        assert_relative_eq!(high - low, 30.0, epsilon = 1e-9);
        let (low, high) = extent(&ring, |p| p.y);
        assert_relative_eq!(high - low, 30.0, epsilon = 1e-9);
        assert!(area(&ring) > 0.0);
    }

    #[test]
    fn the_common_part_of_two_squares_is_their_overlap() {
        let square = |x: f64| section(Point2::new(x, 0.0), 4.0, 4.0, false, Angle::ZERO);
        let overlap = common(&square(0.0), &square(1.0));
        assert_relative_eq!(area(&overlap), 12.0, epsilon = 1e-12);
        assert!(area(&common(&square(0.0), &square(9.0))).abs() < 1e-12);
        let right = std::f64::consts::FRAC_PI_2;
        for angle in angles(&overlap) {
            assert_relative_eq!(angle.as_radians(), right, epsilon = 1e-12);
        }
    }
}
