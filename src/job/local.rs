//! The shapes of a job file: what the authority at the place of the stair asks beyond the rule pack,
//! and what is known of how the railing is anchored.

use serde::{Deserialize, Serialize};

use super::limit::{Limit, Sense};
use super::schema::Len;
use crate::measure::{Force, Typed};

/// Amendments of the rule pack by the text that was adopted where the stair stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Local {
    /// The text or the authority whose it is.
    pub name: String,
    /// Its edition or date.
    pub edition: String,
    /// The limits that it sets.
    #[serde(default)]
    pub amends: Vec<Amend>,
    /// The rules of the pack that it does not ask.
    #[serde(default)]
    pub drops: Vec<Dropped>,
}

/// One limit that the local text sets, in the place of the pack's or beside its rules.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Amend {
    /// The rule's name, as `inspect --json` gives it: `Headroom`.
    pub rule: String,
    /// The limit.
    pub limit: Limit,
    /// Which side of the limit is right; absent: as in the pack.
    #[serde(default)]
    pub sense: Option<Sense>,
    /// The local clause, as a message cites it behind the text's name and edition.
    pub clause: String,
    /// What it asks, in a sentence; absent: as in the pack.
    #[serde(default)]
    pub says: Option<String>,
}

/// One rule of the pack that the local text does not ask.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dropped {
    /// The rule's name, as `inspect --json` gives it.
    pub rule: String,
    /// The local clause that says so.
    pub clause: String,
}

/// What an anchor detail is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Anchored {
    /// The top of a guard or handrail, loaded at a point.
    Top,
    /// The top of a guard, loaded along its length.
    TopLine,
    /// Balusters and panels.
    Infill,
}

/// A joint that an anchor detail is drawn for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum AnchorAt {
    /// A newel at its foot.
    NewelBase,
    /// A rail, or a bottom rail, at a newel.
    RailToNewel,
    /// A rail, rosette, half newel or bracket at a wall.
    RailToWall,
    /// A baluster or panel at either end.
    BalusterEnds,
}

/// How the railing is anchored: a detail that somebody answers for, with the load that it states.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Anchor {
    /// What it holds.
    pub what: Anchored,
    /// The detail, in words.
    pub detail: String,
    /// Who states it: an engineer's calculation, a test report, a maker's sheet.
    pub source: String,
    /// The joints that it is drawn for; none: it is told at every joint of its kind as stated for the
    /// railing as a whole.
    #[serde(default)]
    pub at: Vec<AnchorAt>,
    /// What it carries, as the source states.
    pub carries: Typed<Force>,
    /// A force at a point may be stated over a patch of these sides.
    #[serde(default)]
    pub on: Option<(Len, Len)>,
}
