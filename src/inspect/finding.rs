//! [`Finding`]: one quantity, its limit and the verdict.

use nalgebra::Point3;

use crate::measure::Length;

use crate::rules::Quantity;

pub use crate::rules::Sense;

/// Everything that was looked at.
#[derive(Clone, Debug, Default)]
pub struct Inspection {
    /// Every quantity held against a limit, met or not, in a fixed order.
    pub findings: Vec<Finding>,
    /// Every opening with its ball.
    pub openings: Vec<Opening>,
    /// Every clash.
    pub clashes: Vec<ClashFound>,
    /// Every row of reveals, and how it drifts.
    pub drifts: Vec<super::RevealRun>,
    /// What the pack does not ask of a run: it is neither met nor broken there.
    pub not_asked: Vec<NotAsked>,
}

/// Something that the pack does not ask of one run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotAsked {
    /// The run, by its number in [`crate::job::Job::each_run`].
    pub run: usize,
    /// What its rule limits.
    pub quantity: Quantity,
    /// Why not, in a few words.
    pub why: String,
}

impl Inspection {
    /// The findings that are not simply met, worst first.
    #[must_use]
    pub fn troubles(&self) -> Vec<&Finding> {
        let mut troubles: Vec<&Finding> = self.findings.iter().filter(|f| f.is_trouble()).collect();
        troubles.sort_by(|a, b| b.severity.cmp(&a.severity).then(a.key.cmp(&b.key)));
        troubles
    }

    /// What has this id, or is the trouble of this number: `2` is the second of
    /// [`Inspection::troubles`], as lists and flags number them from one.
    #[must_use]
    pub fn named(&self, named: &str) -> Option<&Finding> {
        let numbered = || {
            let number = named.parse::<usize>().ok()?;
            self.troubles().get(number.checked_sub(1)?).copied()
        };
        let called = self.findings.iter().find(|one| one.key.id() == named);
        called.or_else(numbered)
    }

    /// The finding with this key, if it was looked at.
    #[must_use]
    pub fn find(&self, key: &Key) -> Option<&Finding> {
        self.findings.iter().find(|finding| &finding.key == key)
    }
}

/// What kind of quantity a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Two parts in one place.
    Clash,
    /// A stringer cut for a newel.
    StringerCut,
    /// The ball through an opening between uprights.
    Opening,
    /// The ball through the triangle of kick, tread and bottom rail.
    Triangle,
    /// The rail's height above a nosing.
    RailHeight,
    /// The rail's rosette against the blocking it must stand on.
    Landing,
    /// The rail's clearance from a wall.
    WallClearance,
    /// One rise.
    Rise,
    /// Greatest rise less least.
    RiseVariation,
    /// A rise and the next one: greater less smaller.
    RiseAdjacent,
    /// What the whole flight climbs.
    FlightRise,
    /// One tread's depth, nosing to nosing.
    TreadDepth,
    /// Greatest depth less least.
    TreadVariation,
    /// A tread's depth and the next one's: greater less smaller.
    GoingAdjacent,
    /// Two rises and one going together.
    TwoRisesAndGoing,
    /// The line of the nosings: what it climbs over its level run.
    Pitch,
    /// One winder's depth on the walk line.
    WinderWalkDepth,
    /// One winder's depth where it is narrowest.
    WinderLeastDepth,
    /// Greatest winder depth on the walk line less least.
    WinderVariation,
    /// One nosing's overhang.
    Nosing,
    /// Greatest overhang less least.
    NosingVariation,
    /// A tread out of level.
    TreadSlope,
    /// A peg too near the end of its tread.
    EdgeDistance,
    /// Reveals that wander: greatest less least.
    RevealDrift,
    /// A baluster out of plumb.
    Lean,
    /// What shows of a newel's head block beside the rails.
    BlockReveal,
    /// A newel's foot past the edge of what it stands on.
    NewelFoot,
    /// A hidden fastener in the way of a notch.
    FastenerCut,
    /// A rail to hold that stops short of the first or last nosing.
    RailReach,
    /// An end of a rail to hold that is neither returned nor on a newel or wall.
    RailOpenEnd,
    /// How far a handrail on a wall stands into the stair.
    Projection,
    /// A part that sits deeper in another than its joint allows.
    SeatDeep,
    /// A part that sits too shallow in its joint.
    SeatShallow,
    /// A bore or screw too near an edge of its part.
    BoreEdge,
    /// A plug that covers its bore no more.
    PlugCover,
    /// A baluster's head that misses the rail's plough.
    PloughMiss,
    /// A leaning part that stands past the edge of its tread.
    PastEdge,
    /// A rail that runs into a wall.
    RailInWall,
    /// Room for the knuckles round a rail to hold.
    Knuckle,
    /// A kick's face from plumb.
    KickSlope,
    /// The ball between two treads without a kick.
    OpenKick,
    /// How many rises a flight has.
    Risers,
    /// What is overhead, above a nosing or floor.
    Headroom,
    /// The clear width of the stair.
    Width,
    /// The edge of a nosing: its radius or bevel.
    NosingShape,
    /// A landing's depth in the direction of travel.
    LandingDepth,
    /// How much narrower than its flight a landing is.
    LandingWidth,
    /// The section of a rail to hold.
    Grip,
    /// How far a handrail runs on past the flight.
    Extension,
    /// A guard or handrail that is asked and not there.
    Missing,
    /// What an anchor carries.
    Load,
    /// Reveals that change too much from one step to the next.
    RevealStep,
    /// Reveals that drift by too much each step up the flight.
    RevealSlope,
}

impl Kind {
    /// What shows along a run, and how it drifts.
    #[must_use]
    pub const fn is_drift(self) -> bool {
        matches!(
            self,
            Self::RevealDrift | Self::RevealStep | Self::RevealSlope
        )
    }

    /// Whether a picture from near shows it: a ball, or parts that meet or miss each other. Of the
    /// others the number says more.
    #[must_use]
    pub const fn is_seen(self) -> bool {
        matches!(
            self,
            Self::Clash
                | Self::StringerCut
                | Self::Opening
                | Self::Triangle
                | Self::OpenKick
                | Self::Landing
                | Self::SeatDeep
                | Self::SeatShallow
                | Self::PloughMiss
                | Self::PastEdge
                | Self::RailInWall
                | Self::Knuckle
                | Self::WallClearance
                | Self::NewelFoot
                | Self::EdgeDistance
        )
    }

    /// True for what is found only where it is a trouble: where that is cleared it has no value, and
    /// counts as nothing deep.
    #[must_use]
    pub const fn goes_when_cleared(self) -> bool {
        matches!(
            self,
            Self::Clash | Self::SeatDeep | Self::RailInWall | Self::StringerCut
        )
    }
}

/// What a finding is about: the same key names the same quantity in every run of the chain.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    /// The kind of quantity.
    pub kind: Kind,
    /// The parts or steps concerned.
    pub parts: Vec<String>,
}

/// How much a trouble matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing; shows to a careful eye.
    Remark,
    /// Will show, or will not fit as it is.
    Fix,
    /// Somebody could be hurt, an inspector would reject it, or an engineer must be asked.
    Stop,
}

/// The four answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The limit is kept.
    Met,
    /// The limit is broken.
    Broken,
    /// The limit lies within the doubt.
    TooClose,
    /// Never measured.
    NotShown,
}

/// One quantity held against one limit.
#[derive(Clone, Debug)]
pub struct Finding {
    /// What it is about.
    pub key: Key,
    /// The run that it is found on, by its number in [`crate::job::Job::each_run`].
    pub run: usize,
    /// The least it can be.
    pub lower: Length,
    /// The most it can be; the same as `lower` where it is exact.
    pub upper: Length,
    /// The limit.
    pub limit: Length,
    /// Which side of the limit is right.
    pub sense: Sense,
    /// How far readings leave the value open, either way, at 95 %; `None` where no reading carries
    /// doubt, or none is claimed (see [`crate::inspect`]).
    pub doubt: Option<Length>,
    /// The answer, the doubt counted.
    pub verdict: Verdict,
    /// How much it matters where it is not met.
    pub severity: Severity,
    /// The clause of the rule pack with its edition, or whose practice the limit is.
    pub source: String,
    /// Where to point at, mm in the flight's frame.
    pub at: Point3<f64>,
    /// One sentence in trade words, lengths on the job's tape.
    pub says: String,
}

impl Finding {
    /// True unless the limit is met or the quantity was never measured.
    #[must_use]
    pub fn is_trouble(&self) -> bool {
        matches!(self.verdict, Verdict::Broken | Verdict::TooClose)
    }

    /// Whether two findings of different runs of the chain are about one quantity. Balusters are
    /// numbered anew when their count changes, so openings, pegs and leans are told by their place;
    /// an opening that keeps its neighbours' names is the same a little further off too, for its ball
    /// may be as tight in more places than one.
    #[must_use]
    pub fn same_place(&self, other: &Self) -> bool {
        if self.key.kind != other.key.kind {
            return false;
        }
        let apart = (self.at - other.at).xy().norm();
        match self.key.kind {
            Kind::Opening if self.key == other.key => {
                self.run == other.run && apart < SAME_OPENING_MM
            }
            // Where a baluster comes in, the new gaps lie beside the middle of the old one.
            Kind::Opening => {
                let half = self.upper.max(other.upper).as_mm() / 2.0;
                self.run == other.run && apart < SAME_PLACE_MM.max(half)
            }
            Kind::EdgeDistance | Kind::Lean | Kind::PloughMiss | Kind::PastEdge => {
                self.run == other.run && apart < SAME_PLACE_MM
            }
            _ => self.key == other.key,
        }
    }

    /// True where the value is a length: a number of rises, a missing handrail's too, and a load are
    /// not, though they stand in its fields.
    #[must_use]
    pub fn is_length(&self) -> bool {
        match self.key.kind {
            Kind::Risers | Kind::Load => false,
            Kind::Missing => self.key.parts.last().is_none_or(|part| part != "handrail"),
            _ => true,
        }
    }

    /// How far the value lies past its limit; negative where it is kept by so much.
    #[must_use]
    pub fn past(&self) -> Length {
        let over = self.value() - self.limit;
        match self.sense {
            Sense::AtMost | Sense::Under => over,
            Sense::AtLeast => Length::ZERO - over,
        }
    }

    /// The same as a share of the limit, no unit; `None` where the limit is nothing.
    #[must_use]
    pub fn share_past(&self) -> Option<f64> {
        let limit = self.limit.abs();
        (limit > Length::ZERO).then(|| self.past() / limit)
    }

    /// The middle of the bounds.
    #[must_use]
    pub fn value(&self) -> Length {
        (self.lower + self.upper) / 2.0
    }
}

/// Half a gap: findings nearer along the flight than this are at one place.
const SAME_PLACE_MM: f64 = 60.0;
/// From one side of an opening's cell to the other.
const SAME_OPENING_MM: f64 = 240.0;

/// An opening and the ball that passes it.
#[derive(Clone, Debug)]
pub struct Opening {
    /// The neighbours that bound it.
    pub between: Vec<String>,
    /// Diameter of a ball that surely passes.
    pub ball: Length,
    /// No ball of a greater diameter passes.
    pub ball_upper: Length,
    /// The limit on it.
    pub limit: Length,
    /// Where the ball passes, mm in the flight's frame.
    pub at: Point3<f64>,
}

/// Two parts in one place.
#[derive(Clone, Debug)]
pub struct ClashFound {
    /// The parts.
    pub parts: [String; 2],
    /// What kind of clash.
    pub class: ClashClass,
    /// How deep beyond the seat.
    pub depth: Length,
    /// The direction in which the second part clears the first, unit vector in the first run's frame.
    pub clear_by: nalgebra::Vector3<f64>,
    /// What clears it, in the words of one who stands on the run: the part that gives way to what
    /// stands, how far and which way, as `move N2 5/16" up the flight`.
    pub to_clear: String,
    /// A point of both, mm in the first run's frame: the first of `points`.
    pub at: Point3<f64>,
    /// A point of both in each place where they meet, the deepest first, eight at most.
    pub points: Vec<Point3<f64>>,
}

/// The classes of clashes: what is wrong between two parts, or between a part and its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ClashClass {
    /// Two parts in one place.
    PartInPart,
    /// A part deeper in another than their joint allows.
    SeatTooDeep,
    /// A part less deep in its joint than its seat asks.
    SeatTooShallow,
    /// A bore, screw or peg too near an edge, or out on the far side.
    EdgeDistance,
    /// A plug that covers its bore no more.
    LostPlugCover,
    /// A baluster's head that misses the plough.
    MissesPlough,
    /// A leaning part past the edge of its tread.
    PastTreadEdge,
    /// A rail in a wall that it does not end at.
    RailInWall,
    /// No room for knuckles round a rail to hold.
    KnuckleClearance,
}

impl ClashClass {
    /// The class of a kind of finding, where it is one of a clash.
    #[must_use]
    pub const fn of(kind: Kind) -> Option<Self> {
        Some(match kind {
            Kind::Clash => Self::PartInPart,
            Kind::SeatDeep => Self::SeatTooDeep,
            Kind::SeatShallow => Self::SeatTooShallow,
            Kind::BoreEdge | Kind::EdgeDistance => Self::EdgeDistance,
            Kind::PlugCover => Self::LostPlugCover,
            Kind::PloughMiss => Self::MissesPlough,
            Kind::PastEdge => Self::PastTreadEdge,
            Kind::RailInWall => Self::RailInWall,
            Kind::Knuckle => Self::KnuckleClearance,
            _ => return None,
        })
    }

    /// Its word, in machine answers and for a reader.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::PartInPart => "part in part",
            Self::SeatTooDeep => "seat too deep",
            Self::SeatTooShallow => "seat too shallow",
            Self::EdgeDistance => "edge distance",
            Self::LostPlugCover => "lost plug cover",
            Self::MissesPlough => "misses the plough",
            Self::PastTreadEdge => "past the tread's edge",
            Self::RailInWall => "rail in wall",
            Self::KnuckleClearance => "knuckle clearance",
        }
    }
}
