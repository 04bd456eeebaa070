//! What bedding gives: plain data.

use crate::measure::Length;

/// Limits that bedding works to; whoever calls it takes them from the rule pack. `None` where there
/// is none.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BeddingLimits {
    /// The greatest rise less the least, floors included.
    pub rise_range: Option<Length>,
    /// A rise less its neighbour.
    pub rise_neighbours: Option<Length>,
    /// The greatest rise.
    pub rise_most: Option<Length>,
    /// The greatest going less the least.
    pub going_range: Option<Length>,
    /// A going less its neighbour.
    pub going_neighbours: Option<Length>,
    /// The least going.
    pub going_least: Option<Length>,
    /// Climb of a tread in any direction, rise over run (no unit).
    pub slope: Option<f64>,
}

/// The bedding of one flight.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bedded {
    /// The treads, from the bottom; none where no height was read on a stringer.
    pub treads: Vec<TreadBed>,
    /// The kicks, from the bottom; none where no plumb cut was read.
    pub kicks: Vec<KickBed>,
    /// The finished rises from floor to floor, from the bottom.
    pub rises: Vec<BothEnds>,
    /// The finished goings, from the bottom.
    pub goings: Vec<BothEnds>,
    /// All that is filled under treads, stringer by stringer added up; a tread that falls from front
    /// to back counts half at either edge.
    pub filling: Length,
    /// All that is relieved under treads likewise.
    pub relieving: Length,
    /// All that is filled behind kicks.
    pub set_back: Length,
    /// All that is relieved behind kicks.
    pub set_back_relieving: Length,
    /// The limit that had to give for the treads; the bedding told is the one with it given.
    pub treads_short: Option<Shortfall>,
    /// The same for the kicks.
    pub kicks_short: Option<Shortfall>,
    /// Stringers of which nothing was read.
    pub left_out: Vec<String>,
}

/// A length at both ends of the treads, at their nosings or kicks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BothEnds {
    /// The step: of a rise the one reached, of a going its tread.
    pub step: u32,
    /// At the open end.
    pub open: Length,
    /// At the wall end.
    pub wall: Length,
}

/// How one tread lies.
#[derive(Clone, Debug, PartialEq)]
pub struct TreadBed {
    /// The tread.
    pub step: u32,
    /// Height of its top above the datum, at the baluster line, midway between front and back cuts.
    pub height: Length,
    /// How much its open end stands above its wall end.
    pub across: Length,
    /// How much the front stands above the back, over the depth of the cut.
    pub fall: Length,
    /// What is on each stringer that was read.
    pub beds: Vec<Bed>,
}

/// What is between a tread and one stringer's cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// The stringer.
    pub stringer: String,
    /// At the front of the cut: filled where positive, relieved where negative.
    pub front: Length,
    /// At its back likewise.
    pub back: Length,
    /// What does it, told by the thicker end; relieving if either end needs that.
    pub fills: Fills,
    /// How sure the cut is: a standard deviation.
    pub sd: Length,
    /// False where no reading touches the cut: it is taken as meant.
    pub read: bool,
}

/// How one kick stands.
#[derive(Clone, Debug, PartialEq)]
pub struct KickBed {
    /// The kick.
    pub step: u32,
    /// Its face, up the flight from the meant face of the first, on the baluster line.
    pub face: Length,
    /// How much further up the flight its open end stands than its wall end.
    pub skew: Length,
    /// What is between its back and each stringer that was read.
    pub beds: Vec<SetBack>,
}

/// What is between a kick's back and one stringer's plumb cut.
#[derive(Clone, Debug, PartialEq)]
pub struct SetBack {
    /// The stringer.
    pub stringer: String,
    /// How far the cut stands back from the kick's back; negative where it has to be relieved.
    pub set_back: Length,
    /// What fills it.
    pub fills: Fills,
    /// How sure the cut is: a standard deviation.
    pub sd: Length,
    /// False where no reading touches the cut.
    pub read: bool,
}

/// What goes between a board and a cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fills {
    /// A light bead of adhesive.
    Light,
    /// A normal bead.
    Normal,
    /// A heavy bead.
    Heavy,
    /// More than a bead fills: a shim.
    Shim,
    /// The cut stands too high or too far out, and is planed or sawn back.
    Relieve,
}

/// Where no bedding keeps every limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Shortfall {
    /// The limits that clear it by giving way alone, and how far: the one that gives least first,
    /// and it is the one that the bedding was done with. One entry for all of them where none does
    /// alone.
    pub gives: Vec<Give>,
    /// The steps that go past the first limit as it was asked.
    pub steps: Vec<u32>,
}

/// A limit that gives way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Give {
    /// The limit.
    pub limit: BeddingLimit,
    /// As it was asked; a slope as the climb over the length of a tread. Nothing where all give.
    pub asked: Option<Length>,
    /// The least that would do.
    pub needed: Option<Length>,
    /// How far it gives.
    pub by: Length,
}

/// A limit of bedding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeddingLimit {
    /// The greatest rise less the least.
    RiseRange,
    /// A rise less its neighbour.
    RiseNeighbours,
    /// The greatest rise.
    RiseMost,
    /// The greatest going less the least.
    GoingRange,
    /// A going less its neighbour.
    GoingNeighbours,
    /// The least going.
    GoingLeast,
    /// The climb of a tread.
    Slope,
    /// How much a cut is relieved.
    Relieve,
    /// All of them.
    All,
}
