//! `inspect`: the troubles of a job, worst first, and how it stands against its rules.

use anstyle::{AnsiColor, Style};

use super::args::Inspect;
use super::page::{Page, Push};
use super::report_sheet::{self, Wanted};
use super::rules;
use super::source::{self, Source};
use super::{Outcome, drifts, stand, talk, why, wood};
use crate::chain;
use crate::explain;
use crate::inspect::{Finding, Inspection, Opening, Severity};
use crate::measure::Tape;
use crate::publish::page::answered::decided;
use crate::publish::{
    Report, Told, against, cautions, headline, held_against, json, notes_told, opening_verdict,
    sentence, severity_means, severity_sign, slips, stands_words, verdict_sign,
};

pub(super) fn run(inspect: &Inspect) -> Outcome {
    let wanted = match Wanted::of(inspect) {
        Ok(wanted) => wanted,
        Err(outcome) => return outcome,
    };
    let source = match source::load_way(inspect.job.as_deref(), inspect.alternative.as_deref()) {
        Ok(source) => source.on_tape(inspect.tape.map(Tape::from)),
        Err(outcome) => return outcome,
    };
    if let Some(id) = &inspect.why {
        return why::tell(&source, id, inspect.json);
    }
    let Some(path) = &inspect.job else {
        return told(&source, inspect, wanted.as_ref());
    };
    match (&inspect.apply, &inspect.let_stand, &inspect.because) {
        (Some(id), ..) => why::apply(&source, path, id),
        (_, Some(id), Some(because)) => stand::write(&source, path, id, because),
        _ => told(&source, inspect, wanted.as_ref()),
    }
}

fn told(source: &Source, inspect: &Inspect, wanted: Option<&Wanted>) -> Outcome {
    let counts = Counts {
        least: inspect.at_least.severity(),
        let_stand: !inspect.but_let_stand,
    };
    tell(source, counts, inspect.json, wanted)
}

/// What is told, and what counts for the exit status.
#[derive(Clone, Copy, Debug)]
pub(super) struct Counts {
    /// Troubles at least this bad are told, and count.
    pub(super) least: Severity,
    /// Those that are let stand count too.
    pub(super) let_stand: bool,
}

impl Counts {
    /// Everything.
    pub(super) const ALL: Self = Self {
        least: Severity::Remark,
        let_stand: true,
    };
}

/// Inspects a job, writes the sheet that may be wanted, and prints what was found.
pub(super) fn tell(
    source: &Source,
    counts: Counts,
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
        .partition(|finding| finding.severity >= counts.least);
    let troubles = Told::each(&asked, explain::worst(&chain, &asked));
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
    let counted = |finding: &&Finding| counts.let_stand || report.let_stand(finding).is_none();
    let outcome = if asked.iter().any(counted) {
        Outcome::Trouble
    } else {
        Outcome::Clean
    };
    talk::answer(&text, outcome)
}

fn written(report: &Report<'_>, milder: usize) -> String {
    let tape = report.job.tape;
    let mut page = Page::default();
    page.heading(&report.job.name);
    page.line(&held_against(&report.chain.pack));
    page.space();
    page.wrapped("", &headline(report, milder));
    match slips(report).len() {
        0 => {}
        1 => page.wrapped("", ONE_SLIP),
        many => page.wrapped("", &format!("{many} {MANY_SLIPS}")),
    }
    write_troubles(&mut page, report);
    if report.troubles.len() > explain::EXPLAINED {
        let says = format!(
            "Only the first {} are explained; `--why NUMBER` explains any other.",
            explain::EXPLAINED
        );
        page.space();
        page.wrapped("  ", &says);
    }
    write_next(&mut page, report);
    write_openings(&mut page, &report.chain.inspection, tape);
    drifts::write(&mut page, &report.chain.inspection.drifts, tape);
    wood::write(&mut page, report.chain, &chain::seasons(report.chain), tape);
    rules::write(&mut page, report, tape);
    let measured = notes_told(report);
    if !measured.is_empty() {
        page.heading("Measured");
    }
    for says in measured {
        page.wrapped("  - ", &says);
    }
    let answered = decided(report.job);
    if !answered.is_empty() {
        page.heading("What the client decided");
    }
    for says in answered {
        page.wrapped("  - ", &says);
    }
    page.heading("Mind");
    for caution in cautions(report) {
        page.wrapped("  - ", &caution);
    }
    page.text()
}

/// Said first of all where a reading cannot be right: what follows from it may be no trouble.
const ONE_SLIP: &str = "First: one reading may be a slip, and what follows from it may not be there. \
                        `rakewell survey` names it; so does Mind, at the end.";
const MANY_SLIPS: &str = "readings may be slips, and what follows from them may not be there: see \
                          `rakewell survey` first. Mind, at the end, names them too.";

/// What can be done about a trouble, by the number that it has here.
fn write_next(page: &mut Page, report: &Report<'_>) {
    let cured = report.troubles.iter().position(|told| {
        report.let_stand(told.finding).is_none() && !told.explanation.cures.is_empty()
    });
    let number = cured.unwrap_or(0) + 1;
    if report.troubles.is_empty() {
        return;
    }
    let cure = cured.map(|_| {
        format!("--apply {number} writes its first cure into the job, and tells how to undo it")
    });
    let stands = format!("--let-stand {number} --because \"...\" keeps it, with the reason");
    let says = [
        Some(format!("By number: --why {number} tells all of its causes")),
        cure,
        Some(stands),
    ];
    let says: Vec<String> = says.into_iter().flatten().collect();
    page.space();
    page.wrapped("  ", &format!("{}.", says.join("; ")));
}

/// The troubles with their numbers, those that are let stand last and under a heading of their own.
fn write_troubles(page: &mut Page, report: &Report<'_>) {
    let tape = report.job.tape;
    let numbered = || report.troubles.iter().enumerate();
    let mut severity = None;
    for (place, told) in numbered() {
        if report.let_stand(told.finding).is_some() {
            continue;
        }
        if severity == Some(told.finding.severity) {
            page.space();
        } else {
            severity = Some(told.finding.severity);
            severity_heading(page, told.finding.severity);
        }
        write_trouble(page, place + 1, told, tape);
    }
    let mut first = true;
    for (place, told) in numbered() {
        let Some(stands) = report.let_stand(told.finding) else {
            continue;
        };
        if std::mem::take(&mut first) {
            page.heading("Let stand");
        } else {
            page.space();
        }
        write_trouble(page, place + 1, told, tape);
        for says in stands_words(told.finding, &stands, tape) {
            page.wrapped("     ", &says);
        }
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
    why::write_because(page, &told.explanation, tape);
    why::write_cures(page, &told.explanation.cures, tape);
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
