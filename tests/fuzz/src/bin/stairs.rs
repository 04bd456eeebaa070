//! The whole chain on structured random jobs.

#![no_main]

use libfuzzer_sys::fuzz_target;
use rakewell::job::Document;
use rakewell_fuzz::{Bounds, Edited, chain, held};

/// Larger than any scene, and small enough that a second is much.
const MOST_RUNS: usize = 12;

fuzz_target!(|edited: Edited| {
    let text = edited.text();
    let read = held(Bounds::mib(64), || Document::parse(&text, "job.ron"));
    match read {
        Ok(document) if document.each_run().len() <= MOST_RUNS => chain(&document, edited.outputs),
        Ok(_) => {}
        Err(faults) => assert!(!faults.render(false).is_empty()),
    }
});
