//! Price lists of any text.

#![no_main]

use libfuzzer_sys::fuzz_target;
use rakewell_fuzz::subjects;

fuzz_target!(|input: &str| subjects::prices(input));
