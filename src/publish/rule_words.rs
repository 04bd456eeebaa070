//! The words of the rule table, alike on the terminal and on paper.

use super::RuleLine;
use crate::measure::{Length, Tape};
use crate::rules::{Limit, Quantity, Sense};

/// The value that comes nearest to its limit or breaks it most; nothing where none was held.
#[must_use]
pub fn worst_words(line: &RuleLine<'_>, tape: Tape) -> String {
    let counts = matches!(line.rule.limit, Limit::Count(_));
    line.worst.map_or_else(String::new, |(value, _)| {
        if counts {
            format!("{:.0}", value.as_mm())
        } else {
            tape.print(value)
        }
    })
}

/// What a value keeps from its limit, or is past it by.
#[must_use]
pub fn spare(margin: Length, tape: Tape) -> Option<String> {
    if margin.abs() < tape.mark() / 8.0 {
        return None;
    }
    let word = if margin < Length::ZERO {
        "past"
    } else {
        "spare"
    };
    Some(format!("{} {word}", tape.print(margin.abs())))
}

/// What a rule asks, in few words.
#[must_use]
pub fn limit_words(line: &RuleLine<'_>, tape: Tape) -> String {
    let side = match line.rule.sense {
        Sense::AtMost => "most",
        Sense::AtLeast => "least",
        Sense::Under => "under",
    };
    let limit = match (&line.rule.limit, line.worst) {
        (Limit::Slope(climb, run), None) => format!("{climb} in {run}"),
        (Limit::Pitch(angle), None) => angle.value.to_string(),
        // The limit of a slope as a length is that of the tread it was read on, and of a pitch that
        // of the flight; of so many treads that of the flight's own.
        (Limit::Slope(..) | Limit::Pitch(_) | Limit::Treads(_), Some((_, limit))) => {
            tape.print(limit)
        }
        (Limit::Length(length), _) => tape.print(length.value),
        (Limit::Count(count), _) => count.to_string(),
        (Limit::Treads(treads), None) => format!("{treads} tread"),
        (Limit::Load { force, .. }, _) => force.text.clone(),
        (Limit::Grip(_), _) => return "by its size".to_owned(),
        (Limit::ByEye, _) => return "look".to_owned(),
    };
    match line.rule.quantity {
        // These say from where something is asked.
        Quantity::HandrailRisers | Quantity::HandrailBothWidth => format!("from {limit}"),
        Quantity::GuardDrop if line.rule.sense == Sense::Under => format!("from {limit}"),
        Quantity::GuardDrop => format!("over {limit}"),
        _ => format!("{side} {limit}"),
    }
}

/// A rule in two or three words.
#[must_use]
pub fn rule_name(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::RiseMax | Quantity::RiseLeast => "rise",
        Quantity::RiseVariation => "rises differ",
        Quantity::RiseAdjacent => "rise to next",
        Quantity::TreadDepth | Quantity::TreadDepthMost => "tread depth",
        Quantity::TreadVariation => "treads differ",
        Quantity::GoingAdjacent => "tread to next",
        Quantity::TwoRisesAndGoingLeast | Quantity::TwoRisesAndGoingMost => "2 rises + going",
        Quantity::PitchMost => "nosings climb",
        Quantity::WinderWalkDepth => "winder depth",
        Quantity::WinderLeastDepth => "winder at least",
        Quantity::WinderVariation => "winders differ",
        Quantity::NosingLeast | Quantity::NosingMost => "nosing",
        Quantity::NosingVariation => "nosings differ",
        Quantity::NosingExemptDepth => "no nosing needed",
        Quantity::TreadSlope => "tread climbs",
        Quantity::FlightRise => "flight climbs",
        Quantity::HandrailLow | Quantity::HandrailHigh => "handrail",
        Quantity::WallClearance => "rail to wall",
        Quantity::GuardLow => "guard",
        Quantity::GuardLevel => "level guard",
        Quantity::OpeningStair => "ball at the stair",
        Quantity::OpeningTriangle => "ball, triangle",
        Quantity::OpeningLevel => "ball elsewhere",
        Quantity::RailOverKicks | Quantity::RailOverNosings => "handrail's reach",
        Quantity::RailReturnGap => "handrail's end",
        Quantity::RailProjection => "handrail juts",
        Quantity::KickSlope => "kick slopes",
        Quantity::OpenKickBall => "ball at open kick",
        Quantity::RisersMost | Quantity::RisersLeast => "rises in flight",
        Quantity::Headroom => "headroom",
        Quantity::WidthClear => "clear width",
        Quantity::WidthOneRail => "width, one rail",
        Quantity::WidthTwoRails => "width, two rails",
        Quantity::NosingRadius => "nosing radius",
        Quantity::NosingBevel => "nosing bevel",
        Quantity::LandingDepth => "landing depth",
        Quantity::LandingNarrower => "landing narrower",
        Quantity::HandrailRisers => "handrail asked",
        Quantity::HandrailBothWidth => "on both sides",
        Quantity::Grip => "rail's grip",
        Quantity::ExtensionTop => "runs on, top",
        Quantity::ExtensionBottom => "runs on, bottom",
        Quantity::GuardDrop => "guard asked",
        Quantity::Climbable => "climbing",
        Quantity::TopLoad => "load on top",
        Quantity::TopLineLoad => "load along top",
        Quantity::InfillLoad => "load on infill",
    }
}
