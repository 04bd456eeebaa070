//! The set-out against published tables, worked examples and common practice.

pub(crate) mod bedding;
mod boards;
mod boards;
mod bottom;
mod built;
mod cuts;
mod flight;
mod received;
mod spacing;
mod trouble;
