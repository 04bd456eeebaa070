//! The shapes of a job file: what fills the way under the rail, and what it stands on. Field names
//! are the file's words; every length is kept as typed.

use serde::{Deserialize, Serialize};

use super::schema::Len;

/// What holds where goings differ: the kick line, or equal gaps.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Hold {
    /// The first face of every tread is flush with its kick's face; the gaps differ by tread.
    #[default]
    KickLine,
    /// All gaps between the ends of the run are alike; the faces leave the kick line.
    EqualGaps,
    /// A share between the kick line (0) and equal gaps (1).
    Share(f64),
}

impl Hold {
    /// The share of the way from the kick line to equal gaps.
    #[must_use]
    pub const fn share(self) -> f64 {
        match self {
            Self::KickLine => 0.0,
            Self::EqualGaps => 1.0,
            Self::Share(share) => share,
        }
    }
}

/// What balusters are made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Material {
    /// Wood.
    #[default]
    Wood,
    /// Iron, steel or another metal.
    Metal,
}

/// What balusters stand on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(
    clippy::large_enum_variant,
    reason = "a job holds one, and a box would need a bracket more in the file"
)]
pub enum Ground {
    /// The treads (or the bottom rail, where there is one), pegged or dowelled.
    #[default]
    Treads,
    /// A shoe with a plough, on the cap of a half wall or on a closed string; fillets fill the
    /// plough between the balusters.
    Shoe {
        /// What the shoe runs along.
        is: Body,
        /// Height of the top of the wall or string above the nosing line, plumb.
        above: Len,
        /// Thickness of the wall or string, level.
        thickness: Len,
        /// How far the string reaches down from its top, plumb. A half wall reaches the lower
        /// floor where it is not given.
        #[serde(default)]
        depth: Option<Len>,
        /// The cap on it, if it has one.
        #[serde(default)]
        cap: Option<Strip>,
        /// The shoe.
        shoe: Strip,
        /// The groove in the shoe's top that the balusters stand in.
        plough: Plough,
        /// Thickness of the fillets in it.
        fillet: Len,
    },
}

/// What a shoe runs along.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Body {
    /// A half wall beside the flight.
    #[default]
    HalfWall,
    /// A string that stands above the nosings and closes the treads' ends.
    ClosedString,
}

/// A flat strip along the slope.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Strip {
    /// Its width, level.
    pub width: Len,
    /// Its thickness, square to the slope.
    pub thickness: Len,
}

/// A groove along a shoe's top or a rail's underside.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plough {
    /// Its width, level.
    pub width: Len,
    /// Its depth, square to the slope.
    pub depth: Len,
}

/// The shape of a turned baluster's blocks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Block {
    /// Square.
    #[default]
    Square,
    /// Round.
    Round,
}

/// What a turned baluster ends in at the rail.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Top {
    /// A block like the one at its foot.
    #[default]
    Block,
    /// Its last diameter goes on to the rail.
    Pin,
}

/// One place of a turned baluster's profile.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Turning {
    /// How far up from the foot.
    pub up: Len,
    /// The diameter there.
    pub diameter: Len,
}

/// What panels are made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Infill {
    /// Glass.
    #[default]
    Glass,
    /// A solid board.
    Solid,
}

/// How panels divide a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Widths {
    /// So many panels alike, with this clear gap at the ends and between them, level.
    Alike {
        /// How many.
        count: u32,
        /// The gap.
        gap: Len,
    },
    /// Panels of given widths, level, from the bottom up; the gaps are what is left, all alike.
    Given(Vec<Len>),
}
