//! Texts of lengths, angles and forces.

#![no_main]

use libfuzzer_sys::fuzz_target;
use rakewell_fuzz::subjects;

fuzz_target!(|input: &str| subjects::measures(input));
