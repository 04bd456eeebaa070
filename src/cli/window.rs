//! The window; where there is none, what is missing, and the inspection in its place.

use std::path::Path;

use super::source::{self, Source};
use super::{Outcome, inspect, talk};

pub(super) fn run(job: Option<&Path>) -> Outcome {
    let source = match source::load(job) {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    match open(source.clone()) {
        Ok(()) => Outcome::Clean,
        Err(missing) => {
            talk::say(&format!(
                "rakewell: {missing}\nThe inspection, in place of the window:\n"
            ));
            inspect::tell(&source, inspect::Counts::ALL, false, None)
        }
    }
}

/// Opens the window and stays until it is closed, or says what is missing.
#[cfg(feature = "viewer")]
fn open(source: Source) -> Result<(), String> {
    let (document, path) = source.into_parts();
    crate::viewer::open(document, path).map_err(|error| error.to_string())
}

#[cfg(not(feature = "viewer"))]
fn open(_: Source) -> Result<(), String> {
    Err(
        "this program was built without its window; `cargo build` without \
         --no-default-features builds it"
            .to_owned(),
    )
}
