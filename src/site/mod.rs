//! The site: walls, steps and floors as found, as surfaces and lines.
//!
//! In: the survey's estimates. Out: [`Site`], mm in the flight's frame.
//! Does not: decide anything about the design.

mod build;
mod frame;
pub mod held;
mod stair;
mod types;
pub mod winders;

pub use build::build;
pub use frame::Frame;
pub use stair::{Placed, PlacedTurn, place};
pub use types::*;
