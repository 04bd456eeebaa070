//! `compare`: the job as it stands and its alternatives, side by side.

use super::args::Compare;
use super::page::{Page, Push};
use super::source::{self, Source};
use super::{Outcome, talk};
use crate::chain::compare::{Row, Value, brought_and_cleared, table};
use crate::chain::{self, Chain, ChainError};
use crate::inspect::Finding;
use crate::job::{Faults, Job};
use crate::measure::Tape;
use crate::publish::compared::{Way, figure_words};
use crate::publish::{held_against, json};

/// The job as it stands, in the head of the table.
const AS_IT_STANDS: &str = "as it stands";
/// Columns of alternatives beside each other; more are told in further tables.
const ACROSS: usize = 3;

pub(super) fn run(command: &Compare) -> Outcome {
    let source = match source::load(command.job.as_deref()) {
        Ok(source) => source.on_tape(command.tape.map(Tape::from)),
        Err(outcome) => return outcome,
    };
    let base = match source::chain(&source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let tried = match tried(&source) {
        Ok(tried) => tried,
        Err(faults) => return source::say_faults(&faults),
    };
    let ways: Vec<Way<'_>> = source
        .job()
        .alternatives
        .iter()
        .zip(&tried)
        .map(|(alternative, tried)| Way {
            alternative,
            chain: tried.as_ref().map_err(|faults| &faults.diagnostics[..]),
        })
        .collect();
    let text = if command.json {
        json::compare(source.document(), &base, &ways)
    } else {
        written(source.job(), &base, &ways)
    };
    // An alternative that cannot be built is an answer, and one to look at.
    let outcome = match ways.iter().all(|way| way.chain.is_ok()) {
        true => Outcome::Clean,
        false => Outcome::Trouble,
    };
    talk::answer(&text, outcome)
}

/// Runs the chain on every alternative; what only the geometry refuses is kept beside the others.
fn tried(source: &Source) -> Result<Vec<Result<Chain, Faults>>, Faults> {
    source
        .document()
        .alternatives()
        .map(|name| {
            let document = source.document().alternative(name)?;
            let refused =
                |error: ChainError| document.fault(&error.path, error.problem, error.help);
            Ok(chain::run(document.job()).map_err(refused))
        })
        .collect()
}

fn written(job: &Job, base: &Chain, ways: &[Way<'_>]) -> String {
    let tape = job.tape;
    let mut page = Page::default();
    page.heading(&job.name);
    page.line(&held_against(&base.pack));
    if ways.is_empty() {
        page.space();
        page.wrapped("", NONE);
    }
    page.space();
    let letters: Vec<String> = ('A'..='Z').map(String::from).take(ways.len()).collect();
    let names: Vec<Vec<String>> = letters
        .iter()
        .zip(ways)
        .map(|(letter, way)| vec![letter.clone(), way.alternative.name.clone()])
        .collect();
    page.table(2, &[Push::Left], &names);
    let chains: Vec<Option<&Chain>> = std::iter::once(Some(base))
        .chain(ways.iter().map(|way| way.chain.ok()))
        .collect();
    let rows = table(&chains);
    let blocks = ways.len().div_ceil(ACROSS).max(1);
    for block in 0..blocks {
        page.space();
        let first = 1 + block * ACROSS;
        let last = (first + ACROSS).min(1 + ways.len());
        write_block(&mut page, &rows, &letters, first..last, tape);
    }
    for (letter, way) in letters.iter().zip(ways) {
        write_way(&mut page, letter, way, base);
    }
    page.text()
}

const NONE: &str = "No alternatives are written in this job. One is written as what differs: \
                    alternatives: [(name: \"Lower rail\", changes: [(field: \"design.rail.height\", \
                    is: \"35\")])]";

/// The job as it stands beside some of its alternatives.
fn write_block(
    page: &mut Page,
    rows: &[Row],
    letters: &[String],
    columns: std::ops::Range<usize>,
    tape: Tape,
) {
    let shown = |value: &Option<Value>| match value {
        None => "-".to_owned(),
        Some(Value::Count(count)) => count.to_string(),
        Some(Value::Length(length)) => tape.print(*length),
    };
    let mut lines = vec![vec![String::new(), AS_IT_STANDS.to_owned()]];
    lines[0].extend(columns.clone().map(|column| letters[column - 1].clone()));
    lines.extend(rows.iter().map(|row| {
        let own = std::iter::once(0).chain(columns.clone());
        let values = own.map(|column| shown(&row.values[column]));
        let words = figure_words(row.what, &row.part);
        std::iter::once(words).chain(values).collect()
    }));
    let mut pushes = vec![Push::Right; columns.len() + 2];
    pushes[0] = Push::Left;
    page.table(2, &pushes, &lines);
}

fn write_way(page: &mut Page, letter: &str, way: &Way<'_>, base: &Chain) {
    page.heading(&format!("{letter}  {}", way.alternative.name));
    if !way.alternative.note.is_empty() {
        page.wrapped("  ", &way.alternative.note);
    }
    let chain = match way.chain {
        Ok(chain) => chain,
        Err(faults) => {
            for fault in faults {
                let says = format!("line {}: {}; {}", fault.line, fault.problem, fault.help);
                page.wrapped("  cannot be set out  ", &says);
            }
            return;
        }
    };
    let (brought, cleared) = brought_and_cleared(base, chain);
    if brought.is_empty() && cleared.is_empty() {
        page.line("  brings no trouble and clears none");
    }
    write_troubles(page, "  brings  ", &brought);
    write_troubles(page, "  clears  ", &cleared);
}

fn write_troubles(page: &mut Page, lead: &str, troubles: &[&Finding]) {
    let blank = " ".repeat(lead.len());
    for (at, trouble) in troubles.iter().enumerate() {
        let lead = if at == 0 { lead } else { &blank };
        let word = crate::publish::severity_word(trouble.severity);
        page.wrapped(lead, &format!("{word}: {}", trouble.says));
    }
}
