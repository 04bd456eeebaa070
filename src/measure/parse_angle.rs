//! Reading angles as written: degrees, with fraction, or with minutes and seconds of arc.
//!
//! Text in, [`Angle`] or [`MeasureError`] out. A bare number is degrees.

use std::ops::Range;

use super::error::quoted;
use super::lex::Kind;
use super::quantity::{Cursor, Quantity};
use super::{Angle, MeasureError};

/// A whole turn; no part of a stair turns further.
const LARGEST_DEGREES: f64 = 360.0;

const EXAMPLES: &str = "write it in degrees, as 1.5, 37 1/2 or 37° 30'";

/// What one number of an angle counts, in the order they are written.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
enum Part {
    Degrees,
    Minutes,
    Seconds,
}

impl Part {
    const fn per_degree(self) -> f64 {
        match self {
            Self::Degrees => 1.0,
            Self::Minutes => 60.0,
            Self::Seconds => 3600.0,
        }
    }
}

/// Reads an angle in degrees.
///
/// # Errors
/// [`MeasureError`] names the bytes at fault and what would do.
pub fn parse_angle(text: &str) -> Result<Angle, MeasureError> {
    let mut cursor = Cursor::new(text)?;
    let negative = cursor.sign();
    let mut degrees = 0.0;
    let mut before: Option<(Part, bool)> = None;
    loop {
        let Some(number) = cursor.quantity()? else {
            return Err(no_number(&cursor));
        };
        refuse_pitch(&number)?;
        let part = part(&mut cursor)?;
        fits(&number, part, before)?;
        degrees += number.value / part.per_degree();
        before = Some((part, number.is_whole()));
        if cursor.peek().is_none() {
            break;
        }
    }
    if degrees > LARGEST_DEGREES {
        let help = "write at most 360 degrees";
        return Err(MeasureError::new(
            "more than a whole turn",
            help,
            cursor.whole_range(),
        ));
    }
    // Adding zero turns a negative zero into zero.
    Ok(Angle::degrees(
        if negative { -degrees } else { degrees } + 0.0,
    ))
}

/// Takes the unit of a number; degrees where the text ends without one.
fn part(cursor: &mut Cursor<'_>) -> Result<Part, MeasureError> {
    let Some(token) = cursor.peek() else {
        return Ok(Part::Degrees);
    };
    let part = match token.kind {
        Kind::Degree => Part::Degrees,
        Kind::Prime => Part::Minutes,
        Kind::DoublePrime => Part::Seconds,
        Kind::Word(word) => named_part(word)
            .ok_or_else(|| refused(format!("`{word}` is no unit of angle"), token.range.clone()))?,
        _ => return Err(left_over(cursor)),
    };
    cursor.skip(1);
    Ok(part)
}

fn named_part(word: &str) -> Option<Part> {
    const NAMES: [(&[&str], Part); 3] = [
        (&["deg", "degs", "degree", "degrees"], Part::Degrees),
        (&["min", "mins", "minute", "minutes"], Part::Minutes),
        (&["sec", "secs", "second", "seconds"], Part::Seconds),
    ];
    NAMES
        .iter()
        .find(|(names, _)| names.iter().any(|name| name.eq_ignore_ascii_case(word)))
        .map(|&(_, part)| part)
}

/// Degrees, minutes, seconds: each once, in this order, whole but for the last, under 60 but for
/// the first.
fn fits(
    number: &Quantity<'_>,
    part: Part,
    before: Option<(Part, bool)>,
) -> Result<(), MeasureError> {
    let Some((former, former_is_whole)) = before else {
        return Ok(());
    };
    let range = number.range.clone();
    if part <= former {
        return Err(refused("degrees, minutes and seconds out of order", range));
    }
    if !former_is_whole {
        return Err(refused(
            "a part of a number is followed by a smaller unit",
            range,
        ));
    }
    if number.value >= 60.0 {
        let help = "write minutes and seconds under 60";
        return Err(MeasureError::new(
            format!("{} is 60 or more", number.value),
            help,
            range,
        ));
    }
    Ok(())
}

/// `7/12` as an angle would be a little over half a degree, and is hardly ever meant so.
fn refuse_pitch(number: &Quantity<'_>) -> Result<(), MeasureError> {
    if number.denominator == Some(12) {
        return Err(MeasureError::new(
            "a fraction in twelfths reads like a pitch",
            "write the angle in degrees, as 30.3",
            number.range.clone(),
        ));
    }
    Ok(())
}

fn no_number(cursor: &Cursor<'_>) -> MeasureError {
    if cursor.peek().is_none() {
        return refused("no angle is written", cursor.whole_range());
    }
    left_over(cursor)
}

fn left_over(cursor: &Cursor<'_>) -> MeasureError {
    let range = cursor.rest_range();
    refused(
        format!("{} has no place there", quoted(cursor.slice(range.clone()))),
        range,
    )
}

fn refused(problem: impl Into<String>, range: Range<usize>) -> MeasureError {
    MeasureError::new(problem, EXAMPLES, range)
}
