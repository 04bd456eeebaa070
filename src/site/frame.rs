//! [`Frame`]: where a run stands, as a turn about the plumb line and a shift. mm.

use nalgebra::{Isometry3, Point2, Point3, Rotation3, Translation3, UnitQuaternion, Vector3};

use crate::measure::Angle;

/// The frame of a run in the frame of the first: x level up the run, y level to the left, z up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Its origin.
    pub origin: Point3<f64>,
    /// How far it is turned, anticlockwise seen from above.
    pub turn: Angle,
}

impl Default for Frame {
    fn default() -> Self {
        Self {
            origin: Point3::origin(),
            turn: Angle::ZERO,
        }
    }
}

impl Frame {
    fn rotation(&self) -> Rotation3<f64> {
        Rotation3::from_axis_angle(&Vector3::z_axis(), self.turn.as_radians())
    }

    /// As a rigid motion from this frame into the first.
    #[must_use]
    pub fn motion(&self) -> Isometry3<f64> {
        let turn = UnitQuaternion::from_rotation_matrix(&self.rotation());
        Isometry3::from_parts(Translation3::from(self.origin), turn)
    }

    /// A point of this frame in the first.
    #[must_use]
    pub fn to_first(&self, point: &Point3<f64>) -> Point3<f64> {
        self.origin + self.rotation() * point.coords
    }

    /// A direction of this frame in the first.
    #[must_use]
    pub fn way_to_first(&self, way: &Vector3<f64>) -> Vector3<f64> {
        self.rotation() * way
    }

    /// A point of the first frame in this one.
    #[must_use]
    pub fn from_first(&self, point: &Point3<f64>) -> Point3<f64> {
        Point3::from(self.rotation().inverse() * (point - self.origin))
    }

    /// A direction of the first frame in this one.
    #[must_use]
    pub fn way_from_first(&self, way: &Vector3<f64>) -> Vector3<f64> {
        self.rotation().inverse() * way
    }

    /// A plan point of this frame in the first.
    #[must_use]
    pub fn plan_to_first(&self, point: &Point2<f64>) -> Point2<f64> {
        self.to_first(&Point3::new(point.x, point.y, 0.0)).xy()
    }

    /// A plan point of the first frame in this one.
    #[must_use]
    pub fn plan_from_first(&self, point: &Point2<f64>) -> Point2<f64> {
        self.from_first(&Point3::new(point.x, point.y, 0.0)).xy()
    }

    /// A frame that stands in this one, in the first.
    #[must_use]
    pub fn then(&self, inner: &Self) -> Self {
        Self {
            origin: self.to_first(&inner.origin),
            turn: self.turn + inner.turn,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    // A quarter turn to the left takes x to y and y to -x: elementary geometry.
    #[test]
    fn a_quarter_turn_and_back() {
        let frame = Frame {
            origin: Point3::new(100.0, 20.0, 3000.0),
            turn: Angle::degrees(90.0),
        };
        let point = Point3::new(7.0, 2.0, 5.0);
        assert_relative_eq!(
            frame.to_first(&point),
            Point3::new(98.0, 27.0, 3005.0),
            epsilon = 1e-9
        );
        assert_relative_eq!(
            frame.from_first(&frame.to_first(&point)),
            point,
            epsilon = 1e-9
        );
        let twice = frame.then(&frame);
        assert_relative_eq!(
            twice.to_first(&point),
            frame.to_first(&frame.to_first(&point)),
            epsilon = 1e-9
        );
        assert_relative_eq!(
            frame.motion() * point,
            frame.to_first(&point),
            epsilon = 1e-9
        );
    }
}
