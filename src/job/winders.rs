//! The shapes of a job file: a turn made on winders, treads that taper round a corner.

use serde::{Deserialize, Serialize};

use super::instruments::Ang;
use super::readings::TreadEdge;
use super::schema::{Hand, Len, zero};
use crate::measure::{Angle, Typed};

/// A turn on winders.
///
/// Kicks count from 1 where the turn begins; tread `i` stands on kick `i`. The kick behind the last
/// tread, `count + 1`, is the first of the flight above, or reaches the floor above.
///
/// The frame: its origin is the centre of the turn, the point that the kicks run to as meant; x is
/// level along the flight below, going up; y is to the left of it. Heights are above what the first
/// kick rises from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Winders {
    /// The hand that it turns to, of one going up: the narrow ends lie on that hand.
    pub turns: Hand,
    /// How far it turns; a quarter turn if not given.
    #[serde(default = "quarter")]
    pub angle: Ang,
    /// The number of treads in the turn.
    pub count: u32,
    /// What they turn about, and what closes them in.
    pub kind: WinderKind,
    /// The clear width: from the narrow side, the newel's face or the well string, to the wall.
    pub width: Len,
    /// The meant rise, finished tread to finished tread.
    pub rise: Len,
    /// The meant nosing beyond the kick's face.
    pub overhang: Len,
    /// Thickness of the treads.
    pub tread_thickness: Len,
    /// Thickness of the kicks.
    pub kick_thickness: Len,
    /// From the narrow side to the line that depths are judged on, where that is not the rule
    /// pack's.
    #[serde(default)]
    pub walk_line: Option<Len>,
    /// From the narrow side in to the centre line of the rail on that side: some codes measure
    /// from it.
    #[serde(default = "zero")]
    pub handrail: Len,
    /// Kicks that are not meant to run to the centre at even angles.
    #[serde(default)]
    pub kicks: Vec<KickPlace>,
    /// What was read; anything not read is as meant.
    #[serde(default)]
    pub readings: Vec<WinderReading>,
}

fn quarter() -> Ang {
    Typed::<Angle>::degrees(90.0)
}

/// What the treads turn about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum WinderKind {
    /// Round a newel, out to the square corner of two walls.
    Kite {
        /// The side of the square newel, which stands on the centre of the turn.
        newel: Len,
    },
    /// Round a well, whose centre is that of the turn.
    Tapered {
        /// The well.
        well: Well,
        /// What closes the wide ends in.
        #[serde(default)]
        outer: Outer,
    },
}

/// An open well that winders turn about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Well {
    /// A round string of this radius.
    Round(Len),
    /// Square strings, this far from one to the one that faces it.
    Square(Len),
}

/// What the wide ends of the treads meet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Outer {
    /// Walls that meet in a corner; two corners in a turn of more than 120 degrees.
    #[default]
    Corner,
    /// A round wall about the centre of the turn.
    Round,
}

/// Where a kick is meant to stand, by both its ends.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KickPlace {
    /// The kick.
    pub step: u32,
    /// Its face at the narrow side: how far along that side from the face of the first kick.
    pub narrow: Len,
    /// Its face at the wall: how far along the walls from the face of the first kick.
    pub wide: Len,
}

/// An end of a winder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum WinderEnd {
    /// At the newel or well.
    Narrow,
    /// At the wall.
    Wide,
}

/// One reading of the winders, on finished treads and kicks. Where one thing is read more than
/// once, the mean is taken.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum WinderReading {
    /// The rise up to tread `step` from the tread or floor below it, at the walk line.
    Rise {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// The face of kick `step` at the narrow side: how far along that side from the first kick.
    Narrow {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// The face of kick `step` at the wall: how far along the walls from the first kick.
    Wide {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// The angle from the face of the first kick to that of kick `step`.
    Turn {
        /// Step number.
        step: u32,
        /// The reading.
        is: Ang,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// How far tread `step` is out of level from its narrow to its wide end, over the clear width.
    Level {
        /// Step number.
        step: u32,
        /// How much one end stands above the other.
        is: Len,
        /// The end that stands higher.
        high: WinderEnd,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// How far tread `step` is out of level from front to back, over its depth on the walk line.
    Fall {
        /// Step number.
        step: u32,
        /// How much one edge stands below the other.
        is: Len,
        /// The edge that stands lower.
        low: TreadEdge,
        /// A remark.
        #[serde(default)]
        note: String,
    },
}

impl WinderReading {
    /// The step that it was read on.
    #[must_use]
    pub const fn step(&self) -> u32 {
        match self {
            Self::Rise { step, .. }
            | Self::Narrow { step, .. }
            | Self::Wide { step, .. }
            | Self::Turn { step, .. }
            | Self::Level { step, .. }
            | Self::Fall { step, .. } => *step,
        }
    }
}
