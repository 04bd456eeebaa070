//! [`Quantity`]: what rules limit, how each limit is written, and what shows each.

use serde::Deserialize;

/// What a rule limits. Each is one quantity that the inspection reports.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
pub enum Quantity {
    /// The greatest rise.
    RiseMax,
    /// The least rise.
    RiseLeast,
    /// Greatest rise less least, within the flight.
    RiseVariation,
    /// A rise and the next one: the greater less the smaller.
    RiseAdjacent,
    /// Least tread depth, level from nosing to nosing.
    TreadDepth,
    /// Greatest tread depth, level from nosing to nosing.
    TreadDepthMost,
    /// Greatest tread depth less least, within the flight.
    TreadVariation,
    /// A tread's depth and the next one's, nosing to nosing: the greater less the smaller.
    GoingAdjacent,
    /// The least of two rises and one going, nosing to nosing.
    TwoRisesAndGoingLeast,
    /// The most of two rises and one going, nosing to nosing.
    TwoRisesAndGoingMost,
    /// The steepest that the line of the nosings may be.
    PitchMost,
    /// Least depth of a winder on the walk line, nosing to nosing.
    WinderWalkDepth,
    /// Least depth of a winder anywhere within the clear width.
    WinderLeastDepth,
    /// Greatest winder depth on the walk line less least, within the turn.
    WinderVariation,
    /// Least overhang of a nosing.
    NosingLeast,
    /// Greatest overhang of a nosing.
    NosingMost,
    /// Greatest overhang less least.
    NosingVariation,
    /// No nosing is needed on treads at least this deep.
    NosingExemptDepth,
    /// Climb of a tread's or landing's surface, rise over run.
    TreadSlope,
    /// Climb of the whole flight.
    FlightRise,
    /// Least height of a handrail, plumb above the nosings.
    HandrailLow,
    /// Greatest height of a handrail, plumb above the nosings.
    HandrailHigh,
    /// Least clearance of a handrail from a wall beside it.
    WallClearance,
    /// Least height of a guard on the open side of the stair, plumb above the nosings.
    GuardLow,
    /// Least height of a guard along a level walking surface.
    GuardLevel,
    /// The ball that must not pass the guard on the open side of the stair.
    OpeningStair,
    /// The ball that must not pass the triangle of kick, tread and bottom rail.
    OpeningTriangle,
    /// The ball that must not pass a guard anywhere else.
    OpeningLevel,
    /// How far a rail to hold may stop short of the planes of the lowest and the top kick.
    RailOverKicks,
    /// How far it may stop short of the planes of the lowest and the top nosing.
    RailOverNosings,
    /// The gap between the end of a rail to hold and what it must end at.
    RailReturnGap,
    /// How far a rail to hold may stand into the stair from its wall.
    RailProjection,
    /// How far the face of a kick may slope from plumb.
    KickSlope,
    /// The ball that must not pass between the treads of a stair without kicks.
    OpenKickBall,
    /// The most rises of a flight.
    RisersMost,
    /// The fewest rises of a flight.
    RisersLeast,
    /// Least headroom, plumb above the line of the nosings, a landing or a floor.
    Headroom,
    /// Least clear width above the rails.
    WidthClear,
    /// Least clear width at and below the height of a rail that stands on one side only.
    WidthOneRail,
    /// Least clear width at and below the height of rails that stand on both sides.
    WidthTwoRails,
    /// Greatest radius of a nosing's edge.
    NosingRadius,
    /// Greatest bevel of a nosing's edge.
    NosingBevel,
    /// Least depth of a landing in the direction of travel.
    LandingDepth,
    /// How much narrower than its flight a landing may be.
    LandingNarrower,
    /// A handrail is asked where a flight has at least so many rises.
    HandrailRisers,
    /// A handrail is asked on both sides where the stair is at least this wide.
    HandrailBothWidth,
    /// The section of a rail to hold, so that a hand closes on it.
    Grip,
    /// How far a handrail runs on, level, beyond the top kick.
    ExtensionTop,
    /// How far a handrail runs on at the slope beyond the lowest kick.
    ExtensionBottom,
    /// A guard is asked where the drop beside the stair is more than this.
    GuardDrop,
    /// A guard that a child cannot climb.
    Climbable,
    /// What the top of a guard or handrail carries at a point.
    TopLoad,
    /// What the top of a guard carries along its length.
    TopLineLoad,
    /// What balusters and panels carry.
    InfillLoad,
}

impl Quantity {
    /// Every quantity, in the order in which rules are listed.
    pub const ALL: [Self; 54] = [
        Self::RiseMax,
        Self::RiseLeast,
        Self::RiseVariation,
        Self::RiseAdjacent,
        Self::TreadDepth,
        Self::TreadDepthMost,
        Self::TreadVariation,
        Self::GoingAdjacent,
        Self::TwoRisesAndGoingLeast,
        Self::TwoRisesAndGoingMost,
        Self::PitchMost,
        Self::WinderWalkDepth,
        Self::WinderLeastDepth,
        Self::WinderVariation,
        Self::NosingLeast,
        Self::NosingMost,
        Self::NosingVariation,
        Self::NosingExemptDepth,
        Self::TreadSlope,
        Self::FlightRise,
        Self::HandrailLow,
        Self::HandrailHigh,
        Self::WallClearance,
        Self::GuardLow,
        Self::GuardLevel,
        Self::OpeningStair,
        Self::OpeningTriangle,
        Self::OpeningLevel,
        Self::RailOverKicks,
        Self::RailOverNosings,
        Self::RailReturnGap,
        Self::RailProjection,
        Self::KickSlope,
        Self::OpenKickBall,
        Self::RisersMost,
        Self::RisersLeast,
        Self::Headroom,
        Self::WidthClear,
        Self::WidthOneRail,
        Self::WidthTwoRails,
        Self::NosingRadius,
        Self::NosingBevel,
        Self::LandingDepth,
        Self::LandingNarrower,
        Self::HandrailRisers,
        Self::HandrailBothWidth,
        Self::Grip,
        Self::ExtensionTop,
        Self::ExtensionBottom,
        Self::GuardDrop,
        Self::Climbable,
        Self::TopLoad,
        Self::TopLineLoad,
        Self::InfillLoad,
    ];

    /// The quantity of this name, as [`Self::name`] writes it.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.name() == name)
    }

    /// Its name in files and in machine answers.
    #[must_use]
    pub fn name(self) -> String {
        format!("{self:?}")
    }

    /// True where a rule may allow nothing at all, or asks it always.
    pub(super) fn may_be_nothing(self) -> bool {
        matches!(
            self,
            Self::RailOverKicks
                | Self::RailOverNosings
                | Self::LandingNarrower
                | Self::HandrailBothWidth
        )
    }

    /// True where the rule sets the least that will do, false where it sets the most.
    pub(super) fn is_floor(self) -> bool {
        matches!(
            self,
            Self::RiseLeast
                | Self::TreadDepth
                | Self::TwoRisesAndGoingLeast
                | Self::WinderWalkDepth
                | Self::WinderLeastDepth
                | Self::NosingLeast
                | Self::NosingExemptDepth
                | Self::HandrailLow
                | Self::WallClearance
                | Self::GuardLow
                | Self::GuardLevel
                | Self::RisersLeast
                | Self::Headroom
                | Self::WidthClear
                | Self::WidthOneRail
                | Self::WidthTwoRails
                | Self::LandingDepth
                | Self::HandrailRisers
                | Self::HandrailBothWidth
                | Self::ExtensionTop
                | Self::ExtensionBottom
                | Self::TopLoad
                | Self::TopLineLoad
                | Self::InfillLoad
        )
    }

    /// True for what only winders have: a stair without any has nothing to say about it.
    #[must_use]
    pub fn is_of_winders(self) -> bool {
        matches!(
            self,
            Self::WinderWalkDepth | Self::WinderLeastDepth | Self::WinderVariation
        )
    }

    /// What its limit is written as.
    pub(super) fn unit(self) -> &'static str {
        match self {
            Self::TreadSlope => "Slope",
            Self::PitchMost | Self::KickSlope => "Pitch",
            Self::RisersMost | Self::RisersLeast | Self::HandrailRisers => "Count",
            Self::ExtensionBottom => "Treads",
            Self::Grip => "Grip",
            Self::TopLoad | Self::TopLineLoad | Self::InfillLoad => "Load",
            Self::Climbable => "ByEye",
            _ => "Length",
        }
    }
}
