//! The shapes of a job file: how much the eye lets pass. Every default is common practice, without a
//! source.

use serde::{Deserialize, Serialize};

use crate::measure::Length;

use super::schema::Len;

/// Reveals that differ by more than this along a flight are seen: common practice, no source.
pub const REVEAL_DRIFT: Length = Length::inches(0.125);
/// An upright further out of plumb than this is seen: common practice, no source.
pub const LEAN_SEEN: Length = Length::inches(0.125);

/// What is seen by a careful eye: past these a reveal or a lean is told.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seen {
    /// The greatest of a row of reveals less the least.
    #[serde(default = "drift")]
    pub reveal: Len,
    /// A reveal and the next one.
    #[serde(default = "sixteenth")]
    pub step: Len,
    /// How much reveals drift on the whole from one step to the next.
    #[serde(default = "sixty_fourth")]
    pub slope: Len,
    /// An upright part out of plumb from foot to head.
    #[serde(default = "leaning")]
    pub lean: Len,
}

impl Default for Seen {
    fn default() -> Self {
        Self {
            reveal: drift(),
            step: sixteenth(),
            slope: sixty_fourth(),
            lean: leaning(),
        }
    }
}

fn drift() -> Len {
    Len::inches(REVEAL_DRIFT.as_inches())
}

fn leaning() -> Len {
    Len::inches(LEAN_SEEN.as_inches())
}

fn sixteenth() -> Len {
    Len::inches(1.0 / 16.0)
}

fn sixty_fourth() -> Len {
    Len::inches(1.0 / 64.0)
}
