//! Point files of any bytes.

#![no_main]

use libfuzzer_sys::fuzz_target;
use rakewell_fuzz::subjects;

fuzz_target!(|input: &[u8]| subjects::points(input));
