//! `inspect`: the troubles of a job, worst first, and how it stands against its rules.

use std::sync::atomic::{AtomicUsize, Ordering};

use anstyle::{AnsiColor, Style};

use super::args::Inspect;
use super::page::{Page, Push};
use super::source::{self, Source};
use super::{Outcome, talk};
use crate::chain::Chain;
use crate::explain::{Explanation, explain};
use crate::inspect::{Finding, Inspection, Opening, Severity, Verdict};
use crate::job::Job;
use crate::measure::{Length, Tape};
use crate::publish::{Report, RuleLine, Told, cautions, json, rule_lines, verdict_words};
use crate::rules::Sense;
use crate::setout::Reveal;

pub(super) fn run(inspect: &Inspect) -> Outcome {
    match source::load(inspect.job.as_deref()) {
        Ok(source) => tell(&source, inspect.at_least.severity(), inspect.json),
        Err(outcome) => outcome,
    }
}

/// Inspects a job and prints what was found.
pub(super) fn tell(source: &Source, least: Severity, as_json: bool) -> Outcome {
    let (pack, chain) = match (source::pack(source), source::chain(source)) {
        (Ok(pack), Ok(chain)) => (pack, chain),
        (Err(outcome), _) | (_, Err(outcome)) => return outcome,
    };
    let (asked, milder): (Vec<&Finding>, Vec<&Finding>) = chain
        .inspection
        .troubles()
        .into_iter()
        .partition(|finding| finding.severity >= least);
    let troubles = explained(source.job(), &chain, &asked);
    let report = Report {
        job: source.job(),
        pack: &pack,
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
fn explained<'a>(job: &Job, chain: &Chain, findings: &[&'a Finding]) -> Vec<Told<'a>> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done: Vec<(usize, Explanation)> = Vec::new();
        while let Some(finding) = findings.get(next.fetch_add(1, Ordering::Relaxed)) {
            let place = findings.iter().position(|f| std::ptr::eq(*f, *finding));
            done.extend(place.map(|place| (place, explain(job, chain, &finding.key))));
        }
        done
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
    page.line(&report.pack.title);
    page.space();
    page.wrapped("", &headline(report.troubles, milder));
    write_troubles(&mut page, report.troubles, tape);
    write_openings(&mut page, &report.chain.inspection, tape);
    write_reveals(&mut page, &report.chain.setout.reveals, tape);
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
    page.wrapped(&format!("{number:>3}  "), &finding.says);
    page.wrapped("     ", &against(finding, tape));
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

/// The value against its limit, and whose limit it is.
fn against(finding: &Finding, tape: Tape) -> String {
    let value = value_of(finding, tape);
    let limit = tape.print(finding.limit);
    let asks = match finding.sense {
        Sense::AtMost => "at most",
        Sense::AtLeast => "at least",
        Sense::Under => "under",
    };
    let verdict = match finding.verdict {
        Verdict::Broken => match (finding.sense, finding.value() - finding.limit) {
            (Sense::Under, over) if tape.round(over).as_mm().abs() < tape.mark().as_mm() => {
                "broken".to_owned()
            }
            (_, over) => format!("broken by {}", tape.print(over.abs())),
        },
        verdict => verdict_words(verdict).to_owned(),
    };
    format!("{value}, {asks} {limit} ({}): {verdict}", finding.source)
}

/// The value on the tape; both bounds where a tape could tell them apart.
fn value_of(finding: &Finding, tape: Tape) -> String {
    if finding.upper - finding.lower > tape.mark() / 2.0 {
        let (low, high) = (tape.print(finding.lower), tape.print(finding.upper));
        return format!("between {low} and {high}");
    }
    tape.print(finding.value())
}

fn write_because(page: &mut Page, explanation: &Explanation, tape: Tape) {
    // A share that the tape cannot show is not worth a line.
    let shows = |share: Length| share.abs() > tape.mark() / 8.0;
    let mut rows: Vec<Vec<String>> = explanation
        .because
        .iter()
        .filter(|because| shows(because.share))
        .map(|because| {
            vec![
                signed(because.share, tape),
                format!("{}, made true alone", because.what),
            ]
        })
        .collect();
    if !rows.is_empty() && shows(explanation.remainder) {
        let rest = "not explained by these one at a time".to_owned();
        rows.push(vec![signed(explanation.remainder, tape), rest]);
    }
    for (place, row) in rows.iter_mut().enumerate() {
        row.insert(0, if place == 0 { "because" } else { "" }.to_owned());
    }
    page.table(5, &[Push::Left, Push::Right], &rows);
    if let Some(value) = explanation.when_true.filter(|_| !rows.is_empty()) {
        page.line(&format!(
            "              on the stair that was meant: {}",
            tape.print(value)
        ));
    }
}

fn signed(length: Length, tape: Tape) -> String {
    let printed = tape.print(length);
    if printed.starts_with('-') {
        printed
    } else {
        format!("+{printed}")
    }
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
            vec![format!("tread {number}"), shown.join("   ")]
        })
        .collect();
    page.table(2, &[Push::Left], &rows);
}

fn write_rules(page: &mut Page, report: &Report<'_>, tape: Tape) {
    page.heading("Rules");
    let rows: Vec<Vec<String>> = rule_lines(report.pack, &report.chain.inspection.findings)
        .iter()
        .map(|line| rule_row(line, tape))
        .collect();
    page.table(2, &[Push::Left], &rows);
}

fn rule_row(line: &RuleLine<'_>, tape: Tape) -> Vec<String> {
    let limit = match (line.worst, line.rule.length()) {
        (Some((value, limit)), _) => format!(
            " Worst {} against {}.",
            tape.print(value),
            tape.print(limit)
        ),
        (None, Some(limit)) => format!(" Limit {}.", tape.print(limit)),
        (None, None) => String::new(),
    };
    vec![
        verdict_words(line.verdict).to_owned(),
        format!("{}{limit} {}", line.rule.says, line.rule.clause),
    ]
}
