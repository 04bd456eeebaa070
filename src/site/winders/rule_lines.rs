//! [`MeasuredAt`]: the line across winders that a code has their depth measured on.

use serde::Deserialize;

use crate::measure::{Length, Typed};

/// Where a code has the depth of winders measured.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub enum MeasuredAt {
    /// So far from the narrow side (IRC: 12 in).
    FromNarrow(Typed<Length>),
    /// In the middle of the width where that is under so much, else so far from each side
    /// (Approved Document K, 1998 edition, 1.25: under 1 m, 270 mm).
    MiddleOrEachSide {
        /// A stair as wide as this is measured at both sides.
        under: Typed<Length>,
        /// So far from each side.
        from_each: Typed<Length>,
    },
    /// So far from the centre line of the rail on the narrow side (NBC 9.8.4.3: 300 mm).
    FromHandrail(Typed<Length>),
}

impl MeasuredAt {
    /// The lines, each by its distance from the narrow side, of winders of a clear width with a
    /// rail so far in from their narrow side.
    #[must_use]
    pub fn lines(&self, width: Length, handrail: Length) -> Vec<Length> {
        match self {
            Self::FromNarrow(from) => vec![from.value],
            Self::MiddleOrEachSide { under, from_each } => {
                if width < under.value {
                    vec![width / 2.0]
                } else {
                    vec![from_each.value, width - from_each.value]
                }
            }
            Self::FromHandrail(from) => vec![handrail + from.value],
        }
    }
}
