//! One side of a straight piece along the slope, from its lower end: what running marks and full-size
//! strips are measured on. mm.

use nalgebra::{Point2, Point3, Unit, Vector3};

use crate::measure::{Angle, Length, tolerance};
use crate::setout::{BalusterSet, EndCut, RailSet};

use super::RunningMark;

/// One side of a piece along the slope, from its lower end.
pub(crate) struct Side {
    /// Where the middle of that side meets the lower end's cut.
    start: Point3<f64>,
    along: Unit<Vector3<f64>>,
    /// Level to the left of it, and square out of it.
    left: Vector3<f64>,
    up: Vector3<f64>,
    /// From there to the upper end's cut.
    pub(super) long: f64,
}

impl Side {
    /// The side that lies `off` square above the piece's own line from end to end.
    pub(crate) fn of(piece: &RailSet, off: f64) -> Self {
        let along = Unit::new_normalize(piece.upper - piece.lower);
        let left = Vector3::z().cross(&along).normalize();
        let up = along.cross(&left);
        let line = piece.lower + up * off;
        let reach = |cut: &EndCut| (cut.point - line).dot(&cut.normal) / along.dot(&cut.normal);
        let (low, high) = (reach(&piece.lower_cut), reach(&piece.upper_cut));
        Self {
            start: line + along.into_inner() * low,
            along,
            left,
            up,
            long: high - low,
        }
    }

    /// Where a line that goes through a point meets the side's plane, as a length along it.
    pub(super) fn at(&self, point: &Point3<f64>, way: &Vector3<f64>) -> f64 {
        self.flat(point, way).x
    }

    /// The same with how far it lies to the left of the middle, mm.
    pub(crate) fn flat(&self, point: &Point3<f64>, way: &Vector3<f64>) -> Point2<f64> {
        let reach = (self.start - point).dot(&self.up) / way.dot(&self.up);
        let from = point + way * reach - self.start;
        Point2::new(from.dot(&self.along), from.dot(&self.left))
    }

    /// Where a saw cut crosses the side, so far to the left of its middle: a length along it.
    pub(crate) fn met_by(&self, cut: &EndCut, left: f64) -> f64 {
        let from = self.start + self.left * left;
        (cut.point - from).dot(&cut.normal) / self.along.dot(&cut.normal)
    }

    /// How far a way lies from square to the side.
    pub(crate) fn off_square(&self, way: &Vector3<f64>) -> Angle {
        Angle::radians(way.dot(&self.up).clamp(-1.0, 1.0).acos())
    }

    /// What a length along it is level.
    fn level(&self, slope: f64) -> Length {
        Length::mm(slope * self.along.xy().norm())
    }

    pub(super) fn mark(&self, part: &str, slope: f64) -> RunningMark {
        let on = -tolerance::SAME_POINT_MM..=self.long + tolerance::SAME_POINT_MM;
        RunningMark {
            part: part.to_owned(),
            level: self.level(slope),
            slope: on.contains(&slope).then(|| Length::mm(slope)),
            bore: None,
        }
    }
}

/// The way that a baluster stands, a unit vector.
pub(crate) fn axis(one: &BalusterSet) -> Vector3<f64> {
    let axis = (one.top - one.foot).try_normalize(f64::MIN_POSITIVE);
    axis.unwrap_or_else(Vector3::z)
}
