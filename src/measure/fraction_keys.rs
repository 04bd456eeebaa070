//! Fraction keys: one letter adds a fraction of an inch to the number typed so far.
//!
//! In: the text of a field and the key pressed. Out: the text as a carpenter would write it, or
//! `None` where the key is a letter like any other, so that the field takes it as typed.
//! `h q e s t` add 1/2, 1/4, 1/8, 1/16, 1/32; capitals take them away. Both go by magnitude, as one
//! says a reading: `-1/4` and `e` make `-3/8`.

use super::lex::{Kind, tokens};
use super::{Unit, parse_length};

/// The finest mark that a key makes, per inch.
const FINEST: u32 = 32;
const INCHES_PER_FOOT: u32 = 12;

/// The keys, with what each adds.
pub const KEYS: [(char, &str); 5] = [
    ('h', "1/2"),
    ('q', "1/4"),
    ('e', "1/8"),
    ('s', "1/16"),
    ('t', "1/32"),
];

/// The text after a key. `None` where the key is none of ours, the unit is metric, the text is not
/// yet (or no longer) a number on 32nds, or more would be taken away than there is.
///
/// ```
/// use rakewell::measure::{Unit, fraction_keys::press};
///
/// assert_eq!(press("7 3/8", 's', Unit::Inches).as_deref(), Some("7 7/16"));
/// assert_eq!(press("7 3/8", 'S', Unit::Inches).as_deref(), Some("7 5/16"));
/// assert_eq!(press("7 3/", 's', Unit::Inches), None);
/// ```
#[must_use]
pub fn press(text: &str, key: char, unit: Unit) -> Option<String> {
    let step = step(key)?;
    if unit != Unit::Inches || text.chars().any(char::is_alphabetic) {
        return None;
    }
    let typed = Number::read(text)?;
    let marks = if key.is_ascii_uppercase() {
        typed.marks.checked_sub(step)?
    } else {
        typed.marks.checked_add(step)?
    };
    Some(Number { marks, ..typed }.write())
}

/// What a key adds, in 32nds.
fn step(key: char) -> Option<u32> {
    let place = KEYS
        .iter()
        .position(|(name, _)| *name == key.to_ascii_lowercase())?;
    Some((FINEST / 2) >> place)
}

/// A number on 32nds of an inch, and how it was written.
struct Number {
    negative: bool,
    /// 32nds, without sign.
    marks: u32,
    feet: bool,
    inch_mark: bool,
}

impl Number {
    fn read(text: &str) -> Option<Self> {
        let kinds: Vec<_> = tokens(text).ok()?.into_iter().map(|one| one.kind).collect();
        let bare_sign = matches!(kinds.as_slice(), [] | [Kind::Dash | Kind::Plus]);
        let marks = if bare_sign {
            // Nothing typed yet, or a sign only: the key begins the number.
            0.0
        } else {
            let length = parse_length(text, Unit::Inches).ok()?;
            length.as_inches().abs() * f64::from(FINEST)
        };
        let whole = marks.round();
        let on_a_mark = (marks - whole).abs() < super::tolerance::MARK_NOISE;
        (on_a_mark && whole < f64::from(u32::MAX)).then(|| Self {
            negative: kinds.first() == Some(&Kind::Dash),
            // Whole and within bounds, by the line above.
            marks: whole as u32,
            feet: kinds.contains(&Kind::Prime),
            inch_mark: kinds.last() == Some(&Kind::DoublePrime),
        })
    }

    fn write(&self) -> String {
        let per_foot = INCHES_PER_FOOT * FINEST;
        let (feet, rest) = if self.feet {
            (self.marks / per_foot, self.marks % per_foot)
        } else {
            (0, self.marks)
        };
        let inches = mixed(rest, self.feet);
        let sign = if self.negative && self.marks > 0 {
            "-"
        } else {
            ""
        };
        let mark = if self.inch_mark { "\"" } else { "" };
        if self.feet {
            format!("{sign}{feet}' {inches}{mark}")
        } else {
            format!("{sign}{inches}{mark}")
        }
    }
}

/// 32nds as a whole number and a fraction in lowest terms. Behind feet the whole number is always
/// written: a bare fraction there is too easily read as part of a foot.
fn mixed(marks: u32, whole_always: bool) -> String {
    let (whole, over) = (marks / FINEST, marks % FINEST);
    if over == 0 {
        return whole.to_string();
    }
    let twos = over.trailing_zeros();
    let fraction = format!("{}/{}", over >> twos, FINEST >> twos);
    if whole == 0 && !whole_always {
        fraction
    } else {
        format!("{whole} {fraction}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;

    fn typed(from: &str, keys: &str) -> String {
        keys.chars().fold(from.to_owned(), |text, key| {
            press(&text, key, Unit::Inches).unwrap_or_else(|| panic!("{text} {key}"))
        })
    }

    #[test]
    fn every_mark_of_the_tape_can_be_reached() {
        for thirty_seconds in 0_u32..32 {
            let keys: String = KEYS
                .iter()
                .enumerate()
                .filter(|(place, _)| thirty_seconds & (16 >> place) != 0)
                .map(|(_, (key, _))| *key)
                .collect();
            let text = typed("7", &keys);
            let read = parse_length(&text, Unit::Inches).unwrap();
            let want = Length::inches(7.0 + f64::from(thirty_seconds) / 32.0);
            assert_eq!(read, want, "{text}");
        }
        assert_eq!(typed("7", "qes"), "7 7/16");
    }

    #[test]
    fn each_key_adds_what_it_says() {
        for (key, says) in KEYS {
            assert_eq!(typed("", &key.to_string()), says);
            assert_eq!(typed(says, &key.to_ascii_uppercase().to_string()), "0");
        }
    }

    #[test]
    fn a_full_inch_carries_over_and_back() {
        assert_eq!(typed("7 3/4", "q"), "8");
        assert_eq!(typed("7 15/16", "e"), "8 1/16");
        assert_eq!(typed("8", "S"), "7 15/16");
    }

    #[test]
    fn feet_stay_feet() {
        assert_eq!(typed("3' 2", "q"), "3' 2 1/4");
        assert_eq!(typed("3' 11 3/4\"", "h"), "4' 0 1/4\"");
        assert_eq!(typed("3'", "h"), "3' 0 1/2");
        assert_eq!(typed("38", "q"), "38 1/4");
    }

    #[test]
    fn below_zero_the_number_grows_away_from_zero() {
        assert_eq!(typed("-1/4", "e"), "-3/8");
        assert_eq!(typed("-", "e"), "-1/8");
        assert_eq!(typed("-1/8", "E"), "0");
    }

    #[test]
    fn what_is_no_number_on_the_marks_is_left_alone() {
        for text in [
            "7 3/", "3.", "7 1/3", "7.3", "7 7/16+", "260 mm", "3 f", "x", "1//2",
        ] {
            assert_eq!(press(text, 'e', Unit::Inches), None, "{text}");
        }
        assert_eq!(press("1/8", 'H', Unit::Inches), None);
        assert_eq!(press("7", 'x', Unit::Inches), None);
        assert_eq!(press("260", 'h', Unit::Millimetres), None);
    }
}
