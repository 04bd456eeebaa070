//! Rule packs of any text, and a stair inspected by those that are one.

#![no_main]

use libfuzzer_sys::fuzz_target;
use rakewell::rules::Pack;
use rakewell_fuzz::{Bounds, debugged, held};

fuzz_target!(|text: &str| {
    held(Bounds::mib(16), || match Pack::read("fuzzed", text) {
        Ok(pack) => debugged("pack", &pack),
        Err(error) => assert!(!error.to_string().is_empty()),
    });
});
