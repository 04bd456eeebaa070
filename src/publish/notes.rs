//! Tapes that a job keeps as notes, in words.

use crate::chain::{self, Taped};
use crate::job::Note;
use crate::measure::{Length, Tape};

use super::Report;

/// Every note of the job, measured on the stair as found, in a sentence each.
#[must_use]
pub fn notes_told(report: &Report<'_>) -> Vec<String> {
    let told = chain::notes(report.chain, &report.job.notes).into_iter();
    told.map(|(note, taped)| note_words(note, &taped, report.job.tape))
        .collect()
}

/// What a note reads, or whose part is gone.
fn note_words(note: &Note, taped: &Taped, tape: Tape) -> String {
    let says = match note.says.trim() {
        "" => String::new(),
        says => format!("{says}: "),
    };
    let (Some(from), Some(to), Some(span)) = (&taped.from, &taped.to, taped.span) else {
        return format!(
            "{says}from {} to {} nothing is measured, for {} is not there.",
            note.from.part,
            note.to.part,
            taped.gone.join(" and ")
        );
    };
    let way = if span.plumb < Length::ZERO {
        "down"
    } else {
        "up"
    };
    let plumb = format!("{} {way}", tape.print(span.plumb.abs()));
    let angle = span.angle.map_or_else(String::new, |angle| {
        format!(", at {}", angle.print_degrees(2))
    });
    format!(
        "{says}{} clear from {} to {}; plumb {}, level {}, along the rake {}{angle}.",
        tape.print(span.clear),
        from.says,
        to.says,
        plumb,
        tape.print(span.level),
        tape.print(span.along_rake)
    )
}
