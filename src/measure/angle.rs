//! [`Angle`]: a signed angle, radians inside.

use std::fmt;
use std::ops::{Add, Neg, Sub};

use super::print::decimal;

/// A signed angle. Held in radians as `f64`; printed in degrees.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// No turn at all.
    pub const ZERO: Self = Self(0.0);

    /// An angle of so many radians.
    #[must_use]
    pub const fn radians(radians: f64) -> Self {
        Self(radians)
    }

    /// An angle of so many degrees.
    #[must_use]
    pub const fn degrees(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }

    /// This angle in radians.
    #[must_use]
    pub const fn as_radians(self) -> f64 {
        self.0
    }

    /// This angle in degrees.
    #[must_use]
    pub const fn as_degrees(self) -> f64 {
        self.0.to_degrees()
    }

    /// The angle without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// True unless the number is NaN or infinite.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }

    /// The angle in degrees with so many decimals, as `37.78°`. A zero is never negative.
    #[must_use]
    pub fn print_degrees(self, decimals: usize) -> String {
        if !self.is_finite() {
            return "no angle".to_owned();
        }
        format!("{}°", decimal(self.as_degrees(), decimals))
    }
}

/// Degrees to a tenth: what a good digital level shows.
impl fmt::Display for Angle {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.pad(&self.print_degrees(1))
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}
