//! [`MeasureError`]: why a text is not a measure.

use std::ops::Range;

/// Why a text is not a measure.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{problem}; {help}")]
pub struct MeasureError {
    /// What is wrong, in lower case, without a full stop.
    pub problem: String,
    /// What would do instead.
    pub help: String,
    /// The bytes of the text that are at fault.
    pub range: Range<usize>,
}

impl MeasureError {
    pub(super) fn new(
        problem: impl Into<String>,
        help: impl Into<String>,
        range: Range<usize>,
    ) -> Self {
        Self {
            problem: problem.into(),
            help: help.into(),
            range,
        }
    }
}

/// A piece of the text for a message: in backquotes, for quotes are inch marks here, and on one
/// line.
pub(super) fn quoted(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    format!("`{}`", words.join(" "))
}
