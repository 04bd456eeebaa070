//! Wood moves: the set-out at another moisture content than that at which its parts were fitted.
//!
//! In: a run's job, site and set-out as fitted. Out: [`Moved`]: the same with the sections of its
//! parts as they are when dry or damp, and [`Shift`]s: what that does to gaps, seats and reveals.
//! Does not: set out anew; a part stays where it was fitted and moves about what holds it.
//!
//! The grain runs along the length of every part. Along it nothing is reckoned: from green to
//! oven-dry wood shrinks by 0.1 to 0.2 % lengthwise (Wood Handbook FPL-GTR-190, chapter 4), so a
//! 14 ft rail changes by 1/32 in over the whole range of a house. Metal and glass do not move.
//!
//! What holds each part:
//! - a baluster, and a panel of board, its own axis; its foot goes with the tread that it is pegged in;
//! - a newel its own axis: which of its faces lets go is not known, so half is told on each side;
//! - a half newel its wall;
//! - a rail its underside, which lies on the balusters, and its middle across; a handrail on the
//!   wall side its brackets, which are under its middle;
//! - a bottom rail its upper face, where the balusters stand;
//! - a tread its underside, on the stringers, and the edge that the job says;
//! - a return nosing the end of the tread that it is fixed to;
//! - a kick its face, and its upper edge under the tread;
//! - a skirt the line of the nosings, where treads and kicks hold it.

mod apply;
mod parts;
mod shifts;
mod stair;

use crate::job::{Coefficients, PartGroup, Wood};
use crate::measure::Length;

pub use apply::{Moved, moved};
pub use shifts::{Shift, ShiftKind, shifts};

/// When the wood is as dry, or as damp, as it gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Season {
    /// At its driest: heated rooms at the end of winter.
    Winter,
    /// At its dampest: summer.
    Summer,
}

impl Season {
    /// Both, the dry one first.
    pub const BOTH: [Self; 2] = [Self::Winter, Self::Summer];

    /// The moisture content then, per cent of the dry weight.
    #[must_use]
    pub const fn moisture(self, wood: &Wood) -> f64 {
        match self {
            Self::Winter => wood.driest,
            Self::Summer => wood.wettest,
        }
    }
}

/// How much a dimension across the grain changes between two moisture contents, per cent, by the
/// coefficient of its species and direction: `dD = D C (Mf - Mi)` (Wood Handbook FPL-GTR-190,
/// chapter 13). Negative where it shrinks.
#[must_use]
pub fn change(dimension: Length, coefficient: f64, from: f64, to: f64) -> Length {
    dimension * (coefficient * (to - from))
}

/// What a part's two dimensions change by, as shares of them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Strain {
    first: f64,
    second: f64,
}

impl Strain {
    fn of(coefficients: Option<Coefficients>, by: f64) -> Self {
        coefficients.map_or_else(Self::default, |c| Self {
            first: c.first * by,
            second: c.second * by,
        })
    }

    /// Both dimensions as the first, where it is not known how the rings lie or they lie all ways.
    const fn all_round(self) -> Self {
        Self {
            first: self.first,
            second: self.first,
        }
    }
}

/// The strains of all parts between the moisture content at which they were fitted and another.
#[derive(Clone, Copy, Debug)]
struct Strains {
    rail: Strain,
    newels: Strain,
    balusters: Strain,
    treads: Strain,
    kicks: Strain,
    skirts: Strain,
    bottom_rail: Strain,
}

impl Strains {
    fn of(wood: &Wood, moisture: f64) -> Self {
        let of = |group| Strain::of(wood.coefficients(group), moisture - wood.fitted);
        Self {
            rail: of(PartGroup::Rail),
            newels: of(PartGroup::Newels),
            balusters: of(PartGroup::Balusters),
            treads: of(PartGroup::Treads),
            kicks: of(PartGroup::Kicks),
            skirts: of(PartGroup::Skirts),
            bottom_rail: of(PartGroup::BottomRail),
        }
    }
}

#[cfg(test)]
mod tests;
