//! [`Length`]: a signed distance, millimetres inside.

use std::cmp::Ordering;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A signed length. Held in millimetres as `f64`; one inch is exactly 25.4 mm.
///
/// Lengths are never compared with `==`: use [`Length::total_cmp`] to sort and the tolerances of
/// [`crate::measure::tolerance`] to compare.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Length(f64);

/// Millimetres in one inch, by definition (international inch, 1959).
const MM_PER_INCH: f64 = 25.4;

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0.0);

    /// A length of so many millimetres.
    #[must_use]
    pub const fn mm(millimetres: f64) -> Self {
        Self(millimetres)
    }

    /// A length of so many inches.
    #[must_use]
    pub const fn inches(inches: f64) -> Self {
        Self(inches * MM_PER_INCH)
    }

    /// This length in millimetres.
    #[must_use]
    pub const fn as_mm(self) -> f64 {
        self.0
    }

    /// This length in inches.
    #[must_use]
    pub const fn as_inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }

    /// The length without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The smaller of two lengths.
    #[must_use]
    pub const fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// The larger of two lengths.
    #[must_use]
    pub const fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// True unless the number is NaN or infinite.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }

    /// Total order, for sorting.
    #[must_use]
    pub fn total_cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

impl Div for Length {
    /// The ratio of two lengths has no unit.
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        Self(lengths.map(|length| length.0).sum())
    }
}
