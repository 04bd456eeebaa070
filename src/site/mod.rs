//! The site: walls, steps and floors as found, as surfaces and lines.
//!
//! In: the survey's estimates. Out: [`Site`], mm in the flight's frame.
//! Does not: decide anything about the design.

mod build;
mod types;

pub use build::build;
pub use types::*;
