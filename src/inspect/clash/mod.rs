//! Clashes: parts that stand in each other's place, beyond what their joint allows.
//!
//! In: [`Solids`], mm in the flight's frame. Out: one [`Clash`] per pair of parts, in the order of
//! the parts; [`nearest`] for a clearance.
//! Does not: know limits, rules or what to do about it.

pub(super) mod features;
mod nearest;
mod parry;
mod points;
mod search;
mod separate;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_many;

use nalgebra::{Point3, Vector3};

pub(super) use nearest::is_parted;
pub use nearest::{Gap, closest, nearest, nearest_pieces, nearest_within};
pub(super) use parry::{Boxes, Found, closest_hulls};
pub use search::{Looked, MOST_CLASHES, MOST_LOOKED, look};
pub use separate::{Separation, overlap_volume, separate};

use crate::solids::{JointKind, Solids};

/// Two parts that overlap beyond their seat.
#[derive(Clone, Debug, PartialEq)]
pub struct Clash {
    /// The first part, as an index into [`Solids::parts`]; less than `b`.
    pub a: usize,
    /// The second part.
    pub b: usize,
    /// How deep they overlap beyond the seat, mm.
    ///
    /// The least travel that parts them, exact for parts of one piece. Of parts of several it is the
    /// shortest way out of those that part two of their pieces or are square to a face.
    pub depth: f64,
    /// How deep the joint lets them overlap, mm; zero without a joint.
    pub seat: f64,
    /// The way `b` would move to part from `a`: a unit vector.
    pub direction: Vector3<f64>,
    /// A point inside both, mm: the first of `points`.
    pub at: Point3<f64>,
    /// A point inside both in each region where they overlap, mm, the deepest region first and
    /// [`MOST_POINTS`] at most.
    pub points: Vec<Point3<f64>>,
    /// The joint that was overrun, where one was declared.
    pub joint: Option<JointKind>,
}

/// No more witness points than this are kept of one clash: as many as an eye takes in.
pub const MOST_POINTS: usize = 8;

/// Every pair of parts that overlap deeper than their seat and more than touching faces do.
///
/// The pieces of one part never clash with each other. Where there are more clashes than
/// [`MOST_CLASHES`], [`look`] says so.
#[must_use]
pub fn clashes(solids: &Solids) -> Vec<Clash> {
    look(solids).clashes
}
