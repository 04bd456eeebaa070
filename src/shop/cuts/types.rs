//! What the cut list gives: plain data. Lengths are finished ones unless they are called rough.

use crate::job::{FixingFace, Hand};
use crate::measure::{Angle, Length, tolerance};
use crate::setout::NewelSide;
use crate::setout::boards::SkirtStep;
use crate::shop::there::There;

/// The cut list of a stair: sorted by work, pieces that the job's tape cannot tell apart as one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CutList {
    /// The lines.
    pub pieces: Vec<CutPiece>,
    /// Parts that are there already.
    pub there: There,
    /// Parts of the picture that are cut and that no line tells of.
    pub untold: Vec<String>,
}

impl CutList {
    /// The line of a part, by its name; a part of several pieces has several lines.
    pub fn of<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a CutPiece> {
        let has = move |piece: &&CutPiece| piece.members.iter().any(|member| member == name);
        self.pieces.iter().filter(has)
    }
}

/// One line of the cut list: one piece, or several that are cut alike.
#[derive(Clone, Debug, PartialEq)]
pub struct CutPiece {
    /// The names that these parts have in the picture, from the bottom up; of a piece that has no name
    /// of its own, those of the parts that it goes on.
    pub members: Vec<String>,
    /// The names that the pieces of a part have of their own, where it is made of several that are told
    /// apart: those of a rail's fittings and returns. Empty for the others.
    pub own: Vec<String>,
    /// How many to cut.
    pub quantity: u32,
    /// The run of the first, by its number.
    pub run: usize,
    /// What it is.
    pub kind: PieceKind,
    /// What is done to it, in the order of the work; the first is its saw work.
    pub work: Vec<Work>,
    /// Its section as it lies in the stair: the wider way, then the other.
    pub section: [Length; 2],
    /// The length to cut it from.
    pub rough: Length,
    /// Its finished length over all, pegs and seats counted.
    pub finished: Length,
    /// Between its farthest corners along its length, pegs and seats not counted.
    pub long_points: Length,
    /// Between its nearest corners.
    pub short_points: Length,
    /// What a tape reads along its top and along its underside, on the face that lies up; of pieces
    /// along the slope.
    pub edges: Option<[Length; 2]>,
    /// Its two ends: lower, foot or left first.
    pub ends: [EndWork; 2],
    /// The face that lies up on the saw.
    pub up: FaceUp,
    /// The hand that it is for, of one going up; `None` where either does.
    pub hand: Option<Hand>,
    /// Long edges that are ripped out of square: the edge, and the saw's tilt.
    pub rips: Vec<(Edge, Angle)>,
    /// What is notched out of it.
    pub notches: Vec<NotchWork>,
    /// What is bored into it.
    pub bores: Vec<BoreWork>,
    /// What more there is to know of it.
    pub detail: Detail,
    /// Whether it is there already.
    pub there: Standing,
}

/// Whether a piece is there already.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Standing {
    /// It is to be had first.
    #[default]
    Wanted,
    /// It was delivered: it is cut from what came. The mark on each, in the order of the names.
    Received(Vec<String>),
    /// It has been fitted: nothing is cut.
    Fitted,
}

impl CutPiece {
    /// What is written on it: its own name where it has one, else that of its part.
    #[must_use]
    pub fn called(&self) -> &[String] {
        if self.own.is_empty() {
            &self.members
        } else {
            &self.own
        }
    }
}

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PieceKind {
    /// A newel.
    Newel,
    /// A half newel on a wall.
    HalfNewel,
    /// A block that a newel needs to bear on.
    Block,
    /// A straight rail.
    Rail,
    /// A bend between rake and level.
    Easing,
    /// A level piece of rail.
    LevelRail,
    /// A piece of rail on the rake, over a newel.
    RakedCap,
    /// The plumb piece of a gooseneck.
    Gooseneck,
    /// The handrail on the wall side.
    WallRail,
    /// A piece that returns it to its wall.
    RailReturn,
    /// A rosette between rail and wall.
    Rosette,
    /// A bottom rail.
    BottomRail,
    /// A closed string.
    String,
    /// The cap of a half wall or string.
    BaseCap,
    /// A shoe.
    Shoe,
    /// A baluster.
    Baluster,
    /// A panel.
    Panel,
    /// A fillet in a plough.
    Fillet,
    /// A tread.
    Tread,
    /// A tread of a turn on winders.
    Winder,
    /// A return nosing.
    ReturnNosing,
    /// A kick.
    Kick,
    /// A skirt on the open side.
    OpenSkirt,
    /// A skirt on the wall side.
    WallSkirt,
    /// A strip that is scribed to a wall.
    ScribeStrip,
    /// Plugs over screws and bolts.
    Plug,
}

/// A kind of work. The order is that of a day: pieces of one setting of the saw together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Work {
    /// Cut square.
    Square,
    /// Cut with the blade turned.
    Mitred,
    /// Cut with the blade tilted.
    Bevelled,
    /// Cut with the blade turned and tilted.
    Compound,
    /// Cut out for a newel.
    Notched,
    /// Scribed to what it meets.
    Scribed,
    /// Bored.
    Bored,
}

/// The face of a piece that lies up on the saw's table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaceUp {
    /// The face that shows: the top of a tread, the front of a kick or skirt.
    Show,
    /// The side that looks to the open side; of a rail on a wall, away from the wall.
    OpenSide,
    /// The side that looks down the flight.
    Downhill,
    /// Its top.
    Top,
    /// Either.
    Any,
}

/// An edge or side of a piece, as it lies in the stair.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Edge {
    /// Its upper edge or side.
    Top,
    /// Its lower one.
    Under,
    /// The one on the left going up.
    Left,
    /// The one on the right.
    Right,
    /// The one up the flight.
    Uphill,
    /// The one down the flight.
    Downhill,
    /// The front of a tread.
    Nosing,
    /// The back of a tread.
    Back,
    /// The open end.
    OpenEnd,
    /// The face that shows.
    Show,
    /// The face that does not.
    Hidden,
    /// The outer edge of a bend or return.
    Outer,
    /// The face of the step's kick.
    KickFace,
    /// The end of a winder at what it turns about.
    Narrow,
    /// Its end at the wall.
    Wide,
}

/// Which end of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EndOf {
    /// The end further down the flight.
    Lower,
    /// The end further up the flight.
    Upper,
    /// The foot of an upright.
    Foot,
    /// Its head.
    Head,
    /// The end on the left going up.
    Left,
    /// The end on the right.
    Right,
    /// Where a return meets its rail.
    Corner,
    /// Where it meets the wall.
    Wall,
}

impl EndOf {
    /// What it is called.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Lower => "lower end",
            Self::Upper => "upper end",
            Self::Foot => "foot",
            Self::Head => "head",
            Self::Left => "left end",
            Self::Right => "right end",
            Self::Corner => "mitred end",
            Self::Wall => "wall end",
        }
    }
}

/// The work at one end of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct EndWork {
    /// Which end.
    pub end: EndOf,
    /// The part that it meets; `None` where it meets none or what it meets has no name.
    pub meets: Option<String>,
    /// True where it is scribed to what it meets, and cut long for that.
    pub scribed: bool,
    /// The cuts; one, but two at the end of a skirt that stands on a floor.
    pub cuts: Vec<SawCut>,
}

/// What a cut is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutFor {
    /// The end as a whole.
    End,
    /// Plumb, against something upright.
    Plumb,
    /// Level, on a floor.
    Level,
    /// Instead of these: the seam to a level base.
    Seam,
    /// At the nosing's corner of a tread, for its return nosing; behind it the end is that of the body.
    Return,
}

/// A cut of the saw. Both angles are from square and never negative; the piece's long edges say which
/// way they go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SawCut {
    /// What it is for.
    pub what: CutFor,
    /// The blade's turn from square across.
    pub mitre: Angle,
    /// The edge that comes out the longer by it; `None` where it is square across.
    pub mitre_long: Option<Edge>,
    /// The blade's tilt from plumb.
    pub bevel: Angle,
    /// The side that comes out the longer by it; `None` where it is plumb.
    pub bevel_long: Option<Edge>,
    /// The length of the cut's line on the face that lies up, where that is to be checked.
    pub line: Option<Length>,
}

/// An angle as a framing square is set: so much on the tongue for so much on the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Square {
    /// Along the piece.
    pub rise: Length,
    /// Across the piece.
    pub run: Length,
}

/// What is cut out of a piece for a newel.
#[derive(Clone, Debug, PartialEq)]
pub struct NotchWork {
    /// The newel.
    pub newel: String,
    /// How far it reaches in from two edges.
    pub reaches: [(Edge, Length); 2],
    /// How deep it goes into the thickness, and what is left of that.
    pub deep: Length,
    /// What is left of the thickness.
    pub remains: Length,
    /// True where it takes the whole height of the piece: the piece then ends there.
    pub whole: bool,
    /// The length of each side, from each corner to the next.
    pub sides: Vec<Length>,
    /// The inside angle at each corner.
    pub angles: Vec<Angle>,
}

impl NotchWork {
    /// True where nothing is left of the piece over its whole height and thickness: it is no notch, the
    /// piece is only shorter.
    #[must_use]
    pub fn only_shorter(&self) -> bool {
        self.whole && self.remains < Length::mm(tolerance::SAME_POINT_MM)
    }
}

/// What a bore is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BoreFor {
    /// The peg of a baluster; its place is among the marks.
    Peg,
    /// The head of a baluster; its place is among the marks.
    Seat,
    /// A screw or bolt that the job tells of.
    Fixing,
}

/// Bores of one kind in a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct BoreWork {
    /// What it is for.
    pub what: BoreFor,
    /// The fixing's name; empty for pegs and seats.
    pub name: String,
    /// Of pegs the rail of the railing that they are of; empty for the others.
    pub railing: String,
    /// How many.
    pub number: u32,
    /// Diameter; for a seat the size of what goes in up the flight.
    pub diameter: Length,
    /// Depth from the face.
    pub deep: Length,
    /// The wider bore for a plug: diameter and depth.
    pub plug: Option<(Length, Length)>,
    /// Of a fixing: the face that it starts from, how far up or along, and how far off the middle
    /// towards the open side (up, or up the flight, on a face that looks to a side).
    pub place: Option<(FixingFace, Length, Length)>,
}

/// One side of a winder's tread.
#[derive(Clone, Debug, PartialEq)]
pub struct WinderEdge {
    /// Which edge it is; one that meets a corner is two.
    pub edge: Edge,
    /// The part that it meets; `None` where it meets none or what it meets has no name.
    pub meets: Option<String>,
    /// How far beyond its beginning and its end the wall stands as found, at the height of the tread's
    /// top; negative where it stands within. `None` where it meets no wall that is told of.
    pub stands: Option<[Length; 2]>,
    /// Its length; of a round one along the round.
    pub length: Length,
    /// The inside angle at its beginning, with the side before it; more than 180 degrees where the
    /// corner looks inward.
    pub corner: Angle,
    /// Where it begins: along the nosing from its left end, and square back from it.
    pub at: [Length; 2],
    /// The saw: its turn from square across the side before, and its tilt.
    pub cut: SawCut,
    /// Of a round one its radius, and straight from its beginning to its end.
    pub round: Option<(Length, Length)>,
}

/// What more there is to know of a piece.
#[derive(Clone, Debug, PartialEq)]
pub enum Detail {
    /// Nothing.
    Plain,
    /// A tread: its widths at nosing and back on the show face, its depth at the left and right end,
    /// its overhang, what to cut it from.
    Tread {
        /// Width at the nosing, and at the back without what return nosings add there.
        widths: [Length; 2],
        /// From nosing to back, at the left and at the right end.
        depths: [Length; 2],
        /// Nosing beyond the kick's face.
        overhang: Length,
        /// Depth of the rough board.
        rough_depth: Length,
        /// Where an end is relieved so that it can be tilted in: from so far behind the nosing on, and
        /// the undercut there; the left and the right end.
        relief: [Option<(Length, Angle)>; 2],
    },
    /// A winder's tread: its outline, side by side, on the show face, and what to cut it from. The grain
    /// lies along the nosing (common practice, no source), and so do the lengths of the piece and of the
    /// board.
    Winder {
        /// Its sides, anticlockwise seen from above; the first is the nosing from its left end, as one
        /// going up sees it, to its right end.
        edges: Vec<WinderEdge>,
        /// The rectangle that just holds it: along the nosing, and square to it.
        bounds: [Length; 2],
        /// Where that begins along the nosing from its left end: negative to the left of it.
        begins: Length,
        /// Nosing beyond the kick's face.
        overhang: Length,
        /// Depth of the rough board, square to the nosing.
        rough_depth: Length,
        /// The area of its show face, mm^2.
        area_mm2: f64,
    },
    /// A kick: its widths along its lower and upper edge, its height at the left and right end.
    Kick {
        /// Width along its lower and along its upper edge.
        widths: [Length; 2],
        /// Height along its face at the left and right end.
        heights: [Length; 2],
        /// Height of the rough board.
        rough_height: Length,
    },
    /// A baluster between foot and rail.
    Baluster {
        /// Length of the peg below its foot, and the diameter.
        peg: [Length; 2],
        /// What goes into the rail, along it.
        seat: Length,
        /// How far the head stands outward of the foot.
        lean: Length,
    },
    /// A newel: its cap above its finished length; what shows of its block above and below the rails.
    Newel {
        /// Height of the cap.
        cap: Length,
        /// From its foot to the highest and to the lowest point of a rail that meets it.
        rails: Vec<(String, [Length; 2])>,
        /// What shows of its block above the highest rail.
        above: Option<Length>,
        /// And below the lowest.
        below: Option<Length>,
    },
    /// A skirt on the open side: its cuts, step by step.
    OpenSkirt(Vec<SkirtStep>),
    /// A strip to scribe: its width at the lower and upper end, its greatest, its least.
    Strip {
        /// Width at its ends.
        ends: [Length; 2],
        /// Its greatest and its least width.
        most_least: [Length; 2],
        /// The angle between its edges.
        taper: Angle,
    },
    /// A bend: its radius along the middle of the rail's top, its turn, and from its ends to the
    /// corner of the two straight lines.
    Bend {
        /// The radius.
        radius: Length,
        /// The turn.
        turn: Angle,
        /// From either end to the corner.
        tangent: Length,
    },
    /// A panel: both plumb ends, both edges.
    Panel {
        /// Height of its lower and upper end.
        ends: [Length; 2],
        /// Its lower and upper edge.
        edges: [Length; 2],
    },
    /// A piece that is scribed: what that takes off, least and most.
    Scribe([Length; 2]),
    /// A piece that returns a rail to its wall: at which end of the rail, and how far its section is
    /// rolled out of level.
    Returned {
        /// The end of the rail.
        at: EndOf,
        /// The roll.
        roll: Angle,
    },
    /// The upper or the lower end of the part that it belongs to.
    AtEnd(EndOf),
    /// A block: the side of the newel that it backs, and the run whose stair it is fixed to, where there
    /// are several.
    Backs(NewelSide, Option<String>),
}
