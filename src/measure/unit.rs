//! Units of length as written: tokens in, [`Written`] or [`MeasureError`] out.

use super::MeasureError;
use super::lex::Kind;
use super::quantity::Cursor;

/// A unit as written. A metric one is so many powers of ten of a millimetre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Written {
    Feet,
    Inches,
    Metric(i32),
}

impl Written {
    pub(super) const fn is_metric(self) -> bool {
        matches!(self, Self::Metric(_))
    }
}

/// Takes a unit where one stands.
pub(super) fn unit(cursor: &mut Cursor<'_>) -> Result<Option<Written>, MeasureError> {
    let Some(token) = cursor.peek() else {
        return Ok(None);
    };
    let unit = match token.kind {
        Kind::Prime => Written::Feet,
        Kind::DoublePrime => Written::Inches,
        Kind::Word(word) => match named_unit(word) {
            Some(unit) => unit,
            None => return Err(unknown_unit(cursor, word)),
        },
        Kind::Degree => {
            let help = "a length takes inches, feet or millimetres";
            return Err(MeasureError::new(
                "degrees on a length",
                help,
                token.range.clone(),
            ));
        }
        _ => return Ok(None),
    };
    cursor.skip(1);
    Ok(Some(unit))
}

/// The unit of a name, in capitals or not.
pub(super) fn named_unit(word: &str) -> Option<Written> {
    const NAMES: [(&[&str], Written); 5] = [
        (&["in", "ins", "inch", "inches"], Written::Inches),
        (&["ft", "foot", "feet"], Written::Feet),
        (
            &[
                "mm",
                "millimetre",
                "millimetres",
                "millimeter",
                "millimeters",
            ],
            Written::Metric(0),
        ),
        (
            &[
                "cm",
                "centimetre",
                "centimetres",
                "centimeter",
                "centimeters",
            ],
            Written::Metric(1),
        ),
        (
            &["m", "metre", "metres", "meter", "meters"],
            Written::Metric(3),
        ),
    ];
    NAMES
        .iter()
        .find(|(names, _)| names.iter().any(|name| name.eq_ignore_ascii_case(word)))
        .map(|&(_, unit)| unit)
}

fn unknown_unit(cursor: &Cursor<'_>, word: &str) -> MeasureError {
    let range = cursor.peek().map_or(0..0, |token| token.range.clone());
    let close = |places| cursor.ahead(places).is_some_and(|token| !token.spaced);
    if word.eq_ignore_ascii_case("e") && close(0) && close(1) {
        return MeasureError::new(
            "powers of ten are not read in a length",
            "write the digits out, as 1000",
            cursor.rest_range(),
        );
    }
    let help = match word.to_ascii_lowercase().as_str() {
        "strong" | "full" | "heavy" => "for a hair over write + close behind, as 10 1/4\"+",
        "scant" | "shy" | "light" => "for a hair under write - close behind, as 10 1/4\"-",
        _ => "the units are in, ft, mm, cm and m, or ' and \"",
    };
    MeasureError::new(format!("`{word}` is no unit of length"), help, range)
}
