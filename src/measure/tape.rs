//! Units and the marks of a tape. Printing on them is in `print`.

use serde::{Deserialize, Serialize};

use super::Length;

/// The unit that a bare number takes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unit {
    /// Inches.
    #[default]
    Inches,
    /// Millimetres.
    Millimetres,
}

/// The marks on the tape that lengths are printed to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Tape {
    /// Marks every 1/16 in.
    #[default]
    Sixteenths,
    /// Marks every 1/32 in.
    ThirtySeconds,
    /// Marks every millimetre.
    Millimetres,
}

impl Tape {
    /// The distance between two marks.
    #[must_use]
    pub fn mark(self) -> Length {
        match self {
            Self::Sixteenths => Length::inches(1.0 / 16.0),
            Self::ThirtySeconds => Length::inches(1.0 / 32.0),
            Self::Millimetres => Length::mm(1.0),
        }
    }

    /// What it is called: its marks.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sixteenths => "1/16 in",
            Self::ThirtySeconds => "1/32 in",
            Self::Millimetres => "mm",
        }
    }

    /// The next of the tapes, the first after the last.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::Sixteenths => Self::ThirtySeconds,
            Self::ThirtySeconds => Self::Millimetres,
            Self::Millimetres => Self::Sixteenths,
        }
    }

    /// The length at the nearest mark.
    #[must_use]
    pub fn round(self, length: Length) -> Length {
        let mark = self.mark();
        mark * (length / mark).round()
    }

    /// The next mark of the tape that is no less.
    #[must_use]
    pub fn round_up(self, length: Length) -> Length {
        let near = self.round(length);
        // A hair past a mark is on it.
        if near + Length::mm(super::tolerance::SAME_POINT_MM) < length {
            near + self.mark()
        } else {
            near
        }
    }

    /// The unit that a bare number takes on this tape.
    #[must_use]
    pub const fn unit(self) -> Unit {
        match self {
            Self::Sixteenths | Self::ThirtySeconds => Unit::Inches,
            Self::Millimetres => Unit::Millimetres,
        }
    }

    /// How many marks divide an inch; `None` on a millimetre tape.
    pub(super) const fn marks_per_inch(self) -> Option<u32> {
        match self {
            Self::Sixteenths => Some(16),
            Self::ThirtySeconds => Some(32),
            Self::Millimetres => None,
        }
    }
}
