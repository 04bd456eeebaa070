//! The set-out: where every newel, rail and baluster lands on the stair as found.
//!
//! In: the [`crate::site::Site`] and the design of the job. Out: [`SetOut`], in the flight's
//! frame, mm.
//! Does not: know collisions, rules' clauses, or meshes.

mod types;

pub use types::*;
