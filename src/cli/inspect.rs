//! `inspect`: the troubles of a job, worst first, and how it stands against its rules.

use std::sync::atomic::{AtomicUsize, Ordering};

use anstyle::{AnsiColor, Style};

use super::args::Inspect;
use super::page::{Page, Push};
use super::report_sheet::{self, Wanted};
use super::source::{self, Source};
use super::{Outcome, drifts, talk, wood};
use crate::chain::{self, Chain};
use crate::explain::{Because, Explanation, Reasons};
use crate::inspect::{Finding, Inspection, Opening, Severity, Verdict};
use crate::measure::{Length, Tape};
use crate::publish::{
    Report, RuleLine, Told, against, cautions, headline, json, opening_verdict, rule_lines,
    sentence, severity_means, severity_sign, to_measure, verdict_sign, verdict_words,
};
use crate::rules::{Limit, Quantity, Sense};

pub(super) fn run(inspect: &Inspect) -> Outcome {
    let wanted = match Wanted::of(inspect) {
        Ok(wanted) => wanted,
        Err(outcome) => return outcome,
    };
    match source::load_way(inspect.job.as_deref(), inspect.alternative.as_deref()) {
        Ok(source) => {
            let least = inspect.at_least.severity();
            tell(&source, least, inspect.json, wanted.as_ref())
        }
        Err(outcome) => outcome,
    }
}

/// Inspects a job, writes the sheet that may be wanted, and prints what was found.
pub(super) fn tell(
    source: &Source,
    least: Severity,
    as_json: bool,
    wanted: Option<&Wanted>,
) -> Outcome {
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
    if let Some(Err(outcome)) = wanted.map(|one| report_sheet::write(one, &report, milder.len())) {
        return outcome;
    }
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
    drifts::write(&mut page, &report.chain.inspection.drifts, tape);
    wood::write(&mut page, report.chain, &chain::seasons(report.chain), tape);
    write_rules(&mut page, report, tape);
    page.heading("Mind");
    for caution in cautions(report) {
        page.wrapped("  - ", &caution);
    }
    page.text()
}

fn write_troubles(page: &mut Page, troubles: &[Told<'_>], tape: Tape) {
    let mut severity = None;
    for (place, told) in troubles.iter().enumerate() {
        if severity == Some(told.finding.severity) {
            page.space();
        } else {
            severity = Some(told.finding.severity);
            severity_heading(page, told.finding.severity);
        }
        write_trouble(page, place + 1, told, tape);
    }
}

/// The heading of a severity: its mark, its word, what it means. Colour only helps the eye. Magenta
/// and cyan lie on the side of blue that red-green blindness leaves, and differ in lightness too,
/// so that no kind of colour blindness makes one of the other, as it does of red and yellow or red
/// and green; both can be read on dark and on light.
fn severity_heading(page: &mut Page, severity: Severity) {
    let (style, word) = match severity {
        Severity::Stop => (AnsiColor::Magenta.on_default().bold(), "Stop"),
        Severity::Fix => (AnsiColor::Cyan.on_default().bold(), "Fix"),
        Severity::Remark => (Style::new().bold(), "Remark"),
    };
    let (sign, means) = (severity_sign(severity), severity_means(severity));
    page.space();
    page.line(&format!("{style}{sign} {word}{style:#}: {means}"));
}

fn write_trouble(page: &mut Page, number: usize, told: &Told<'_>, tape: Tape) {
    let finding = told.finding;
    page.wrapped(&format!("{number:>3}  "), &sentence(&finding.says));
    let sign = verdict_sign(finding.verdict);
    page.wrapped(&format!("   {sign} "), &against(finding, tape));
    write_because(page, &told.explanation, tape);
    for (place, cure) in told.explanation.cures.iter().enumerate() {
        let lead = if place == 0 {
            "     cure     "
        } else {
            "     or       "
        };
        let after = tape.print(cure.value_after);
        let breaks = match cure.breaks.len() {
            0 => String::new(),
            _ => format!("; but then: {}", cure.breaks.join("; ")),
        };
        page.wrapped(lead, &format!("{}: then {after}{breaks}", cure.what));
    }
}

/// Shares told one by one; smaller ones are summed up in a line.
const SHARES_TOLD: usize = 5;

fn write_because(page: &mut Page, explanation: &Explanation, tape: Tape) {
    // Less than half a mark the tape shows as nothing.
    let shows = |share: Length| share.abs() >= tape.mark() / 2.0;
    let shares: Vec<&Because> = explanation
        .because
        .iter()
        .filter(|b| shows(b.share))
        .collect();
    let told = &shares[..shares.len().min(SHARES_TOLD)];
    let mut rows: Vec<Vec<String>> = told
        .iter()
        .map(|because| share_row(because, tape))
        .collect();
    let Some(first) = rows.first_mut() else {
        return;
    };
    first[0] = "because".to_owned();
    page.table(5, &[Push::Left, Push::Left, Push::Right], &rows);
    let smaller = match shares.len() - told.len() {
        0 => String::new(),
        count => format!(", {count} smaller ones left out"),
    };
    let rest = match explanation.remainder {
        rest if shows(rest) => format!("; {} not explained by them", tape.print(rest)),
        _ => String::new(),
    };
    let true_value = explanation.when_true.map_or_else(String::new, |value| {
        format!("; {} on the stair that was meant", tape.print(value))
    });
    page.wrapped(
        "              ",
        &format!("(each made true alone{smaller}{rest}{true_value})"),
    );
}

fn share_row(because: &Because, tape: Tape) -> Vec<String> {
    let verb = if because.share < Length::ZERO {
        "takes off"
    } else {
        "adds"
    };
    vec![
        String::new(),
        verb.to_owned(),
        tape.print(because.share.abs()),
        because.what.clone(),
    ]
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
                verdict_sign(opening_verdict(inspection, opening)).to_owned(),
                opening.between.join(" - "),
                tape.print(opening.ball),
                format!("ball, must stay under {}", tape.print(opening.limit)),
            ]
        })
        .collect();
    page.table(2, &[Push::Left, Push::Left, Push::Right], &rows);
}

fn write_rules(page: &mut Page, report: &Report<'_>, tape: Tape) {
    let edition = &report.chain.pack.edition;
    page.heading(&format!("Rules: {edition}"));
    let lines = rule_lines(report);
    let rows: Vec<Vec<String>> = lines
        .iter()
        .map(|line| rule_row(line, edition, tape))
        .collect();
    page.table(2, &[Push::Left, Push::Left, Push::Right, Push::Left], &rows);
    for line in &lines {
        if let Some(says) = to_measure(line) {
            let lead = format!("  {}: ", rule_words(line.rule.quantity));
            page.wrapped(&lead, &says);
        }
    }
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
        (Limit::Treads(treads), _) => format!("{treads} treads"),
        (Limit::Load { force, .. }, _) => force.text.clone(),
        (Limit::Grip(_) | Limit::ByEye, _) => String::new(),
    };
    let clause = line
        .rule
        .clause
        .strip_prefix(edition)
        .unwrap_or(&line.rule.clause);
    vec![
        format!("{} {verdict}", verdict_sign(line.verdict)),
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
