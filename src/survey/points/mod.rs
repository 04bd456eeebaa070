//! Points of a wall, from a scanner or a total station, in place of readings.

pub mod read;
