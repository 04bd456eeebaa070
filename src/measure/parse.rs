//! Reading lengths as a carpenter writes them: text in, [`Length`] or [`MeasureError`] out.
//!
//! ```text
//! length   = [sign] (feet [["-"] inches] | number [unit]) [hair]
//! feet     = number ("'" | "ft")            whole, where inches follow
//! inches   = number ['"' | "in"]            under 12
//! number   = decimal | whole | fraction | whole [space | "-"] fraction
//! fraction = whole "/" whole | "½" ...      under one
//! hair     = "+" | "-"                      strong or scant, close behind, at the very end
//! ```
//!
//! **Strong and scant.** `10 1/4"+` is a hair longer than the mark, `10 1/4"-` a hair shorter, and
//! `-5/16"+` a hair further below zero: the hair goes by magnitude. A tape prints one where more
//! than a quarter and at most half of a mark is left over, so reading takes the middle, 3/8 of a
//! mark, and the printed form reads back to itself. The mark is 1/16 in (or the fraction's own
//! where that is finer) and 1 mm; [`Tape::read`](super::Tape::read) takes the tape's. The hair must
//! follow a fraction or a unit: `10-` or `3'-` is more likely the front of `10-1/4` or `3'-2"`.

use std::ops::Range;

use super::error::quoted;
use super::lex::Kind;
use super::quantity::{Cursor, Quantity};
use super::unit::{Written, named_unit, unit};
use super::{Length, MeasureError, Unit};

/// Longer than any building that this is for; more is a slip of the pen, or a unit forgotten.
const LONGEST_MM: f64 = 1e6;

/// The middle of what a tape prints as strong or scant, in marks.
const HAIR_IN_MARKS: f64 = 3.0 / 8.0;

/// The marks that a hair is judged by where the text does not show finer ones, per inch.
const COMMON_MARKS_PER_INCH: u32 = 16;

const INCHES_PER_FOOT: f64 = 12.0;

const EXAMPLES: &str = "write it as 10 1/4, 3' 2 1/2\" or 260 mm";

/// Reads a length. A bare number takes the unit `default`.
///
/// # Errors
/// [`MeasureError`] names the bytes at fault and what would do.
pub fn parse_length(text: &str, default: Unit) -> Result<Length, MeasureError> {
    read(text, default, None)
}

/// Reads a length; a hair is judged by so many marks per inch, or by what the text shows.
pub(super) fn read(
    text: &str,
    default: Unit,
    marks_per_inch: Option<u32>,
) -> Result<Length, MeasureError> {
    let mut cursor = Cursor::new(text)?;
    if cursor.peek().is_none() {
        return Err(MeasureError::new(
            "no length is written",
            EXAMPLES,
            0..text.len(),
        ));
    }
    let negative = cursor.sign();
    let number = first_number(&mut cursor)?;
    let unit = unit(&mut cursor)?;
    let mut size = size(&mut cursor, &number, unit, default)?;
    if let Some(direction) = hair(&mut cursor)? {
        size.add_hair(direction, marks_per_inch, cursor.whole_range())?;
    }
    refuse_rest(&cursor)?;
    finish(&size, negative, cursor.whole_range())
}

/// A length without its sign, in the system it was written in.
struct Size {
    system: Unit,
    /// Inches or millimetres.
    amount: f64,
    /// The marks that the last number is written in, per inch or millimetre. `None` for what can be
    /// neither strong nor scant: a decimal, a unit without marks, a whole number without a unit.
    marks: Option<u32>,
}

impl Size {
    fn add_hair(
        &mut self,
        direction: f64,
        marks_per_inch: Option<u32>,
        range: Range<usize>,
    ) -> Result<(), MeasureError> {
        let Some(shown) = self.marks else {
            return Err(MeasureError::new(
                "strong or scant on what is not read off a tape's mark",
                "put + or - behind a fraction or behind the unit, as 10\"+, 10 1/4+ or 260 mm+",
                range,
            ));
        };
        let marks = match self.system {
            Unit::Inches => marks_per_inch.unwrap_or(shown.max(COMMON_MARKS_PER_INCH)),
            Unit::Millimetres => 1,
        };
        self.amount += direction * HAIR_IN_MARKS / f64::from(marks);
        Ok(())
    }
}

/// Takes the number that must stand first.
fn first_number<'a>(cursor: &mut Cursor<'a>) -> Result<Quantity<'a>, MeasureError> {
    if let Some(number) = cursor.quantity()? {
        return Ok(number);
    }
    let range = cursor.rest_range();
    let found = cursor.slice(range.clone());
    Err(match cursor.kind_ahead(0) {
        None => MeasureError::new("a sign without a number", EXAMPLES, cursor.whole_range()),
        Some(Kind::Plus | Kind::Dash) => {
            MeasureError::new("more than one sign in front", "write at most one", range)
        }
        Some(_) => MeasureError::new(
            format!("a number should stand where {} does", quoted(found)),
            EXAMPLES,
            range,
        ),
    })
}

/// The size of a first number with its unit, and of the inches that may follow feet.
fn size(
    cursor: &mut Cursor<'_>,
    number: &Quantity<'_>,
    unit: Option<Written>,
    default: Unit,
) -> Result<Size, MeasureError> {
    let marks = marks(number, unit);
    let unit = unit.unwrap_or(match default {
        Unit::Inches => Written::Inches,
        Unit::Millimetres => Written::Metric(0),
    });
    Ok(match unit {
        Written::Metric(power) => Size {
            system: Unit::Millimetres,
            amount: number.times_ten_to(power),
            marks: marks.filter(|_| number.is_whole() && power == 0),
        },
        Written::Inches => Size {
            system: Unit::Inches,
            amount: number.value,
            marks,
        },
        Written::Feet => {
            let feet = number.value * INCHES_PER_FOOT;
            match inches_after_feet(cursor, number)? {
                Some(inches) => Size {
                    amount: feet + inches.amount,
                    ..inches
                },
                None => Size {
                    system: Unit::Inches,
                    amount: feet,
                    marks: None,
                },
            }
        }
    })
}

/// The marks that a number is read off, as in [`Size::marks`].
fn marks(number: &Quantity<'_>, unit: Option<Written>) -> Option<u32> {
    if number.is_decimal() || (number.is_whole() && unit.is_none()) {
        return None;
    }
    Some(number.denominator.unwrap_or(1))
}

/// Takes the inches that may follow feet, as `3' 2 1/2"`, `3'-2 1/2"` or `3' - 2 1/2"`.
fn inches_after_feet(
    cursor: &mut Cursor<'_>,
    feet: &Quantity<'_>,
) -> Result<Option<Size>, MeasureError> {
    // With white space on one side only it looks like a minus sign, and is left to be refused.
    if cursor.kind_ahead(0) == Some(Kind::Dash)
        && cursor.number_ahead(1)
        && cursor.ahead(0).map(|dash| dash.spaced) == cursor.ahead(1).map(|next| next.spaced)
    {
        cursor.skip(1);
    }
    let Some(inches) = cursor.quantity()? else {
        return Ok(None);
    };
    let unit = unit(cursor)?;
    let range = feet.range.start..inches.range.end;
    match unit {
        Some(Written::Metric(_)) => return Err(mixed_systems(range)),
        Some(Written::Feet) => {
            let help = "write feet once and then inches, as 3' 2 1/2\"";
            return Err(MeasureError::new("feet are written twice", help, range));
        }
        Some(Written::Inches) | None => {}
    }
    if !feet.is_whole() {
        return Err(MeasureError::new(
            "part of a foot is written twice, in the feet and in inches",
            "write whole feet before inches, as 3' 6\", or feet alone, as 3.5 ft",
            range,
        ));
    }
    if inches.value >= INCHES_PER_FOOT {
        return Err(MeasureError::new(
            format!("{} inches after feet make another foot", inches.value),
            "write inches under 12 after feet, or inches alone",
            inches.range,
        ));
    }
    let marks = marks(&inches, unit);
    Ok(Some(Size {
        system: Unit::Inches,
        amount: inches.value,
        marks,
    }))
}

/// Takes the + or - of strong or scant: the last token, close behind the one before.
fn hair(cursor: &mut Cursor<'_>) -> Result<Option<f64>, MeasureError> {
    let direction = match cursor.peek().map(|token| token.kind) {
        Some(Kind::Plus) => 1.0,
        Some(Kind::Dash) => -1.0,
        _ => return Ok(None),
    };
    if cursor.peek().is_some_and(|token| token.spaced) || cursor.ahead(1).is_some() {
        return Err(MeasureError::new(
            "a sign within a length",
            "a sign stands in front only; for strong or scant put + or - close behind, as 10 1/4\"+",
            cursor.rest_range(),
        ));
    }
    cursor.skip(1);
    Ok(Some(direction))
}

fn mixed_systems(range: Range<usize>) -> MeasureError {
    MeasureError::new(
        "inches and millimetres in one length",
        "write the whole length in one system",
        range,
    )
}

/// Everything must have been taken by now.
fn refuse_rest(cursor: &Cursor<'_>) -> Result<(), MeasureError> {
    let Some(next) = cursor.peek() else {
        return Ok(());
    };
    let range = cursor.rest_range();
    let rest = cursor.slice(range.clone());
    let written = &cursor.slice(cursor.whole_range())[..range.start - cursor.whole_range().start];
    Err(match next.kind {
        Kind::Number(_) | Kind::Fraction(..) => match (system_of(written), system_of(rest)) {
            (Some(first), Some(second)) if first != second => mixed_systems(cursor.whole_range()),
            _ => MeasureError::new(
                format!("{} is left over after the length", quoted(rest)),
                "write one number with one unit, or feet and then inches, as 3' 2 1/2\"",
                range,
            ),
        },
        _ => MeasureError::new(
            format!("{} is left over after the length", quoted(rest)),
            EXAMPLES,
            range,
        ),
    })
}

/// Which system the unit that ends a text belongs to: true for metric.
fn system_of(text: &str) -> Option<bool> {
    let cursor = Cursor::new(text).ok()?;
    let units = (0..)
        .map_while(|places| cursor.kind_ahead(places))
        .filter_map(|kind| match kind {
            Kind::Prime | Kind::DoublePrime => Some(false),
            Kind::Word(word) => named_unit(word).map(Written::is_metric),
            _ => None,
        });
    units.last()
}

/// Puts sign and unit on, and refuses what no building holds.
fn finish(size: &Size, negative: bool, range: Range<usize>) -> Result<Length, MeasureError> {
    let amount = if negative { -size.amount } else { size.amount };
    // Adding zero turns a negative zero into zero.
    let length = match size.system {
        Unit::Inches => Length::inches(amount + 0.0),
        Unit::Millimetres => Length::mm(amount + 0.0),
    };
    if length.as_mm().abs() > LONGEST_MM {
        return Err(MeasureError::new(
            "longer than 1000 m",
            "look for a slipped digit or a wrong unit",
            range,
        ));
    }
    Ok(length)
}
