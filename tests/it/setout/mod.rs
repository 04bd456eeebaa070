//! The set-out against published tables, worked examples and common practice.

mod boards;
pub(crate) mod bedding;
mod built;
mod bottom;
mod cuts;
mod flight;
mod received;
mod spacing;
mod trouble;
