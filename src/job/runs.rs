//! The shapes of a job file: a stair of several runs. The first run is the file's own flight;
//! `runs` holds what goes on from it: further flights, and level runs along landings and upper
//! floors. Each run is read and set out in a frame of its own, by the same rules as the first.

use serde::{Deserialize, Serialize};

use crate::measure::{Angle, Typed};

use super::bedding::Bedding;
use super::boards::Boards;
use super::built::Built;
use super::design::Design;
use super::instruments::LaserLine;
use super::railing::{BlockPlaced, Fastener};
use super::received::Received;
use super::schema::{Flight, Floor, Hand, Len, Skirt, Stringer, Wall, zero};
use super::stated::Overhead;
use super::winders::Winders;

/// A further run of the stair. A turn on winders lies between the run that it goes on from and the
/// flight that goes on from it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Run {
    /// What its parts are called by: tread 4 of run `2` is `2.T4`.
    pub name: String,
    /// Where it starts.
    pub starts: Starts,
    /// It is a flight as read; else `level` is given.
    #[serde(default)]
    pub flight: Option<Flight>,
    /// It is a level run along the edge of a floor or landing.
    #[serde(default)]
    pub level: Option<Level>,
    /// It is a turn on winders.
    #[serde(default)]
    pub winders: Option<Winders>,
    /// Laser lines that this run's readings are taken from, in its frame.
    #[serde(default)]
    pub lines: Vec<LaserLine>,
    /// The walls as read, in this run's frame.
    #[serde(default)]
    pub walls: Vec<Wall>,
    /// The floors and landings as read, in this run's frame.
    #[serde(default)]
    pub floors: Vec<Floor>,
    /// What hangs over the run, in this run's frame.
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
    /// What is to be built on it; a turn on winders has no railing of its own.
    #[serde(default)]
    pub design: Option<Design>,
    /// Where what has been fitted stands, in this run's frame.
    #[serde(default)]
    pub built: Vec<Built>,
}

/// Where a run's frame stands: its origin, in the frame of the run that it goes on from.
///
/// The place is measured from the face of that run's last kick as found, on its baluster line, at
/// the height of the floor or landing that the kick reaches. A level run is measured from its end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Starts {
    /// The run that it goes on from; the one before it in the file if not given.
    #[serde(default)]
    pub after: Option<String>,
    /// Level distance on from the last kick's face.
    #[serde(default = "zero")]
    pub past: Len,
    /// Level distance to the left of the baluster line, of one going up.
    #[serde(default = "zero")]
    pub left: Len,
    /// Height above the floor reached; for a run whose floor was finished to another height.
    #[serde(default = "zero")]
    pub up: Len,
    /// How far it turns, anticlockwise seen from above: 90 is a quarter turn to the left.
    #[serde(default)]
    pub turn: Option<Typed<Angle>>,
}

/// A level run: a railing along the edge of a floor or landing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Level {
    /// The side where the floor falls away, left or right of one walking from start to end.
    pub open_side: Hand,
    /// Its length along the baluster line, from its start.
    pub length: Len,
    /// From the baluster line out to the floor's edge.
    pub edge: Len,
    /// How far the floor reaches in from its edge: as much of it as is drawn.
    pub width: Len,
    /// Thickness of the floor's edge, from its top to its underside: as it is drawn.
    pub thickness: Len,
}
