//! What weighing the received parts gives: plain data.

use crate::measure::Length;

use super::Fit;

/// Every received part, weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct ReceivedSet {
    /// The newels, in the order of the job.
    pub newels: Vec<NewelWeighed>,
    /// The balusters, in the order of the job.
    pub balusters: Vec<BalusterWeighed>,
    /// Places that no received baluster fills, from the bottom up.
    pub unfilled: Vec<String>,
    /// The disturbances of the balusters at their places added up.
    pub disturbance: Length,
    /// The rails, in the order of the job.
    pub rails: Vec<RailWeighed>,
}

/// What becomes of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It is taken as it comes: within the limits anywhere, as it is marked.
    Accept,
    /// It is within the limits where, and turned as, it is told.
    Shuffle,
    /// It is within them nowhere.
    SendBack,
}

/// A received newel.
#[derive(Clone, Debug, PartialEq)]
pub struct NewelWeighed {
    /// Its name.
    pub name: String,
    /// What becomes of it.
    pub verdict: Verdict,
    /// Turned by so many quarter turns, anticlockwise seen from above, from how it is marked.
    pub quarter_turns: u8,
    /// What it does as it is marked.
    pub as_marked: NewelEffects,
    /// What it does so turned.
    pub turned: NewelEffects,
}

/// What a received newel does to what was set out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NewelEffects {
    /// Change of the gap beside it at the foot of its neighbour, positive wider.
    pub gap_at_foot: Length,
    /// The same at the top of the rail.
    pub gap_at_rail: Length,
    /// What is cut off its foot first: so much that its block shows the same above the rail as below
    /// it or, without a block, that it has its height. A foot out of square by no more is then square.
    pub trim: Length,
    /// What its block then shows above the rail and below it, on the axis; none where no block was
    /// read.
    pub block_reveals: Option<(Length, Length)>,
    /// How far its head stands up the flight of plumb over its foot.
    pub lean_uphill: Length,
    /// How far its head stands outward of plumb over its foot.
    pub lean_outward: Length,
    /// How much higher its head, and so its cap, stands than was set out.
    pub cap: Length,
}

impl NewelEffects {
    /// How much more its block shows above the rail than below; nothing or less, since what stands too
    /// high is cut down.
    #[must_use]
    pub fn reveals_apart(&self) -> Option<Length> {
        self.block_reveals.map(|(above, below)| above - below)
    }

    /// The greater of the changes of the gap.
    #[must_use]
    pub fn gap(&self) -> Length {
        if self.gap_at_foot.abs() > self.gap_at_rail.abs() {
            self.gap_at_foot
        } else {
            self.gap_at_rail
        }
    }

    /// How far its head is out of plumb.
    #[must_use]
    pub fn lean(&self) -> Length {
        Length::mm(self.lean_uphill.as_mm().hypot(self.lean_outward.as_mm()))
    }
}

/// A received baluster.
#[derive(Clone, Debug, PartialEq)]
pub struct BalusterWeighed {
    /// The mark on it.
    pub mark: String,
    /// What becomes of it.
    pub verdict: Verdict,
    /// Where it goes; none for a spare.
    pub at: Option<Placed>,
}

/// A baluster at its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The place, such as `B07`.
    pub place: String,
    /// How it is turned there, and what it does.
    pub fit: Fit,
}

/// A received rail.
#[derive(Clone, Debug, PartialEq)]
pub struct RailWeighed {
    /// Its name.
    pub name: String,
    /// What becomes of it.
    pub verdict: Verdict,
    /// True where it goes in end for end.
    pub end_for_end: bool,
    /// What it does as it is marked.
    pub as_marked: RailEffects,
    /// What it does end for end.
    pub turned: RailEffects,
}

/// What a bowed rail does to what was set out. It moves no foot, so gaps at the feet and reveals stay.
#[derive(Clone, Debug, PartialEq)]
pub struct RailEffects {
    /// The greatest shift of the head of a baluster outward, and which: it leans so much more, foot
    /// to head.
    pub lean: Option<(Length, String)>,
    /// The greatest change of a baluster's length, and which; positive longer.
    pub length: Option<(Length, String)>,
    /// The greatest change of the rail's height over a nosing, plumb, and the step.
    pub height: Option<(Length, u32)>,
    /// True where the height window is kept as it was by the straight rail.
    pub in_window: bool,
}
