//! Recognises a number that was written for one unit and read in another.
//!
//! In: a length as typed, the unit of bare numbers, and what would do. Out: the unit, or the place
//! of the decimal point, that it was most likely written for. Does not: change any reading.

use crate::job::Len;
use crate::measure::{Length, Tape, Unit};

/// Two lengths this near, as a share of the meant one, are one length misread: well over what a
/// stair is off by, and well under the least factor between two units (2.54).
const NEAR: f64 = 0.05;

/// A unit that a number can be meant in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum In {
    Millimetres,
    Centimetres,
    Inches,
    Feet,
}

/// The likeliest first: the two rules on one tape, then feet for inches, then centimetres.
const UNITS: [In; 4] = [In::Millimetres, In::Inches, In::Feet, In::Centimetres];

impl In {
    const fn size(self) -> Length {
        match self {
            Self::Millimetres => Length::mm(1.0),
            Self::Centimetres => Length::mm(10.0),
            Self::Inches => Length::inches(1.0),
            Self::Feet => Length::inches(12.0),
        }
    }

    /// As one says it, and as the file writes it.
    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Millimetres => ("millimetres", "mm"),
            Self::Centimetres => ("centimetres", "cm"),
            Self::Inches => ("inches", "in"),
            Self::Feet => ("feet", "ft"),
        }
    }

    /// The unit of a text such as `mm`; `None` where it is none of these.
    fn named(text: &str) -> Option<Self> {
        Some(match text.to_ascii_lowercase().as_str() {
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Self::Millimetres,
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Self::Centimetres,
            "in" | "ins" | "inch" | "inches" | "\"" | "″" | "''" => Self::Inches,
            "ft" | "foot" | "feet" | "'" | "′" => Self::Feet,
            _ => return None,
        })
    }
}

/// What a number was most likely meant to be.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Slip {
    /// What to write instead, as `190 mm`.
    write: String,
    /// The length that it then is.
    pub(super) meant: Length,
    /// How many times too great or too small the number was read; more than one.
    factor: f64,
    /// What happened, as a question.
    ask: String,
}

impl Slip {
    /// Says it, with lengths printed to a tape.
    pub(super) fn say(&self, tape: Tape) -> String {
        // 304.8 and 30.48 are the odd ones out; three decimals show every factor whole.
        let factor = format!("{:.3}", self.factor);
        let factor = factor.trim_end_matches('0').trim_end_matches('.');
        let (write, meant) = (&self.write, tape.print(self.meant));
        let ask = &self.ask;
        format!("{write} would be {meant}, a factor of {factor}: {ask}? write `{write}`")
    }
}

/// What a number may have been meant for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted<F> {
    /// True for a length that can stand here.
    pub(super) fits: F,
    /// What was meant, where the design says it.
    pub(super) meant: Option<Length>,
}

/// The slip that brings a typed length near what was meant; where `out` is true, or else the first
/// that brings it to where it can stand at all.
pub(super) fn recognise<F: Fn(Length) -> bool>(
    typed: &Len,
    bare: Unit,
    wanted: &Wanted<F>,
    out: bool,
) -> Option<Slip> {
    let (number, unit) = split(&typed.text, bare)?;
    let read = typed.value;
    let slips = UNITS.into_iter().filter(|other| *other != unit);
    let other_units = slips.map(|other| of_unit(number, other, read, other.size() / unit.size()));
    let points = [10.0, 0.1].map(|factor| of_point(read, unit, factor));
    let sound = |slip: &Slip| slip.meant.is_finite() && (wanted.fits)(slip.meant);
    let near = |slip: &Slip| {
        wanted.meant.is_some_and(|meant| {
            (slip.meant - meant).abs() <= meant.abs() * NEAR && meant.abs() > Length::ZERO
        })
    };
    let mut all: Vec<Slip> = other_units.collect();
    if out && !all.iter().any(|slip| sound(slip) && near(slip)) {
        let points = points.into_iter().find(|slip| sound(slip) && near(slip));
        return points.or_else(|| all.into_iter().find(sound));
    }
    all.extend(points);
    all.into_iter().find(|slip| sound(slip) && near(slip))
}

fn of_unit(number: &str, other: In, read: Length, ratio: f64) -> Slip {
    let (name, short) = other.words();
    Slip {
        write: format!("{number} {short}"),
        meant: read * ratio,
        factor: ratio.max(1.0 / ratio),
        ask: format!("was it {name}"),
    }
}

fn of_point(read: Length, unit: In, factor: f64) -> Slip {
    let meant = read * factor;
    let number = format!("{:.6}", meant / unit.size());
    let number = number.trim_end_matches('0').trim_end_matches('.');
    Slip {
        write: format!("{number} {}", unit.words().1),
        meant,
        factor: factor.max(1.0 / factor),
        ask: "did the point slip".to_owned(),
    }
}

/// The number of a typed length and the unit that it was read in. `None` where it has two, as
/// `3' 2"`, or another one, or is strong or scant: who writes those has looked at his tape.
fn split(text: &str, bare: Unit) -> Option<(&str, In)> {
    let text = text.trim();
    let digit = |c: char| c.is_numeric() || matches!(c, ' ' | '.' | '/' | '-' | '+' | '_');
    let cut = text.find(|c| !digit(c)).unwrap_or(text.len());
    let (number, unit) = text.split_at(cut);
    let number = number.trim_end();
    let unit = match unit {
        "" => match bare {
            Unit::Inches => In::Inches,
            Unit::Millimetres => In::Millimetres,
        },
        named => In::named(named)?,
    };
    let whole = number.ends_with(|c: char| c.is_numeric() || c == '.');
    whole.then_some((number, unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(text: &str, bare: Unit) -> Len {
        crate::measure::with_default_unit(bare, || Len::read(text)).expect("a length")
    }

    fn inches(least: f64, most: f64) -> impl Fn(Length) -> bool {
        move |length| Length::inches(least) <= length && length <= Length::inches(most)
    }

    fn said(text: &str, bare: Unit, meant: Option<Length>, out: bool) -> Option<String> {
        let fits = inches(1.0, 48.0);
        let tape = match bare {
            Unit::Inches => Tape::Sixteenths,
            Unit::Millimetres => Tape::Millimetres,
        };
        recognise(&typed(text, bare), bare, &Wanted { fits, meant }, out).map(|slip| slip.say(tape))
    }

    /// Every pair of units and the decimal point, each way: typed, the unit of bare numbers,
    /// what was meant in inches, the factor and what to write.
    const SLIPS: [(&str, Unit, f64, &str, &str); 20] = [
        ("190", Unit::Inches, 7.5, "25.4", "190 mm"),
        ("190 in", Unit::Inches, 7.5, "25.4", "190 mm"),
        ("190\"", Unit::Millimetres, 7.5, "25.4", "190 mm"),
        ("7.5", Unit::Millimetres, 7.5, "25.4", "7.5 in"),
        ("7 1/2", Unit::Millimetres, 7.5, "25.4", "7 1/2 in"),
        ("7.5 mm", Unit::Inches, 7.5, "25.4", "7.5 in"),
        ("3", Unit::Inches, 36.0, "12", "3 ft"),
        ("38'", Unit::Inches, 38.0, "12", "38 in"),
        ("38 ft", Unit::Millimetres, 38.0, "12", "38 in"),
        ("19", Unit::Millimetres, 7.5, "10", "19 cm"),
        ("190 cm", Unit::Millimetres, 7.5, "10", "190 mm"),
        ("19", Unit::Inches, 7.5, "2.54", "19 cm"),
        ("7.5 cm", Unit::Inches, 7.5, "2.54", "7.5 in"),
        ("3", Unit::Millimetres, 36.0, "304.8", "3 ft"),
        ("960'", Unit::Inches, 37.8, "304.8", "960 mm"),
        ("3 cm", Unit::Inches, 36.0, "30.48", "3 ft"),
        ("96'", Unit::Inches, 37.8, "30.48", "96 cm"),
        ("75", Unit::Inches, 7.5, "10", "7.5 in"),
        (".75", Unit::Inches, 7.5, "10", "7.5 in"),
        ("1900", Unit::Millimetres, 7.5, "10", "190 mm"),
    ];

    #[test]
    fn every_factor_is_named_where_it_lands_on_what_is_meant() {
        for (text, bare, meant, factor, write) in SLIPS {
            for out in [false, true] {
                let said = said(text, bare, Some(Length::inches(meant)), out);
                let said = said.unwrap_or_else(|| panic!("{text} is seen"));
                assert!(
                    said.contains(&format!("a factor of {factor}:")),
                    "{text}: {said}"
                );
                assert!(
                    said.ends_with(&format!("? write `{write}`")),
                    "{text}: {said}"
                );
            }
        }
    }

    #[test]
    fn what_to_write_reads_as_what_was_meant() {
        for (text, bare, meant, _, write) in SLIPS {
            let wanted = Wanted {
                fits: inches(1.0, 48.0),
                meant: Some(Length::inches(meant)),
            };
            let slip = recognise(&typed(text, bare), bare, &wanted, true).expect(text);
            let written = typed(write, bare).value;
            assert!((slip.meant - written).abs() < Length::mm(1e-6), "{text}");
        }
    }

    #[test]
    fn with_nothing_meant_a_length_out_of_bounds_takes_the_likeliest_unit() {
        assert_eq!(
            said("190", Unit::Inches, None, true).as_deref(),
            Some("190 mm would be 7 1/2\"-, a factor of 25.4: was it millimetres? write `190 mm`")
        );
        assert_eq!(
            said("7.5", Unit::Millimetres, None, true).as_deref(),
            Some("7.5 in would be 191 mm-, a factor of 25.4: was it inches? write `7.5 in`")
        );
        assert_eq!(said("190", Unit::Inches, None, false), None);
        // No decimal point is moved on mere suspicion.
        assert_eq!(said("0", Unit::Inches, None, true), None);
        assert_eq!(said("-5", Unit::Inches, None, true), None);
    }

    #[test]
    fn what_no_factor_mends_is_left_alone() {
        let meant = Some(Length::inches(7.5));
        for text in ["9", "7.5", "5 1/4", "-7.5", "0"] {
            assert_eq!(said(text, Unit::Inches, meant, false), None, "{text}");
        }
        // Two units, or a hair: he has looked at his tape.
        for text in ["15' 10\"", "190\"+"] {
            assert_eq!(said(text, Unit::Inches, meant, true), None, "{text}");
        }
    }
}
