//! The shape of `compare --json`.

use serde::Serialize;

use super::{FORMAT, program, text_of};
use crate::chain::Chain;
use crate::chain::compare::{Row, Value, brought_and_cleared, table};
use crate::inspect::Finding;
use crate::job::{Diagnostic, Document};
use crate::measure::Tape;
use crate::publish::compared::{Way, figure_word, figure_words};
use crate::publish::{severity_word, trouble_id};

/// The whole answer.
#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    rows: Vec<RowShape<'a>>,
    alternatives: Vec<WayShape<'a>>,
}

#[derive(Serialize)]
struct RowShape<'a> {
    what: &'static str,
    part: &'a str,
    words: String,
    unit: &'static str,
    values: Vec<Option<f64>>,
    shown: Vec<String>,
}

#[derive(Serialize)]
struct WayShape<'a> {
    name: &'a str,
    note: &'a str,
    line: usize,
    changes: Vec<ChangeShape<'a>>,
    cannot: Vec<CannotShape<'a>>,
    brings: Vec<TroubleShape<'a>>,
    clears: Vec<TroubleShape<'a>>,
}

#[derive(Serialize)]
struct ChangeShape<'a> {
    field: &'a str,
    is: Option<&'a str>,
    line: usize,
}

#[derive(Serialize)]
struct CannotShape<'a> {
    field: &'a str,
    line: usize,
    problem: &'a str,
    help: &'a str,
}

#[derive(Serialize)]
struct TroubleShape<'a> {
    id: String,
    severity: &'static str,
    says: &'a str,
}

/// Writes the alternatives of a job beside it as JSON.
#[must_use]
pub fn compare(document: &Document, base: &Chain, ways: &[Way<'_>]) -> String {
    let job = document.job();
    let chains: Vec<Option<&Chain>> = std::iter::once(Some(base))
        .chain(ways.iter().map(|way| way.chain.ok()))
        .collect();
    let rows = table(&chains);
    let ways = ways.iter().enumerate();
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        rows: rows.iter().map(|row| shape(row, job.tape)).collect(),
        alternatives: ways.map(|(at, one)| way(document, base, at, one)).collect(),
    })
}

fn shape(row: &Row, tape: Tape) -> RowShape<'_> {
    let number = |value: &Value| match value {
        Value::Count(count) => *count as f64,
        Value::Length(length) => length.as_mm(),
    };
    let shown = |value: &Value| match value {
        Value::Count(count) => count.to_string(),
        Value::Length(length) => tape.print(*length),
    };
    let lengths = row.values.iter().flatten();
    let unit = match lengths.last() {
        Some(Value::Count(_)) => "count",
        _ => "mm",
    };
    RowShape {
        what: figure_word(row.what),
        part: &row.part,
        words: figure_words(row.what, &row.part),
        unit,
        values: row
            .values
            .iter()
            .map(|one| one.as_ref().map(number))
            .collect(),
        shown: row
            .values
            .iter()
            .map(|one| one.as_ref().map_or_else(String::new, shown))
            .collect(),
    }
}

fn way<'a>(document: &'a Document, base: &'a Chain, at: usize, way: &Way<'a>) -> WayShape<'a> {
    let line = |path: &str| document.line_of(path).map_or(0, |place| place.0);
    let path = format!("alternatives[{at}]");
    let (brought, cleared) = match way.chain {
        Ok(chain) => brought_and_cleared(base, chain),
        Err(_) => (Vec::new(), Vec::new()),
    };
    let changes = way.alternative.changes.iter().enumerate();
    WayShape {
        name: &way.alternative.name,
        note: &way.alternative.note,
        line: line(&path),
        changes: changes
            .map(|(at, change)| ChangeShape {
                field: &change.field,
                is: (!change.remove).then(|| change.is.text()),
                line: line(&format!("{path}.changes[{at}]")),
            })
            .collect(),
        cannot: match way.chain {
            Ok(_) => Vec::new(),
            Err(faults) => faults.iter().map(cannot).collect(),
        },
        brings: brought.into_iter().map(trouble).collect(),
        clears: cleared.into_iter().map(trouble).collect(),
    }
}

fn cannot(fault: &Diagnostic) -> CannotShape<'_> {
    CannotShape {
        field: &fault.path,
        line: fault.line,
        problem: &fault.problem,
        help: &fault.help,
    }
}

fn trouble(finding: &Finding) -> TroubleShape<'_> {
    TroubleShape {
        id: trouble_id(finding),
        severity: severity_word(finding.severity),
        says: &finding.says,
    }
}
