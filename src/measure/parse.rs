//! Reading lengths and angles as a carpenter writes them.

use std::ops::Range;

use super::{Angle, Length, Unit};

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

/// Reads a length. A bare number takes the unit `default`.
///
/// # Errors
/// [`MeasureError`] names the bytes at fault and what would do.
pub fn parse_length(text: &str, default: Unit) -> Result<Length, MeasureError> {
    let number: f64 = text.trim().parse().map_err(|_ignored| MeasureError {
        problem: format!("cannot read {text:?} as a length"),
        help: "write it as 10 1/4, 3' 2 1/2\" or 260 mm".to_owned(),
        range: 0..text.len(),
    })?;
    Ok(match default {
        Unit::Inches => Length::inches(number),
        Unit::Millimetres => Length::mm(number),
    })
}

/// Reads an angle in degrees.
///
/// # Errors
/// [`MeasureError`] names the bytes at fault and what would do.
pub fn parse_angle(text: &str) -> Result<Angle, MeasureError> {
    text.trim()
        .parse()
        .map(Angle::degrees)
        .map_err(|_ignored| MeasureError {
            problem: format!("cannot read {text:?} as an angle"),
            help: "write it in degrees, as 1.5 or 37 1/2".to_owned(),
            range: 0..text.len(),
        })
}
