//! [`Force`]: what something carries, at a point, along a length or over an area.
//!
//! Text in, [`Force`] or [`MeasureError`] out. Newtons inside; a pound is a pound of force,
//! 4.4482216152605 N exactly (a pound of mass at the standard fall of 9.80665 m/s²).

use std::fmt;

use super::MeasureError;
use super::error::quoted;
use super::typed::Measure;

/// A pound of force in newtons, exactly.
const POUND: f64 = 4.448_221_615_260_5;
/// A foot in metres, exactly.
const FOOT: f64 = 0.3048;
/// Past this it is a bridge and not a stair, newtons (or newtons on a metre or square metre).
const MOST: f64 = 1.0e6;

const EXAMPLES: &str = "write it as 200 lb, 890 N, 50 lb/ft, 0.73 kN/m or 25 lb/ft2";

/// What a force is spread over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// It acts at a point: newtons.
    Point,
    /// It acts along a length: newtons on each metre.
    Line,
    /// It acts over an area: newtons on each square metre.
    Area,
}

impl Spread {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Point => "at a point",
            Self::Line => "along a length",
            Self::Area => "over an area",
        }
    }
}

/// A force with what it is spread over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Force {
    newtons: f64,
    spread: Spread,
}

impl Force {
    /// A force of so many newtons: at a point, on each metre, or on each square metre.
    #[must_use]
    pub const fn newtons(newtons: f64, spread: Spread) -> Self {
        Self { newtons, spread }
    }

    /// The force in newtons: at a point, on each metre, or on each square metre.
    #[must_use]
    pub const fn as_newtons(self) -> f64 {
        self.newtons
    }

    /// What it is spread over.
    #[must_use]
    pub const fn spread(self) -> Spread {
        self.spread
    }
}

impl fmt::Display for Force {
    /// In whole newtons, as `890 N`, `730 N/m` or `1200 N/m²`.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match self.spread {
            Spread::Point => "N",
            Spread::Line => "N/m",
            Spread::Area => "N/m²",
        };
        write!(out, "{:.0} {unit}", self.newtons)
    }
}

/// Reads a force with its unit: there is no default one.
///
/// # Errors
/// [`MeasureError`] names the bytes at fault and what would do.
pub fn parse_force(text: &str) -> Result<Force, MeasureError> {
    super::lex::short(text)?;
    let whole = text.trim();
    let start = text.len() - text.trim_start().len();
    let fault = |problem: String, from: usize, to: usize| {
        MeasureError::new(problem, EXAMPLES, start + from..start + to)
    };
    if whole.is_empty() {
        return Err(fault("no force is written".to_owned(), 0, 0));
    }
    let end = whole
        .find(|letter: char| !(letter.is_ascii_digit() || letter == '.' || letter == '-'))
        .unwrap_or(whole.len());
    let (digits, rest) = whole.split_at(end);
    let number: f64 = digits
        .parse()
        .map_err(|_no_number| fault(format!("{} is no force", quoted(whole)), 0, whole.len()))?;
    let unit = rest.trim();
    let Some((one, spread)) = unit_of(unit) else {
        let problem = if unit.is_empty() {
            "a force without a unit".to_owned()
        } else {
            format!("{} is no unit of force", quoted(unit))
        };
        return Err(fault(problem, end, whole.len()));
    };
    let newtons = number * one;
    if newtons > MOST {
        return Err(fault(
            "more than any stair carries".to_owned(),
            0,
            whole.len(),
        ));
    }
    if newtons <= 0.0 {
        return Err(fault(
            "a force is more than nothing".to_owned(),
            0,
            whole.len(),
        ));
    }
    Ok(Force { newtons, spread })
}

/// The newtons of one of a unit, and what it is spread over.
fn unit_of(text: &str) -> Option<(f64, Spread)> {
    let plain = text.to_lowercase().replace('²', "2").replace(' ', "");
    Some(match plain.as_str() {
        "psf" => (POUND / (FOOT * FOOT), Spread::Area),
        "plf" => (POUND / FOOT, Spread::Line),
        "pa" => (1.0, Spread::Area),
        "kpa" => (1000.0, Spread::Area),
        both => {
            let (force, over) = match both.split_once('/') {
                Some((force, over)) => (force, Some(over)),
                None => (both, None),
            };
            let one = match force {
                "n" => 1.0,
                "kn" => 1000.0,
                "lb" | "lbs" | "lbf" => POUND,
                _ => return None,
            };
            match over {
                None => (one, Spread::Point),
                Some("m") => (one, Spread::Line),
                Some("ft") => (one / FOOT, Spread::Line),
                Some("m2") => (one, Spread::Area),
                Some("ft2") => (one / (FOOT * FOOT), Spread::Area),
                Some(_) => return None,
            }
        }
    })
}

impl Measure for Force {
    const NAME: &'static str = "a force";
    fn read(text: &str) -> Result<Self, MeasureError> {
        parse_force(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forces_read_as_the_codes_print_them_in_both_units() {
        // The pairs are as printed: 200 lb 890 N, 50 lb 222 N (IRC Table R301.5 in Washington's and
        // Pleasanton's texts), 50 lb/ft 0.73 kN/m (ASCE 7, 4.5.1), 40 psf 1.92 kN/m² (the same
        // table). Codes round to three figures.
        for (pounds, metric, spread) in [
            ("200 lb", "890 N", Spread::Point),
            ("50 lb", "222 N", Spread::Point),
            ("300 lb", "1334 N", Spread::Point),
            ("50 lb/ft", "0.73 kN/m", Spread::Line),
            ("40 psf", "1.92 kPa", Spread::Area),
            ("40 lb/ft²", "1.92 kN/m2", Spread::Area),
        ] {
            let [a, b] = [pounds, metric].map(|text| parse_force(text).unwrap());
            assert_eq!((a.spread(), b.spread()), (spread, spread), "{pounds}");
            let off = (a.as_newtons() / b.as_newtons() - 1.0).abs();
            assert!(off < 0.003, "{pounds} is {a}, {metric} is {b}");
        }
    }

    #[test]
    fn what_is_no_force_is_refused_at_its_place() {
        for (text, word) in [
            ("", "no force"),
            ("200", "without a unit"),
            ("lb", "is no force"),
            ("200 kg", "no unit of force"),
            ("200 lb/yd", "no unit of force"),
            ("0 lb", "more than nothing"),
            ("-3 N", "more than nothing"),
            ("1e9 N", "no unit of force"),
            ("99999999 kN", "more than any stair"),
            ("2.3.4 N", "is no force"),
        ] {
            let error = parse_force(text).unwrap_err();
            assert!(error.problem.contains(word), "{text}: {error}");
            assert!(error.range.end <= text.len());
        }
    }
}
