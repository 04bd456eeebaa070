//! Inspection: quantities of the set-out held against limits.
//!
//! In: site, set-out, solids and a rule pack. Out: [`Inspection`].
//! Does not: call the chain, or say why (that is `explain`).

pub mod clash;
mod finding;

pub use finding::*;
