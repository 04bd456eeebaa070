//! The set-out against published tables, worked examples and common practice.

mod built;
mod cuts;
mod flight;
mod spacing;
mod trouble;
