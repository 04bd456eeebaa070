//! The site: walls, steps, floors and stringers as found, as surfaces and lines.
//!
//! In: the survey's estimates. Out: [`Site`], mm in the flight's frame.
//! Does not: decide anything about the design.

mod types;

pub use types::*;
