//! What the set-out gives of newels' feet and heads, of rail fittings and of the handrail on the
//! wall side: plain data, millimetres in the flight's frame.

use nalgebra::{Point2, Point3, Vector3};

use crate::measure::{Angle, Length, Pitch};

use super::{EndCut, WindowReport};

/// What is cut out of a board for a newel: a kick or a skirt on the open side.
#[derive(Clone, Debug, PartialEq)]
pub struct Cutout {
    /// The board.
    pub part: String,
    /// The step at which it is cut.
    pub step: u32,
    /// The corners of the cut-out in plan, anticlockwise, flight's frame.
    pub plan: Vec<Point2<f64>>,
    /// Its corners on the board's face, anticlockwise as seen with the first coordinate to the
    /// right: level distance in from the board's end (a kick's open end; for a skirt the face of
    /// the step's kick), and height above the newel's foot; mm.
    pub face: Vec<Point2<f64>>,
    /// The length of each side on the face, from each corner to the next.
    pub sides: Vec<Length>,
    /// The inside angle at each corner on the face.
    pub angles: Vec<Angle>,
    /// How far in from the board's end it reaches, level.
    pub from_end: Length,
    /// How far down from the board's upper edge it reaches.
    pub from_top: Length,
    /// How deep into the board's thickness it goes.
    pub depth: Length,
    /// What remains of the thickness.
    pub remains: Length,
}

/// A side of a newel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NewelSide {
    /// The side that looks up the flight.
    Uphill,
    /// The side that looks towards the wall side.
    Inward,
    /// Its foot.
    Under,
}

/// A block to be fixed so that a newel bears on wood.
///
/// That a notched newel should bear on wood with two faces, and what a block should measure, is
/// common practice, no source.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockNeeded {
    /// The side of the newel that it backs.
    pub side: NewelSide,
    /// Its size up the flight.
    pub along: Length,
    /// Its size across the flight.
    pub across: Length,
    /// Its size upwards.
    pub height: Length,
    /// Its middle.
    pub at: Point3<f64>,
}

/// A hidden fastener near a newel's notch.
#[derive(Clone, Debug, PartialEq)]
pub struct FastenerMet {
    /// Its name.
    pub name: String,
    /// From its side to the cut; negative where the saw meets it.
    pub clear: Length,
    /// Its middle, at the height of the tread's top.
    pub at: Point3<f64>,
}

/// A newel that does not go into the stair.
#[derive(Clone, Debug, PartialEq)]
pub struct OnSurface {
    /// The surface: 0 is the lower floor.
    pub step: u32,
    /// How far its foot stands out past the edge of that surface.
    pub past_edge: Length,
    /// For a hollow newel: what it measures inside, up the flight and across.
    pub inside: Option<[Length; 2]>,
    /// For a hollow newel: the block's size up the flight, across and upwards.
    pub block: Option<[Length; 3]>,
}

/// A newel's cap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CapSet {
    /// How far it stands out on every side.
    pub out: Length,
    /// Thickness of its slab.
    pub slab: Length,
    /// Height of the point on the slab.
    pub point: Length,
}

impl CapSet {
    /// No cap: a rail lies on the newel.
    pub const NONE: Self = Self {
        out: Length::ZERO,
        slab: Length::ZERO,
        point: Length::ZERO,
    };

    /// How far below the newel's top it begins.
    #[must_use]
    pub fn height(&self) -> Length {
        self.slab + self.point
    }
}

/// What a newel's head should show beside the rails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Head {
    /// Length of the block that rails may meet, down from where the cap begins; `None`: all the way.
    pub block: Option<Length>,
    /// What should show above the highest rail; `None`: as much as below the lowest.
    pub above: Option<Length>,
}

/// A rail where it meets a newel: heights above the newel's foot, along the newel.
#[derive(Clone, Debug, PartialEq)]
pub struct RailMeets {
    /// The rail.
    pub rail: String,
    /// The height of its highest point at the newel.
    pub top: Length,
    /// The height of its lowest point at the newel.
    pub underside: Length,
}

/// What shows of a newel's head block beside the rails that meet it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlockReveals {
    /// Above the highest rail, up to where the cap begins. Negative: a rail runs into the cap.
    pub above: Length,
    /// Below the lowest rail, down to the block's end; `None` where the block has no end.
    /// Negative: a rail meets the turning below the block.
    pub below: Option<Length>,
}

/// A newel's height, and what it makes of the reveals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NewelHeight {
    /// The height along the newel, cap and all.
    pub height: Length,
    /// What shows of its head block.
    pub reveals: BlockReveals,
}

/// What a rail fitting is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FittingKind {
    /// A bend in the plumb plane of the rail.
    Easing,
    /// A level piece.
    Level,
    /// A piece on the rake that lies on a newel.
    Raked,
    /// The plumb piece of a gooseneck.
    Gooseneck,
}

/// A piece of rail past the straight rail's end. Points lie on the middle of the rail's top, in the
/// plumb plane over the baluster line.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitting {
    /// What it is.
    pub kind: FittingKind,
    /// True at the rail's upper end.
    pub upper: bool,
    /// Where it begins, on the straight rail's side.
    pub start: Point3<f64>,
    /// Where it ends.
    pub end: Point3<f64>,
    /// The way of the rail where it begins, away from the straight rail, unit vector.
    pub start_way: Vector3<f64>,
    /// The same where it ends.
    pub end_way: Vector3<f64>,
    /// For a bend: its centre.
    pub centre: Option<Point3<f64>>,
    /// For a bend: its radius, along the middle of the rail's top.
    pub radius: Option<Length>,
    /// For a bend: how far it turns.
    pub turn: Angle,
    /// Its length along the middle of the rail's top.
    pub length: Length,
    /// For a bend: how far its ends stand from the corner of the two straight lines.
    pub tangent: Length,
    /// The outward normal of the cut where it ends, unit vector: its own way, or between its way
    /// and the next piece's where they are mitred.
    pub end_cut: Vector3<f64>,
}

/// Where a rail passes over a newel.
#[derive(Clone, Debug, PartialEq)]
pub struct OverNewel {
    /// The newel.
    pub newel: String,
    /// True at the rail's upper end.
    pub upper: bool,
    /// Height of the rail's top over the newel, above the nosing next to it (the lowest nosing at
    /// the lower end, the top one at the upper).
    pub over_nosing: Length,
    /// Height of the rail's top over the newel, above the floor or tread that the newel stands on.
    pub over_ground: Length,
    /// The middle of the rail's top over the middle of the newel.
    pub top: Point3<f64>,
    /// The rail's depth there, plumb.
    pub thick: Length,
    /// True where the job gives the height over the floor, so that the rake does not move it.
    pub held: bool,
    /// How much higher the level piece lies than the rake brings the rail there: what a gooseneck's
    /// plumb piece makes up. Zero where the easing alone does it.
    pub rise: Length,
    /// What the easing takes off the straight rail at this end, from the corner of rake and level.
    pub takes_off: Length,
}

/// The handrail on the wall side.
#[derive(Clone, Debug, PartialEq)]
pub struct WallRailSet {
    /// Its name.
    pub name: String,
    /// The wall.
    pub wall: String,
    /// The middle of its top at the lower end; where it returns, at the corner.
    pub lower: Point3<f64>,
    /// The same at the upper end.
    pub upper: Point3<f64>,
    /// Its steepness.
    pub pitch: Pitch,
    /// Its width, level.
    pub width: Length,
    /// Its depth, square to its length.
    pub depth: Length,
    /// Length between the farthest corners, along the rail.
    pub long_points: Length,
    /// Length between the nearest corners, along the rail.
    pub short_points: Length,
    /// The cut at the lower end.
    pub lower_cut: EndCut,
    /// The cut at the upper end.
    pub upper_cut: EndCut,
    /// What the height window said.
    pub window: WindowReport,
    /// The least clearance from the wall, and how far up the flight it is.
    pub least_clear: (Length, Length),
    /// The greatest clearance from the wall, and how far up the flight it is.
    pub most_clear: (Length, Length),
    /// The brackets, from the bottom up.
    pub brackets: Vec<BracketSet>,
    /// The returned ends: the lower, then the upper; `None` where it is left open.
    pub returns: [Option<ReturnSet>; 2],
}

/// A bracket of the handrail on the wall side.
#[derive(Clone, Debug, PartialEq)]
pub struct BracketSet {
    /// Distance along the rail from its lower end.
    pub along: Length,
    /// The middle of the rail's underside over it.
    pub under_rail: Point3<f64>,
    /// Where it meets the wall.
    pub on_wall: Point3<f64>,
    /// From the wall's face to the middle of the rail, level and square to the rail.
    pub stand_off: Length,
}

/// A piece that returns a rail to its wall.
#[derive(Clone, Debug, PartialEq)]
pub struct ReturnSet {
    /// The corner of both pieces, on the middle of the rail's top.
    pub corner: Point3<f64>,
    /// Where the middle of its top meets the wall.
    pub on_wall: Point3<f64>,
    /// Half the turn: what both pieces are mitred at.
    pub mitre: Angle,
    /// Its cut against the wall.
    pub wall_cut: EndCut,
    /// Its longest side, from the outer point of the mitre to the wall.
    pub long_point: Length,
    /// Its shortest side.
    pub short_point: Length,
    /// How far its section is rolled out of level, so that it meets the raked rail all round.
    pub roll: Angle,
}

/// A half newel on a wall.
#[derive(Clone, Debug, PartialEq)]
pub struct HalfNewelSet {
    /// Its name: that of its wall, after `half newel on`.
    pub name: String,
    /// The wall.
    pub wall: String,
    /// True at the rail's upper end.
    pub upper: bool,
    /// The middle of its face at its foot.
    pub face: Point3<f64>,
    /// Out of the wall, level, unit vector: its face looks there.
    pub normal: Vector3<f64>,
    /// Its thickness before it is scribed.
    pub thickness: Length,
    /// Its width along the wall.
    pub across: Length,
    /// Its height.
    pub height: Length,
    /// What scribing takes off its back: least and most.
    pub scribe: (Length, Length),
    /// What it keeps of its thickness: at its foot and at its head, in its middle.
    pub keeps: (Length, Length),
}
