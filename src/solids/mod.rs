//! Solids: every part as convex pieces with a name, and the joints between parts.
//!
//! In: the set-out on its site. Out: [`Solids`] in the flight's frame, mm.
//! Does not: find faults.

mod bottom;
mod build;
mod carcass;
mod convex;
pub mod edges;
mod fitting;
mod ground;
mod infill;
mod joints;
mod mass;
mod obstacle;
mod railing;
mod slice;
mod split;
mod stretch;
mod turned;
mod uncut;
mod wall;
mod winders;

pub use build::{build, of_run, one_part};
pub use convex::{Bounds, Convex, Plane};
pub use fitting::{fittings_top, fittings_up};
pub use ground::{Footing, Ground};
pub use joints::Run;
pub use mass::{Apart, Mass, apart, mass};
pub use obstacle::{bottom_rail_down, floor_block, rail_up, step_block, tread_block};
pub use slice::{slice, slices};
pub use split::convex_rings;
pub use stretch::stretch;
pub use turned::TURNED_SIDES;
pub use uncut::{Uncut, uncut};
pub use winders::winder_parts;

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PartKind {
    /// A floor or landing.
    Floor,
    /// A wall.
    Wall,
    /// A stringer.
    Stringer,
    /// A skirt board.
    Skirt,
    /// A tread.
    Tread,
    /// A kick (riser board).
    Kick,
    /// A newel.
    Newel,
    /// The rail.
    Rail,
    /// A bottom rail.
    BottomRail,
    /// A baluster.
    Baluster,
    /// A rosette or a bracket between rail and wall.
    Rosette,
    /// A half wall or closed string under a shoe.
    HalfWall,
    /// A shoe, or the cap that it lies on.
    Shoe,
    /// A panel of glass or board.
    Panel,
}

impl PartKind {
    /// What it is called, in one word or two.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Floor => "floor",
            Self::Wall => "wall",
            Self::Stringer => "stringer",
            Self::Skirt => "skirt",
            Self::Tread => "tread",
            Self::Kick => "kick",
            Self::Newel => "newel",
            Self::Rail => "rail",
            Self::BottomRail => "bottom rail",
            Self::Baluster => "baluster",
            Self::Rosette => "rosette",
            Self::HalfWall => "half wall",
            Self::Shoe => "shoe",
            Self::Panel => "panel",
        }
    }
}

/// One part: a union of convex pieces that may share seams.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its name, such as `B07`.
    pub name: String,
    /// What it is.
    pub kind: PartKind,
    /// Its pieces, mm in the flight's frame.
    pub pieces: Vec<Convex>,
}

impl Part {
    /// The box around it; `None` where it has no piece.
    #[must_use]
    pub fn bounds(&self) -> Option<Bounds> {
        let boxes = self.pieces.iter().map(Convex::bounds);
        boxes.reduce(|a, b| a.union(&b))
    }
}

/// How two parts are meant to meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JointKind {
    /// A peg in a tread or bottom rail, or a baluster's foot in a plough.
    Peg,
    /// A baluster's top in the rail.
    Seat,
    /// A newel in its notch.
    Notch,
    /// The rail against a newel.
    RailToNewel,
    /// The rail or its rosette against a wall.
    RailToWall,
    /// Two parts of the stair's own carcass.
    Carcass,
}

/// A declared joint: the two parts may overlap up to the seat, and no deeper.
#[derive(Clone, Debug)]
pub struct Joint {
    /// One part, as an index into [`Solids::parts`].
    pub a: usize,
    /// The other.
    pub b: usize,
    /// What kind of joint.
    pub kind: JointKind,
    /// How deep they may overlap, mm.
    pub seat: f64,
}

/// All parts and joints.
#[derive(Clone, Debug, Default)]
pub struct Solids {
    /// The parts, in a fixed order.
    pub parts: Vec<Part>,
    /// The run that each part belongs to, by its number.
    pub runs: Vec<usize>,
    /// The joints, each pair once.
    pub joints: Vec<Joint>,
}
