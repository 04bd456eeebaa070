//! The set-out against published tables, worked examples and common practice.

mod boards;
mod cuts;
mod flight;
mod spacing;
mod trouble;
