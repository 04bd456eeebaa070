//! What shows whether a rule is kept, where nothing in the job does yet.

use super::Quantity;

impl Quantity {
    /// What to measure or state, and in which field of the job.
    #[must_use]
    pub const fn shown_by(self) -> &'static str {
        match self {
            Self::RiseMax | Self::RiseLeast | Self::RiseVariation | Self::RiseAdjacent => {
                "read each rise, finished tread to finished tread: Rise(step: .., is: ..) in \
                 flight.readings"
            }
            Self::TreadDepth
            | Self::TreadDepthMost
            | Self::TreadVariation
            | Self::GoingAdjacent
            | Self::TwoRisesAndGoingLeast
            | Self::TwoRisesAndGoingMost => {
                "read each going, nosing to nosing, level: Going(step: .., is: ..) in \
                 flight.readings"
            }
            Self::PitchMost | Self::FlightRise => {
                "read the rises and goings of the flight, or its whole climb, in flight.readings"
            }
            Self::WinderWalkDepth | Self::WinderLeastDepth | Self::WinderVariation => {
                "read the winders' nosings at the walk line and at the narrow end: \
                 runs[..].winders.readings"
            }
            Self::NosingLeast
            | Self::NosingMost
            | Self::NosingVariation
            | Self::NosingExemptDepth => {
                "read each nosing's overhang beyond its kick in flight.readings"
            }
            Self::NosingRadius | Self::NosingBevel => {
                "hold a radius gauge to a nosing's front edge and state it: flight.nosing_edge"
            }
            Self::KickSlope => {
                "hold a level against a kick's face and state how far it slopes from plumb: \
                 flight.kick_slope"
            }
            Self::OpenKickBall => "say whether kicks close the steps: flight.kicks",
            Self::TreadSlope => {
                "lay a level on each tread, front to back and side to side: flight.readings"
            }
            Self::RisersMost | Self::RisersLeast => "count the rises: flight.count",
            Self::Headroom => {
                "measure plumb from each nosing, landing and floor to what is overhead, and state \
                 what hangs there: overheads"
            }
            Self::WidthClear | Self::WidthOneRail | Self::WidthTwoRails => {
                "measure level across the stair between walls, rails and newels, above the rail \
                 and at it; state the walls that stand beside it: walls"
            }
            Self::LandingDepth | Self::LandingNarrower => {
                "measure each landing's depth in the direction of travel and its width: floors, \
                 flight.reaches.on"
            }
            _ => self.shown_on_railing(),
        }
    }

    /// The same for what is asked of rails and guards.
    const fn shown_on_railing(self) -> &'static str {
        match self {
            Self::HandrailLow | Self::HandrailHigh | Self::HandrailRisers => {
                "set out a rail to hold: design.rail.duty (Handrail or Both), or design.wall_rail"
            }
            Self::HandrailBothWidth => "set out a second rail to hold: design.wall_rail",
            Self::WallClearance => "state the walls beside the rail and read how they stand: walls",
            Self::RailOverKicks | Self::RailOverNosings | Self::ExtensionTop => {
                "set out a rail to hold and state how far it runs on: design.wall_rail.extend_upper"
            }
            Self::ExtensionBottom => {
                "state how far the rail to hold runs on at the bottom: \
                 design.wall_rail.extend_lower"
            }
            Self::RailReturnGap | Self::RailProjection => {
                "set out the handrail on the wall and how its ends stop: design.wall_rail"
            }
            Self::Grip => {
                "draw the rail's section, or state its width and depth: design.rail.profile"
            }
            Self::GuardLow | Self::OpeningStair => {
                "set out a guard on the stair's open side: design.rail.duty (Guard or Both)"
            }
            Self::GuardLevel | Self::OpeningLevel => {
                "set out the level guards along landings and floor edges: runs[..].level"
            }
            Self::OpeningTriangle => "set out the bottom rail: design.bottom_rail",
            Self::GuardDrop => {
                "read the floors and rises, so that the drop beside the stair is known: floors"
            }
            Self::Climbable => {
                "somebody must look whether a child finds a foothold; nothing in the job says so"
            }
            Self::TopLoad | Self::TopLineLoad => {
                "have the newels' and rail's anchors calculated or tested, and state the detail \
                 with its source: anchors (what: Top or TopLine)"
            }
            // Of balusters and panels: the last that is left.
            _ => {
                "have the fixing of balusters or panels calculated or tested, and state the \
                 detail with its source: anchors (what: Infill)"
            }
        }
    }

    /// True for what is asked of a guard: where none is asked, nor is it.
    #[must_use]
    pub const fn is_of_guard(self) -> bool {
        matches!(
            self,
            Self::GuardLow
                | Self::GuardLevel
                | Self::OpeningStair
                | Self::OpeningTriangle
                | Self::OpeningLevel
                | Self::Climbable
                | Self::TopLineLoad
                | Self::InfillLoad
        )
    }

    /// True for what is asked of a handrail: where none is asked, nor is it.
    #[must_use]
    pub const fn is_of_handrail(self) -> bool {
        matches!(
            self,
            Self::HandrailLow
                | Self::HandrailHigh
                | Self::WallClearance
                | Self::RailOverKicks
                | Self::RailOverNosings
                | Self::RailReturnGap
                | Self::RailProjection
                | Self::Grip
                | Self::ExtensionTop
                | Self::ExtensionBottom
                | Self::HandrailBothWidth
        )
    }
}
