//! [`Report`]: an inspected job with its explanations, ready to be written out, and the rule table.

use super::survey::{read_words, suspect_says};
use crate::chain::Chain;
use crate::explain::Explanation;
use crate::inspect::{Finding, Kind, Severity, Verdict};
use crate::job::{Duty, Job};
use crate::measure::Length;
use crate::rules::{Pack, Quantity, Rule, Sense};
use crate::survey::{Standing, Survey};

/// An inspected job.
#[derive(Clone, Copy, Debug)]
pub struct Report<'a> {
    /// The job.
    pub job: &'a Job,
    /// Everything from site to troubles.
    pub chain: &'a Chain,
    /// The troubles to tell, worst first.
    pub troubles: &'a [Told<'a>],
}

/// A trouble with its explanation.
#[derive(Clone, Debug)]
pub struct Told<'a> {
    /// The trouble.
    pub finding: &'a Finding,
    /// Why it is there and what clears it.
    pub explanation: Explanation,
}

/// How the stair stands against one rule.
#[derive(Clone, Debug)]
pub struct RuleLine<'a> {
    /// The rule.
    pub rule: &'a Rule,
    /// The answer: the worst of its findings, or [`Verdict::NotShown`] where there are none.
    pub verdict: Verdict,
    /// How many quantities were held against it.
    pub findings: usize,
    /// The value and the limit that come nearest to breaking it, or break it most.
    pub worst: Option<(Length, Length)>,
}

/// How the stair stands against every rule of its pack, in the pack's order.
///
/// [`Quantity::NosingExemptDepth`] says when another rule applies and has no line of its own. What
/// is asked of winders is left out where the stair has none.
#[must_use]
pub fn rule_lines<'a>(report: &Report<'a>) -> Vec<RuleLine<'a>> {
    let pack: &'a Pack = &report.chain.pack;
    pack.rules
        .iter()
        .filter(|rule| rule.quantity != Quantity::NosingExemptDepth)
        .map(|rule| rule_line(rule, report))
        .filter(|line| !line.rule.quantity.is_of_winders() || line.findings > 0)
        .collect()
}

fn rule_line<'a>(rule: &'a Rule, report: &Report<'a>) -> RuleLine<'a> {
    let findings = &report.chain.inspection.findings;
    let answers: Vec<&Finding> = findings
        .iter()
        .filter(|finding| is_about(finding, rule) || stands_for(finding, rule, report))
        .collect();
    let worst = answers
        .iter()
        .max_by(|a, b| margin_used(a).total_cmp(&margin_used(b)));
    RuleLine {
        rule,
        verdict: answers
            .iter()
            .map(|finding| finding.verdict)
            .max_by_key(|verdict| weight(*verdict))
            .unwrap_or(Verdict::NotShown),
        findings: answers.len(),
        worst: worst.map(|finding| (finding.value(), finding.limit)),
    }
}

/// How far past the limit the value lies, in the direction that breaks it.
fn margin_used(finding: &Finding) -> Length {
    match finding.sense {
        Sense::AtLeast => finding.limit - finding.value(),
        Sense::AtMost | Sense::Under => finding.value() - finding.limit,
    }
}

fn is_about(finding: &Finding, rule: &Rule) -> bool {
    kind_of(rule.quantity) == Some(finding.key.kind)
        && finding.sense == rule.sense
        && finding.source == rule.clause
}

/// A rail that is both guard and handrail has two least heights and is held against the greater.
/// Where both are the same length, the one finding answers both rules.
fn stands_for(finding: &Finding, rule: &Rule, report: &Report<'_>) -> bool {
    let least_heights = [Quantity::GuardLow, Quantity::HandrailLow];
    let same = |limit: Length| {
        Sense::AtLeast.holds(finding.limit, limit) && Sense::AtMost.holds(finding.limit, limit)
    };
    let both = |run: &crate::chain::RunChain| {
        let job = &run.run.job;
        job.design.rail.duty == Duty::Both && job.level.is_none()
    };
    report.chain.runs.get(finding.run).is_some_and(both)
        && least_heights.contains(&rule.quantity)
        && least_heights
            .iter()
            .filter_map(|quantity| report.chain.pack.rule(*quantity))
            .any(|asked| is_about(finding, asked))
        && rule.length().is_some_and(same)
}

/// The kind of finding that answers a rule on this quantity.
fn kind_of(quantity: Quantity) -> Option<Kind> {
    Some(match quantity {
        Quantity::RiseMax | Quantity::RiseLeast => Kind::Rise,
        Quantity::RiseVariation => Kind::RiseVariation,
        Quantity::RiseAdjacent => Kind::RiseAdjacent,
        Quantity::TreadDepth | Quantity::TreadDepthMost => Kind::TreadDepth,
        Quantity::TreadVariation => Kind::TreadVariation,
        Quantity::GoingAdjacent => Kind::GoingAdjacent,
        Quantity::TwoRisesAndGoingLeast | Quantity::TwoRisesAndGoingMost => Kind::TwoRisesAndGoing,
        Quantity::PitchMost => Kind::Pitch,
        Quantity::WinderWalkDepth => Kind::WinderWalkDepth,
        Quantity::WinderLeastDepth => Kind::WinderLeastDepth,
        Quantity::WinderVariation => Kind::WinderVariation,
        Quantity::NosingLeast | Quantity::NosingMost => Kind::Nosing,
        Quantity::NosingVariation => Kind::NosingVariation,
        Quantity::TreadSlope => Kind::TreadSlope,
        Quantity::HandrailLow
        | Quantity::HandrailHigh
        | Quantity::GuardLow
        | Quantity::GuardLevel => Kind::RailHeight,
        Quantity::WallClearance => Kind::WallClearance,
        Quantity::OpeningStair | Quantity::OpeningLevel => Kind::Opening,
        Quantity::OpeningTriangle => Kind::Triangle,
        Quantity::FlightRise => Kind::FlightRise,
        Quantity::RailOverKicks | Quantity::RailOverNosings => Kind::RailReach,
        Quantity::RailReturnGap => Kind::RailOpenEnd,
        Quantity::RailProjection => Kind::Projection,
        Quantity::KickSlope => Kind::KickSlope,
        Quantity::OpenKickBall => Kind::OpenKick,
        Quantity::RisersMost | Quantity::RisersLeast => Kind::Risers,
        Quantity::Headroom => Kind::Headroom,
        Quantity::WidthClear | Quantity::WidthOneRail | Quantity::WidthTwoRails => Kind::Width,
        Quantity::NosingRadius | Quantity::NosingBevel => Kind::NosingShape,
        Quantity::LandingDepth => Kind::LandingDepth,
        Quantity::LandingNarrower => Kind::LandingWidth,
        Quantity::HandrailRisers | Quantity::HandrailBothWidth | Quantity::GuardDrop => {
            Kind::Missing
        }
        Quantity::Grip => Kind::Grip,
        Quantity::ExtensionTop | Quantity::ExtensionBottom => Kind::Extension,
        Quantity::TopLoad | Quantity::TopLineLoad | Quantity::InfillLoad => Kind::Load,
        Quantity::NosingExemptDepth | Quantity::Climbable => return None,
    })
}

/// Broken outweighs too close to call, which outweighs never measured, which outweighs met: one
/// quantity that was never measured keeps the rule from being called met.
fn weight(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Met => 0,
        Verdict::NotShown => 1,
        Verdict::TooClose => 2,
        Verdict::Broken => 3,
    }
}

/// The cautions that belong under the report, each one sentence or a few.
#[must_use]
pub fn cautions(report: &Report<'_>) -> Vec<String> {
    let cuts_stringer = report
        .chain
        .inspection
        .findings
        .iter()
        .any(|f| f.key.kind == Kind::StringerCut && f.is_trouble());
    let engineer = "A stringer carries load. Ask an engineer before one is cut.";
    let work = "While you work, an open stair needs its own temporary guard: a rail made for a \
                house is lower than a building site asks. Let the saw stop before you clear it.";
    cuts_stringer
        .then(|| engineer.to_owned())
        .into_iter()
        .chain(without_bodies(report))
        .chain(slips(report))
        .chain([report.chain.pack.note.clone(), work.to_owned()])
        .collect()
}

/// Parts that come out without a body, so that no clash of theirs is shown.
fn without_bodies(report: &Report<'_>) -> Vec<String> {
    let findings = report.chain.inspection.findings.iter();
    findings
        .filter(|one| one.key.kind == Kind::Clash && one.verdict == Verdict::NotShown)
        .map(|one| format!("Part {}.", one.says))
        .collect()
}

/// Readings that look like slips: what follows from them may not be there.
fn slips(report: &Report<'_>) -> Vec<String> {
    let surveys = report
        .chain
        .runs
        .iter()
        .filter_map(|run| run.survey.as_ref());
    surveys
        .flat_map(|survey| slips_of(report, survey))
        .collect()
}

fn slips_of(report: &Report<'_>, survey: &Survey) -> Vec<String> {
    let named = survey.suspects.iter().filter_map(|slip| {
        let one = survey.readings.get(slip.reading)?;
        Some(suspect_says(report.job.tape, one, slip))
    });
    let far = survey
        .readings
        .iter()
        .filter(|one| one.standing == Standing::UncheckedAndFar);
    let far = far.map(|one| {
        format!(
            "{} reads {}, far from what was meant, and nothing checks it: read it again",
            one.what,
            read_words(report.job.tape, one.read, one.value)
        )
    });
    named
        .chain(far)
        .map(|says| {
            format!(
                "A reading may be a slip, and what follows from it may not be there: {says} \
                 (`rakewell survey` tells more)."
            )
        })
        .collect()
}

/// A name for a trouble that stays the same from run to run, as `opening:N1+B02`.
#[must_use]
pub fn trouble_id(finding: &Finding) -> String {
    let kind = kind_word(finding.key.kind);
    match finding.key.parts.join("+").replace(' ', "-") {
        // A quantity of the whole flight belongs to no part.
        parts if parts.is_empty() => kind.to_owned(),
        parts => format!("{kind}:{parts}"),
    }
}

/// The word for a kind of finding in machine answers.
#[must_use]
pub fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Clash => "clash",
        Kind::StringerCut => "stringer-cut",
        Kind::Opening => "opening",
        Kind::Triangle => "triangle",
        Kind::RailHeight => "rail-height",
        Kind::Landing => "landing",
        Kind::WallClearance => "wall-clearance",
        Kind::Rise => "rise",
        Kind::RiseVariation => "rise-variation",
        Kind::RiseAdjacent => "rise-adjacent",
        Kind::FlightRise => "flight-rise",
        Kind::TreadDepth => "tread-depth",
        Kind::TreadVariation => "tread-variation",
        Kind::GoingAdjacent => "going-adjacent",
        Kind::TwoRisesAndGoing => "two-rises-and-going",
        Kind::Pitch => "pitch",
        Kind::WinderWalkDepth => "winder-walk-depth",
        Kind::WinderLeastDepth => "winder-least-depth",
        Kind::WinderVariation => "winder-variation",
        Kind::Nosing => "nosing",
        Kind::NosingVariation => "nosing-variation",
        Kind::TreadSlope => "tread-slope",
        Kind::EdgeDistance => "edge-distance",
        Kind::RevealDrift => "reveal-drift",
        Kind::Lean => "lean",
        Kind::BlockReveal => "block-reveal",
        Kind::NewelFoot => "newel-foot",
        Kind::FastenerCut => "fastener-cut",
        Kind::RailReach => "rail-reach",
        Kind::RailOpenEnd => "rail-open-end",
        Kind::Projection => "projection",
        Kind::SeatDeep => "seat-deep",
        Kind::SeatShallow => "seat-shallow",
        Kind::BoreEdge => "bore-edge",
        Kind::PlugCover => "plug-cover",
        Kind::PloughMiss => "plough-miss",
        Kind::PastEdge => "past-edge",
        Kind::RailInWall => "rail-in-wall",
        Kind::Knuckle => "knuckle",
        Kind::KickSlope => "kick-slope",
        Kind::OpenKick => "open-kick",
        Kind::Risers => "risers",
        Kind::Headroom => "headroom",
        Kind::Width => "width",
        Kind::NosingShape => "nosing-shape",
        Kind::LandingDepth => "landing-depth",
        Kind::LandingWidth => "landing-width",
        Kind::Grip => "grip",
        Kind::Extension => "extension",
        Kind::Missing => "missing",
        Kind::Load => "load",
        Kind::RevealStep => "reveal-step",
        Kind::RevealSlope => "reveal-slope",
    }
}

/// The word for a severity.
#[must_use]
pub fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Remark => "remark",
        Severity::Fix => "fix",
        Severity::Stop => "stop",
    }
}

/// The words for a verdict.
#[must_use]
pub fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Met => "met",
        Verdict::Broken => "broken",
        Verdict::TooClose => "too close to call",
        Verdict::NotShown => "not shown",
    }
}
