//! The shapes of a job file: screws, bolts and their plugs in newels and rails. Field names are the
//! file's words; every length is kept as typed.

use serde::{Deserialize, Serialize};

use super::schema::{Len, zero};

/// A bore for a screw or bolt, square to the face that it starts from; in the end of a rail, along
/// the rail.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fixing {
    /// Its name, such as `bolt 1`.
    pub name: String,
    /// The newel or rail that it is bored into, such as `N1`.
    pub part: String,
    /// The face that it starts from.
    pub face: FixingFace,
    /// In a newel: up from its foot, along it. In a rail: from the middle of its lower end, along
    /// it; in an end of a rail, up from its underside.
    pub up: Len,
    /// Off the middle of the face: towards the open side; on a face that looks to the open or the
    /// wall side, up the flight in a newel and upwards in a rail.
    #[serde(default = "zero")]
    pub off: Len,
    /// Diameter of the bore.
    pub diameter: Len,
    /// How deep it goes, from the face.
    pub deep: Len,
    /// The wider bore at the face for a plug.
    #[serde(default)]
    pub plug: Option<Plug>,
    /// Least wood between the side of the bore and any edge of the part; absent: two diameters.
    #[serde(default)]
    pub edge: Option<Len>,
}

/// A plug over the head of a screw or bolt.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plug {
    /// Its diameter.
    pub diameter: Len,
    /// Its depth, from the face to the head.
    pub depth: Len,
}

/// A face of a part, by where it looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum FixingFace {
    /// Down the flight; of a rail, its lower end.
    Downhill,
    /// Up the flight; of a rail, its upper end.
    Uphill,
    /// To the open side.
    Open,
    /// To the wall side.
    Wall,
    /// A rail's top.
    Top,
    /// A rail's underside.
    Under,
}
