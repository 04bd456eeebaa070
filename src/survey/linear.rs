//! [`Linear`]: a linear function of the unknowns.
//!
//! An unknown is a number of its own ("scalar": a rise, a wall's lean), or a wall's bow at one of
//! its places. All scalars and the bows of different walls are independent before anything is read;
//! what hangs together (a height is a sum of rises) is written as a sum.

use super::prior;
use super::unknowns::Scalar;

/// A wall's bow at a place, times a factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct BowTerm {
    pub(super) wall: usize,
    pub(super) at: (f64, f64),
    pub(super) factor: f64,
}

/// A linear function of the unknowns; mm, or radians for a slope.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Linear {
    pub(super) constant: f64,
    /// By number of the scalar, rising, each once.
    pub(super) scalars: Vec<(usize, f64)>,
    pub(super) bows: Vec<BowTerm>,
}

impl Linear {
    /// A number.
    #[must_use]
    pub fn constant(value: f64) -> Self {
        Self {
            constant: value,
            ..Self::default()
        }
    }

    pub(super) fn scalar(number: usize, factor: f64) -> Self {
        Self {
            scalars: vec![(number, factor)],
            ..Self::default()
        }
    }

    pub(super) fn bow(wall: usize, at: (f64, f64)) -> Self {
        Self {
            bows: vec![BowTerm {
                wall,
                at,
                factor: 1.0,
            }],
            ..Self::default()
        }
    }

    /// This and so many times another.
    #[must_use]
    pub fn plus(&self, factor: f64, other: &Self) -> Self {
        let mut scalars = Vec::with_capacity(self.scalars.len() + other.scalars.len());
        let (mut a, mut b) = (
            self.scalars.iter().copied().peekable(),
            other
                .scalars
                .iter()
                .map(|&(n, f)| (n, f * factor))
                .peekable(),
        );
        loop {
            match (a.peek().copied(), b.peek().copied()) {
                (Some(x), Some(y)) if x.0 == y.0 => {
                    // What cancels is no part of the sum.
                    if (x.1 + y.1).abs() > 0.0 {
                        scalars.push((x.0, x.1 + y.1));
                    }
                    a.next();
                    b.next();
                }
                (Some(x), Some(y)) if x.0 < y.0 => {
                    scalars.push(x);
                    a.next();
                }
                (Some(x), None) => {
                    scalars.push(x);
                    a.next();
                }
                (_, Some(y)) => {
                    scalars.push(y);
                    b.next();
                }
                (None, None) => break,
            }
        }
        let mut bows = self.bows.clone();
        bows.extend(other.bows.iter().map(|term| BowTerm {
            factor: term.factor * factor,
            ..*term
        }));
        Self {
            constant: self.constant + factor * other.constant,
            scalars,
            bows,
        }
    }

    /// The sum of two.
    #[must_use]
    pub fn add(&self, other: &Self) -> Self {
        self.plus(1.0, other)
    }

    /// This less another.
    #[must_use]
    pub fn less(&self, other: &Self) -> Self {
        self.plus(-1.0, other)
    }

    /// So many times this.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self::default().plus(factor, self)
    }

    /// Covariance with another before anything is read.
    pub(super) fn prior_covariance(&self, other: &Self, scalars: &[Scalar]) -> f64 {
        let mut sum = 0.0;
        let (mut i, mut j) = (0, 0);
        while let (Some(a), Some(b)) = (self.scalars.get(i), other.scalars.get(j)) {
            match a.0.cmp(&b.0) {
                std::cmp::Ordering::Less => i += 1,
                std::cmp::Ordering::Greater => j += 1,
                std::cmp::Ordering::Equal => {
                    sum += a.1 * b.1 * scalars[a.0].sd.powi(2);
                    i += 1;
                    j += 1;
                }
            }
        }
        for a in &self.bows {
            for b in other.bows.iter().filter(|b| b.wall == a.wall) {
                sum += a.factor * b.factor * prior::bow(a.at, b.at);
            }
        }
        sum
    }
}
