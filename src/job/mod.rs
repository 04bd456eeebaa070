//! The job: what was read on site and what is wanted, as one RON document.
//!
//! In: text. Out: [`Job`], validated, with the place of every value in the file.
//! Does not: compute geometry.

mod schema;

pub use schema::*;
