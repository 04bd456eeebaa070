//! The one border between the core's space and Bevy's.
//!
//! Core: millimetres, f64, right-handed, z up, the flight's frame. Bevy: metres, f32, right-handed,
//! y up. A flight is a few metres long and its origin lies at its own foot, so an f32 metre holds a
//! point to better than a thousandth of a millimetre.
//!
//! Core (x, y, z) becomes Bevy (x, z, -y): a quarter turn about x, which keeps hands.

use bevy::math::Vec3;
use nalgebra::{Point3, Vector3};

/// Millimetres in one Bevy unit.
pub(super) const MM_PER_UNIT: f64 = 1000.0;

/// A point of the flight's frame, mm, in Bevy's space.
pub(super) fn point(at: &Point3<f64>) -> Vec3 {
    direction(&(at.coords / MM_PER_UNIT))
}

/// A direction of the flight's frame in Bevy's space; its length is kept.
pub(super) fn direction(along: &Vector3<f64>) -> Vec3 {
    Vec3::new(along.x as f32, along.z as f32, -along.y as f32)
}

/// A point of Bevy's space in the flight's frame, mm: where one points at. What is there is told by its
/// name and measured by the core; no length is read out of the scene.
pub(super) fn back(at: Vec3) -> Point3<f64> {
    Point3::from(way_back(at) * MM_PER_UNIT)
}

/// A direction of Bevy's space in the flight's frame; its length is kept.
pub(super) fn way_back(along: Vec3) -> Vector3<f64> {
    Vector3::new(f64::from(along.x), -f64::from(along.z), f64::from(along.y))
}

/// A number without a unit, such as a share or an angle, in single precision for drawing.
pub(super) fn single(number: impl Into<f64>) -> f32 {
    number.into() as f32
}

/// A count of marks, rows or cells for drawing: none is so large that single precision errs.
pub(super) fn count(number: usize) -> f32 {
    number as f32
}

/// A length in mm in Bevy's units.
pub(super) fn length(mm: f64) -> f32 {
    (mm / MM_PER_UNIT) as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn up_is_up_and_the_hands_are_kept() {
        let (x, y, z) = (
            direction(&Vector3::x()),
            direction(&Vector3::y()),
            direction(&Vector3::z()),
        );
        assert_eq!(z, Vec3::Y);
        assert_eq!(x.cross(y), z);
    }

    proptest! {
        #[test]
        fn there_and_back_is_the_same_place(
            x in -10_000.0..10_000.0_f64,
            y in -10_000.0..10_000.0_f64,
            z in -10_000.0..10_000.0_f64,
        ) {
            let at = Point3::new(x, y, z);
            // Half a step of f32 at 10 m is 0.0005 mm.
            prop_assert!((back(point(&at)) - at).norm() < 1e-3);
        }
    }
}
