//! The shapes of a job file: the stair as read. Field names are the file's words; every length is kept as typed.

use serde::{Deserialize, Serialize};

use crate::measure::{Length, Tape, Typed, Unit};

use super::design::Design;

/// A length as typed in the file.
pub type Len = Typed<Length>;

pub(super) fn zero() -> Len {
    Len::inches(0.0)
}

/// A whole job: one flight, its walls, and what is wanted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// The version of this file's shape; 1 now.
    pub format: u32,
    /// What the job is called.
    #[serde(default)]
    pub name: String,
    /// The unit that bare numbers take.
    #[serde(default)]
    pub units: Unit,
    /// The tape that lengths are printed to.
    #[serde(default)]
    pub tape: Tape,
    /// The flight as read.
    pub flight: Flight,
    /// The walls as read.
    #[serde(default)]
    pub walls: Vec<Wall>,
    /// The stringers under the flight.
    #[serde(default)]
    pub stringers: Vec<Stringer>,
    /// The skirt boards.
    #[serde(default)]
    pub skirts: Vec<Skirt>,
    /// What is to be built on it.
    pub design: Design,
}

/// Left or right of one going up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Hand {
    /// On the left going up.
    Left,
    /// On the right going up.
    Right,
}

/// The open side of the flight or the side against the wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// The open side, where the balusters stand.
    Open,
    /// The side against the wall.
    Wall,
}

/// The surface that a reading was taken on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Surface {
    /// Bare framing: rough stringer cuts and subfloor.
    Rough,
    /// Finished parts set in place without fixing.
    DryFitted,
    /// Finished treads, kicks and floors.
    #[default]
    Finished,
}

/// One straight flight: what was meant, and the readings that depart from it.
///
/// Kicks count from 1 at the bottom; tread `i` stands on kick `i`; the upper floor is what the
/// last kick reaches, so a flight of `count` kicks has `count - 1` treads.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flight {
    /// The side without a wall, left or right of one going up.
    pub open_side: Hand,
    /// The number of kicks (rises).
    pub count: u32,
    /// The meant rise, finished tread to finished tread.
    pub rise: Len,
    /// The meant going: front of kick to front of kick, level, at the baluster line.
    pub going: Len,
    /// The meant length of a tread, from its open end to its wall end.
    pub width: Len,
    /// The meant nosing beyond the kick's face.
    pub overhang: Len,
    /// Thickness of the treads.
    pub tread_thickness: Len,
    /// Thickness of the kicks.
    pub kick_thickness: Len,
    /// The meant distance from the baluster line (y = 0) out to the open end of the treads.
    pub edge: Len,
    /// Finish floor thickness over the lower subfloor.
    #[serde(default = "zero")]
    pub floor_below: Len,
    /// Finish floor thickness over the upper subfloor.
    #[serde(default = "zero")]
    pub floor_above: Len,
    /// What was read, step by step; anything not read is as meant.
    #[serde(default)]
    pub readings: Vec<StepReading>,
}

/// One reading on one step. `is` is the value read; `on` the surface it was read on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum StepReading {
    /// The rise up to tread `step` from the tread or floor below it.
    Rise {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// The surface.
        #[serde(default)]
        on: Surface,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// The going of tread `step`: its kick's face to the next kick's face.
    Going {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// The surface.
        #[serde(default)]
        on: Surface,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// The length of tread `step`, open end to wall end.
    Width {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// The surface.
        #[serde(default)]
        on: Surface,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// The nosing of tread `step` beyond its kick's face.
    Overhang {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// The surface.
        #[serde(default)]
        on: Surface,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// The thickness of tread `step`.
    TreadThickness {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// The surface.
        #[serde(default)]
        on: Surface,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// The thickness of kick `step`.
    KickThickness {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// The surface.
        #[serde(default)]
        on: Surface,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// How far tread `step` is out of level from side to side, over its length.
    Level {
        /// Step number.
        step: u32,
        /// How much one end stands above the other.
        is: Len,
        /// The end that stands higher.
        high: Side,
        /// The surface.
        #[serde(default)]
        on: Surface,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// From the baluster line (a string at y = 0) out to the open end of tread `step`.
    Edge {
        /// Step number.
        step: u32,
        /// The reading.
        is: Len,
        /// The surface.
        #[serde(default)]
        on: Surface,
        /// A remark.
        #[serde(default)]
        note: String,
    },
}

/// A point in plan, in the flight's frame.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanPoint {
    /// Level distance up the flight from the face of the first kick.
    pub x: Len,
    /// Level distance to the left of the baluster line, of one going up.
    pub y: Len,
}

/// A wall: the plumb plane that was meant, and readings of how the face departs from it.
///
/// The face stands on the line `from -> to`; the room lies to the left hand of that direction.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wall {
    /// Its name, such as `W1`.
    pub name: String,
    /// Where the meant face begins, in plan.
    pub from: PlanPoint,
    /// Where it ends, in plan.
    pub to: PlanPoint,
    /// Height of its foot above the datum.
    #[serde(default = "zero")]
    pub foot: Len,
    /// Height of its head above the datum.
    pub head: Len,
    /// Readings of the face.
    #[serde(default)]
    pub readings: Vec<WallReading>,
}

/// One reading of a wall's face. Positive is towards the room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum WallReading {
    /// The face's offset from the meant plumb plane at one point (laser line or plumb line).
    Offset {
        /// Level distance from the wall's `from` end.
        along: Len,
        /// Height above the datum.
        up: Len,
        /// The offset, positive towards the room.
        is: Len,
        /// A remark.
        #[serde(default)]
        note: String,
    },
    /// A level held plumb against the wall, touching at one end and standing off at the other.
    Plumb {
        /// Level distance from the wall's `from` end.
        along: Len,
        /// Height above the datum of the level's lower end.
        up: Len,
        /// The length of the level.
        level: Len,
        /// The gap between level and wall at the end that stands off.
        gap: Len,
        /// The end with the gap.
        at: LevelEnd,
        /// A remark.
        #[serde(default)]
        note: String,
    },
}

/// An end of a level held upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum LevelEnd {
    /// The upper end.
    Top,
    /// The lower end.
    Bottom,
}

/// A stringer: a board on edge under the treads.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stringer {
    /// Its name, such as `S1`.
    pub name: String,
    /// From the baluster line in towards the wall side, to the stringer's nearer face.
    /// Negative where the stringer's face stands outside the baluster line.
    pub inset: Len,
    /// Thickness across the flight.
    pub thickness: Len,
    /// What is left under the step cuts, measured plumb.
    pub throat: Len,
}

/// A skirt board along one side of the flight.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Skirt {
    /// Its name, such as `K-wall`.
    pub name: String,
    /// The side it runs along.
    pub side: Side,
    /// Thickness across the flight.
    pub thickness: Len,
    /// Height of its upper edge above the nosing line, plumb (wall side; ignored on the open side,
    /// where the skirt follows the steps).
    #[serde(default = "zero")]
    pub above: Len,
    /// Its width, measured plumb.
    pub width: Len,
}

/// A field that every kind of step reading has.
macro_rules! of_any_reading {
    ($reading:expr, $field:ident) => {
        match $reading {
            StepReading::Rise { $field, .. }
            | StepReading::Going { $field, .. }
            | StepReading::Width { $field, .. }
            | StepReading::Overhang { $field, .. }
            | StepReading::TreadThickness { $field, .. }
            | StepReading::KickThickness { $field, .. }
            | StepReading::Level { $field, .. }
            | StepReading::Edge { $field, .. } => $field,
        }
    };
}

impl StepReading {
    /// The step it was read on.
    #[must_use]
    pub fn step(&self) -> u32 {
        *of_any_reading!(self, step)
    }

    /// What was read.
    #[must_use]
    pub fn is(&self) -> &Len {
        of_any_reading!(self, is)
    }

    /// The surface it was read on.
    #[must_use]
    pub fn surface(&self) -> Surface {
        *of_any_reading!(self, on)
    }
}
