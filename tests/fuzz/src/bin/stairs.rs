//! The whole chain on structured random jobs.

#![no_main]

use libfuzzer_sys::fuzz_target;
use rakewell_fuzz::{Edited, subjects};

fuzz_target!(|input: Edited| subjects::stairs(&input));
