//! Rakewell sets out newels, rails and balusters in a stairwell that is not plumb, level, straight
//! or square.
//!
//! Data flows one way; each module knows only those to its left:
//!
//! `measure -> job -> survey -> site -> setout -> solids -> rules -> inspect -> chain -> explain ->
//! doubt -> shop -> publish -> viewer`, with `cli` beside `viewer` on top.
//!
//! Inside, lengths are millimetres and angles radians, both `f64`. The flight's frame is
//! right-handed with z up: x level and up the flight, y level to the left of one going up, origin
//! on the finished lower floor under the finished face of the first kick, on the baluster line.

pub mod measure;

pub mod job;

pub mod survey;

pub mod site;

pub mod setout;

pub mod solids;

pub mod rules;

pub mod inspect;

pub mod chain;

pub mod explain;

pub mod doubt;

pub mod shop;

pub mod publish;

#[cfg(feature = "viewer")]
pub mod viewer;

pub mod cli;
