//! Everything that is tested from outside the library, in one binary.

#![allow(
    clippy::unwrap_used,
    reason = "a test that finds nothing where something must be has failed"
)]

mod alike;
mod ball;
mod building;
mod clash;
mod cli;
mod client;
mod doubt;
mod explain;
mod fault;
mod job;
mod limits;
mod measure;
mod measured;
mod points;
mod reference;
mod reveals;
mod rules;
mod setout;
mod sheet;
mod shop;
mod site_sheets;
mod stair;
mod survey;
mod tidy;
#[cfg(feature = "viewer")]
mod viewer;
mod winders;
mod wood;
