//! The rule table: how the stair stands against every rule of its pack.

use super::Report;
use crate::inspect::{Finding, Kind, Verdict};
use crate::job::{Anchored, Duty, Job, Spacing};
use crate::measure::{Length, Tape};
use crate::rules::{Pack, Quantity, Rule, Sense};

/// How the stair stands against one rule.
#[derive(Clone, Debug)]
pub struct RuleLine<'a> {
    /// The rule.
    pub rule: &'a Rule,
    /// The answer: the worst of its findings, or [`Verdict::NotShown`] where there are none.
    pub verdict: Verdict,
    /// How many quantities were held against it.
    pub findings: usize,
    /// Those of them that nobody read, and that stand as meant.
    pub unread: Vec<&'a Finding>,
    /// The value and the limit that come nearest to breaking it, or break it most.
    pub worst: Option<(Length, Length)>,
    /// What that value keeps from its limit; less than nothing where it breaks it. None where it
    /// is no length.
    pub margin: Option<Length>,
    /// Where it is not shown: what to measure or state, and in which field of the job.
    pub measure: Option<&'static str>,
    /// Why it is not asked of this stair; then it is neither met nor broken.
    pub not_asked: Option<String>,
    /// True where the text adopted at the place sets it or drops it.
    pub amended: bool,
    /// What more there is to say: whether a guard or handrail stands, what an anchor detail states.
    pub remark: Option<String>,
}

/// How the stair stands against every rule of its pack, in the pack's order, and then what the
/// local text drops.
///
/// [`Quantity::NosingExemptDepth`] says when another rule applies and has no line of its own.
#[must_use]
pub fn rule_lines<'a>(report: &Report<'a>) -> Vec<RuleLine<'a>> {
    let pack: &'a Pack = &report.chain.pack;
    let asked = pack
        .rules
        .iter()
        .filter(|rule| rule.quantity != Quantity::NosingExemptDepth)
        .map(|rule| rule_line(rule, report));
    let dropped = pack.dropped.iter().map(|one| RuleLine {
        rule: &one.rule,
        verdict: Verdict::NotShown,
        findings: 0,
        unread: Vec::new(),
        worst: None,
        margin: None,
        measure: None,
        not_asked: Some(format!("dropped by {}", one.by)),
        amended: true,
        remark: None,
    });
    asked.chain(dropped).collect()
}

fn rule_line<'a>(rule: &'a Rule, report: &Report<'a>) -> RuleLine<'a> {
    let findings = &report.chain.inspection.findings;
    let answers: Vec<&'a Finding> = findings
        .iter()
        .filter(|finding| is_about(finding, rule, report) || stands_for(finding, rule, report))
        .collect();
    let worst = answers
        .iter()
        .max_by(|a, b| {
            let by_verdict = weight(a.verdict).cmp(&weight(b.verdict));
            by_verdict.then(margin_used(a).total_cmp(&margin_used(b)))
        })
        .copied();
    let verdict = answers
        .iter()
        .map(|finding| finding.verdict)
        .max_by_key(|verdict| weight(*verdict))
        .unwrap_or(Verdict::NotShown);
    // What hangs on something stated for each flight is met only where every flight states it.
    let verdict = match verdict {
        Verdict::Met if lacks_a_flight(rule.quantity, &answers, report) => Verdict::NotShown,
        verdict => verdict,
    };
    let not_asked = answers
        .is_empty()
        .then(|| why_not(rule.quantity, report))
        .flatten();
    let shown_by = verdict == Verdict::NotShown && not_asked.is_none();
    let told = worst.filter(|finding| is_told(finding.key.kind));
    let measured = worst.filter(|finding| !is_told(finding.key.kind));
    RuleLine {
        rule,
        verdict,
        findings: answers.len(),
        unread: answers
            .iter()
            .filter(|finding| is_of_readings(finding.key.kind))
            .filter(|finding| finding.verdict == Verdict::NotShown)
            .copied()
            .collect(),
        worst: measured.map(|finding| (finding.value(), finding.limit)),
        margin: measured
            .filter(|finding| finding.key.kind != Kind::Risers)
            .map(|finding| -margin_used(finding)),
        measure: shown_by.then(|| rule.quantity.shown_by()),
        not_asked,
        amended: rule.amended,
        remark: told
            .map(|finding| finding.says.clone())
            .or_else(|| unlike_anchor(rule.quantity, report.job).filter(|_| shown_by)),
    }
}

/// Whether a kind of quantity is told by readings of the stair and its walls alone: not shown, it was
/// not read.
const fn is_of_readings(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Rise
            | Kind::RiseVariation
            | Kind::RiseAdjacent
            | Kind::FlightRise
            | Kind::TreadDepth
            | Kind::TreadVariation
            | Kind::GoingAdjacent
            | Kind::TwoRisesAndGoing
            | Kind::Pitch
            | Kind::Nosing
            | Kind::NosingVariation
            | Kind::TreadSlope
            | Kind::WallClearance
    )
}

/// What to measure where part of what a rule is about was not read, and stands as meant.
#[must_use]
pub fn to_measure(line: &RuleLine<'_>) -> Option<String> {
    let parts = line.unread.iter().filter_map(|one| one.key.parts.first());
    let parts: Vec<&str> = parts.map(String::as_str).collect();
    match (line.unread.len(), line.findings) {
        (0, _) => None,
        (1, 1) => Some("not all was read; what was not stands as meant".to_owned()),
        (told, all) if told == all => Some("none was read; all stand as meant".to_owned()),
        (told, all) => Some(format!(
            "{told} of {all} not read, they stand as meant: {}",
            parts.join(", ")
        )),
    }
}

/// Whether some flight has no answer to what each must state for itself.
fn lacks_a_flight(quantity: Quantity, answers: &[&Finding], report: &Report<'_>) -> bool {
    let each = [
        Quantity::Headroom,
        Quantity::KickSlope,
        Quantity::LandingDepth,
        Quantity::LandingNarrower,
    ];
    let not_asked = &report.chain.inspection.not_asked;
    each.contains(&quantity)
        && report.chain.stairs().any(|(number, run)| {
            let of = |one: &&Finding| one.run == number;
            let not = not_asked
                .iter()
                .any(|one| one.run == number && one.quantity == quantity);
            run.run.job.level.is_none() && !answers.iter().any(of) && !not
        })
}

/// Kinds whose findings are told by what they say: what is not there at all, or is a force, has no
/// length to tell.
pub(super) fn is_told(kind: Kind) -> bool {
    matches!(kind, Kind::Missing | Kind::Load)
}

/// How far past the limit the value lies, in the direction that breaks it.
fn margin_used(finding: &Finding) -> Length {
    match finding.sense {
        Sense::AtLeast => finding.limit - finding.value(),
        Sense::AtMost | Sense::Under => finding.value() - finding.limit,
    }
}

fn is_about(finding: &Finding, rule: &Rule, report: &Report<'_>) -> bool {
    if kind_of(rule.quantity) != Some(finding.key.kind) || finding.source != rule.clause {
        return false;
    }
    if let Some(tag) = tag(rule.quantity) {
        let parts = &finding.key.parts;
        let marked = format!(".{tag}");
        let is = |part: &String| part == tag || part.ends_with(&marked);
        return parts.first().is_some_and(is) || parts.last().is_some_and(is);
    }
    finding.sense == rule.sense
        && rule.length().is_none_or(|limit| same(finding.limit, limit))
        && of_level(rule.quantity).is_none_or(|level| on_level(finding, report) == level)
}

fn same(a: Length, b: Length) -> bool {
    Sense::AtLeast.holds(a, b) && Sense::AtMost.holds(a, b)
}

/// What a finding of one kind is called by where several rules have that kind.
fn tag(quantity: Quantity) -> Option<&'static str> {
    Some(match quantity {
        Quantity::GuardDrop => "guard",
        Quantity::HandrailRisers => "handrail",
        Quantity::HandrailBothWidth => "second handrail",
        Quantity::TopLoad => "the top",
        Quantity::TopLineLoad => "the top along its length",
        Quantity::InfillLoad => "the infill",
        Quantity::WidthClear => "above the rails",
        Quantity::NosingRadius => "radius",
        Quantity::NosingBevel => "bevel",
        Quantity::ExtensionTop => "top",
        Quantity::ExtensionBottom => "bottom",
        _ => return None,
    })
}

/// True for what is asked of level guards only, false for what is asked on stairs only.
fn of_level(quantity: Quantity) -> Option<bool> {
    match quantity {
        Quantity::GuardLevel | Quantity::OpeningLevel => Some(true),
        Quantity::GuardLow | Quantity::OpeningStair => Some(false),
        _ => None,
    }
}

fn on_level(finding: &Finding, report: &Report<'_>) -> bool {
    let run = report.chain.runs.get(finding.run);
    run.is_some_and(|run| run.run.job.level.is_some())
}

/// A rail that is both guard and handrail has two least heights and is held against the greater.
/// Where both are the same length, the one finding answers both rules, if both are asked.
fn stands_for(finding: &Finding, rule: &Rule, report: &Report<'_>) -> bool {
    let least_heights = [Quantity::GuardLow, Quantity::HandrailLow];
    let both = |run: &crate::chain::RunChain| {
        let job = &run.run.job;
        job.design.rail.duty == Duty::Both && job.level.is_none()
    };
    let not_asked = &report.chain.inspection.not_asked;
    report.chain.runs.get(finding.run).is_some_and(both)
        && least_heights.contains(&rule.quantity)
        && !not_asked
            .iter()
            .any(|one| one.run == finding.run && one.quantity == rule.quantity)
        && least_heights
            .iter()
            .filter_map(|quantity| report.chain.pack.rule(*quantity))
            .any(|asked| is_about(finding, asked, report))
        && rule
            .length()
            .is_some_and(|limit| same(finding.limit, limit))
}

/// Why a rule that nothing was held against is not asked of this stair, if it is not.
fn why_not(quantity: Quantity, report: &Report<'_>) -> Option<String> {
    let chain = report.chain;
    let jobs = || chain.runs.iter().map(|run| &run.run.job);
    let says = |words: &str| Some(words.to_owned());
    if quantity.is_of_winders() && chain.runs.iter().all(|run| run.turns.is_empty()) {
        return says("no winders");
    }
    let open = |job: &Job| job.flight.kicks == crate::job::Kicks::Open;
    if quantity == Quantity::OpenKickBall && !jobs().any(open) {
        return says("kicks close the steps");
    }
    if of_level(quantity) == Some(true) && jobs().all(|job| job.level.is_none()) {
        return says("no level run");
    }
    let fills = |job: &Job| {
        let panels = matches!(job.design.balusters.spacing, Spacing::Panels { .. });
        panels || job.design.bottom_rail.is_some()
    };
    if quantity == Quantity::OpeningTriangle && !jobs().any(fills) {
        return says("the balusters stand on the treads");
    }
    let on_wall = [Quantity::RailProjection, Quantity::RailReturnGap];
    if on_wall.contains(&quantity) && jobs().all(|job| job.design.wall_rail.is_none()) {
        return says("no handrail on a wall");
    }
    if quantity == Quantity::NosingLeast
        && let Some(depth) = chain.pack.length(Quantity::NosingExemptDepth)
    {
        let depth = report.job.tape.print(depth);
        return Some(format!("every tread is at least {depth} deep"));
    }
    let relevant = |(number, run): (usize, &crate::chain::RunChain)| {
        let level = run.run.job.level.is_some();
        let own = of_level(quantity).is_none_or(|of| of == level);
        let stair = !level && run.run.has_stair();
        (own && (stair || !of_stairs(quantity))).then_some(number)
    };
    let mut runs = chain
        .runs
        .iter()
        .enumerate()
        .filter_map(relevant)
        .peekable();
    runs.peek()?;
    let not_asked = &chain.inspection.not_asked;
    let mut whys: Vec<&str> = Vec::new();
    for run in runs {
        let one = not_asked
            .iter()
            .find(|one| one.run == run && one.quantity == quantity)?;
        if !whys.contains(&one.why.as_str()) {
            whys.push(&one.why);
        }
    }
    whys.first().map(|why| (*why).to_owned())
}

/// True for what is asked of flights with their whole width, not of each railing.
fn of_stairs(quantity: Quantity) -> bool {
    let widths = [Quantity::WidthOneRail, Quantity::WidthTwoRails];
    quantity == Quantity::HandrailRisers || quantity.is_of_handrail() || widths.contains(&quantity)
}

/// What there is to say where an anchor detail is stated, but not in the way that the rule asks.
fn unlike_anchor(quantity: Quantity, job: &Job) -> Option<String> {
    let what = match quantity {
        Quantity::TopLoad => Anchored::Top,
        Quantity::TopLineLoad => Anchored::TopLine,
        Quantity::InfillLoad => Anchored::Infill,
        _ => return None,
    };
    let anchor = job.anchors.iter().find(|anchor| anchor.what == what)?;
    let carries = anchor.carries.value.spread().words();
    Some(format!(
        "{} is stated {carries}, but not as the rule asks",
        anchor.detail.trim()
    ))
}

/// A value of a finding as it is read: on the tape, or the plain number that stands in the place
/// of a length where it counts rises or is a force in newtons.
#[must_use]
pub fn amount(finding: &Finding, value: Length, tape: Tape) -> String {
    let counts = finding
        .key
        .parts
        .last()
        .is_some_and(|part| part == "handrail");
    match finding.key.kind {
        Kind::Risers => format!("{:.0}", value.as_mm()),
        Kind::Missing if counts => format!("{:.0}", value.as_mm()),
        Kind::Load => format!("{:.0} N", value.as_mm()),
        _ => tape.print(value),
    }
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
