//! Job files of any bytes: read, or refused with their faults drawn.

#![no_main]

use libfuzzer_sys::fuzz_target;
use rakewell::job::Document;
use rakewell_fuzz::{Bounds, debugged, held};

fuzz_target!(|bytes: &[u8]| {
    held(Bounds::mib(64), || {
        match Document::parse_bytes(bytes, "job.ron") {
            Ok(document) => {
                debugged("job", document.job());
                // What is saved is what was read.
                let again = Document::parse(document.text(), "job.ron").expect("it was read once");
                assert_eq!(&again, &document);
            }
            Err(faults) => {
                assert!(!faults.diagnostics.is_empty());
                assert!(!faults.to_string().is_empty());
                for fault in &faults.diagnostics {
                    let drawn = faults.text.get(fault.bytes.clone());
                    assert!(faults.text.is_empty() || drawn.is_some());
                }
                assert!(!faults.render(false).is_empty());
            }
        }
    });
});
