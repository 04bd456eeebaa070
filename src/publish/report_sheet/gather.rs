//! From a report to what stands on the sheet.

use super::Options;
use super::cards::card;
use super::content::{Bar, Cell, Grid, ReportSheet, Strip, Title};
use crate::inspect::{Opening, Verdict};
use crate::measure::{Length, Tape};
use crate::publish::drawing::{Drawing, Flagged, RunViews};
use crate::publish::grid::head;
use crate::publish::page::answered::decided;
use crate::publish::pdf::Push;
use crate::publish::words::{OF_BALLS, headline, held_against, opening_verdict, sentence};
use crate::publish::{
    Report, RuleLine, cautions, notes_told, rule_asks, rule_clause, rule_found, rule_lines,
    rule_spare, rule_with, to_measure, verdict_words,
};
use crate::rules::Pack;
use crate::setout::Reveal;

/// The room for elevation and plan of a flight, and of a level run, mm on the paper.
const WHOLE: (f64, f64) = (186.0, 197.0);
const LEVEL: (f64, f64) = (186.0, 112.0);
/// Runs that are drawn; those with troubles come first.
const DRAWN: usize = 24;
/// Openings that are listed one by one, the nearest to their limits first.
const OPENINGS: usize = 12;

pub(super) fn gather(report: &Report<'_>, options: Options) -> ReportSheet {
    ReportSheet {
        drawings: drawings(report),
        ..words(report, options, true)
    }
}

/// All but the drawings of the runs; close-ups of the troubles where they are wanted.
pub(super) fn words(report: &Report<'_>, options: Options, closeups: bool) -> ReportSheet {
    let pack = &report.chain.pack;
    let lines = rule_lines(report);
    let numbered = report.troubles.iter().enumerate();
    let cards = numbered.map(|(place, told)| card(report, place + 1, told, closeups));
    let (let_stand, troubles) = cards.partition(|card| !card.stands.is_empty());
    ReportSheet {
        title: Title {
            job: named(&report.job.name),
            pack: held_against(pack),
            edition: pack.edition.clone(),
            date: options.date,
            program: format!("Rakewell {}", env!("CARGO_PKG_VERSION")),
        },
        verdict: headline(report, options.milder),
        pictures: options
            .pictures
            .into_iter()
            .filter(|picture| picture.shape().is_some())
            .collect(),
        drawings: Vec::new(),
        troubles,
        let_stand,
        openings: openings(report),
        reveals: reveals(report),
        rules: rules(report, &lines),
        not_shown: not_shown(&lines),
        not_read: of_rules(&lines, to_measure),
        not_asked: of_rules(&lines, |line| line.not_asked.clone()),
        read_with: of_rules(&lines, |line| {
            line.not_asked.is_none().then(|| rule_with(line)).flatten()
        }),
        measured: notes_told(report),
        decided: decided(report.job),
        // What the pack says of itself stands with what the sheet is worth.
        cautions: cautions(report)
            .into_iter()
            .filter(|caution| *caution != pack.note)
            .collect(),
        worth: vec![
            sentence(&format!("The rules are for: {}", pack.applies)),
            pack.note.clone(),
            CERTIFIES_NOTHING.to_owned(),
        ],
        signers: vec!["Carpenter", "Inspector"],
    }
}

/// Nobody is certified by a sheet.
const CERTIFIES_NOTHING: &str = "This sheet reports what one job file says of a stair against one rule pack. It certifies \
     nothing and approves nothing. Whoever signs says that he has read it, and decides for himself.";

fn named(name: &str) -> String {
    if name.trim().is_empty() {
        "(no name)".to_owned()
    } else {
        name.to_owned()
    }
}

/// Elevation and plan of every run with the flags of its troubles.
fn drawings(report: &Report<'_>) -> Vec<Drawing> {
    let flags = |run: usize| -> Vec<Flagged> {
        let numbered = report.troubles.iter().enumerate();
        numbered
            .filter(|(_, told)| told.finding.run == run)
            .map(|(place, told)| Flagged {
                number: place + 1,
                severity: told.finding.severity,
                at: told.finding.at,
            })
            .collect()
    };
    let mut runs: Vec<usize> = (0..report.chain.runs.len()).collect();
    if runs.len() > DRAWN {
        runs.sort_by_key(|run| flags(*run).is_empty());
        runs.truncate(DRAWN);
        runs.sort_unstable();
    }
    let views = runs
        .into_iter()
        .filter_map(|run| Some((run, RunViews::of(report.chain, run)?)));
    views
        .flat_map(|(run, views)| {
            let level = report.chain.runs[run].run.job.level.is_some();
            let room = if level { LEVEL } else { WHOLE };
            views.both(room, &flags(run), &balls(report, run))
        })
        .collect()
}

/// The balls of the troubles on a run.
fn balls(report: &Report<'_>, run: usize) -> Vec<(nalgebra::Point3<f64>, Length)> {
    let told = report.troubles.iter().map(|told| told.finding);
    told.filter(|finding| finding.run == run && OF_BALLS.contains(&finding.key.kind))
        .map(|finding| (finding.at, finding.lower))
        .collect()
}

/// The openings, nearest to their own limits first.
fn openings(report: &Report<'_>) -> Option<Grid> {
    let tape = report.job.tape;
    let mut widest: Vec<&Opening> = report.chain.inspection.openings.iter().collect();
    if widest.is_empty() {
        return None;
    }
    widest.sort_by(|a, b| (b.ball - b.limit).total_cmp(&(a.ball - a.limit)));
    let left_out = widest.len().saturating_sub(OPENINGS);
    let aside = match left_out {
        0 => "those nearest to their limits first".to_owned(),
        count => format!("the nearest to their limits; {count} with more room left out"),
    };
    Some(Grid {
        called: "Openings".to_owned(),
        aside,
        heads: vec![
            head("Answer", Push::Left, 20.0),
            head("Between", Push::Left, 40.0),
            head("Ball that passes", Push::Right, 20.0),
            head("Must stay under", Push::Right, 20.0),
        ],
        rows: widest
            .into_iter()
            .take(OPENINGS)
            .map(|opening| opening_row(report, opening, tape))
            .collect(),
    })
}

fn opening_row(report: &Report<'_>, opening: &Opening, tape: Tape) -> Vec<Cell> {
    let verdict = opening_verdict(&report.chain.inspection, opening);
    vec![
        Cell::verdict(verdict, verdict_words(verdict)),
        opening.between.join(" and ").into(),
        tape.print(opening.ball).into(),
        tape.print(opening.limit).into(),
    ]
}

/// A strip for every run whose treads end beside balusters.
fn reveals(report: &Report<'_>) -> Vec<Strip> {
    let several = report.chain.runs.len() > 1;
    let on_treads = report
        .chain
        .runs
        .iter()
        .filter(|run| run.setout.on_treads());
    on_treads
        .filter_map(|run| {
            let called = if several {
                format!("Reveals at the tread ends of run {}", run.run.name)
            } else {
                "Reveals at the tread ends".to_owned()
            };
            strip(called, &run.setout.reveals, report.job.tape)
        })
        .collect()
}

fn strip(called: String, reveals: &[Reveal], tape: Tape) -> Option<Strip> {
    let by_value = |a: &&Reveal, b: &&Reveal| a.value.total_cmp(&b.value);
    let least = reveals.iter().min_by(by_value)?;
    // Of equals the first, as the sentence about them has it.
    let most = reveals.iter().rev().max_by(by_value)?;
    let whole = most.value.as_mm().max(f64::MIN_POSITIVE);
    Some(Strip {
        called,
        says: format!(
            "From {} at {} to {} at {}: they wander by {}.",
            tape.print(least.value),
            least.part,
            tape.print(most.value),
            most.part,
            tape.print(most.value - least.value)
        ),
        bars: reveals
            .iter()
            .map(|reveal| Bar {
                tread: reveal.step,
                part: reveal.part.clone(),
                share: (reveal.value.as_mm() / whole).clamp(0.0, 1.0),
                text: tape.print(reveal.value),
                end: reveal.part == least.part || reveal.part == most.part,
            })
            .collect(),
    })
}

/// Every rule of the pack.
fn rules(report: &Report<'_>, lines: &[RuleLine<'_>]) -> Grid {
    let tape = report.job.tape;
    let pack = &report.chain.pack;
    let aside = match &pack.local {
        Some(local) => format!("{}, amended by {local}", pack.edition),
        None => pack.edition.clone(),
    };
    Grid {
        called: "Rules".to_owned(),
        aside,
        heads: vec![
            head("Answer", Push::Left, 17.0),
            head("Rule", Push::Left, 44.0),
            head("Asked", Push::Right, 15.0),
            head("Found", Push::Right, 12.0),
            head("Margin", Push::Right, 14.0),
            head("Clause", Push::Left, 19.0),
        ],
        rows: lines.iter().map(|line| rule(line, pack, tape)).collect(),
    }
}

fn rule(line: &RuleLine<'_>, pack: &Pack, tape: Tape) -> Vec<Cell> {
    let answer = match line.not_asked {
        Some(_) => "not asked".into(),
        None => Cell::verdict(line.verdict, verdict_words(line.verdict)),
    };
    let clause = rule_clause(line, &pack.edition);
    let clause = if line.amended {
        format!("{clause}, amended")
    } else {
        clause.to_owned()
    };
    vec![
        answer,
        line.rule.says.as_str().into(),
        rule_asks(line, tape).into(),
        rule_found(line, tape).into(),
        rule_spare(line, tape).unwrap_or_default().into(),
        clause.into(),
    ]
}

/// What nothing in the job answers, and what would.
fn not_shown(lines: &[RuleLine<'_>]) -> Vec<String> {
    let open = lines
        .iter()
        .filter(|line| line.verdict == Verdict::NotShown && line.not_asked.is_none());
    open.map(|line| {
        let asks = format!("{}: {}", line.rule.clause, line.rule.says);
        match line.measure {
            Some(measure) => format!("{asks} To show it: {measure}."),
            None => asks,
        }
    })
    .collect()
}

/// Words that belong to rules: those with the same words together.
fn of_rules(lines: &[RuleLine<'_>], says: impl Fn(&RuleLine<'_>) -> Option<String>) -> Vec<String> {
    let mut told: Vec<(String, Vec<&str>)> = Vec::new();
    for line in lines {
        let Some(says) = says(line) else { continue };
        let clause = line.rule.clause.as_str();
        match told.iter_mut().find(|one| one.0 == says) {
            Some((_, clauses)) if clauses.contains(&clause) => {}
            Some((_, clauses)) => clauses.push(clause),
            None => told.push((says, vec![clause])),
        }
    }
    told.into_iter()
        .map(|(says, clauses)| sentence(&format!("{}: {says}", clauses.join(", "))))
        .collect()
}
