//! The shapes of a job file: what is to be built. Field names are the file's words; every length is
//! kept as typed.

use serde::{Deserialize, Serialize};

use crate::measure::{Angle, Length, Typed};

use super::fixing::Fixing;
use super::infill::{Block, Ground, Hold, Infill, Material, Plough, Top, Turning, Widths};
use super::local::Local;
use super::railing::{Blocks, Cap, Foot, RailSystem, WallRail};
use super::schema::{Len, zero};
use super::seen::Seen;
use super::stated::Profile;
use super::tolerances::Tolerances;
use super::wood::Wood;

/// What is to be built.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Design {
    /// The name of the rule pack to report against.
    pub rules: String,
    /// How the text adopted where the stair stands amends that pack.
    #[serde(default)]
    pub local: Option<Local>,
    /// What fitting may add to a gap; spacing stays this much under a limit.
    #[serde(default = "sixteenth")]
    pub fitting: Len,
    /// The reveal wanted between baluster face and tread end; absent: as even as can be.
    #[serde(default)]
    pub reveal: Option<Len>,
    /// The newels.
    #[serde(default)]
    pub newels: Vec<Newel>,
    /// The rail.
    pub rail: Rail,
    /// A bottom rail under the balusters; absent: they stand on the treads.
    #[serde(default)]
    pub bottom_rail: Option<BottomRail>,
    /// The balusters.
    pub balusters: Balusters,
    /// The railing on the wall side, where that side is open too.
    #[serde(default)]
    pub other: Option<Railing>,
    /// A handrail along the wall side.
    #[serde(default)]
    pub wall_rail: Option<WallRail>,
    /// What the parts are made of and how damp they get, to see what moves; that of the first run
    /// where a further one has none.
    #[serde(default)]
    pub wood: Option<Wood>,
    /// How much the eye lets pass; that of the first run where a further one has none.
    #[serde(default)]
    pub seen: Option<Seen>,
    /// How true the work is cut and fitted; what a further run does not state is that of the first,
    /// and what neither states is as usual.
    #[serde(default)]
    pub tolerances: Tolerances,
    /// Room for the knuckles of a hand round every rail that is there to hold; absent: as is usual.
    #[serde(default)]
    pub knuckles: Option<Len>,
    /// How far a leaning or turned part may stand past the edge of its tread, plumb over it;
    /// absent: not at all.
    #[serde(default)]
    pub past_edge: Option<Len>,
    /// The screws and bolts in newels and rails.
    #[serde(default)]
    pub fixings: Vec<Fixing>,
}

impl Design {
    /// How much the eye lets pass: as the job says, or as is usual.
    #[must_use]
    pub fn eye(&self) -> Seen {
        self.seen.clone().unwrap_or_default()
    }
}

/// A railing along the wall side of a flight that is open there too. It is set out like the one on
/// the open side, on a baluster line of its own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Railing {
    /// From its baluster line out to the wall-side ends of the treads, as meant.
    pub edge: Len,
    /// The reveal wanted between baluster face and tread end; absent: as even as can be.
    #[serde(default)]
    pub reveal: Option<Len>,
    /// Its newels; their places are measured from its own baluster line.
    #[serde(default)]
    pub newels: Vec<Newel>,
    /// Its rail.
    pub rail: Rail,
    /// A bottom rail under its balusters.
    #[serde(default)]
    pub bottom_rail: Option<BottomRail>,
    /// Its balusters.
    pub balusters: Balusters,
}

fn sixteenth() -> Len {
    Len::inches(1.0 / 16.0)
}

/// A cross-section, level, of an upright part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Section {
    /// A square of this side.
    Square(Len),
    /// A rectangle.
    Rectangle {
        /// Size up the flight.
        along: Len,
        /// Size across the flight.
        across: Len,
    },
    /// A round of this diameter.
    Round(Len),
    /// A baluster turned between blocks of this size.
    Turned {
        /// The side or diameter of its blocks.
        square: Len,
        /// The shape of its blocks.
        #[serde(default)]
        block: Block,
        /// What it ends in at the rail.
        #[serde(default)]
        top: Top,
        /// Its diameters from the foot up, straight between; below the first is the foot's block,
        /// above the last the rail's.
        profile: Vec<Turning>,
    },
}

impl Section {
    /// Size up the flight.
    #[must_use]
    pub fn along(&self) -> Length {
        match self {
            Self::Square(side) => side.value,
            Self::Rectangle { along, .. } => along.value,
            Self::Round(diameter) => diameter.value,
            Self::Turned { square, .. } => square.value,
        }
    }

    /// Size across the flight.
    #[must_use]
    pub fn across(&self) -> Length {
        match self {
            Self::Square(side) => side.value,
            Self::Rectangle { across, .. } => across.value,
            Self::Round(diameter) => diameter.value,
            Self::Turned { square, .. } => square.value,
        }
    }

    /// True where its foot is round.
    #[must_use]
    pub const fn is_round(&self) -> bool {
        matches!(
            self,
            Self::Round(_)
                | Self::Turned {
                    block: Block::Round,
                    ..
                }
        )
    }
}

/// A newel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Newel {
    /// Its name, such as `N1`.
    pub name: String,
    /// Its section.
    pub section: Section,
    /// Where it stands.
    pub stands: Stands,
    /// Where a turn's newel is also placed by the run that goes on from it, so that the gaps beside
    /// it match on both sides.
    #[serde(default)]
    pub also: Option<Also>,
    /// Its height above what it stands on; absent: worked out from the rails that meet it.
    #[serde(default)]
    pub height: Option<Len>,
    /// How it is footed.
    #[serde(default)]
    pub foot: Foot,
    /// What should show of its head beside the rails.
    #[serde(default)]
    pub blocks: Option<Blocks>,
    /// Its cap; absent: a usual one.
    #[serde(default)]
    pub cap: Option<Cap>,
    /// Its turn about the plumb line, degrees, anticlockwise seen from above.
    #[serde(default)]
    pub twist: Option<Typed<Angle>>,
    /// How far it is out of plumb.
    #[serde(default)]
    pub lean: Option<Lean>,
}

/// How far an upright part is out of plumb over a stated height.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lean {
    /// The top stands this far up the flight of the foot.
    #[serde(default = "zero")]
    pub up_flight: Len,
    /// The top stands this far towards the open side of the foot.
    #[serde(default = "zero")]
    pub outward: Len,
    /// The height over which both were read.
    pub over: Len,
}

/// The rule by which a newel stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Stands {
    /// It takes the place of balusters: one gap short of the first that remains.
    Displaces {
        /// The tread whose balusters it takes.
        step: u32,
        /// How many of that tread's balusters it takes, from the rail's end inwards; 0 stands it
        /// one gap beyond them all.
        balusters: u32,
        /// Moved from there, up the flight positive.
        #[serde(default = "zero")]
        move_by: Len,
    },
    /// Its centre stands at a point.
    At {
        /// Level distance up the flight from the face of the first kick.
        x: Len,
        /// Level distance to the left of the baluster line.
        #[serde(default = "zero")]
        y: Len,
    },
}

/// A newel's place by the rule of a second run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Also {
    /// The run.
    pub run: String,
    /// The tread of that run whose balusters it takes.
    pub step: u32,
    /// How many of them.
    pub balusters: u32,
    /// Moved from there, up that run positive.
    #[serde(default = "zero")]
    pub move_by: Len,
}

/// The rail's duty, which sets its height window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Duty {
    /// It guards the open side only.
    Guard,
    /// It is there to hold only.
    Handrail,
    /// It does both.
    #[default]
    Both,
}

/// How the rail's height is chosen inside its window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum HeightPolicy {
    /// Hold the wanted height, as near parallel to the nosing line as the window allows.
    #[default]
    Hold,
    /// As far from both limits as can be.
    GreatestMargin,
}

/// The rail.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rail {
    /// Its name, such as `R1`.
    pub name: String,
    /// Its width, level.
    pub width: Len,
    /// Its depth, square to its length.
    pub depth: Len,
    /// The bevel taken off its two upper edges; none if absent.
    #[serde(default = "zero")]
    pub bevel: Len,
    /// Its section; absent: `width` by `depth` with its two upper edges bevelled.
    #[serde(default)]
    pub profile: Option<Profile>,
    /// The groove in its underside that balusters stand in, with fillets between them.
    #[serde(default)]
    pub plough: Option<Plough>,
    /// The wanted height of its top, plumb above the nosings.
    pub height: Len,
    /// What it is for.
    #[serde(default)]
    pub duty: Duty,
    /// How its height is chosen.
    #[serde(default)]
    pub hold: HeightPolicy,
    /// How it goes together with its newels.
    #[serde(default)]
    pub system: RailSystem,
    /// What it meets at the bottom.
    pub lower: RailEnd,
    /// What it meets at the top.
    pub upper: RailEnd,
}

/// What an end of the rail meets.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum RailEnd {
    /// A newel.
    Newel(String),
    /// A wall, on a rosette over blocking.
    Wall {
        /// The wall.
        wall: String,
        /// The size of the rosette, across and up.
        rosette: Len,
        /// The blocking behind the plaster that the rosette must stand on.
        blocking: Blocking,
    },
    /// A half newel on a wall, on blocking.
    HalfNewel {
        /// The wall.
        wall: String,
        /// Its section: out from the wall before it is scribed, and along the wall.
        section: Section,
        /// Its height above what it stands on.
        height: Len,
        /// The blocking behind the plaster that it must be fixed to.
        blocking: Blocking,
    },
}

impl RailEnd {
    /// The wall that it meets, if it meets one.
    #[must_use]
    pub fn wall(&self) -> Option<&str> {
        match self {
            Self::Newel(_) => None,
            Self::Wall { wall, .. } | Self::HalfNewel { wall, .. } => Some(wall),
        }
    }
}

/// Blocking behind a wall's face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blocking {
    /// Level distance of its centre from the wall's `from` end.
    pub along: Len,
    /// Height of its centre above the datum.
    pub up: Len,
    /// Its size along the wall.
    pub width: Len,
    /// Its size up the wall.
    pub height: Len,
}

/// A bottom rail that the balusters stand on, parallel to the nosing line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BottomRail {
    /// Its name, such as `R2`.
    pub name: String,
    /// Its width, level.
    pub width: Len,
    /// Its depth, square to its length.
    pub depth: Len,
    /// Height of its underside above the nosing line, plumb.
    pub above: Len,
}

/// The balusters.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Balusters {
    /// Their section.
    pub section: Section,
    /// Sections that take turns along the run, from the bottom up, instead of the one section.
    #[serde(default)]
    pub pattern: Vec<Section>,
    /// What they are made of.
    #[serde(default)]
    pub of: Material,
    /// What they stand on.
    #[serde(default)]
    pub on: Ground,
    /// How they are spaced.
    pub spacing: Spacing,
    /// Whether they stand plumb or follow the tread ends.
    #[serde(default)]
    pub align: Align,
    /// Length of the peg in the tread or bottom rail.
    pub peg: Len,
    /// Diameter of the peg.
    pub peg_diameter: Len,
    /// How deep they sit in the rail's underside, plumb.
    #[serde(default = "zero")]
    pub seat: Len,
    /// Least distance from the side of a peg to the end or nosing of a tread.
    pub edge_distance: Len,
    /// Where the joint of the return nosing lies, in from the tread's open end: pegs keep their
    /// edge distance from it too.
    #[serde(default)]
    pub return_joint: Option<Len>,
    /// Least distance from a baluster's outer face in to the finished face of the skirt on the
    /// open side.
    #[serde(default)]
    pub from_skirt: Option<Len>,
}

impl Balusters {
    /// The section of a baluster by its number along the run, from 0 at the bottom.
    #[must_use]
    pub fn section_at(&self, number: usize) -> &Section {
        let turn = number.checked_rem(self.pattern.len());
        turn.and_then(|turn| self.pattern.get(turn))
            .unwrap_or(&self.section)
    }

    /// The sections that take turns, or the one section.
    #[must_use]
    pub fn sections(&self) -> &[Section] {
        if self.pattern.is_empty() {
            std::slice::from_ref(&self.section)
        } else {
            &self.pattern
        }
    }

    /// The widest across the flight.
    #[must_use]
    pub fn widest_across(&self) -> Length {
        let across = self.sections().iter().map(Section::across);
        across.max_by(Length::total_cmp).unwrap_or_default()
    }
}

/// The rule that spaces the balusters.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Spacing {
    /// So many on each tread, the first face flush with the face of the kick below.
    PerTread {
        /// How many on each tread.
        count: u32,
        /// The first face stands this far behind the kick's face.
        #[serde(default = "zero")]
        set_back: Len,
        /// Treads with another count.
        #[serde(default)]
        but: Vec<TreadCount>,
        /// What holds where goings differ.
        #[serde(default)]
        hold: Hold,
    },
    /// Evenly along the rail from end to end, with the least count whose gap passes.
    AlongRail {
        /// A count to use instead of the least.
        #[serde(default)]
        count: Option<u32>,
    },
    /// No balusters: panels from end to end, their edges along the slope.
    Panels {
        /// How they divide the run.
        widths: Widths,
        /// Their thickness.
        thickness: Len,
        /// What they are made of.
        #[serde(default)]
        of: Infill,
        /// Their lower edge above the nosing line (or the bottom rail or shoe), plumb.
        foot: Len,
        /// Their upper edge below the rail's underside, plumb.
        #[serde(default = "zero")]
        head: Len,
    },
}

/// A tread with its own number of balusters.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TreadCount {
    /// Step number.
    pub step: u32,
    /// How many stand on it.
    pub count: u32,
}

/// Whether balusters stand plumb or follow the tread ends.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Align {
    /// Plumb; the reveals wander.
    #[default]
    Plumb,
    /// Feet at an even reveal; the balusters lean.
    EvenReveal,
    /// A share between plumb (0) and even reveal (1).
    Share(f64),
}
