//! The words of a written measure: text in, tokens with byte ranges out.
//!
//! Every way of writing the same sign (primes, typographic quotes, the several dashes, fraction
//! characters) becomes one token here, so that the grammars of lengths and angles need not know.

use std::ops::Range;

use super::MeasureError;

/// Longer than any measure with its spaces, and short enough to put into a message, bytes.
const LONGEST_TEXT: usize = 80;

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Kind<'a> {
    /// Digits with at most one point, as `10` or `.5`.
    Number(&'a str),
    /// A fraction written as one character, or in raised and lowered digits.
    Fraction(u32, u32),
    /// `/` or the fraction slash.
    Slash,
    /// `+`
    Plus,
    /// A hyphen or minus sign.
    Dash,
    /// One prime: feet, or minutes of arc.
    Prime,
    /// Two primes: inches, or seconds of arc.
    DoublePrime,
    /// The degree sign.
    Degree,
    /// A run of letters; a full stop that ends it is part of its range only.
    Word(&'a str),
}

/// One token and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Token<'a> {
    pub(super) kind: Kind<'a>,
    pub(super) range: Range<usize>,
    /// White space stands before it.
    pub(super) spaced: bool,
}

/// Refuses a text that is longer than any measure.
pub(super) fn short(text: &str) -> Result<(), MeasureError> {
    if text.len() > LONGEST_TEXT {
        return Err(MeasureError::new(
            format!("this is {} bytes long", text.len()),
            format!("a measure takes at most {LONGEST_TEXT}"),
            0..text.len(),
        ));
    }
    Ok(())
}

/// Splits a text into tokens.
pub(super) fn tokens(text: &str) -> Result<Vec<Token<'_>>, MeasureError> {
    short(text)?;
    let mut found = Vec::new();
    let mut at = 0;
    let mut spaced = false;
    while let Some(first) = text[at..].chars().next() {
        if first.is_whitespace() {
            spaced = true;
            at += first.len_utf8();
            continue;
        }
        let (kind, length) = token(text, at, first)?;
        found.push(Token {
            kind,
            range: at..at + length,
            spaced,
        });
        spaced = false;
        at += length;
    }
    Ok(found)
}

/// The token that starts at byte `at` with `first`, and its length in bytes.
fn token(text: &str, at: usize, first: char) -> Result<(Kind<'_>, usize), MeasureError> {
    let rest = &text[at..];
    if first.is_ascii_digit() || first == '.' {
        return number(rest, at);
    }
    if first.is_ascii_alphabetic() {
        let word = run(rest, |c| c.is_ascii_alphabetic());
        let stop = usize::from(rest[word.len()..].starts_with('.'));
        return Ok((Kind::Word(word), word.len() + stop));
    }
    if let Some(found) = raised_fraction(rest) {
        return Ok(found);
    }
    sign(rest, first).ok_or_else(|| unknown(first, at))
}

/// The signs that are one character, or two primes in a row.
fn sign(rest: &str, first: char) -> Option<(Kind<'_>, usize)> {
    let kind = match first {
        '/' | '\u{2044}' | '\u{2215}' => Kind::Slash,
        '+' => Kind::Plus,
        // Hyphen, true hyphen, unbroken hyphen, en dash, minus.
        '-' | '\u{2010}' | '\u{2011}' | '\u{2013}' | '\u{2212}' => Kind::Dash,
        '"' | '\u{2033}' | '\u{201c}' | '\u{201d}' | '\u{201f}' | '\u{02ba}' => Kind::DoublePrime,
        '°' | '\u{00ba}' | '\u{02da}' => Kind::Degree,
        _ if is_prime(first) => {
            let second = rest[first.len_utf8()..]
                .chars()
                .next()
                .filter(|&c| is_prime(c));
            if let Some(second) = second {
                return Some((Kind::DoublePrime, first.len_utf8() + second.len_utf8()));
            }
            Kind::Prime
        }
        _ => {
            let (top, bottom) = fraction_character(first)?;
            Kind::Fraction(top, bottom)
        }
    };
    Some((kind, first.len_utf8()))
}

fn is_prime(c: char) -> bool {
    matches!(
        c,
        '\'' | '\u{2032}' | '\u{2018}' | '\u{2019}' | '\u{201b}' | '\u{02b9}'
    )
}

/// Digits with at most one point, and a digit after the point.
fn number(rest: &str, at: usize) -> Result<(Kind<'_>, usize), MeasureError> {
    let digits = run(rest, |c| c.is_ascii_digit() || c == '.');
    let range = at..at + digits.len();
    if rest[digits.len()..].starts_with(',') {
        return Err(MeasureError::new(
            "a comma within a number",
            "write a point before the decimals and nothing between thousands",
            at..range.end + 1,
        ));
    }
    if digits.matches('.').count() > 1 {
        let help = "write at most one point, as 10.25";
        return Err(MeasureError::new(
            format!("{digits} has two points"),
            help,
            range,
        ));
    }
    if digits.ends_with('.') {
        let help = "write a digit after the point, or leave the point out";
        return Err(MeasureError::new(
            format!("{digits} ends in a point"),
            help,
            range,
        ));
    }
    Ok((Kind::Number(digits), digits.len()))
}

/// The front of `text` whose characters all pass.
fn run(text: &str, pass: impl Fn(char) -> bool) -> &str {
    let end = text.find(|c| !pass(c)).unwrap_or(text.len());
    &text[..end]
}

const fn fraction_character(c: char) -> Option<(u32, u32)> {
    Some(match c {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

/// A fraction in raised and lowered digits, as `¹¹⁄₁₆`: there is no one character for sixteenths.
fn raised_fraction(rest: &str) -> Option<(Kind<'_>, usize)> {
    const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    const LOWERED: [char; 10] = ['₀', '₁', '₂', '₃', '₄', '₅', '₆', '₇', '₈', '₉'];
    let top = run(rest, |c| RAISED.contains(&c));
    let after_top = &rest[top.len()..];
    let slash = after_top
        .chars()
        .next()
        .filter(|c| matches!(c, '/' | '\u{2044}'))?;
    let bottom = run(&after_top[slash.len_utf8()..], |c| LOWERED.contains(&c));
    let fraction = Kind::Fraction(plain(top, &RAISED)?, plain(bottom, &LOWERED)?);
    Some((fraction, top.len() + slash.len_utf8() + bottom.len()))
}

/// The number that a run of raised or lowered digits writes; none for an empty or endless run.
fn plain(run: &str, digits: &[char; 10]) -> Option<u32> {
    let spelled: String = run
        .chars()
        .filter_map(|c| digits.iter().position(|&d| d == c))
        .map(|value| char::from(b"0123456789"[value]))
        .collect();
    spelled.parse().ok()
}

fn unknown(first: char, at: usize) -> MeasureError {
    let help = if first == ',' {
        "write a point before the decimals and nothing between thousands"
    } else {
        "write digits, fractions and units only, as 10 1/4\" or 260 mm"
    };
    MeasureError::new(
        format!("{first:?} has no place in a measure"),
        help,
        at..at + first.len_utf8(),
    )
}
