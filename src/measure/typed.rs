//! [`Typed`]: a measure with the text that a person typed for it.

use std::cell::Cell;
use std::fmt;

use serde::de::{self, Deserializer, Visitor};
use serde::{Deserialize, Serialize, Serializer};

use super::{Angle, Length, Unit, parse_angle, parse_length};

/// A measure as read, beside its value: saving gives back what was typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed<T> {
    /// The value.
    pub value: T,
    /// The text that was typed, or the number as the file wrote it.
    pub text: String,
}

thread_local! {
    // serde passes no context to a field's reader, and the unit of a bare number is a setting of
    // the file that the field stands in.
    static DEFAULT_UNIT: Cell<Unit> = const { Cell::new(Unit::Inches) };
}

/// Runs `read` with the unit that bare numbers take on this thread, then restores the former one.
pub fn with_default_unit<R>(unit: Unit, read: impl FnOnce() -> R) -> R {
    struct Restore(Unit);
    impl Drop for Restore {
        fn drop(&mut self) {
            DEFAULT_UNIT.set(self.0);
        }
    }
    let _restore = Restore(DEFAULT_UNIT.replace(unit));
    read()
}

/// The unit that bare numbers take on this thread now.
#[must_use]
pub fn default_unit() -> Unit {
    DEFAULT_UNIT.get()
}

/// A measure that can be read from text.
pub trait Measure: Sized {
    /// What it is called in messages.
    const NAME: &'static str;
    /// Reads it.
    ///
    /// # Errors
    /// [`super::MeasureError`] says what would do.
    fn read(text: &str) -> Result<Self, super::MeasureError>;
}

impl Measure for Length {
    const NAME: &'static str = "a length";
    fn read(text: &str) -> Result<Self, super::MeasureError> {
        parse_length(text, default_unit())
    }
}

impl Measure for Angle {
    const NAME: &'static str = "an angle";
    fn read(text: &str) -> Result<Self, super::MeasureError> {
        parse_angle(text)
    }
}

impl<T: Measure> Typed<T> {
    /// Reads a measure from text, keeping the text.
    ///
    /// # Errors
    /// [`super::MeasureError`] says what would do.
    pub fn read(text: &str) -> Result<Self, super::MeasureError> {
        T::read(text).map(|value| Self {
            value,
            text: text.to_owned(),
        })
    }
}

impl Typed<Length> {
    /// The length in millimetres.
    #[must_use]
    pub fn mm(&self) -> f64 {
        self.value.as_mm()
    }

    /// A length in inches that nobody typed, such as a default of the program.
    #[must_use]
    pub fn inches(inches: f64) -> Self {
        Self {
            value: Length::inches(inches),
            text: format!("{inches} in"),
        }
    }

    /// A length that nobody typed, in millimetres.
    #[must_use]
    pub fn millimetres(millimetres: f64) -> Self {
        Self {
            value: Length::mm(millimetres),
            text: format!("{millimetres} mm"),
        }
    }
}

impl Typed<Angle> {
    /// An angle that nobody typed, such as a default of the program.
    #[must_use]
    pub fn degrees(degrees: f64) -> Self {
        Self {
            value: Angle::degrees(degrees),
            text: degrees.to_string(),
        }
    }
}

impl<T> Serialize for Typed<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl<'de, T: Measure> Deserialize<'de> for Typed<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct TypedVisitor<T>(std::marker::PhantomData<T>);
        impl<T: Measure> Visitor<'_> for TypedVisitor<T> {
            type Value = Typed<T>;
            fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(out, "{} as text or number", T::NAME)
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<Self::Value, E> {
                Typed::read(text).map_err(E::custom)
            }
            fn visit_f64<E: de::Error>(self, number: f64) -> Result<Self::Value, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_i64<E: de::Error>(self, number: i64) -> Result<Self::Value, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_u64<E: de::Error>(self, number: u64) -> Result<Self::Value, E> {
                self.visit_str(&number.to_string())
            }
        }
        deserializer.deserialize_any(TypedVisitor(std::marker::PhantomData))
    }
}
