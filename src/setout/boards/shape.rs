//! The outline of a tread in its own plane: four edges from widths, end angles and depths.
//!
//! The nosing lies on the u axis from the left end to the right, v runs back from it, mm. Left and
//! right are those of one going up.

use nalgebra::{Point2, Point3};

use crate::measure::{Angle, Length};

/// The outline: the nosing's width, how fast each end runs inward, and how deep it is at each end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shape {
    pub(super) front: f64,
    /// Inward per depth at the left and the right end: the cotangent of the inside angle.
    pub(super) inward: [f64; 2],
    pub(super) depth: [f64; 2],
}

/// What a template read of an outline.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Read {
    pub(super) front: Option<f64>,
    pub(super) back: Option<f64>,
    /// Inside angles at the nosing.
    pub(super) angles: [Option<Angle>; 2],
}

impl Shape {
    /// From the corners of the tread's top: front left, front right, back left, back right.
    pub(super) fn of(corners: [Point3<f64>; 4]) -> Self {
        let [front_left, front_right, back_left, back_right] = corners;
        let along = front_right - front_left;
        let front = along.norm();
        let u = along / front;
        let end = |from: Point3<f64>, to: Point3<f64>, inward: f64| {
            let end = to - from;
            let run = end.dot(&u);
            let depth = (end - u * run).norm();
            (inward * run / depth, depth)
        };
        let (left, left_depth) = end(front_left, back_left, 1.0);
        let (right, right_depth) = end(front_right, back_right, -1.0);
        Self {
            front,
            inward: [left, right],
            depth: [left_depth, right_depth],
        }
    }

    /// Corners: front left, front right, back right, back left; anticlockwise from above.
    pub(super) fn ring(&self) -> [Point2<f64>; 4] {
        let [left, right] = self.depth;
        [
            Point2::origin(),
            Point2::new(self.front, 0.0),
            Point2::new(self.front - right * self.inward[1], right),
            Point2::new(left * self.inward[0], left),
        ]
    }

    pub(super) fn back(&self) -> f64 {
        let [_, _, right, left] = self.ring();
        (right - left).norm()
    }

    /// Level width at a depth behind the nosing.
    pub(super) fn width_at(&self, depth: f64) -> f64 {
        self.front - depth * (self.inward[0] + self.inward[1])
    }

    /// Inside angles at the nosing, left and right.
    pub(super) fn angles(&self) -> [Angle; 2] {
        self.inward
            .map(|inward| Angle::radians(1.0_f64.atan2(inward)))
    }

    /// Inside angles at the back, left and right.
    pub(super) fn back_angles(&self) -> [Angle; 2] {
        let angles = crate::setout::plan::angles(&self.ring());
        [angles[3], angles[2]]
    }

    /// Length of each end, left and right.
    pub(super) fn ends(&self) -> [f64; 2] {
        [0, 1].map(|at| self.depth[at] * self.inward[at].hypot(1.0))
    }

    /// The box along the nosing that holds it: length and depth.
    pub(super) fn bounds(&self) -> (f64, f64) {
        let (low, high) = crate::setout::plan::extent(&self.ring(), |point| point.x);
        (high - low, self.depth[0].max(self.depth[1]))
    }

    /// The outline as read, where it was, and by how much the readings disagree: the width at the
    /// back as read, less what the angles read make of it.
    ///
    /// Widths and angles are one more than an outline needs: where all are read, the widths hold
    /// and the ends share the rest; where no angle is read, both ends turn by as much.
    pub(super) fn read(&self, read: &Read) -> (Self, Option<Length>) {
        let [left, right] = self.depth;
        let given = read.angles.map(|angle| {
            angle.map(|angle| {
                let (sin, cos) = angle.as_radians().sin_cos();
                cos / sin
            })
        });
        let front = match (read.front, read.back) {
            (Some(front), _) => front,
            (None, Some(back)) => self.front + back - self.back(),
            (None, None) => self.front,
        };
        let mut shape = Self {
            front,
            inward: [0, 1].map(|at| given[at].unwrap_or(self.inward[at])),
            depth: self.depth,
        };
        let Some(back) = read.back else {
            return (shape, None);
        };
        // How much shorter than the nosing the back is, along it.
        let short = front - (back * back - (right - left).powi(2)).max(0.0).sqrt();
        let off = short - left * shape.inward[0] - right * shape.inward[1];
        let disagree = match given {
            [Some(_), None] => {
                shape.inward[1] += off / right;
                None
            }
            [None, Some(_)] => {
                shape.inward[0] += off / left;
                None
            }
            both => {
                shape.inward[0] += off / (2.0 * left);
                shape.inward[1] += off / (2.0 * right);
                both[0].map(|_| Length::mm(-off))
            }
        };
        (shape, disagree)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const SQUARE: Shape = Shape {
        front: 900.0,
        inward: [0.0, 0.0],
        depth: [275.0, 275.0],
    };

    fn degrees(angle: f64) -> Option<Angle> {
        Some(Angle::degrees(angle))
    }

    #[test]
    fn a_three_four_five_end() {
        // The left end runs 3 in over 4 back: its inside angle is the one of the 3-4-5 triangle.
        let read = Read {
            angles: [degrees(53.130_102_354_155_98), None],
            ..Read::default()
        };
        let shape = Shape {
            depth: [400.0, 400.0],
            ..SQUARE
        };
        let (shape, disagree) = shape.read(&read);
        assert_relative_eq!(shape.back(), 600.0, epsilon = 1e-9);
        assert_relative_eq!(shape.ends()[0], 500.0, epsilon = 1e-9);
        assert_relative_eq!(
            shape.back_angles()[0].as_degrees(),
            126.869_897_6,
            epsilon = 1e-6
        );
        assert_relative_eq!(shape.width_at(200.0), 750.0, epsilon = 1e-9);
        assert!(disagree.is_none());
    }

    #[test]
    fn widths_read_hold() {
        let angles = [
            [None, None],
            [degrees(89.0), None],
            [None, degrees(91.5)],
            [degrees(89.0), degrees(91.5)],
        ];
        let tapered = Shape {
            depth: [275.0, 280.0],
            ..SQUARE
        };
        for angles in angles {
            let read = Read {
                front: Some(903.0),
                back: Some(905.0),
                angles,
            };
            let (shape, disagree) = tapered.read(&read);
            assert_relative_eq!(shape.front, 903.0, epsilon = 1e-9);
            assert_relative_eq!(shape.back(), 905.0, epsilon = 1e-9);
            assert_eq!(disagree.is_some(), angles.iter().all(Option::is_some));
            // One angle read is kept; the other one closes the outline.
            if angles.iter().filter(|angle| angle.is_some()).count() == 1 {
                for (found, read) in shape.angles().iter().zip(angles) {
                    if let Some(read) = read {
                        assert_relative_eq!(found.as_degrees(), read.as_degrees(), epsilon = 1e-9);
                    }
                }
            }
        }
    }

    #[test]
    fn what_four_readings_of_one_outline_disagree_by() {
        // Square ends and a back 2 mm wider than the nosing cannot be.
        let read = Read {
            front: Some(900.0),
            back: Some(902.0),
            angles: [degrees(90.0), degrees(90.0)],
        };
        let (shape, disagree) = SQUARE.read(&read);
        assert_relative_eq!(disagree.unwrap().as_mm(), 2.0, epsilon = 1e-9);
        let [left, right] = shape.angles();
        assert_relative_eq!(left.as_degrees(), right.as_degrees(), epsilon = 1e-9);
        // A millimetre over 275 at each end.
        assert_relative_eq!(
            left.as_degrees() - 90.0,
            (1.0_f64 / 275.0).atan().to_degrees(),
            epsilon = 1e-9
        );
    }
}
