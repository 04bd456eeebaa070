//! The survey: the adjustment against published networks, its tests, its tools, bad readings.

mod bad_input;
mod drawn;
mod held;
mod network;
mod outcomes;
mod reduction;
mod simulated;
mod stairs;
mod tools;
mod unchecked;

use unchecked::job_of;
