//! [`Eye`]: which way one looks. Model millimetres, x to the right, y up, z towards the eye.

use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, Translation3, UnitQuaternion, Vector3};

/// A direction to look in, square to the picture.
#[derive(Clone, Copy, Debug)]
pub(in crate::publish) struct Eye {
    motion: Isometry3<f64>,
}

impl Eye {
    /// Two unit vectors square to one another: what lies to the right in the picture, and what up.
    pub(in crate::publish) fn new(right: Vector3<f64>, up: Vector3<f64>) -> Self {
        let near = right.cross(&up);
        let rows = Matrix3::from_rows(&[right.transpose(), up.transpose(), near.transpose()]);
        let turn = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(rows));
        Self {
            motion: Isometry3::from_parts(Translation3::identity(), turn),
        }
    }

    /// From the model to the picture.
    pub(in crate::publish) fn motion(&self) -> &Isometry3<f64> {
        &self.motion
    }

    pub(in crate::publish) fn point(&self, point: &Point3<f64>) -> Point3<f64> {
        self.motion * point
    }

    pub(in crate::publish) fn way(&self, way: &Vector3<f64>) -> Vector3<f64> {
        self.motion * way
    }
}
