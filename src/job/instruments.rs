//! What is read with, and the laser lines that readings are taken from.
//!
//! An instrument's figure is its limit of error, as its standard or its maker states it; `survey`
//! makes a standard uncertainty of it.

use serde::{Deserialize, Serialize};

use super::Len;
use crate::measure::{Angle, Typed};

/// An angle as typed in the file.
pub type Ang = Typed<Angle>;

/// One instrument of the job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// What readings call it.
    pub name: String,
    /// What it is.
    pub is: Tool,
}

/// The kinds of instrument.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Tool {
    /// A tape, or a rule, of a class.
    Tape {
        /// Its class.
        #[serde(default)]
        class: TapeClass,
        /// The distance between its marks; the job's tape if not given.
        #[serde(default)]
        mark: Option<Len>,
    },
    /// A level held to a surface; a gap is read at its end.
    Level {
        /// How far it may be off...
        #[serde(default = "level_off")]
        off: Len,
        /// ...over this length.
        #[serde(default = "metre")]
        over: Len,
    },
    /// A laser that throws level and plumb lines.
    Laser {
        /// How far it may be off...
        #[serde(default = "laser_off")]
        off: Len,
        /// ...over this distance.
        #[serde(default = "metre")]
        over: Len,
    },
    /// A laser that measures distances.
    Distance {
        /// How far it may be off.
        #[serde(default = "distance_off")]
        off: Len,
    },
    /// A level that shows degrees.
    Slope {
        /// How far it may be off.
        #[serde(default = "slope_off")]
        off: Ang,
    },
    /// A straightedge; a gap is read under it.
    Straightedge {
        /// How far it may be off straight.
        #[serde(default = "straight_off")]
        off: Len,
    },
    /// A scanner or total station: points of a surface.
    Scanner {
        /// How far a point may be off.
        #[serde(default = "scanner_off")]
        off: Len,
    },
}

/// The class of a tape.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum TapeClass {
    /// Class I of Directive 2014/32/EU, Annex X.
    I,
    /// Class II of the same: what most carpenters carry.
    #[default]
    II,
    /// Class III of the same.
    III,
    /// A metal tape by NIST Handbook 44, section 5.52.
    Handbook44,
}

/// Half a millimetre in a metre: the common figure of a builder's spirit level.
fn level_off() -> Len {
    Len::millimetres(0.5)
}

/// Three tenths of a millimetre in a metre: the common figure of a line laser.
fn laser_off() -> Len {
    Len::millimetres(0.3)
}

fn metre() -> Len {
    Len::millimetres(1000.0)
}

/// Two millimetres: a common figure of hand-held distance meters, from memory.
fn distance_off() -> Len {
    Len::millimetres(2.0)
}

/// A tenth of a degree: a common figure of digital levels off level and plumb, from memory.
fn slope_off() -> Ang {
    Ang::degrees(0.1)
}

/// Three tenths of a millimetre: common practice, no source.
fn straight_off() -> Len {
    Len::millimetres(0.3)
}

/// Two millimetres: a common figure of room scanners, from memory.
fn scanner_off() -> Len {
    Len::millimetres(2.0)
}

/// A laser line that readings are taken from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LaserLine {
    /// What readings call it.
    pub name: String,
    /// Where it runs.
    pub runs: Runs,
    /// The instrument that throws it; a line laser if not given.
    #[serde(default)]
    pub by: Option<String>,
}

/// Where a laser line runs. A place that is not given is left to the readings to tell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Runs {
    /// A level line at a height above the datum.
    Level {
        /// Its height.
        #[serde(default)]
        height: Option<Len>,
    },
    /// A plumb line across the flight, so far up it from the face of the first kick.
    Across {
        /// Its place up the flight.
        #[serde(default)]
        x: Option<Len>,
    },
    /// A plumb plane beside a wall, parallel to the meant face and so far off it into the room.
    Beside {
        /// The wall.
        wall: String,
        /// Its distance from the meant face.
        #[serde(default)]
        off: Option<Len>,
    },
}
