//! Turns the text of a job file into a [`Job`], or into as many faults as can be told at a time.
//!
//! `serde` stops at its first fault. To go on, the fault is mended in a copy of the text by
//! something neutral and the copy is read again, until it reads or the fault is one that nothing
//! neutral can stand for. Only the faults are kept; a mended job is never handed out.

mod explain;
mod mend;

use ron::extensions::Extensions;

use super::diagnostic::{Diagnostic, Faults};
use super::lines::Lines;
use super::spans::{Body, Spans, SyntaxFault};
use super::{FORMAT, Job};
use crate::measure::{Unit, with_default_unit};

/// No more faults than this are told at a time.
pub(super) const MOST_FAULTS: usize = 20;
/// A refused text is read no more often than this: two or three times for each fault.
const MOST_ATTEMPTS: usize = 4 * MOST_FAULTS;

/// Reads a text.
pub(super) fn read(text: &str, name: &str) -> Result<(Job, Spans), Faults> {
    let faults = |diagnostics| Faults {
        name: name.to_owned(),
        text: text.to_owned(),
        diagnostics,
    };
    let spans = Spans::index(text).map_err(|fault| faults(vec![of_syntax(text, &fault)]))?;
    if let Some(fault) = wrong_format(text, &spans) {
        return Err(faults(vec![fault]));
    }
    let units = units_of(text, &spans);
    match with_default_unit(units, || attempt(text)) {
        Ok(job) => Ok((job, spans)),
        Err(first) => Err(faults(all_faults(text, &spans, first, units))),
    }
}

/// Why `ron` refused a text.
pub(super) struct Refusal {
    /// The path that `serde_path_to_error` gives.
    path: String,
    code: ron::Error,
    /// Line and column, in characters, where `ron` stood.
    start: (usize, usize),
}

fn attempt(text: &str) -> Result<Job, Refusal> {
    let refusal = |error: ron::error::SpannedError, path| Refusal {
        path,
        code: error.code,
        start: (error.span.start.line, error.span.start.col),
    };
    // A value that may be absent is written as it is; `Some(...)` is read too.
    let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
    let mut reader = ron::Deserializer::from_str_with_options(without_mark(text), &options)
        .map_err(|error| refusal(error, String::new()))?;
    let job: Job = serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        let path = error.path().to_string();
        refusal(reader.span_error(error.into_inner()), path)
    })?;
    reader
        .end()
        .map_err(|code| refusal(reader.span_error(code), String::new()))?;
    Ok(job)
}

/// The text without a byte order mark, which `ron` does not know. Columns of the first line move
/// by one character, but a job's first line is a bracket.
fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{FEFF}').unwrap_or(text)
}

fn of_syntax(text: &str, fault: &SyntaxFault) -> Diagnostic {
    let lines = Lines::of(text);
    let told = Diagnostic::at(
        text,
        &lines,
        fault.span.range(),
        &fault.problem,
        &fault.help,
    );
    match fault.beside {
        Some((span, says)) => told.beside(text, &lines, span.range(), says),
        None => told,
    }
}

/// A fault where the file says that it has another shape than the one this program knows.
fn wrong_format(text: &str, spans: &Spans) -> Option<Diagnostic> {
    let node = spans.node(text, "format")?;
    let read = text.get(node.span.range())?;
    let format: u64 = read.parse().ok()?;
    if format == u64::from(FORMAT) {
        return None;
    }
    let help = if format > u64::from(FORMAT) {
        format!("this program reads format {FORMAT}; a later one wrote this file, use that")
    } else {
        format!("this program reads format {FORMAT}; write `format: {FORMAT}`")
    };
    let lines = Lines::of(text);
    let problem = format!("format {format} is not known");
    Some(Diagnostic::at(text, &lines, node.span.range(), problem, help).with_path("format"))
}

/// The unit of bare numbers. What is no unit is refused later, with all else.
fn units_of(text: &str, spans: &Spans) -> Unit {
    let node = spans.node(text, "units");
    match node.and_then(|node| text.get(node.span.range())) {
        Some("Millimetres") => Unit::Millimetres,
        _ => Unit::Inches,
    }
}

fn all_faults(text: &str, spans: &Spans, first: Refusal, units: Unit) -> Vec<Diagnostic> {
    let original = explain::Original {
        text,
        lines: Lines::of(text),
        spans,
    };
    let mut copy = mend::Copy::of(text, spans.clone());
    let mut refusal = first;
    let mut told: Vec<Diagnostic> = Vec::new();
    // What stands for a refused value may be refused in its turn, so the attempts are counted too.
    for _ in 0..MOST_ATTEMPTS {
        if told.len() >= MOST_FAULTS {
            break;
        }
        let place = explain::place(&copy, &refusal);
        let fault = explain::tell(&original, &copy, &refusal, &place, units);
        // A mended place that is refused again has been told already.
        if !told.iter().any(|former| former.bytes == fault.bytes) {
            told.push(fault);
        }
        let mended = mend::mend(&mut copy, &refusal, &place);
        if !mended {
            break;
        }
        match with_default_unit(units, || attempt(copy.text())) {
            Ok(_) => break,
            Err(next) => refusal = next,
        }
    }
    told.sort_by_key(|fault| fault.bytes.start);
    told
}

/// True for a number that is not whole.
fn is_fractional(text: &str, body: &Body) -> bool {
    matches!(body, Body::Number) && text.contains(['.', 'e', 'E'])
}
