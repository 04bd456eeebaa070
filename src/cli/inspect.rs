//! `inspect`: the troubles of a job, worst first, and how it stands against its rules.

use std::sync::atomic::{AtomicUsize, Ordering};

use anstyle::{AnsiColor, Style};

use super::args::Inspect;
use super::page::{Page, Push};
use super::source::{self, Source};
use super::{Outcome, talk, why};
use crate::chain::Chain;
use crate::explain::{Explanation, Reasons};
use crate::inspect::{Finding, Inspection, Opening, Severity, Verdict};
use crate::measure::{Length, Tape};
use crate::publish::{Report, RuleLine, Told, cautions, json, rule_lines, verdict_words};
use crate::rules::{Limit, Quantity, Sense};
use crate::setout::Reveal;

pub(super) fn run(inspect: &Inspect) -> Outcome {
    let source = match source::load_way(inspect.job.as_deref(), inspect.alternative.as_deref()) {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    if let Some(id) = &inspect.why {
        return why::tell(&source, id, inspect.json);
    }
    match (&inspect.apply, &inspect.job) {
        (Some(id), Some(path)) => why::apply(&source, path, id),
        _ => tell(&source, inspect.at_least.severity(), inspect.json),
    }
}

/// Inspects a job and prints what was found.
pub(super) fn tell(source: &Source, least: Severity, as_json: bool) -> Outcome {
    let chain = match source::chain(source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let (asked, milder): (Vec<&Finding>, Vec<&Finding>) = chain
        .inspection
        .troubles()
        .into_iter()
        .partition(|finding| finding.severity >= least);
    let troubles = explained(&chain, &asked);
    let report = Report {
        job: source.job(),
        chain: &chain,
        troubles: &troubles,
    };
    let text = if as_json {
        json::inspect(&report)
    } else {
        written(&report, milder.len())
    };
    let outcome = if asked.is_empty() {
        Outcome::Clean
    } else {
        Outcome::Trouble
    };
    talk::answer(&text, outcome)
}

/// Explains the troubles, on every core: each explanation runs the chain many times over.
fn explained<'a>(chain: &Chain, findings: &[&'a Finding]) -> Vec<Told<'a>> {
    if findings.is_empty() {
        return Vec::new();
    }
    let reasons = Reasons::of(chain);
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done: Vec<(usize, Explanation)> = Vec::new();
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(finding) = findings.get(place) else {
                return done;
            };
            done.push((place, reasons.explain(chain, &finding.key)));
        }
    };
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    let mut done: Vec<(usize, Explanation)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (1..workers.min(findings.len()))
            .map(|_| scope.spawn(work))
            .collect();
        let mut done = work();
        for worker in workers {
            match worker.join() {
                Ok(part) => done.extend(part),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|(place, _)| *place);
    findings
        .iter()
        .zip(done)
        .map(|(finding, (_, explanation))| Told {
            finding,
            explanation,
        })
        .collect()
}

fn written(report: &Report<'_>, milder: usize) -> String {
    let tape = report.job.tape;
    let mut page = Page::default();
    page.heading(&report.job.name);
    page.line(&report.chain.pack.title);
    page.space();
    page.wrapped("", &headline(report.troubles, milder));
    write_troubles(&mut page, report.troubles, tape);
    write_openings(&mut page, &report.chain.inspection, tape);
    for run in &report.chain.runs {
        // On a shoe or a bottom rail no tread ends beside a baluster.
        if run.setout.on_treads() {
            write_reveals(&mut page, &run.setout.reveals, tape);
        }
    }
    write_rules(&mut page, report, tape);
    page.heading("Mind");
    for caution in cautions(report) {
        page.wrapped("  ", &caution);
    }
    page.text()
}

/// How many troubles there are of each severity.
fn headline(troubles: &[Told<'_>], milder: usize) -> String {
    let mut parts = Vec::new();
    for (severity, what) in [
        (Severity::Stop, "to stop for"),
        (Severity::Fix, "to fix"),
        (Severity::Remark, "to remark on"),
    ] {
        let count = troubles
            .iter()
            .filter(|t| t.finding.severity == severity)
            .count();
        if count > 0 {
            parts.push(format!("{count} {what}"));
        }
    }
    if parts.is_empty() {
        parts.push("No trouble found".to_owned());
    }
    if milder > 0 {
        parts.push(format!("{milder} milder not told"));
    }
    format!("{}.", parts.join(", "))
}

fn write_troubles(page: &mut Page, troubles: &[Told<'_>], tape: Tape) {
    let mut severity = None;
    for (place, told) in troubles.iter().enumerate() {
        if severity == Some(told.finding.severity) {
            page.space();
        } else {
            severity = Some(told.finding.severity);
            let (style, word) = severity_heading(told.finding.severity);
            page.styled_heading(style, word);
        }
        write_trouble(page, place + 1, told, tape);
    }
}

fn severity_heading(severity: Severity) -> (Style, &'static str) {
    match severity {
        Severity::Stop => (AnsiColor::Red.on_default().bold(), "Stop"),
        Severity::Fix => (AnsiColor::Yellow.on_default().bold(), "Fix"),
        Severity::Remark => (Style::new().bold(), "Remark"),
    }
}

fn write_trouble(page: &mut Page, number: usize, told: &Told<'_>, tape: Tape) {
    let finding = told.finding;
    page.wrapped(&format!("{number:>3}  "), &sentence(&finding.says));
    page.wrapped("     ", &against(finding, tape));
    why::write_because(page, &told.explanation, tape);
    why::write_cures(page, &told.explanation.cures, tape);
}

/// The text with a capital and a full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    let end = if text.ends_with('.') { "" } else { "." };
    let rest = letters.as_str();
    format!(
        "{}{rest}{end}",
        first.into_iter().flatten().collect::<String>()
    )
}

/// The value against its limit, and whose limit it is.
fn against(finding: &Finding, tape: Tape) -> String {
    let asks = match finding.sense {
        Sense::AtMost => "at most",
        Sense::AtLeast => "at least",
        Sense::Under => "under",
    };
    let verdict = match finding.verdict {
        Verdict::Broken if finding.limit <= Length::ZERO => {
            verdict_words(Verdict::Broken).to_owned()
        }
        Verdict::Broken => match (finding.value() - finding.limit).abs() {
            // A limit that is broken by less than the tape shows is not broken by nothing.
            over if over < tape.mark() / 8.0 => "broken by a hair".to_owned(),
            over => format!("broken by {}", tape.print(over)),
        },
        verdict => verdict_words(verdict).to_owned(),
    };
    let value = value_of(finding, tape);
    if finding.sense == Sense::AtMost && finding.limit <= Length::ZERO {
        return format!(
            "{value} where there should be none: {verdict}; {}",
            finding.source
        );
    }
    format!(
        "{value}, {asks} {} asked: {verdict}; {}",
        tape.print(finding.limit),
        finding.source
    )
}

/// The value on the tape; both bounds where a tape could tell them apart.
fn value_of(finding: &Finding, tape: Tape) -> String {
    if finding.upper - finding.lower > tape.mark() / 2.0 {
        let (low, high) = (tape.print(finding.lower), tape.print(finding.upper));
        return format!("between {low} and {high}");
    }
    tape.print(finding.value())
}

fn write_openings(page: &mut Page, inspection: &Inspection, tape: Tape) {
    if inspection.openings.is_empty() {
        return;
    }
    page.heading("Openings");
    let mut widest: Vec<&Opening> = inspection.openings.iter().collect();
    // Nearest to its own limit first; a stable sort keeps the order up the flight among equals.
    widest.sort_by(|a, b| (b.ball - b.limit).total_cmp(&(a.ball - a.limit)));
    let count = widest.len();
    page.line(&format!(
        "  {count} looked at; nearest to their limits, or past them:"
    ));
    let rows: Vec<Vec<String>> = widest
        .iter()
        .take(4)
        .map(|opening| {
            vec![
                opening.between.join(" - "),
                tape.print(opening.ball),
                format!("ball, must stay under {}", tape.print(opening.limit)),
            ]
        })
        .collect();
    page.table(2, &[Push::Left, Push::Right], &rows);
}

fn write_reveals(page: &mut Page, reveals: &[Reveal], tape: Tape) {
    let by_value = |a: &&Reveal, b: &&Reveal| a.value.total_cmp(&b.value);
    let (Some(least), Some(most)) = (
        reveals.iter().min_by(by_value),
        reveals.iter().max_by(by_value),
    ) else {
        return;
    };
    page.heading("Reveals at the tread ends");
    page.line(&format!(
        "  from {} at {} to {} at {}: they wander by {}",
        tape.print(least.value),
        least.part,
        tape.print(most.value),
        most.part,
        tape.print(most.value - least.value)
    ));
    let rows: Vec<Vec<String>> = reveals
        .chunk_by(|a, b| a.step == b.step)
        .map(|step| {
            let shown: Vec<String> = step
                .iter()
                .map(|reveal| format!("{} {}", reveal.part, tape.print(reveal.value)))
                .collect();
            let number = step.first().map_or(0, |reveal| reveal.step);
            vec![format!("tread {number}"), shown.join(", ")]
        })
        .collect();
    page.table(2, &[Push::Left], &rows);
}

fn write_rules(page: &mut Page, report: &Report<'_>, tape: Tape) {
    let edition = &report.chain.pack.edition;
    page.heading(&format!("Rules: {edition}"));
    let rows: Vec<Vec<String>> = rule_lines(report)
        .iter()
        .map(|line| rule_row(line, edition, tape))
        .collect();
    page.table(2, &[Push::Left, Push::Left, Push::Right, Push::Left], &rows);
}

fn rule_row(line: &RuleLine<'_>, edition: &str, tape: Tape) -> Vec<String> {
    let verdict = match line.verdict {
        Verdict::TooClose => "too close",
        verdict => verdict_words(verdict),
    };
    let side = match line.rule.sense {
        Sense::AtMost => "most",
        Sense::AtLeast => "least",
        Sense::Under => "under",
    };
    let limit = match (&line.rule.limit, line.worst) {
        (Limit::Slope(climb, run), None) => format!("{climb} in {run}"),
        (Limit::Pitch(angle), None) => angle.value.to_string(),
        // The limit of a slope as a length is that of the tread it was read on, and of a pitch that
        // of the flight.
        (Limit::Slope(..) | Limit::Pitch(_), Some((_, limit))) => tape.print(limit),
        (Limit::Length(length), _) => tape.print(length.value),
        (Limit::Count(count), _) => count.to_string(),
    };
    let clause = line
        .rule
        .clause
        .strip_prefix(edition)
        .unwrap_or(&line.rule.clause);
    vec![
        verdict.to_owned(),
        rule_words(line.rule.quantity).to_owned(),
        line.worst
            .map_or_else(String::new, |(value, _)| tape.print(value)),
        format!("{side} {limit}"),
        clause.trim_start().to_owned(),
    ]
}

/// A rule in two or three words.
fn rule_words(quantity: Quantity) -> &'static str {
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
