//! Printing lengths: on a tape's marks with strong and scant, in feet and inches, as decimals.
//!
//! A tape prints the nearest mark. Where more than a quarter of a mark is left over it adds `+`
//! (strong: a hair longer than the mark) or `-` (scant: a hair shorter). Both go by magnitude, as
//! one says them of a piece: `-5/16"+` is a hair further below zero. At zero, which has no
//! magnitude, `0"+` is a hair above and `0"-` a hair below. Zero is never printed negative.

use super::tolerance::MARK_NOISE;
use super::{Length, MeasureError, Tape, Unit, parse};

/// Decimals of [`Tape::print_exact`]: a millionth of an inch or of a millimetre is far below any
/// tool, and the noise of arithmetic stays out of sight.
const EXACT_DECIMALS: usize = 6;

/// More decimals than a double holds; the formatter refuses absurd numbers of them.
const MOST_DECIMALS: usize = 17;

/// More than this of a mark left over is strong or scant.
const HAIR_FROM_MARKS: f64 = 0.25;

const INCHES_PER_FOOT: f64 = 12.0;

/// What is printed for a length that is no number.
const NO_LENGTH: &str = "no length";

/// A length as counted on a tape.
struct Reading {
    negative: bool,
    /// Whole marks, without sign.
    marks: f64,
    /// `+`, `-` or nothing.
    hair: &'static str,
}

impl Tape {
    /// The length as read off this tape, as `10 1/4"`, `-5/16"`, `10 1/4"+` or `260 mm-`.
    #[must_use]
    pub fn print(self, length: Length) -> String {
        self.print_marks(length, |marks| match self.marks_per_inch() {
            Some(per_inch) => format!("{}\"", mixed_number(marks, per_inch)),
            None => format!("{marks:.0} mm"),
        })
    }

    /// The length as read off this tape in feet and inches, as `3' 2 1/2"`; under a foot, and on a
    /// millimetre tape, the same as [`Tape::print`].
    #[must_use]
    pub fn print_feet(self, length: Length) -> String {
        let Some(per_inch) = self.marks_per_inch() else {
            return self.print(length);
        };
        let per_foot = INCHES_PER_FOOT * f64::from(per_inch);
        self.print_marks(length, |marks| {
            let feet = (marks / per_foot).floor();
            let inches = mixed_number(marks - feet * per_foot, per_inch);
            if feet < 1.0 {
                return format!("{inches}\"");
            }
            // A bare fraction after feet is too easily read as part of a foot.
            let bare = inches.contains('/') && !inches.contains(' ');
            format!("{feet:.0}' {}{inches}\"", if bare { "0 " } else { "" })
        })
    }

    /// The length as a decimal in this tape's unit, as `10.265625 in` or `260.35 mm`.
    #[must_use]
    pub fn print_exact(self, length: Length) -> String {
        let (number, unit) = match self.unit() {
            Unit::Inches => (length.as_inches(), "in"),
            Unit::Millimetres => (length.as_mm(), "mm"),
        };
        if !number.is_finite() {
            return NO_LENGTH.to_owned();
        }
        let text = decimal(number, EXACT_DECIMALS);
        format!(
            "{} {unit}",
            text.trim_end_matches('0').trim_end_matches('.')
        )
    }

    /// Reads a length as [`parse_length`](super::parse_length) does, with a bare number in this
    /// tape's unit and strong and scant judged by this tape's marks.
    ///
    /// # Errors
    /// [`MeasureError`] names the bytes at fault and what would do.
    pub fn read(self, text: &str) -> Result<Length, MeasureError> {
        parse::read(text, self.unit(), self.marks_per_inch())
    }

    /// Sign, marks and hair, with the marks worded by `word`.
    fn print_marks(self, length: Length, word: impl Fn(f64) -> String) -> String {
        let Some(reading) = self.count(length) else {
            return NO_LENGTH.to_owned();
        };
        let sign = if reading.negative { "-" } else { "" };
        format!("{sign}{}{}", word(reading.marks), reading.hair)
    }

    /// Counts the marks in a length. `None` where it is NaN or infinite.
    fn count(self, length: Length) -> Option<Reading> {
        let exact = length / self.mark();
        if !exact.is_finite() {
            return None;
        }
        let marks = exact.abs().round();
        let negative = exact < 0.0 && marks > 0.0;
        let left_over = if negative || marks > 0.0 {
            exact.abs() - marks
        } else {
            exact
        };
        let hair = if left_over.abs() <= HAIR_FROM_MARKS + MARK_NOISE {
            ""
        } else if left_over > 0.0 {
            "+"
        } else {
            "-"
        };
        Some(Reading {
            negative,
            marks,
            hair,
        })
    }
}

/// Marks of an inch tape as a whole number and a fraction in lowest terms.
fn mixed_number(marks: f64, per_inch: u32) -> String {
    let whole = (marks / f64::from(per_inch)).floor();
    // Under `per_inch`, and whole, so that nothing is lost.
    let over = (marks - whole * f64::from(per_inch)) as u32;
    if over == 0 {
        return format!("{whole:.0}");
    }
    // Marks divide an inch by a power of two: only twos can be common to both.
    let twos = over.trailing_zeros().min(per_inch.trailing_zeros());
    let fraction = format!("{}/{}", over >> twos, per_inch >> twos);
    if whole > 0.0 {
        format!("{whole:.0} {fraction}")
    } else {
        fraction
    }
}

/// A number with so many decimals, never a negative zero.
pub(super) fn decimal(number: f64, decimals: usize) -> String {
    let text = format!("{number:.*}", decimals.min(MOST_DECIMALS));
    match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits.to_owned(),
        _ => text,
    }
}
