//! Numbers as written with whole and fraction: tokens in, a value and its form out.

use std::ops::Range;

use super::MeasureError;
use super::lex::{Kind, Token, tokens};

/// Finer fractions than this are on no tape; a decimal says them better.
const FINEST: u32 = 1000;

/// A number without sign or unit.
#[derive(Clone, Debug)]
pub(super) struct Quantity<'a> {
    pub(super) value: f64,
    /// The digits, where no fraction is written.
    digits: Option<&'a str>,
    /// What the fraction counts in, where one is written.
    pub(super) denominator: Option<u32>,
    pub(super) range: Range<usize>,
}

impl Quantity<'_> {
    /// No point and no fraction.
    pub(super) fn is_whole(&self) -> bool {
        self.denominator.is_none() && !self.is_decimal()
    }

    /// Written with a point.
    pub(super) fn is_decimal(&self) -> bool {
        self.digits.is_some_and(|digits| digits.contains('.'))
    }

    /// The value times a power of ten, rounded once: `1.001 m` is 1001 mm to the last bit, which
    /// 1.001 * 1000 is not.
    pub(super) fn times_ten_to(&self, power: i32) -> f64 {
        self.digits
            .and_then(|digits| format!("{digits}e{power}").parse().ok())
            .unwrap_or_else(|| self.value * 10_f64.powi(power))
    }
}

/// A fraction under one.
struct Fraction {
    top: u32,
    bottom: u32,
    range: Range<usize>,
}

/// Walks over the tokens of one text.
pub(super) struct Cursor<'a> {
    text: &'a str,
    tokens: Vec<Token<'a>>,
    at: usize,
}

impl<'a> Cursor<'a> {
    pub(super) fn new(text: &'a str) -> Result<Self, MeasureError> {
        Ok(Self {
            text,
            tokens: tokens(text)?,
            at: 0,
        })
    }

    pub(super) fn peek(&self) -> Option<&Token<'a>> {
        self.ahead(0)
    }

    /// The token so many places on.
    pub(super) fn ahead(&self, places: usize) -> Option<&Token<'a>> {
        self.tokens.get(self.at + places)
    }

    pub(super) fn kind_ahead(&self, places: usize) -> Option<Kind<'a>> {
        self.ahead(places).map(|token| token.kind)
    }

    pub(super) fn skip(&mut self, places: usize) {
        self.at += places;
    }

    /// The bytes from the first token to the last.
    pub(super) fn whole_range(&self) -> Range<usize> {
        match (self.tokens.first(), self.tokens.last()) {
            (Some(first), Some(last)) => first.range.start..last.range.end,
            _ => 0..self.text.len(),
        }
    }

    /// The bytes from the next token to the last, for what is left over.
    pub(super) fn rest_range(&self) -> Range<usize> {
        let whole = self.whole_range();
        self.peek().map_or(whole.end, |token| token.range.start)..whole.end
    }

    pub(super) fn slice(&self, range: Range<usize>) -> &'a str {
        &self.text[range]
    }

    /// Takes a sign in front: true where it is a minus.
    pub(super) fn sign(&mut self) -> bool {
        let negative = self.kind_ahead(0) == Some(Kind::Dash);
        if negative || self.kind_ahead(0) == Some(Kind::Plus) {
            self.skip(1);
        }
        negative
    }

    /// A number starts so many places on.
    pub(super) fn number_ahead(&self, places: usize) -> bool {
        matches!(
            self.kind_ahead(places),
            Some(Kind::Number(_) | Kind::Fraction(..))
        )
    }

    /// Takes a number: whole, decimal, fraction, or whole with fraction. `None` where none starts.
    pub(super) fn quantity(&mut self) -> Result<Option<Quantity<'a>>, MeasureError> {
        let Some(token) = self.peek().cloned() else {
            return Ok(None);
        };
        if let Some(fraction) = self.fraction()? {
            return Ok(Some(mixed(0.0, fraction)));
        }
        let Kind::Number(digits) = token.kind else {
            return Ok(None);
        };
        self.skip(1);
        let value = value(digits, &token.range)?;
        let number = Quantity {
            value,
            digits: Some(digits),
            denominator: None,
            range: token.range,
        };
        self.joining_hyphen();
        let Some(fraction) = self.fraction()? else {
            return Ok(Some(number));
        };
        let range = number.range.start..fraction.range.end;
        if number.is_decimal() {
            return Err(MeasureError::new(
                "a decimal and a fraction in one number",
                "write either 10.25 or 10 1/4",
                range,
            ));
        }
        Ok(Some(mixed(value, Fraction { range, ..fraction })))
    }

    /// Steps over the hyphen of `10-1/4`. With white space at it, or no fraction after it, it is
    /// no such hyphen and is left for the caller to refuse.
    fn joining_hyphen(&mut self) {
        let closed = |token: Option<&Token<'_>>| token.is_some_and(|token| !token.spaced);
        if self.kind_ahead(0) == Some(Kind::Dash)
            && closed(self.ahead(0))
            && closed(self.ahead(1))
            && self.fraction_ahead(1)
        {
            self.skip(1);
        }
    }

    fn fraction_ahead(&self, places: usize) -> bool {
        match self.kind_ahead(places) {
            Some(Kind::Fraction(..)) => true,
            Some(Kind::Number(_)) => self.kind_ahead(places + 1) == Some(Kind::Slash),
            _ => false,
        }
    }

    /// Takes a proper fraction.
    fn fraction(&mut self) -> Result<Option<Fraction>, MeasureError> {
        let Some(token) = self.peek().cloned() else {
            return Ok(None);
        };
        if let Kind::Fraction(top, bottom) = token.kind {
            self.skip(1);
            return proper(top, bottom, token.range).map(Some);
        }
        let Kind::Number(top) = token.kind else {
            return Ok(None);
        };
        if self.kind_ahead(1) != Some(Kind::Slash) {
            return Ok(None);
        }
        let below = self.ahead(2).map(|token| (token.kind, token.range.end));
        let Some((Kind::Number(bottom), end)) = below else {
            let range = token.range.start..self.ahead(1).map_or(0, |slash| slash.range.end);
            let help = "write a whole number after the slash, as 3/8";
            return Err(MeasureError::new(
                "a fraction with nothing under it",
                help,
                range,
            ));
        };
        self.skip(3);
        let range = token.range.start..end;
        proper(count(top, &range)?, count(bottom, &range)?, range).map(Some)
    }
}

fn mixed(whole: f64, fraction: Fraction) -> Quantity<'static> {
    let Fraction { top, bottom, range } = fraction;
    let value = whole + f64::from(top) / f64::from(bottom);
    Quantity {
        value,
        digits: None,
        denominator: Some(bottom),
        range,
    }
}

fn value(digits: &str, range: &Range<usize>) -> Result<f64, MeasureError> {
    digits.parse().map_err(|error| {
        MeasureError::new(
            format!("cannot read {digits}: {error}"),
            "write digits",
            range.clone(),
        )
    })
}

/// A whole number of a fraction.
fn count(digits: &str, range: &Range<usize>) -> Result<u32, MeasureError> {
    digits.parse().map_err(|_not_whole| {
        MeasureError::new(
            "a fraction of numbers that are not whole, or too large",
            "write whole numbers over and under the slash, as 3/8",
            range.clone(),
        )
    })
}

/// What tapes, rules and scales are divided by, and what halves, thirds and tenths of that come to:
/// `9/17` is a slip of the finger for `9/16`.
const fn is_marked(bottom: u32) -> bool {
    let mut rest = bottom;
    while rest.is_multiple_of(2) {
        rest /= 2;
    }
    // Sixths and twelfths; tenths, hundredths, thousandths.
    matches!(rest, 1 | 3 | 5 | 25 | 125)
}

/// Refuses fractions of one and more: `101/4` is most often `10 1/4` with its space lost.
fn proper(top: u32, bottom: u32, range: Range<usize>) -> Result<Fraction, MeasureError> {
    if bottom == 0 {
        let help = "write a whole number of 1 or more under it, as 3/8";
        return Err(MeasureError::new("a fraction over zero", help, range));
    }
    if bottom > FINEST || !is_marked(bottom) {
        return Err(MeasureError::new(
            format!("no tape is marked in parts of 1/{bottom}"),
            "write the mark that was read, as 9/16, or a decimal, as 10.2503",
            range,
        ));
    }
    if top >= bottom {
        return Err(MeasureError::new(
            format!("the fraction {top}/{bottom} is not less than one"),
            "write the whole number, a space and what is left, as 10 1/4",
            range,
        ));
    }
    Ok(Fraction { top, bottom, range })
}
