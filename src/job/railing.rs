//! The shapes of a job file: rail systems, how newels are footed and headed, the handrail on the
//! wall side, and what lies hidden under the treads. Every length is kept as typed.

use serde::{Deserialize, Serialize};

use super::design::HeightPolicy;
use super::schema::{Len, zero};
use super::stated::Profile;

/// How rail and newels go together.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum RailSystem {
    /// The rail is cut between the newels.
    #[default]
    PostToPost,
    /// The rail passes over its newels.
    OverPost {
        /// Radius of the easing between rake and level, along the middle of the rail's top.
        #[serde(default = "easing")]
        easing: Len,
        /// Level rail between the easing and the newel's face.
        #[serde(default = "level")]
        level: Len,
        /// How the rail lies on the newel's head.
        #[serde(default)]
        cap: CapPiece,
        /// Height of the level rail's top over the floor or landing at the upper end; absent: as
        /// high as the rake brings it.
        #[serde(default)]
        landing: Option<Len>,
    },
}

/// 8 in: common practice, no source.
fn easing() -> Len {
    Len::inches(8.0)
}

/// 1 in: common practice, no source.
fn level() -> Len {
    Len::inches(1.0)
}

/// The piece of rail that lies on a newel's head.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum CapPiece {
    /// Level, past an easing.
    #[default]
    Level,
    /// On the rake, without an easing: the newel's head is cut to the rake.
    Raked,
}

/// How a newel is footed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Foot {
    /// It stands on the lowest surface under it; treads, kicks and skirts above are notched.
    #[default]
    Notched,
    /// It stands on top of the tread or floor under its middle.
    OnTop,
    /// A hollow newel slipped over a block that is fixed to the tread or floor under its middle.
    Box {
        /// Thickness of its sides.
        sides: Len,
        /// Height of the block.
        block: Len,
        /// What is left all round between block and sides.
        #[serde(default = "ease")]
        ease: Len,
    },
}

/// 1/32 in: common practice, no source.
fn ease() -> Len {
    Len::inches(1.0 / 32.0)
}

/// The part of a newel's head that rails may meet, and what should show of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blocks {
    /// Length of the head's block, down from where the cap begins; absent: it goes all the way.
    #[serde(default)]
    pub top: Option<Len>,
    /// What shows of it above the highest rail; absent: as much as below the lowest.
    #[serde(default)]
    pub above: Option<Len>,
}

/// A newel's cap.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cap {
    /// How far it stands out on every side.
    #[serde(default = "zero")]
    pub out: Len,
    /// Thickness of its slab.
    #[serde(default = "zero")]
    pub slab: Len,
    /// Height of the point on the slab.
    #[serde(default = "zero")]
    pub point: Len,
}

/// A handrail on brackets along the wall side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WallRail {
    /// Its name, such as `R3`.
    pub name: String,
    /// Its width, level.
    pub width: Len,
    /// Its depth, square to its length.
    pub depth: Len,
    /// The bevel taken off its two upper edges; none if absent.
    #[serde(default = "zero")]
    pub bevel: Len,
    /// Its section; absent: `width` by `depth` with its two upper edges bevelled.
    #[serde(default)]
    pub profile: Option<Profile>,
    /// The wanted height of its top, plumb above the nosings.
    pub height: Len,
    /// How its height is chosen.
    #[serde(default)]
    pub hold: HeightPolicy,
    /// The wall.
    pub wall: String,
    /// Least clearance from the wall's face.
    pub clear: Len,
    /// Brackets stand no further apart than this along the rail.
    pub brackets_every: Len,
    /// From either end of the rail to the bracket beside it.
    pub first_bracket: Len,
    /// How its lower end stops.
    #[serde(default)]
    pub lower: WallRailEnd,
    /// How its upper end stops.
    #[serde(default)]
    pub upper: WallRailEnd,
    /// How far it runs on, level distance, below the lowest nosing.
    #[serde(default = "zero")]
    pub extend_lower: Len,
    /// How far it runs on above the top nosing.
    #[serde(default = "zero")]
    pub extend_upper: Len,
}

/// How a handrail on brackets stops.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum WallRailEnd {
    /// Mitred, and returned to the wall.
    #[default]
    Return,
    /// Cut square and left open.
    Plain,
}

/// A block under a tread or floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlockPlaced {
    /// Its name, such as `D1`.
    pub name: String,
    /// The step that it lies under.
    pub step: u32,
    /// Level distance from the face of that step's kick to the block's lower end, up the flight.
    pub from: Len,
    /// From the baluster line in towards the wall side, to the block's nearer face. Negative
    /// outside the line.
    pub inset: Len,
    /// Its size up the flight.
    pub along: Len,
    /// Its size across the flight.
    pub across: Len,
    /// Its size upwards.
    pub height: Len,
    /// From the tread's underside down to its top.
    #[serde(default = "zero")]
    pub below: Len,
}

/// A screw, bolt or nail that is out of sight, seen from above.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fastener {
    /// Its name, such as `screw 3`.
    pub name: String,
    /// The step that it is in.
    pub step: u32,
    /// Level distance from the face of that step's kick to its middle, up the flight.
    pub from: Len,
    /// From the baluster line in towards the wall side, to its middle. Negative outside the line.
    pub inset: Len,
    /// Its diameter: the head's, where that is in the way.
    pub diameter: Len,
}
