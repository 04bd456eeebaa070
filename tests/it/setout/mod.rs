//! The set-out against published tables, worked examples and common practice.

mod cuts;
mod flight;
mod infill;
mod spacing;
mod trouble;
