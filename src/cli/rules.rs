//! The rule table on a terminal.

use super::page::{Page, Push};
use crate::inspect::Verdict;
use crate::measure::Tape;
use crate::publish::{
    Report, RuleLine, rule_asks, rule_clause, rule_found, rule_lines, rule_spare, rule_with,
    to_measure, verdict_sign, verdict_words,
};
use crate::rules::Quantity;

/// Every rule with its answer; below it what is not shown and what would show it, what is not asked
/// of this stair and why, and what a limit is read with.
pub(super) fn write(page: &mut Page, report: &Report<'_>, tape: Tape) {
    let pack = &report.chain.pack;
    let edition = &pack.edition;
    page.space();
    page.heading(&format!("Rules: {edition}"));
    if let Some(local) = &pack.local {
        page.wrapped("  ", &format!("Amended by {local}, as the job says."));
    }
    page.wrapped("  ", &format!("For: {}", pack.applies));
    let lines = rule_lines(report);
    let asked: Vec<&RuleLine<'_>> = lines.iter().filter(|one| one.not_asked.is_none()).collect();
    let rows: Vec<Vec<String>> = asked.iter().map(|line| row(line, edition, tape)).collect();
    // The marks hang out to the left of the words.
    page.table(0, &[Push::Left, Push::Left, Push::Right, Push::Left], &rows);
    list(page, "Not shown, and what would show it", &asked, |line| {
        line.measure.map(str::to_owned)
    });
    list(page, "Not read", &asked, to_measure);
    let all: Vec<&RuleLine<'_>> = lines.iter().collect();
    list(page, "Not asked of this stair", &all, |line| {
        line.not_asked.clone()
    });
    list(page, "Read with", &asked, rule_with);
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

fn row(line: &RuleLine<'_>, edition: &str, tape: Tape) -> Vec<String> {
    let verdict = match line.verdict {
        Verdict::TooClose => "too close",
        verdict => verdict_words(verdict),
    };
    let spare = rule_spare(line, tape);
    let amended = line.amended.then(|| "amended".to_owned());
    let last: Vec<String> = [spare, amended, Some(rule_clause(line, edition).to_owned())]
        .into_iter()
        .flatten()
        .collect();
    vec![
        format!("{} {verdict}", verdict_sign(line.verdict)),
        words(line.rule.quantity).to_owned(),
        rule_found(line, tape),
        rule_asks(line, tape),
        last.join("; "),
    ]
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
        Quantity::RailOverKicks | Quantity::RailOverNosings => "handrail short by",
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
