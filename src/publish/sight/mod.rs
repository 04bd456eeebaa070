//! Where a stair is looked at from: named viewpoints, the eye at each, and plumb cuts.
//!
//! In: a chain and its solids. Out: viewpoints by name, and where the eye stands for one. The same for
//! the window, a picture and the client's page. mm, in the frame of the first run. Does not: draw.

pub mod camera;
pub mod cut;
pub mod lookout;
mod viewpoint;

pub use viewpoint::{Cut, Viewpoint, Way, viewpoints};
