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
        #[cfg(feature = "viewer")]
        Err(Closed::Lost(says)) => talk::fault(&says),
        Err(Closed::Missing(missing)) => {
            talk::say(&format!(
                "rakewell: {missing}\nThe inspection, in place of the window:\n"
            ));
            inspect::tell(&source, inspect::Counts::ALL, false, None)
        }
    }
}

/// Why there is no window, or none any more.
enum Closed {
    /// Something is missing to open it with.
    Missing(String),
    /// It was open, and what it draws with failed.
    #[cfg(feature = "viewer")]
    Lost(String),
}

/// Opens the window and stays until it is closed, or says what is missing.
#[cfg(feature = "viewer")]
fn open(source: Source) -> Result<(), Closed> {
    use crate::viewer::ViewerError;
    let (document, path) = source.into_parts();
    crate::viewer::open(document, path).map_err(|error| match error {
        ViewerError::Lost(says) => Closed::Lost(says),
        other => Closed::Missing(other.to_string()),
    })
}

#[cfg(not(feature = "viewer"))]
fn open(_: Source) -> Result<(), Closed> {
    Err(Closed::Missing(
        "this program was built without its window; `cargo build` without \
         --no-default-features builds it"
            .to_owned(),
    ))
}
