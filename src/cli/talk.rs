//! Standard output for the answer, standard error for talk.

use std::io::{ErrorKind, Write};
use std::path::Path;

use super::Outcome;
use crate::publish::pdf::{Page, boxed};

/// Prints the answer. A reader that has gone away is not a fault.
pub(super) fn answer(text: &str, outcome: Outcome) -> Outcome {
    let mut out = anstream::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => outcome,
        Err(error) if error.kind() == ErrorKind::BrokenPipe => outcome,
        Err(error) => fault(&format!("cannot write the answer: {error}")),
    }
}

/// Says something beside the answer.
pub(super) fn say(text: &str) {
    // Nobody is left to tell where standard error is closed.
    let _closed = writeln!(anstream::stderr(), "{text}");
}

/// Says which words on some pages print with boxes, and what would do.
pub(super) fn say_boxes(pages: &[Page]) {
    let words = boxed(pages.iter().flat_map(|page| &page.marks));
    if words.is_empty() {
        return;
    }
    let more = match words.len().saturating_sub(BOXES) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let words = words[..words.len().min(BOXES)].join(", ");
    say(&format!(
        "the pages cannot draw every letter of {words}{more}, and print boxes there; CSV and JSON have \
         them as typed, and names in Latin letters would print"
    ));
}

/// So many such words are told.
const BOXES: usize = 6;

/// Says what is at fault.
pub(super) fn fault(text: &str) -> Outcome {
    say(&format!("rakewell: {text}"));
    Outcome::Fault
}

/// Whether a file's name ends so.
pub(super) fn ends(to: &Path, ending: &str) -> bool {
    let own = to.extension().and_then(|own| own.to_str());
    own.is_some_and(|own| own.eq_ignore_ascii_case(ending))
}

/// Says that a file to be written should end otherwise, and why; nothing where it ends so.
pub(super) fn wrong_ending(to: &Path, ending: &str, why: &str) -> Option<Outcome> {
    (!ends(to, ending)).then(|| {
        fault(&format!(
            "{} should be called something.{ending}: {why}",
            to.display()
        ))
    })
}
