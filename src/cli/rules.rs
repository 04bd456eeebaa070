//! The rule table on a terminal.

use super::page::{Page, Push};
use crate::inspect::Verdict;
use crate::measure::{Length, Tape};
use crate::publish::{Report, RuleLine, rule_lines, verdict_words};
use crate::rules::{GripSizes, Limit, Quantity, Sense};

/// Every rule with its answer; below it what is not shown and what would show it, what is not asked
/// of this stair and why, and what a limit is read with.
pub(super) fn write(page: &mut Page, report: &Report<'_>, tape: Tape) {
    let pack = &report.chain.pack;
    let edition = &pack.edition;
    let heading = match &pack.local {
        Some(local) => format!("Rules: {edition}, amended by {local}"),
        None => format!("Rules: {edition}"),
    };
    page.space();
    page.heading(&heading);
    page.wrapped("  ", &format!("For: {}", pack.applies));
    let lines = rule_lines(report);
    let asked: Vec<&RuleLine<'_>> = lines.iter().filter(|one| one.not_asked.is_none()).collect();
    let rows: Vec<Vec<String>> = asked.iter().map(|line| row(line, edition, tape)).collect();
    page.table(2, &[Push::Left, Push::Left, Push::Right, Push::Left], &rows);
    list(page, "Not shown, and what would show it", &asked, |line| {
        line.measure.map(str::to_owned)
    });
    let all: Vec<&RuleLine<'_>> = lines.iter().collect();
    list(page, "Not asked of this stair", &all, |line| {
        line.not_asked.clone()
    });
    list(page, "Read with", &asked, with);
}

/// Rules under a heading, those with the same words together.
fn list(
    page: &mut Page,
    heading: &str,
    lines: &[&RuleLine<'_>],
    says: impl Fn(&RuleLine<'_>) -> Option<String>,
) {
    let mut told: Vec<(String, Vec<&str>)> = Vec::new();
    for line in lines {
        let Some(says) = says(line) else { continue };
        let name = words(line.rule.quantity);
        match told.iter_mut().find(|one| one.0 == says) {
            Some((_, names)) if names.contains(&name) => {}
            Some((_, names)) => names.push(name),
            None => told.push((says, vec![name])),
        }
    }
    if told.is_empty() {
        return;
    }
    page.heading(heading);
    for (says, names) in told {
        page.wrapped("  ", &format!("{}: {says}", names.join(", ")));
    }
}

/// Where a rule is asked, what more its limit is, and what there is to say of it.
fn with(line: &RuleLine<'_>) -> Option<String> {
    let limit = match &line.rule.limit {
        Limit::Grip(sizes) => Some(grip(sizes)),
        Limit::Load {
            force,
            on: Some((a, b)),
        } => Some(format!("{} over {} by {}", force.text, a.text, b.text)),
        _ => None,
    };
    let parts: Vec<String> = [limit, line.rule.when.clone(), line.remark.clone()]
        .into_iter()
        .flatten()
        .collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}

fn grip(sizes: &GripSizes) -> String {
    let second = if sizes.recess.is_some() {
        ", or with finger recesses"
    } else {
        ""
    };
    format!(
        "round {} to {}, or {} to {} round about and {} across at most{second}",
        sizes.round_least.text,
        sizes.round_most.text,
        sizes.perimeter_least.text,
        sizes.perimeter_most.text,
        sizes.section_most.text
    )
}

fn row(line: &RuleLine<'_>, edition: &str, tape: Tape) -> Vec<String> {
    let verdict = match line.verdict {
        Verdict::TooClose => "too close",
        verdict => verdict_words(verdict),
    };
    let counts = matches!(line.rule.limit, Limit::Count(_));
    let value = |value: Length| {
        if counts {
            format!("{:.0}", value.as_mm())
        } else {
            tape.print(value)
        }
    };
    let clause = line.rule.clause.strip_prefix(edition);
    let clause = clause.unwrap_or(&line.rule.clause);
    let clause = clause.trim_start_matches([',', ' ']);
    let spare = line.margin.and_then(|margin| spare(margin, tape));
    let amended = line.amended.then(|| "amended".to_owned());
    let last: Vec<String> = [spare, amended, Some(clause.to_owned())]
        .into_iter()
        .flatten()
        .collect();
    vec![
        verdict.to_owned(),
        words(line.rule.quantity).to_owned(),
        line.worst
            .map_or_else(String::new, |(worst, _)| value(worst)),
        limit(line, tape),
        last.join("; "),
    ]
}

/// What a value keeps from its limit, or is past it by.
fn spare(margin: Length, tape: Tape) -> Option<String> {
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

fn limit(line: &RuleLine<'_>, tape: Tape) -> String {
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
fn words(quantity: Quantity) -> &'static str {
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
