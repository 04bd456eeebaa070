//! Every subject under libFuzzer, one program: the environment's `FUZZ_SUBJECT` says which it is.

#![no_main]

use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use rakewell_fuzz::subjects::{Subject, named};

fn asked() -> Subject {
    static ASKED: OnceLock<Subject> = OnceLock::new();
    *ASKED.get_or_init(|| {
        let name = std::env::var("FUZZ_SUBJECT").expect("FUZZ_SUBJECT names a subject");
        named(&name).expect("FUZZ_SUBJECT names a subject")
    })
}

fuzz_target!(|input: &[u8]| asked()(input));
