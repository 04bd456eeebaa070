//! [`Pack`] and [`Rule`]: limits with their clauses, read from data and checked as they load.

use serde::Deserialize;

use super::RuleError;
use crate::job::Len;
pub use crate::job::{GripSizes, Limit, Recess};
use crate::measure::{Length, Unit, tolerance, with_default_unit};
use crate::site::winders::MeasuredAt;

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

    /// True where a rule may allow nothing at all.
    fn may_be_nothing(self) -> bool {
        matches!(
            self,
            Self::RailOverKicks | Self::RailOverNosings | Self::LandingNarrower
        )
    }

    /// True where the rule sets the least that will do, false where it sets the most.
    fn is_floor(self) -> bool {
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
    fn unit(self) -> &'static str {
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

/// Which side of a limit is right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Sense {
    /// The value may be at most the limit.
    AtMost,
    /// The value must be at least the limit.
    AtLeast,
    /// The value must be under the limit: exactly the limit is broken.
    Under,
}

impl Sense {
    /// Whether an exactly known value keeps the limit.
    ///
    /// Values that differ by less than [`tolerance::SAME_POINT_MM`] count as equal, so that a
    /// difference of two readings such as 7 3/4 less 7 3/8 is not broken by its last binary digit.
    #[must_use]
    pub fn holds(self, value: Length, limit: Length) -> bool {
        let over = (value - limit).as_mm();
        match self {
            Self::AtMost => over <= tolerance::SAME_POINT_MM,
            Self::AtLeast => over >= -tolerance::SAME_POINT_MM,
            Self::Under => over < -tolerance::SAME_POINT_MM,
        }
    }
}

/// One limit on one quantity.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// What it limits.
    pub quantity: Quantity,
    /// Which side of the limit is right.
    pub sense: Sense,
    /// The limit.
    pub limit: Limit,
    /// The clause with its edition, as a message cites it.
    pub clause: String,
    /// What it asks, in one sentence of trade words.
    pub says: String,
}

impl Rule {
    /// The limit as a length; nothing where it is a slope (see [`Limit::over`]).
    #[must_use]
    pub fn length(&self) -> Option<Length> {
        self.limit.length()
    }
}

/// A set of rules that a stair is held against.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// The name that a job asks for it by.
    pub name: String,
    /// What it is, in one line.
    pub title: String,
    /// The edition that its clauses are numbered by.
    pub edition: String,
    /// What a reader must know before relying on it.
    pub note: String,
    /// The line across winders that their depth is measured on, where the pack has rules on it.
    #[serde(default)]
    pub winders_at: Option<MeasuredAt>,
    /// Where the openings of a stair without kicks are limited only higher than this above the floor
    /// below: that height.
    #[serde(default)]
    pub open_kicks_above: Option<Len>,
    /// The rules, in the order in which they are listed.
    pub rules: Vec<Rule>,
}

impl Pack {
    /// Reads and checks a pack. Bare numbers are inches.
    ///
    /// # Errors
    /// [`RuleError::Faulty`] says what is wrong with the text, or which rules contradict.
    pub fn read(name: &str, text: &str) -> Result<Self, RuleError> {
        let faulty = |problem: String| RuleError::Faulty {
            pack: name.to_owned(),
            problem,
        };
        let pack: Self = with_default_unit(Unit::Inches, || ron::from_str(text))
            .map_err(|error| faulty(error.to_string()))?;
        pack.check().map_err(faulty)?;
        Ok(pack)
    }

    /// The rule on a quantity, if the pack has one.
    #[must_use]
    pub fn rule(&self, quantity: Quantity) -> Option<&Rule> {
        self.rules.iter().find(|rule| rule.quantity == quantity)
    }

    /// The limit on a quantity as a length, if the pack has one that is a length.
    #[must_use]
    pub fn length(&self, quantity: Quantity) -> Option<Length> {
        self.rule(quantity).and_then(Rule::length)
    }

    fn check(&self) -> Result<(), String> {
        for (place, rule) in self.rules.iter().enumerate() {
            let what = rule.quantity;
            if self.rules[..place].iter().any(|r| r.quantity == what) {
                return Err(format!("two rules limit {what:?}"));
            }
            check_rule(rule)?;
        }
        if let Some(above) = &self.open_kicks_above
            && !(above.value.is_finite() && above.value > Length::ZERO)
        {
            return Err("open_kicks_above is not a positive length".to_owned());
        }
        let on_walk_line = [Quantity::WinderWalkDepth, Quantity::WinderVariation];
        if self.winders_at.is_none() && on_walk_line.iter().any(|of| self.rule(*of).is_some()) {
            return Err("winders_at does not say on which line winders are measured".to_owned());
        }
        self.check_pair(Quantity::RiseLeast, Quantity::RiseMax)?;
        self.check_pair(Quantity::TreadDepth, Quantity::TreadDepthMost)?;
        self.check_pair(
            Quantity::TwoRisesAndGoingLeast,
            Quantity::TwoRisesAndGoingMost,
        )?;
        self.check_pair(Quantity::NosingLeast, Quantity::NosingMost)?;
        self.check_pair(Quantity::HandrailLow, Quantity::HandrailHigh)?;
        self.check_pair(Quantity::GuardLow, Quantity::HandrailHigh)
    }

    /// Refuses a floor above its ceiling: nothing could keep both.
    fn check_pair(&self, floor: Quantity, ceiling: Quantity) -> Result<(), String> {
        match (self.length(floor), self.length(ceiling)) {
            (Some(low), Some(high)) if !Sense::AtMost.holds(low, high) => Err(format!(
                "{floor:?} asks for more than {ceiling:?} allows, so nothing keeps both"
            )),
            _ => Ok(()),
        }
    }
}

fn check_rule(rule: &Rule) -> Result<(), String> {
    let what = rule.quantity;
    let nothing = rule
        .length()
        .is_some_and(|limit| limit.abs() <= Length::mm(tolerance::SAME_POINT_MM));
    let may_be = rule.limit.is_positive() || nothing && what.may_be_nothing();
    if !may_be {
        return Err(format!("the limit of {what:?} is not a positive number"));
    }
    if what.unit() != rule.limit.unit() {
        return Err(format!(
            "{what:?} has a limit of the wrong kind; it takes {}",
            what.unit()
        ));
    }
    if what.is_floor() != (rule.sense == Sense::AtLeast) {
        return Err(format!("{what:?} cannot have the sense {:?}", rule.sense));
    }
    if rule.clause.trim().is_empty() || rule.says.trim().is_empty() {
        return Err(format!("{what:?} lacks its clause or what it says"));
    }
    Ok(())
}
