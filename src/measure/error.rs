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
