//! What the set-out gives: plain data, millimetres in the flight's frame.

use nalgebra::{Point2, Point3, Unit, Vector3};

use crate::job::Material;
use crate::measure::{Angle, Length, Pitch};

use super::TurnSet;

use super::{
    BlockNeeded, BlockReveals, CapSet, Cutout, FastenerMet, Fitting, HalfNewelSet, Head, NewelSide,
    OnSurface, OverNewel, WallRailSet,
};

use super::{BaseSet, Fillet, Mark, PanelRun, SpacingReport, TradePoint};

/// The whole set-out of one flight.
#[derive(Clone, Debug)]
pub struct SetOut {
    /// The plan line through the baluster bases and under the rail.
    pub line: BalusterLine,
    /// The rail.
    pub rail: RailSet,
    /// The bottom rail, where balusters stand on one.
    pub bottom_rail: Option<RailSet>,
    /// The shoe and what it runs along, where balusters stand in one.
    pub base: Option<BaseSet>,
    /// The fillets between balusters: of the shoe, then of the rail, each from the bottom up.
    pub fillets: Vec<Fillet>,
    /// The panels, where the run has them instead of balusters.
    pub panels: Option<PanelRun>,
    /// The newels, in the order of the job.
    pub newels: Vec<NewelSet>,
    /// Newels that an earlier run set and that this run's rail meets, with what is cut for them in
    /// this run's stair.
    pub given: Vec<NewelSet>,
    /// The balusters, from the bottom up.
    pub balusters: Vec<BalusterSet>,
    /// The clear gaps between neighbours, from the bottom up.
    pub gaps: Vec<Gap>,
    /// How they are spaced: by tread, and off the kick line.
    pub spacing: SpacingReport,
    /// The marks of the balusters' near faces on the job's tape, from the face at the lower end.
    pub marks: Vec<Mark>,
    /// What wandering reveals and leaning balusters cost each other, from plumb to even.
    pub trade: Vec<TradePoint>,
    /// The reveals, from the bottom up.
    pub reveals: Vec<Reveal>,
    /// The skirt boards, in the order of the job.
    pub skirts: Vec<SkirtSet>,
    /// The half newels that the rail ends on, the lower first.
    pub half_newels: Vec<HalfNewelSet>,
    /// The handrail on the wall side.
    pub wall_rail: Option<WallRailSet>,
    /// Newels of this run in which the rail of another run meets its own.
    pub turns: Vec<TurnSet>,
    /// Counts that were chosen, so that a run with one fault made true can hold them.
    pub choices: Choices,
}

impl SetOut {
    /// True where the balusters stand on the treads themselves.
    #[must_use]
    pub const fn on_treads(&self) -> bool {
        self.bottom_rail.is_none() && self.base.is_none() && self.panels.is_none()
    }

    /// What the openings between uprights end at below, where that is not the treads: a shoe, a
    /// bottom rail or the panels' lower edge.
    #[must_use]
    pub fn sill(&self) -> Option<&RailSet> {
        let foot = self.panels.as_ref().map(|run| &run.foot);
        self.raised_edge()
            .or_else(|| self.base.as_ref().map(|base| &base.shoe))
            .or(foot)
    }

    /// The edge that leaves a triangle over each tread: a bottom rail's, or that of panels which
    /// stand on nothing.
    #[must_use]
    pub fn raised_edge(&self) -> Option<&RailSet> {
        let foot = self.panels.as_ref().filter(|_| self.base.is_none());
        self.bottom_rail
            .as_ref()
            .or_else(|| foot.map(|run| &run.foot))
    }
}

/// A straight line in plan: `q = at_foot + slope * x`, where `q` is measured from y = 0 towards
/// the open side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BalusterLine {
    /// Outward offset at x = 0.
    pub at_foot: Length,
    /// Outward offset per length up the flight, no unit.
    pub slope: f64,
    /// The greatest departure of a reveal from the wanted one, or half their range where none was
    /// wanted: what the line was chosen to keep small.
    pub worst: Length,
}

/// A straight rail, in place and cut.
#[derive(Clone, Debug)]
pub struct RailSet {
    /// Its name.
    pub name: String,
    /// The middle of its top (for a bottom rail, of its underside) at the lower end cut.
    pub lower: Point3<f64>,
    /// The same at the upper end cut.
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
    /// What goes on past the straight rail: the lower end's pieces from the rail outwards, then the
    /// upper end's.
    pub fittings: Vec<Fitting>,
    /// The newels that it passes over.
    pub over: Vec<OverNewel>,
}

/// How the rail stands in its height window.
#[derive(Clone, Debug, PartialEq)]
pub struct WindowReport {
    /// The least height over any nosing, plumb, and the step it is over; of a fitting, where one
    /// lies over it.
    pub lowest: (Length, u32),
    /// The greatest height of the straight rail over any nosing, plumb, and the step it is over.
    pub highest: (Length, u32),
    /// The limits asked, least and greatest; `None` where there is none.
    pub asked: (Option<Length>, Option<Length>),
    /// Where no straight rail passes: the steps that kill it, and by how much the window would
    /// have to widen at both limits.
    pub killed_by: Option<(Vec<u32>, Length)>,
}

/// A saw cut at the end of a piece, against the real face it meets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndCut {
    /// Piece on its side, on the saw's table: the turn of the blade from square across.
    pub mitre: Angle,
    /// The tilt of the blade from plumb.
    pub bevel: Angle,
    /// The face met: a point on it, mm.
    pub point: Point3<f64>,
    /// The outward normal of the piece at the cut.
    pub normal: Unit<Vector3<f64>>,
}

impl SetOut {
    /// Its own newels, then those that an earlier run set.
    pub fn all_newels(&self) -> impl Iterator<Item = &NewelSet> {
        self.newels.iter().chain(&self.given)
    }

    /// The newel of this name, its own or given.
    #[must_use]
    pub fn newel(&self, name: &str) -> Option<&NewelSet> {
        self.all_newels().find(|newel| newel.name == name)
    }
}

/// A newel in place.
#[derive(Clone, Debug)]
pub struct NewelSet {
    /// Its name.
    pub name: String,
    /// The centre of its foot.
    pub foot: Point3<f64>,
    /// Along its length, upwards.
    pub axis: Unit<Vector3<f64>>,
    /// Size up the flight before any twist.
    pub along: Length,
    /// Size across the flight before any twist.
    pub across: Length,
    /// True for a round one.
    pub round: bool,
    /// Its turn about the plumb line, anticlockwise from above.
    pub twist: Angle,
    /// Its height along its own length.
    pub height: Length,
    /// True where the job leaves the height to be worked out.
    pub height_free: bool,
    /// Its cap.
    pub cap: CapSet,
    /// What should show of its head beside the rails; `None` where the job does not say.
    pub head: Option<Head>,
    /// What does show of it; `None` where no rail meets it.
    pub reveals: Option<BlockReveals>,
    /// The ring of its foot in plan, anticlockwise.
    pub footprint: Vec<Point2<f64>>,
    /// The notches cut for it.
    pub notches: Vec<Notch>,
    /// The cut-outs in kicks and in skirts on the open side.
    pub cutouts: Vec<Cutout>,
    /// What stands behind the notch, or is cut by it.
    pub behind: Vec<Behind>,
    /// Hidden fasteners in or beside the notch.
    pub fasteners: Vec<FastenerMet>,
    /// The sides that bear on wood that is there, each with the part.
    pub bears_on: Vec<(NewelSide, String)>,
    /// The blocks that are still needed.
    pub needs: Vec<BlockNeeded>,
    /// Where it does not go into the stair: what it stands on.
    pub on_surface: Option<OnSurface>,
    /// True where it stands at the foot of the rail, false at its head.
    pub at_foot: bool,
    /// Its uphill face (or downhill, at the head of the rail) behind the kick's face, level.
    pub face_from_kick: Option<Length>,
}

/// What is cut out of one tread for a newel.
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// The tread.
    pub step: u32,
    /// The corners of the cut-out in plan, anticlockwise, flight's frame.
    pub corners: Vec<Point2<f64>>,
    /// The length of each side, from each corner to the next.
    pub sides: Vec<Length>,
    /// The inside angle at each corner.
    pub angles: Vec<Angle>,
    /// How far in from the nosing it reaches, level.
    pub from_nosing: Length,
    /// How far in from the open end of the tread it reaches, level.
    pub from_open_end: Length,
    /// The part of its depth that lies behind the face of the tread's own kick.
    pub behind_kick_face: Length,
}

/// Something behind a newel's notch.
#[derive(Clone, Debug, PartialEq)]
pub struct Behind {
    /// The part, such as `S1` or `K1`.
    pub part: String,
    /// How deep the newel goes into it, up the flight.
    pub depth: Length,
    /// What remains of it across the flight at the cut.
    pub remains: Length,
    /// True for a piece that carries load: a trouble for an engineer, never a cure.
    pub carries: bool,
}

/// A baluster in place.
#[derive(Clone, Debug)]
pub struct BalusterSet {
    /// Its name, such as `B07`.
    pub name: String,
    /// The tread it stands on.
    pub step: u32,
    /// Which one of that tread, from the bottom, counting from 1.
    pub place: u32,
    /// Its number from 0 among all that are marked, those that a newel displaces too.
    pub marked: usize,
    /// The centre of its foot on the tread, bottom rail or plough.
    pub foot: Point3<f64>,
    /// The centre of its top at the rail's underside, or at the bottom of the plough in it.
    pub top: Point3<f64>,
    /// Size up the flight.
    pub along: Length,
    /// Size across the flight.
    pub across: Length,
    /// True where its foot is round.
    pub round: bool,
    /// What it is made of.
    pub of: Material,
    /// The turning above its foot; empty for a plain one.
    pub turned: Vec<Turned>,
    /// True where the last of its turning goes on to the rail, false where a block like its foot's
    /// does.
    pub pin_top: bool,
    /// How far the top stands outward of the foot.
    pub lean: Length,
    /// Longest length, foot to underside of the rail, along the piece, seat not counted.
    pub long_point: Length,
    /// Shortest length likewise.
    pub short_point: Length,
    /// The angle of the top cut from square, in elevation.
    pub top_angle: Angle,
    /// The angle of the foot cut from square, across the flight (tread out of level, lean).
    pub foot_angle: Angle,
    /// Peg length and diameter.
    pub peg: (Length, Length),
    /// Depth in the rail, plumb.
    pub seat: Length,
    /// Distance from the side of the peg to the nearer of the tread's open end and edges; none where it
    /// stands on no tread.
    pub edge_distance: Option<Length>,
}

impl BalusterSet {
    /// The size up the flight of what goes into the rail: that of its pin, or of its block.
    #[must_use]
    pub fn seat_size(&self) -> Length {
        let pin = self.turned.last().filter(|_| self.pin_top);
        pin.map_or(self.along, |last| last.diameter)
    }
}

/// A place of a turning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turned {
    /// Up from the foot, along the piece.
    pub up: Length,
    /// The diameter there.
    pub diameter: Length,
}

/// A clear gap between two neighbours, level, along the baluster line.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// The lower neighbour.
    pub below: String,
    /// The upper neighbour.
    pub above: String,
    /// The level distance between their faces at foot height.
    pub clear: Length,
}

/// What shows between a baluster's face and the open end of its tread.
#[derive(Clone, Debug, PartialEq)]
pub struct Reveal {
    /// The tread.
    pub step: u32,
    /// The part.
    pub part: String,
    /// What shows.
    pub value: Length,
    /// Where to point at: the middle of the strip that shows.
    pub at: Point3<f64>,
}

/// A skirt board on the rake.
#[derive(Clone, Debug, PartialEq)]
pub struct SkirtSet {
    /// Its name.
    pub name: String,
    /// Its steepness.
    pub pitch: Pitch,
    /// Saw setting where it meets a level base of its own width: half the pitch.
    pub base_mitre: Angle,
    /// Its length along the rake, from the first nosing to the last kick.
    pub along_rake: Length,
}

/// Discrete choices of a set-out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choices {
    /// The number of balusters along the rail, where they are spaced along it.
    pub along_rail: Option<u32>,
}

/// Limits that the set-out works to; the chain takes them from the rule pack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Least height of the rail above the nosings.
    pub rail_low: Option<Length>,
    /// Greatest height.
    pub rail_high: Option<Length>,
    /// A gap must stay under this.
    pub gap_under: Option<Length>,
    /// Least height above the nosings of a rail that is only there to hold.
    pub handrail_low: Option<Length>,
    /// Greatest height of it.
    pub handrail_high: Option<Length>,
}

impl Limits {
    /// No limit at all.
    pub const NONE: Self = Self {
        rail_low: None,
        rail_high: None,
        gap_under: None,
        handrail_low: None,
        handrail_high: None,
    };
}
