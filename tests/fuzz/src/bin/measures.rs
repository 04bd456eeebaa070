//! Texts of lengths, angles and forces, and what is printed of them read again.

#![no_main]

use libfuzzer_sys::fuzz_target;
use rakewell::measure::{Tape, Unit, parse_angle, parse_force, parse_length};
use rakewell_fuzz::{Bounds, held};

fuzz_target!(|text: &str| {
    held(Bounds::mib(1), || {
        for unit in [Unit::Inches, Unit::Millimetres] {
            match parse_length(text, unit) {
                Ok(length) => {
                    assert!(length.as_mm().is_finite(), "{text:?}");
                    for tape in [Tape::Sixteenths, Tape::ThirtySeconds, Tape::Millimetres] {
                        let printed = tape.print_exact(length);
                        let again = parse_length(&printed, unit);
                        let same = again.is_ok_and(|again| (again - length).abs().as_mm() < 3e-5);
                        assert!(same, "{text:?} is printed as {printed:?}");
                        assert!(!tape.print_feet(length).is_empty());
                    }
                }
                Err(error) => assert!(!error.to_string().is_empty()),
            }
        }
        match parse_angle(text) {
            Ok(angle) => assert!(angle.as_radians().is_finite(), "{text:?}"),
            Err(error) => assert!(!error.to_string().is_empty()),
        }
        match parse_force(text) {
            Ok(force) => assert!(force.as_newtons().is_finite(), "{text:?}"),
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    });
});
