//! The set-out against published tables, worked examples and common practice.

pub(crate) mod bedding;
mod boards;
mod bottom;
mod built;
mod cuts;
pub(crate) mod flight;
mod infill;
mod newels;
pub(crate) mod rails;
mod reach;
mod received;
mod spacing;
mod together;
mod trouble;
