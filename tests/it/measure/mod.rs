//! Checks of `rakewell::measure`: what is read, what is refused, what is printed, and published
//! tables of rafter lengths.

mod angles;
mod printed;
mod properties;
mod rafter_tables;
mod read;
mod refused;
mod typed;

use rakewell::measure::{Length, Unit, parse_length};

/// A length that must be readable, bare numbers in inches.
fn inches(text: &str) -> Length {
    parse_length(text, Unit::Inches).unwrap_or_else(|error| panic!("{text:?}: {error}"))
}
