//! [`Source`]: what a result may be off by, each independent of every other.

use crate::job::Operation;
use crate::measure::Length;
use crate::setout::{BalusterOff, NewelOff, Worked};
use crate::survey;

/// An independent source of doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The run that it belongs to, by its number in [`crate::job::Job::each_run`].
    pub run: usize,
    /// What it is.
    pub origin: Origin,
    /// Nobody read it: it stands as meant, unless such are counted ([`super::Model::with_unread`]).
    pub unread: bool,
    /// Where its numbers stand among those of a draw.
    pub(super) from: usize,
    /// How many they are: a wall's bow takes one for each of its nodes.
    pub(super) count: usize,
}

/// What a source is.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// What readings leave open.
    Survey(survey::Source),
    /// What hand and saw do.
    Hand {
        /// The operation.
        operation: Operation,
        /// What of which part, in trade words.
        what: String,
        /// Its limit of error, either way.
        within: Length,
    },
    /// The reading of a part that has been fitted: its field, what it is, and its standard
    /// uncertainty.
    Built {
        /// Its part, in trade words.
        what: String,
        /// One standard deviation.
        sd: Length,
    },
}

impl Source {
    /// True where its errors are normal; those of hand and saw are within a limit, and nothing is
    /// said of what lies within it (JCGM 100:2008, 4.3.7).
    #[must_use]
    pub const fn is_normal(&self) -> bool {
        !matches!(self.origin, Origin::Hand { .. })
    }

    /// The operation, where hand and saw are the source.
    #[must_use]
    pub const fn operation(&self) -> Option<Operation> {
        match &self.origin {
            Origin::Hand { operation, .. } => Some(*operation),
            _ => None,
        }
    }

    /// The field of the reading, where a reading is the source.
    #[must_use]
    pub fn reading(&self) -> Option<&str> {
        match &self.origin {
            Origin::Survey(survey::Source::Reading { path, .. }) => Some(path),
            _ => None,
        }
    }

    /// What it is, in trade words.
    #[must_use]
    pub fn says(&self) -> String {
        match &self.origin {
            Origin::Survey(survey::Source::Reading { what, .. }) => format!("reading: {what}"),
            Origin::Survey(survey::Source::Unread(what)) if self.unread => {
                format!("not read: {what}")
            }
            Origin::Survey(survey::Source::Unread(what)) => {
                format!("what readings leave of {what}")
            }
            Origin::Survey(survey::Source::Bow(wall)) => {
                format!("not read: wall {wall}'s bow between its readings")
            }
            Origin::Hand {
                operation, what, ..
            } => format!("{}: {what}", operation.word()),
            Origin::Built { what, .. } => format!("as fitted: {what}"),
        }
    }
}

/// Where one number of hand and saw goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Aim {
    /// The rail's height over the first (0) or last (1) nosing.
    Rail(usize),
    /// The same of the handrail on the wall side.
    WallRail(usize),
    /// A newel's foot, up the flight (0) or outward (1).
    NewelFoot(usize, usize),
    /// A newel's lean.
    NewelLean(usize, usize),
    /// A newel's height.
    NewelHeight(usize),
    /// A baluster's foot.
    BalusterFoot(usize, usize),
    /// A baluster's head.
    BalusterHead(usize, usize),
    /// The length of the rail as cut: it moves no part, and shows at its joints.
    RailLength,
}

impl Aim {
    /// Adds an error, mm or a slope. Returns what it adds to the rail's length as cut.
    pub(super) fn add(self, worked: &mut Worked, by: f64) -> f64 {
        let mm = Length::mm(by);
        match self {
            Self::Rail(end) => {
                if let Some(heights) = &mut worked.rail {
                    heights[end] += mm;
                }
            }
            Self::WallRail(end) => {
                if let Some(heights) = &mut worked.wall_rail {
                    heights[end] += mm;
                }
            }
            Self::NewelFoot(at, axis) => newel(worked, at).foot[axis] += mm,
            Self::NewelLean(at, axis) => newel(worked, at).lean[axis] += by,
            Self::NewelHeight(at) => newel(worked, at).height += mm,
            Self::BalusterFoot(at, axis) => baluster(worked, at).foot[axis] += mm,
            Self::BalusterHead(at, axis) => baluster(worked, at).head[axis] += mm,
            Self::RailLength => return by,
        }
        0.0
    }
}

fn newel(worked: &mut Worked, at: usize) -> &mut NewelOff {
    if worked.newels.len() <= at {
        worked.newels.resize(at + 1, NewelOff::default());
    }
    &mut worked.newels[at]
}

fn baluster(worked: &mut Worked, at: usize) -> &mut BalusterOff {
    if worked.balusters.len() <= at {
        worked.balusters.resize(at + 1, BalusterOff::default());
    }
    &mut worked.balusters[at]
}
