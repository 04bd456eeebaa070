//! Turned balusters: blocks and stacked frusta that follow the profile, drawn around the circles,
//! so that no gap comes out wider than it is.

use nalgebra::{Point3, Vector3};

use crate::measure::Angle;
use crate::setout::{BalusterSet, plan};

use super::Convex;

/// Sides of the ring that stands for a turned circle. Drawn around it with flats along and across
/// the flight, it is 12 / pi tan(pi / 12) = 1.0235 of its area, and exact where gaps are read.
pub const TURNED_SIDES: u32 = 12;

/// The pieces of a turned baluster along its axis, uncut: from `below` its foot to `length` along
/// it. A plain one is one piece.
pub(super) fn pieces(one: &BalusterSet, below: f64, length: f64) -> Vec<Convex> {
    let axis = (one.top - one.foot).normalize();
    let block = plan::section(
        one.foot.xy(),
        one.along.as_mm(),
        one.across.as_mm(),
        one.round,
        Angle::ZERO,
    );
    let place = |ring: &[nalgebra::Point2<f64>], up: f64| -> Vec<Point3<f64>> {
        lift(ring, one.foot.z, &axis, up)
    };
    let (Some(first), Some(last)) = (one.turned.first(), one.turned.last()) else {
        return Convex::loft(&place(&block, below), &place(&block, length))
            .into_iter()
            .collect();
    };
    let ring = |diameter: f64| plan::ring(one.foot.xy(), diameter, TURNED_SIDES);
    let turned = |from: (f64, f64), to: (f64, f64)| {
        Convex::loft(&place(&ring(from.1), from.0), &place(&ring(to.1), to.0))
    };
    let at = |place: &crate::setout::Turned| (place.up.as_mm(), place.diameter.as_mm());
    let foot = Convex::loft(&place(&block, below), &place(&block, at(first).0));
    let shafts = one
        .turned
        .windows(2)
        .filter_map(|pair| turned(at(&pair[0]), at(&pair[1])));
    let (up, diameter) = at(last);
    let head = (up < length).then(|| {
        if one.pin_top {
            turned((up, diameter), (length, diameter))
        } else {
            Convex::loft(&place(&block, up), &place(&block, length))
        }
    });
    foot.into_iter()
        .chain(shafts)
        .chain(head.flatten())
        .collect()
}

fn lift(
    ring: &[nalgebra::Point2<f64>],
    foot: f64,
    axis: &Vector3<f64>,
    up: f64,
) -> Vec<Point3<f64>> {
    ring.iter()
        .map(|point| Point3::new(point.x, point.y, foot) + axis * up)
        .collect()
}
