//! The shapes of a job file: parts as they were delivered. What is not read of a part is as it was
//! ordered.

use serde::{Deserialize, Serialize};

use crate::measure::{Angle, Typed};

use super::schema::Len;

/// The parts that were delivered, as read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Received {
    /// What a part may do to the work and still be taken.
    #[serde(default)]
    pub limits: ReceivedLimits,
    /// The newels, by the names that the design gives them.
    #[serde(default)]
    pub newels: Vec<ReceivedNewel>,
    /// The balusters, each with the mark put on it; in the order of the stack.
    #[serde(default)]
    pub balusters: Vec<ReceivedBaluster>,
    /// The rails, by the names that the design gives them.
    #[serde(default)]
    pub rails: Vec<ReceivedRail>,
}

/// What a part may change of what was set out, and still be taken. The defaults are common
/// practice, no source.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReceivedLimits {
    /// Change of a gap beside it.
    #[serde(default = "sixteenth")]
    pub gap: Len,
    /// A reveal further off what is wanted; for a newel, its two block reveals apart.
    #[serde(default = "eighth")]
    pub reveal: Len,
    /// Its head out of plumb over its foot; for a rail, the heads of balusters with it.
    #[serde(default = "eighth")]
    pub lean: Len,
    /// Depth of a baluster's seat in the rail that is lost.
    #[serde(default = "eighth")]
    pub seat: Len,
    /// A newel's head, and so its cap, off its height.
    #[serde(default = "eighth")]
    pub cap: Len,
    /// A rail's top off its height.
    #[serde(default = "quarter")]
    pub height: Len,
}

impl Default for ReceivedLimits {
    fn default() -> Self {
        Self {
            gap: sixteenth(),
            reveal: eighth(),
            lean: eighth(),
            seat: eighth(),
            cap: eighth(),
            height: quarter(),
        }
    }
}

fn sixteenth() -> Len {
    Len::inches(1.0 / 16.0)
}

fn eighth() -> Len {
    Len::inches(1.0 / 8.0)
}

fn quarter() -> Len {
    Len::inches(1.0 / 4.0)
}

/// A newel as delivered, read as it would stand untwisted, its marked face downhill.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReceivedNewel {
    /// The newel of the design.
    pub name: String,
    /// Its length.
    #[serde(default)]
    pub length: Option<Len>,
    /// Its section, where that is off: four sides and two diagonals.
    #[serde(default)]
    pub section: Option<FourSides>,
    /// How far its head is turned from its foot, anticlockwise seen from above.
    #[serde(default)]
    pub twist: Option<Typed<Angle>>,
    /// How far its foot is cut out of square.
    #[serde(default)]
    pub foot: Option<FootCut>,
    /// The square block that the rail meets, on a turned newel.
    #[serde(default)]
    pub block: Option<BlockRead>,
}

/// A section that is out of square: its sides and diagonals. The corners are those of the foot seen
/// from above, anticlockwise from the downhill right one: downhill right, uphill right, uphill left,
/// downhill left.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FourSides {
    /// The face on the right hand of one going up.
    pub right: Len,
    /// The uphill face.
    pub uphill: Len,
    /// The face on the left hand.
    pub left: Len,
    /// The downhill face.
    pub downhill: Len,
    /// From the downhill right corner to the uphill left one.
    pub from_downhill_right: Len,
    /// From the uphill right corner to the downhill left one.
    pub from_uphill_right: Len,
}

/// A foot cut out of square: how far one edge of the cut hangs back from a try square held on the
/// opposite face, over the section. Stood on such a foot, the newel leans that way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FootCut {
    /// At the uphill edge; negative where it hangs back at the downhill one.
    #[serde(default = "super::schema::zero")]
    pub uphill: Len,
    /// At the edge on the open side; negative where it hangs back on the wall side.
    #[serde(default = "super::schema::zero")]
    pub outward: Len,
}

/// The square block of a turned newel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlockRead {
    /// From the foot up to its lower end.
    pub from: Len,
    /// From the foot up to its upper end.
    pub to: Len,
}

/// A baluster as delivered. Directions are the piece's own, its marked face downhill.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReceivedBaluster {
    /// The mark on it.
    pub mark: String,
    /// Its length from shoulder to head, the peg not counted; absent: long enough.
    #[serde(default)]
    pub length: Option<Len>,
    /// Its side or diameter at the foot, where that is off.
    #[serde(default)]
    pub size: Option<Len>,
    /// How far the hole or peg in its foot is off the middle.
    #[serde(default)]
    pub hole: Option<Off>,
    /// How far its middle is bowed off the line from foot to head.
    #[serde(default)]
    pub bow: Option<Off>,
}

/// How far something is off, level, in a part's own directions.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Off {
    /// Away from its marked face: uphill as it is marked.
    #[serde(default = "super::schema::zero")]
    pub uphill: Len,
    /// Towards the open side as it is marked.
    #[serde(default = "super::schema::zero")]
    pub outward: Len,
}

/// A rail as delivered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReceivedRail {
    /// The rail of the design.
    pub name: String,
    /// How far it is off a string from end to end, at places along it; straight between them.
    #[serde(default)]
    pub bows: Vec<RailBow>,
}

/// A rail off a string stretched along it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RailBow {
    /// From its lower end, along it.
    pub along: Len,
    /// Up, square to its length.
    #[serde(default = "super::schema::zero")]
    pub up: Len,
    /// Towards the open side.
    #[serde(default = "super::schema::zero")]
    pub outward: Len,
}
