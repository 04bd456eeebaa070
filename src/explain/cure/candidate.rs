//! A change of one run with the words and the edits for it.

use crate::job::{Job, Len};
use crate::measure::{Length, Tape, Unit, with_default_unit};

/// A changed run.
#[derive(Clone, Debug)]
pub(super) struct Change {
    /// The run, by its number.
    pub(super) run: usize,
    /// Its job.
    pub(super) job: Job,
}

/// A changed run with the words and the edits for it.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub(super) what: String,
    /// Fields of the run by itself, and their values.
    pub(super) edits: Vec<(String, String)>,
    pub(super) change: Change,
    /// True where a finished wall would have to be opened for it.
    pub(super) opens_wall: bool,
}

/// The text of a length as the job's units write it, without marks that a string must escape.
pub(in crate::explain) fn typed(job: &Job, length: Length) -> String {
    match job.units {
        Unit::Inches => {
            let printed = Tape::ThirtySeconds.print(length);
            printed.trim_end_matches(['"', '+', '-']).to_owned()
        }
        Unit::Millimetres => format!("{}", length.as_mm().round()),
    }
}

/// Reads a length as the job's file would.
pub(in crate::explain) fn read(job: &Job, text: &str) -> Option<Len> {
    with_default_unit(job.units, || Len::read(text)).ok()
}

pub(super) fn quoted(text: &str) -> String {
    format!("\"{text}\"")
}
