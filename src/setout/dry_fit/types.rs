//! What a dry fit gives: plain data, millimetres in the frame of the run (or, once placed, in the
//! first run's).

use nalgebra::{Point3, Vector3};

use crate::measure::{Angle, Length};
use crate::setout::{Behind, BlockNeeded, FastenerMet, NewelSide};
use crate::site::Frame;

/// A newel set down on one run of the stair as found, before anything is cut for it.
#[derive(Clone, Debug, PartialEq)]
pub struct DryFit {
    /// The newel.
    pub newel: String,
    /// True for a round one: it has a centre and a diameter to mark, and no corners.
    pub round: bool,
    /// What is to be done for it here.
    pub stands: Standing,
    /// The outline of its foot on what it stands on; `None` where none of it is seen there, and where
    /// it stands on another run's floor.
    pub foot: Option<KnifeFace>,
    /// Every face of a board that it goes into, with the lines to cut to: treads first, then noses,
    /// tread ends, kicks and skirts, each from the bottom up.
    pub faces: Vec<KnifeFace>,
    /// What lies behind and is cut.
    pub behind: Vec<Behind>,
    /// Hidden fasteners near the cut.
    pub fasteners: Vec<FastenerMet>,
    /// The sides that bear on wood that is there, each with the part.
    pub bears_on: Vec<(NewelSide, String)>,
    /// The blocks that are still needed.
    pub needs: Vec<BlockPlace>,
    /// What would show, or stand open unseen, were it cut square instead of to the lines.
    pub gaps: Vec<FitGap>,
    /// What would be left so narrow that it breaks.
    pub strips: Vec<Strip>,
    /// Its neighbours in the row, the gap to each.
    pub beside: Vec<Beside>,
    /// How it stands.
    pub cap: AtCap,
    /// How far the notch may be cut off its marks, either way, as the job says or as is usual.
    pub allowance: Length,
}

/// What is to be done for a newel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It is notched in.
    Notched,
    /// It stands on top of this step (0 is the lower floor), as the job says.
    OnTop(u32),
    /// It meets no board of this run: it stands on this step (0 is the lower floor).
    Clear(u32),
    /// It meets no board of this run and stands on another one's floor.
    Elsewhere,
}

/// A face of a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Board {
    /// The top of a tread or floor.
    Top,
    /// The front of a tread.
    Nose,
    /// The open end of a tread.
    End,
    /// The face of a kick.
    Kick,
    /// The outer face of an open-side skirt.
    Skirt,
}

/// An edge to hook a tape on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Edge {
    /// The nosing of the tread.
    Nosing,
    /// Its open end.
    OpenEnd,
    /// The open end of the kick.
    KickEnd,
    /// The face of the kick.
    KickFace,
    /// The underside of the tread above.
    Underside,
    /// The upper edge of the tread's front.
    TopEdge,
    /// The edge of a landing.
    FloorEdge,
    /// Where a level run starts.
    RunStart,
    /// The end of a winder at what it turns about.
    NarrowEnd,
    /// The back of a winder, at the face of the next kick.
    NextKick,
    /// The lower end of a piece along the slope, in its middle.
    LowerEnd,
    /// The edge of such a piece towards the open side.
    OpenEdge,
    /// Its other edge.
    InnerEdge,
}

/// A side of a newel as it stands, told by the way that it looks most.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FitSide {
    /// It looks down the flight.
    Downhill,
    /// It looks up the flight.
    Uphill,
    /// It looks towards the open side.
    Outward,
    /// It looks away from the open side.
    Inward,
    /// A round one is one side.
    Round,
    /// Its foot.
    Foot,
}

/// Where a round newel's middle meets a face, mm in the run's frame, and how far that lies from its two
/// edges.
pub type Centre = (Point3<f64>, [(Edge, Length); 2]);

/// A whole face of a board, before anything is cut out of it.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardFace {
    /// The board.
    pub part: String,
    /// Its outline.
    pub corners: Vec<Point3<f64>>,
    /// Out of the wood, unit vector.
    pub normal: Vector3<f64>,
    /// The two edges that a tape is hooked on, and where each runs.
    pub edges: [(Edge, [Point3<f64>; 2]); 2],
    /// Of the top of a tread, where the face of its own kick stands under it, from end to end.
    pub kick: Option<[Point3<f64>; 2]>,
}

impl BoardFace {
    /// The same in the first run's frame.
    #[must_use]
    pub fn placed(mut self, frame: &Frame) -> Self {
        let put = |at: &mut Point3<f64>| *at = frame.to_first(at);
        self.corners.iter_mut().for_each(put);
        self.normal = frame.way_to_first(&self.normal);
        let edges = self.edges.iter_mut().flat_map(|(_, ends)| ends);
        edges.chain(self.kick.iter_mut().flatten()).for_each(put);
        self
    }
}

/// What is to be cut out of one face of a board.
#[derive(Clone, Debug, PartialEq)]
pub struct KnifeFace {
    /// The board.
    pub part: String,
    /// The step; of a winder its number in its turn.
    pub step: u32,
    /// Which face of it.
    pub on: Board,
    /// The outline of the waste on it.
    pub ring: Vec<Point3<f64>>,
    /// Out of the wood, unit vector.
    pub normal: Vector3<f64>,
    /// The sides of that outline that are not the board's own edges.
    pub lines: Vec<KnifeLine>,
    /// For a round newel: its centre, and how far that lies from the two edges.
    pub centre: Option<Centre>,
    /// How deep the newel goes in behind this face, at most the board's thickness.
    pub deep: Length,
    /// The whole face.
    pub board: BoardFace,
}

/// A line to knife, with the distances of both of its ends from two edges, square to the edge and
/// along the board.
#[derive(Clone, Debug, PartialEq)]
pub struct KnifeLine {
    /// The side of the newel that it is the mark of.
    pub side: FitSide,
    /// One end.
    pub from: Point3<f64>,
    /// The other.
    pub to: Point3<f64>,
    /// From the edge that it runs along, at both ends: where they differ the notch is not square. A
    /// foot that stands out past an edge is a negative distance from it.
    pub off: (Edge, [Length; 2]),
    /// From the edge that it runs away from, the lesser first: where it begins and ends.
    pub along: (Edge, [Length; 2]),
    /// Into the wood at its middle, along the board, unit vector.
    pub into: Vector3<f64>,
}

impl KnifeLine {
    /// Its length.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::mm((self.to - self.from).norm())
    }

    /// How far out of square it runs with the edge beside it.
    #[must_use]
    pub fn out_of_square(&self) -> Length {
        let (_, [a, b]) = self.off;
        (a - b).abs()
    }
}

/// Why a gap would stand open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GapWhy {
    /// The notch was laid out square to the edge beside it.
    SquareToEdge(Edge),
    /// The saw stood square to the board's face.
    SquareToFace,
    /// The foot was cut square to the newel.
    SquareFoot,
    /// The kick and the side that stands against it are not parallel upwards.
    AgainstKick,
}

/// A gap that would stand open were a newel cut in square instead of scribed.
#[derive(Clone, Debug, PartialEq)]
pub struct FitGap {
    /// The board.
    pub part: String,
    /// The side of the newel that it stands open along.
    pub side: FitSide,
    /// Why.
    pub why: GapWhy,
    /// Where it is widest, this much.
    pub greatest: Length,
    /// There.
    pub at: Point3<f64>,
    /// Its outline.
    pub wedge: Vec<Point3<f64>>,
    /// False where it is hidden under the board.
    pub shows: bool,
}

/// A strip of wood left between a notch and an edge, too narrow to stand the saw.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// The board.
    pub part: String,
    /// The edge.
    pub edge: Edge,
    /// Its least width.
    pub width: Length,
    /// Its length.
    pub length: Length,
}

/// A neighbour of the newel in the row.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// What stands there.
    pub other: String,
    /// The gap at the height of its foot.
    pub at_foot: Length,
    /// From the newel's face to the other's, there; `None` where it is no baluster.
    pub foot: Option<[Point3<f64>; 2]>,
    /// The gap at the rail's underside; `None` where it is no baluster.
    pub at_rail: Option<Length>,
    /// From face to face, there.
    pub rail: Option<[Point3<f64>; 2]>,
    /// The gap on the other side of that baluster, and to what.
    pub next: Option<(String, Length)>,
}

/// How a newel stands: where its head comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtCap {
    /// Its head up the flight of its foot.
    pub up_flight: Length,
    /// Its head outward of its foot.
    pub outward: Length,
    /// From plumb.
    pub lean: Angle,
}

/// A block that is still needed, with its corners.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockPlace {
    /// What is needed.
    pub need: BlockNeeded,
    /// Its corners, the lower four anticlockwise from above, then the upper four over them.
    pub corners: [Point3<f64>; 8],
}

impl DryFit {
    /// True where something is to be cut.
    #[must_use]
    pub fn cuts(&self) -> bool {
        !self.faces.is_empty()
    }

    /// The gaps that would show, the widest first, those under `least` left out.
    #[must_use]
    pub fn seen(&self, least: Length) -> Vec<&FitGap> {
        let seen = self.gaps.iter();
        let mut seen: Vec<_> = seen
            .filter(|gap| gap.shows && gap.greatest >= least)
            .collect();
        seen.sort_by(|a, b| b.greatest.total_cmp(&a.greatest));
        seen
    }

    /// The same, of what is open under the foot only the widest place.
    #[must_use]
    pub fn widest(&self, least: Length) -> Vec<&FitGap> {
        let mut seen = self.seen(least);
        let mut under = false;
        seen.retain(|gap| {
            let again = gap.why == GapWhy::SquareFoot && under;
            under |= gap.why == GapWhy::SquareFoot;
            !again
        });
        seen
    }

    /// The same with all its places in the first run's frame.
    #[must_use]
    pub fn placed(mut self, frame: &Frame) -> Self {
        let put = |at: &mut Point3<f64>| *at = frame.to_first(at);
        let turn = |way: &mut Vector3<f64>| *way = frame.way_to_first(way);
        for face in self.faces.iter_mut().chain(&mut self.foot) {
            face.ring.iter_mut().for_each(put);
            turn(&mut face.normal);
            face.board = face.board.clone().placed(frame);
            for line in &mut face.lines {
                put(&mut line.from);
                put(&mut line.to);
                turn(&mut line.into);
            }
            if let Some((centre, _)) = &mut face.centre {
                put(centre);
            }
        }
        for gap in &mut self.gaps {
            put(&mut gap.at);
            gap.wedge.iter_mut().for_each(put);
        }
        for one in &mut self.fasteners {
            put(&mut one.at);
        }
        for one in &mut self.beside {
            let ends = one.foot.iter_mut().chain(&mut one.rail);
            ends.flatten().for_each(put);
        }
        for block in &mut self.needs {
            put(&mut block.need.at);
            block.corners.iter_mut().for_each(put);
        }
        self
    }
}
