//! The shapes of a job file: what somebody noted of the stair as it came out. Troubles that are let
//! stand, each with its reason, and tapes laid between two things.

use serde::{Deserialize, Serialize};

use super::edit::quoted;
use super::schema::Len;

/// A trouble that is let stand, and why. It stays a trouble: it is told with its reason.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LetStand {
    /// The trouble, by the id that `inspect --json` gives it: `opening:B25+W2`.
    pub trouble: String,
    /// Why it is let stand.
    pub because: String,
    /// What it measured when it was let stand; absent: not kept.
    #[serde(default)]
    pub was: Option<Len>,
}

impl LetStand {
    /// As the file writes it.
    #[must_use]
    pub fn written(&self) -> String {
        let was = self.was.as_ref().map_or_else(String::new, |was| {
            format!(", was: {}", quoted(was.text.trim()))
        });
        format!(
            "(trouble: {}, because: {}{was})",
            quoted(&self.trouble),
            quoted(&self.because)
        )
    }
}

/// A tape laid between two things, kept as a note: it is measured again whenever the stair changes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// What the tape is hooked on.
    pub from: Hooked,
    /// What it is pulled to.
    pub to: Hooked,
    /// A word to it.
    #[serde(default)]
    pub says: String,
}

impl Note {
    /// As the file writes it.
    #[must_use]
    pub fn written(&self) -> String {
        let says = match self.says.as_str() {
            "" => String::new(),
            says => format!(", says: {}", quoted(says)),
        };
        format!(
            "(from: {}, to: {}{says})",
            self.from.written(),
            self.to.written()
        )
    }
}

/// What an end of a tape is held to: a part, or a place of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hooked {
    /// The part, by its name.
    pub part: String,
    /// What of it.
    #[serde(default)]
    pub on: HookedOn,
    /// Where the middle of that lies in the box around the part, as shares from 0 to 1: up the
    /// flight, to the left of one going up, and up.
    #[serde(default = "middle")]
    pub at: (f64, f64, f64),
}

const fn middle() -> (f64, f64, f64) {
    (0.5, 0.5, 0.5)
}

impl Hooked {
    /// The whole of a part.
    #[must_use]
    pub fn whole(part: &str) -> Self {
        Self {
            part: part.to_owned(),
            on: HookedOn::Whole,
            at: middle(),
        }
    }

    /// As the file writes it. Shares stand to a ten-thousandth: of a part as long as a house that is
    /// a millimetre, and no two places of one sort lie nearer.
    #[must_use]
    pub fn written(&self) -> String {
        let part = quoted(&self.part);
        if self.on == HookedOn::Whole {
            return format!("(part: {part})");
        }
        let (x, y, z) = self.at;
        format!(
            "(part: {part}, on: {:?}, at: ({x:.4}, {y:.4}, {z:.4}))",
            self.on
        )
    }
}

/// What of a part an end of a tape is held to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum HookedOn {
    /// All of it: its nearest place counts.
    #[default]
    Whole,
    /// A flat face.
    Face,
    /// An edge.
    Edge,
    /// A corner.
    Corner,
}
