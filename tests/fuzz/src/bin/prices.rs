//! Price lists of any text.

#![no_main]

use libfuzzer_sys::fuzz_target;
use rakewell::measure::Unit;
use rakewell::shop::prices;
use rakewell_fuzz::{Bounds, debugged, held};

fuzz_target!(|text: &str| {
    held(Bounds::mib(64), || {
        for unit in [Unit::Inches, Unit::Millimetres] {
            let read = prices::read(text, unit, "USD");
            debugged("prices", &read);
            for one in &read.prices {
                assert!(one.price >= 0.0 && one.price.is_finite());
            }
        }
    });
});
