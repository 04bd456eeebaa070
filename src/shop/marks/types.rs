//! What marking out gives: plain data. Every running mark is measured from the one end of its row, so
//! that rounding never adds up.

use crate::measure::Length;
use crate::setout::dry_fit::{DryFit, Edge};

/// The marks of a stair, run by run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MarkSet {
    /// The runs that have something to mark.
    pub runs: Vec<RunMarks>,
}

/// The marks of one run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunMarks {
    /// Its number.
    pub run: usize,
    /// Running marks from one end, row by row.
    pub rows: Vec<MarkRow>,
    /// Baluster centres on what they stand on, from two edges of it, from the bottom up; none where
    /// they stand in a shoe or on a bottom rail.
    pub treads: Vec<TreadMarks>,
    /// The newels from two fixed edges, as they stand before anything is cut.
    pub newels: Vec<NewelMarks>,
    /// The block that spaces the balusters; `None` where there are no two gaps alike.
    pub block: Option<MarkingBlock>,
}

/// What a row of running marks is made on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RowOn {
    /// Level up the flight, at the feet: on a rod.
    Rod,
    /// The rail's underside.
    RailUnder,
    /// The top of a shoe.
    ShoeTop,
    /// The top of a bottom rail.
    BottomRailTop,
    /// The underside of the handrail on the wall side: brackets.
    WallRailUnder,
}

/// What a tape is hooked on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hook {
    /// The face, up the flight, of what stands at the lower end.
    Face,
    /// The lower end of the piece itself, in the middle of the side that is marked.
    LowerEnd,
}

/// Running marks, all from one end.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkRow {
    /// What they are made on.
    pub on: RowOn,
    /// The piece that is marked, or for a rod what stands at its lower end; empty where nothing does.
    pub part: String,
    /// Where the tape is hooked.
    pub hook: Hook,
    /// The marks, from the bottom up: centres.
    pub marks: Vec<RunningMark>,
    /// The far end of the row: the overall length, and what is there.
    pub end: RunningMark,
}

/// One running mark, exact; it is rounded where it is printed.
#[derive(Clone, Debug, PartialEq)]
pub struct RunningMark {
    /// What stands there.
    pub part: String,
    /// Level from the row's end.
    pub level: Length,
    /// Along the slope from the row's end; `None` on a rod, and where it lies on a fitting past the
    /// straight piece.
    pub slope: Option<Length>,
    /// What is bored there.
    pub bore: Option<BoreMark>,
}

/// A bore at a mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoreMark {
    /// Diameter; of a seat the size up the flight of what goes in.
    pub diameter: Length,
    /// Depth from the face, plumb in a rail, square in a tread.
    pub deep: Length,
    /// What is left of the wood there; `None` where nothing tells how thick it is.
    pub left: Option<Length>,
}

/// Baluster centres on one surface.
#[derive(Clone, Debug, PartialEq)]
pub struct TreadMarks {
    /// The step; 0 is the lower floor.
    pub step: u32,
    /// The part.
    pub part: String,
    /// The centres, from the bottom up.
    pub marks: Vec<TreadMark>,
}

/// A baluster's centre from two edges of what it stands on, measured along its surface.
#[derive(Clone, Debug, PartialEq)]
pub struct TreadMark {
    /// The baluster.
    pub part: String,
    /// Square from the first edge.
    pub along: (Edge, Length),
    /// Square from the second.
    pub across: (Edge, Length),
    /// The bore for its peg.
    pub bore: Option<BoreMark>,
}

/// A newel set down dry: the lines to knife, each from two fixed edges.
#[derive(Clone, Debug, PartialEq)]
pub struct NewelMarks {
    /// The newel.
    pub newel: String,
    /// The run in whose frame it is set down, by its number.
    pub run: usize,
    /// How it stands there.
    pub fit: DryFit,
}

/// A block that is set between one baluster and the next.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkingBlock {
    /// Its length level, on the treads: the clear gap.
    pub level: Length,
    /// Its length along the slope, on rail or shoe; `None` where the run is level.
    pub slope: Option<Length>,
    /// The face that it hooks on first: the uphill face of this part; then of each baluster in turn.
    pub hooks_on: String,
    /// The neighbours that it serves.
    pub serves: Vec<(String, String)>,
    /// Those that it does not, and their own gaps.
    pub not: Vec<(String, String, Length)>,
    /// How far a block cut to the nearest mark of the tape would be off after all that it serves,
    /// level, too long positive.
    pub creeps: Length,
}
