//! The shape of the tapes that a job keeps as notes.

use serde::Serialize;

use crate::chain::{self, Taped};
use crate::job::Note;
use crate::measure::{Angle, Length, Tape};
use crate::publish::report::Report;

/// One tape.
#[derive(Serialize)]
pub(super) struct NoteShape<'a> {
    says: &'a str,
    from: String,
    to: String,
    clear_mm: Option<f64>,
    clear: Option<String>,
    plumb_mm: Option<f64>,
    level_mm: Option<f64>,
    along_rake_mm: Option<f64>,
    angle_deg: Option<f64>,
    gone: Vec<String>,
}

/// The notes of the job, in its order.
pub(super) fn notes<'a>(report: &Report<'a>) -> Vec<NoteShape<'a>> {
    let told = chain::notes(report.chain, &report.job.notes).into_iter();
    told.map(|(note, taped)| shape(note, taped, report.job.tape))
        .collect()
}

fn shape(note: &Note, taped: Taped, tape: Tape) -> NoteShape<'_> {
    let span = taped.span;
    NoteShape {
        says: &note.says,
        from: taped
            .from
            .map_or_else(|| note.from.part.clone(), |hook| hook.says),
        to: taped
            .to
            .map_or_else(|| note.to.part.clone(), |hook| hook.says),
        clear_mm: span.map(|span| span.clear.as_mm()),
        clear: span.map(|span| tape.print(span.clear)),
        plumb_mm: span.map(|span| span.plumb.as_mm()),
        level_mm: span.map(|span| span.level.as_mm()),
        along_rake_mm: span.map(|span| span.along_rake).map(Length::as_mm),
        angle_deg: span.and_then(|span| span.angle).map(Angle::as_degrees),
        gone: taped.gone,
    }
}
