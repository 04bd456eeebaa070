//! The shapes of a job file: how true the work is cut and fitted. Every default is common practice
//! for careful work on site, without a source.

use serde::{Deserialize, Serialize};

use crate::measure::Length;

use super::schema::Len;

/// One operation of the work, each with an error of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Operation {
    /// Putting a mark with tape and pencil.
    Marking,
    /// Boring at a mark.
    Bore,
    /// Cutting a newel's notch and fitting the newel into it.
    Notch,
    /// Cutting a piece to length.
    Saw,
    /// Setting a newel plumb.
    Plumb,
}

impl Operation {
    /// Every operation, in the order of the work on a railing.
    pub const ALL: [Self; 5] = [
        Self::Marking,
        Self::Bore,
        Self::Notch,
        Self::Saw,
        Self::Plumb,
    ];

    /// The field of `design.tolerances` that states it.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::Marking => "marking",
            Self::Bore => "bore",
            Self::Notch => "notch",
            Self::Saw => "saw",
            Self::Plumb => "plumb",
        }
    }

    /// What it is called in print.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Marking => "marking",
            Self::Bore => "boring",
            Self::Notch => "notching",
            Self::Saw => "sawing",
            Self::Plumb => "plumbing",
        }
    }

    /// What is allowed for it, in one sentence.
    #[must_use]
    pub const fn says(self) -> &'static str {
        match self {
            Self::Marking => {
                "A mark put with tape and pencil, a baluster's place or a rail's height on a \
                 newel, is this much off at most, either way."
            }
            Self::Bore => "A bore wanders this much from its mark at most, each way in plan.",
            Self::Notch => {
                "A newel whose notch is cut and that is fitted stands this much off its marks at \
                 most, each way in plan."
            }
            Self::Saw => {
                "A piece cut to length is this much long or short at most, for each of its cuts."
            }
            Self::Plumb => {
                "The head of a fitted newel stands this much off plumb over its foot at most, \
                 each way."
            }
        }
    }

    /// What holds where a job states nothing: common practice for careful work on site, no source.
    #[must_use]
    pub const fn usual(self) -> Length {
        match self {
            Self::Marking | Self::Bore | Self::Saw => Length::inches(1.0 / 32.0),
            Self::Notch | Self::Plumb => Length::inches(1.0 / 16.0),
        }
    }
}

/// How true the work is cut and fitted: each "this much either way", in the frame of the part that
/// is worked.
///
/// A limit with nothing said of what lies within it is a rectangular distribution: its standard
/// deviation is the limit divided by the square root of three (JCGM 100:2008, 4.3.7). Zero is no
/// error at all.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Tolerances {
    /// A mark put with tape and pencil; absent: 1/32 in.
    pub marking: Option<Len>,
    /// A bore from its mark, each way in plan; absent: 1/32 in.
    pub bore: Option<Len>,
    /// A newel from its marks, each way in plan; absent: 1/16 in.
    pub notch: Option<Len>,
    /// The length of a cut piece, each cut; absent: 1/32 in.
    pub saw: Option<Len>,
    /// A newel's head from plumb over its foot, each way; absent: 1/16 in.
    pub plumb: Option<Len>,
}

impl Tolerances {
    /// How far an operation is off at most, either way: as stated, or as is usual.
    #[must_use]
    pub fn of(&self, operation: Operation) -> Length {
        self.stated(operation)
            .map_or_else(|| operation.usual(), |stated| stated.value)
    }

    /// True where the job states it.
    #[must_use]
    pub const fn is_stated(&self, operation: Operation) -> bool {
        self.stated(operation).is_some()
    }

    /// What the job states, as it was typed.
    #[must_use]
    pub const fn stated(&self, operation: Operation) -> Option<&Len> {
        match operation {
            Operation::Marking => self.marking.as_ref(),
            Operation::Bore => self.bore.as_ref(),
            Operation::Notch => self.notch.as_ref(),
            Operation::Saw => self.saw.as_ref(),
            Operation::Plumb => self.plumb.as_ref(),
        }
    }

    /// The same with one of them stated otherwise.
    #[must_use]
    pub fn with(&self, operation: Operation, length: Length) -> Self {
        let mut changed = self.clone();
        *changed.place(operation) = Some(Len::inches(length.as_inches()));
        changed
    }

    /// A mark put with tape and pencil, this much either way.
    #[must_use]
    pub fn marking(&self) -> Length {
        self.of(Operation::Marking)
    }

    /// A bore from its mark, this much either way in plan.
    #[must_use]
    pub fn bore(&self) -> Length {
        self.of(Operation::Bore)
    }

    /// A newel from its marks, this much either way in plan.
    #[must_use]
    pub fn notch(&self) -> Length {
        self.of(Operation::Notch)
    }

    /// The length of a cut piece, this much either way for each cut.
    #[must_use]
    pub fn saw(&self) -> Length {
        self.of(Operation::Saw)
    }

    /// A newel's head from plumb over its foot, this much either way.
    #[must_use]
    pub fn plumb(&self) -> Length {
        self.of(Operation::Plumb)
    }

    /// These, and where nothing is stated those of another.
    pub(super) fn or(&self, other: &Self) -> Self {
        let mut all = other.clone();
        for operation in Operation::ALL {
            if let Some(stated) = self.stated(operation) {
                *all.place(operation) = Some(stated.clone());
            }
        }
        all
    }

    const fn place(&mut self, operation: Operation) -> &mut Option<Len> {
        match operation {
            Operation::Marking => &mut self.marking,
            Operation::Bore => &mut self.bore,
            Operation::Notch => &mut self.notch,
            Operation::Saw => &mut self.saw,
            Operation::Plumb => &mut self.plumb,
        }
    }
}
