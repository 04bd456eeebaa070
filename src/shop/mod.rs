//! The shop: what is cut, marked, bored and fastened, what it is cut from, what is bought and how long
//! it takes.
//!
//! In: a [`crate::chain::Chain`]. Out: plain data with lengths and angles, for `publish` to put into
//! words and tables.
//! Does not: lay out pages; set out anything again.

pub mod buy;
pub mod cuts;
pub mod fastening;
pub mod hours;
pub mod marks;
pub mod parts;
pub mod pole;
pub mod prices;
pub mod reckoning;
pub mod stock;
pub mod templates;
pub mod there;
