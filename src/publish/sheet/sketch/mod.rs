//! Small line sketches of how each reading is taken. Each is [`WIDE`] by [`HIGH`] millimetres;
//! departures are drawn many times too large, so that the eye finds them.
//!
//! What is read is blue and thick with arrows; laser lines are dashed; tools are toned.

mod checks;
mod floors;
mod steps;
mod tools;
mod walls;

pub(super) use checks::{laser, line, reversal, writing};
pub(super) use floors::{floor, landing};
pub(super) use steps::{edge, fall, going, level, overhang, pitch, rise, under, whole, width};
pub(super) use walls::{between, corner, offset, plumb, straight};

/// Width of a sketch.
pub(super) const WIDE: f64 = 34.0;
/// Height of a sketch.
pub(super) const HIGH: f64 = 25.0;
