//! The shop: what is cut, marked, bored and fastened.
//!
//! In: a [`crate::chain::Chain`]. Out: plain data with lengths and angles, for `publish` to put into
//! words and tables.
//! Does not: lay out pages; set out anything again.

pub mod cuts;
pub mod fastening;
pub mod marks;
