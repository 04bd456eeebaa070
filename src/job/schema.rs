//! The shapes of a job file: the stair as read. Field names are the file's words; every length is kept as typed.

use serde::{Deserialize, Serialize};

use crate::measure::{Angle, Length, Tape, Typed, Unit};

use super::alternatives::Alternative;
use super::bedding::Bedding;
use super::boards::Boards;
use super::bottom::BottomStep;
use super::built::Built;
use super::client::Client;
use super::design::Design;
use super::fastening::{Cutting, Fastening};
use super::instruments::{Instrument, LaserLine};
use super::local::Anchor;
use super::notes::{LetStand, Note};
use super::railing::{BlockPlaced, Fastener};
use super::readings::{FloorReading, StepReading, WallReading};
use super::received::Received;
use super::runs::{Level, Run};
use super::shop::Shop;
use super::stated::{Kicks, NosingEdge, Overhead};

/// A length as typed in the file.
pub type Len = Typed<Length>;

pub(super) fn zero() -> Len {
    Len::inches(0.0)
}

/// A whole job: the first flight, its walls, what is wanted, and the runs that go on from it.
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
    /// What is read with, by name; readings that name nothing take the usual tool.
    #[serde(default)]
    pub instruments: Vec<Instrument>,
    /// Laser lines that readings are taken from.
    #[serde(default)]
    pub lines: Vec<LaserLine>,
    /// The flight as read.
    pub flight: Flight,
    /// The walls as read.
    #[serde(default)]
    pub walls: Vec<Wall>,
    /// The floors and landings as read.
    #[serde(default)]
    pub floors: Vec<Floor>,
    /// What hangs over the flight.
    #[serde(default)]
    pub overheads: Vec<Overhead>,
    /// The stringers under the flight.
    #[serde(default)]
    pub stringers: Vec<Stringer>,
    /// The skirt boards.
    #[serde(default)]
    pub skirts: Vec<Skirt>,
    /// How treads, kicks and skirts are scribed and cut; the usual way if not given.
    #[serde(default)]
    pub boards: Option<Boards>,
    /// How treads and kicks are bedded; absent: as is usual.
    #[serde(default)]
    pub bedding: Option<Bedding>,
    /// The parts as they were delivered.
    #[serde(default)]
    pub received: Option<Received>,
    /// Blocks under the treads.
    #[serde(default)]
    pub blocking: Vec<BlockPlaced>,
    /// Screws and bolts that are out of sight.
    #[serde(default)]
    pub fasteners: Vec<Fastener>,
    /// What is to be built on it.
    pub design: Design,
    /// How the railing is anchored, where somebody states what that carries.
    #[serde(default)]
    pub anchors: Vec<Anchor>,
    /// What the client sees and decides.
    #[serde(default)]
    pub client: Client,
    /// What the shop works with: boards to cut from, spares, rates, hours.
    #[serde(default)]
    pub shop: Shop,
    /// What rough pieces are longer than finished ones.
    #[serde(default)]
    pub cutting: Cutting,
    /// How boards and strips are fastened; as is usual where it is not said.
    #[serde(default)]
    pub fastening: Fastening,
    /// The runs that go on from this flight: further flights, and level runs.
    #[serde(default)]
    pub runs: Vec<Run>,
    /// In the part of a job that a level run is ([`super::OneRun`]): the run. A file never has it.
    #[serde(skip)]
    pub level: Option<Level>,
    /// The tape that the file names, where the job is shown on another. A file never has it.
    #[serde(skip)]
    pub read_on: Option<Tape>,
    /// Where what has been fitted stands.
    #[serde(default)]
    pub built: Vec<Built>,
    /// Troubles that are let stand, each with its reason.
    #[serde(default)]
    pub lets_stand: Vec<LetStand>,
    /// Tapes laid between two things, to be measured whenever the stair is.
    #[serde(default)]
    pub notes: Vec<Note>,
    /// Other ways to do it, each as what differs.
    #[serde(default)]
    pub alternatives: Vec<Alternative>,
}

impl Job {
    /// The tape that the file names: what was read was read on it, whatever it is shown on.
    #[must_use]
    pub fn own_tape(&self) -> Tape {
        self.read_on.unwrap_or(self.tape)
    }
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
    /// How the front edge of the nosings is worked; absent: not stated.
    #[serde(default)]
    pub nosing_edge: Option<NosingEdge>,
    /// Whether kicks close the steps.
    #[serde(default)]
    pub kicks: Kicks,
    /// How far the faces of the kicks slope from plumb; absent: not stated.
    #[serde(default)]
    pub kick_slope: Option<Typed<Angle>>,
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
    /// Steps at the bottom whose open end is not like the others.
    #[serde(default)]
    pub bottom: Vec<BottomStep>,
    /// How far the floor or landing that the last kick reaches goes.
    #[serde(default)]
    pub reaches: Reaches,
    /// What was read, step by step; anything not read is as meant.
    #[serde(default)]
    pub readings: Vec<StepReading>,
}

/// How far the floor or landing that a flight reaches goes: as much of it as is drawn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reaches {
    /// On from the face of the last kick, to its end or to what stands there; absent: not stated,
    /// and a yard of it is drawn.
    #[serde(default)]
    pub on: Option<Len>,
    /// Out past the open ends of the treads.
    #[serde(default = "zero")]
    pub out: Len,
}

impl Default for Reaches {
    fn default() -> Self {
        Self {
            on: None,
            out: zero(),
        }
    }
}

impl Reaches {
    /// How far on it is drawn.
    #[must_use]
    pub fn drawn_on(&self) -> Length {
        self.on.as_ref().map_or(YARD, |on| on.value)
    }
}

/// Enough floor to stand on in a picture.
const YARD: Length = Length::inches(36.0);

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

/// A floor or landing: the level surface that was meant, and readings of how it departs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Floor {
    /// Its name, such as `F1`.
    pub name: String,
    /// Which surface it is.
    pub is: FloorKind,
    /// Readings of it.
    #[serde(default)]
    pub readings: Vec<FloorReading>,
}

/// Which floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum FloorKind {
    /// The floor that the first kick stands on.
    Lower,
    /// The floor that the last kick reaches.
    Upper,
    /// A landing, a rectangle along and across the flight.
    Landing {
        /// The corner at its downhill open end, in plan.
        from: PlanPoint,
        /// The corner at its uphill wall end, in plan.
        to: PlanPoint,
        /// Its meant height above the datum.
        height: Len,
    },
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
