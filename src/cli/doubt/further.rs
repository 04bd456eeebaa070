//! What is asked beside the chances: what to set, and how loose each operation may be.

use crate::cli::page::Page;
use crate::cli::{Outcome, talk};
use crate::doubt::{self, Ended, Loosest, Purpose, Safe, Sample};
use crate::measure::{Length, Tape};

use super::{Asked, safe, tolerances};

/// The answers to what was asked.
#[derive(Default)]
pub(super) struct Further {
    pub(super) safe: Option<Safe>,
    pub(super) loosest: Option<Loosest>,
}

/// How far a reveal may be off, where that is asked: read before anything is drawn.
pub(super) fn reveal(asked: &Asked<'_>) -> Result<Option<Length>, Outcome> {
    let Some(text) = &asked.command.reveal else {
        return Ok(None);
    };
    match asked.source.job().tape.read(text) {
        Ok(length) if length > Length::ZERO => Ok(Some(length)),
        Ok(_) => Err(talk::fault(&format!(
            "--reveal {text}: a reveal cannot be kept to nothing; write a length such as 1/8"
        ))),
        Err(error) => Err(talk::fault(&format!("--reveal {text}: {error}"))),
    }
}

impl Further {
    pub(super) fn of(asked: &Asked<'_>, sample: &Sample, reveal: Option<Length>) -> Self {
        let mut further = Self::default();
        if sample.ended == Ended::Cancelled {
            return further;
        }
        let chance = asked.command.chance;
        let watch = |progress| asked.watch.tell(progress);
        if asked.command.safe {
            further.safe = doubt::safe(asked.model, asked.chain, sample, chance, &watch);
        }
        if asked.command.tolerances {
            let purpose = Purpose { chance, reveal };
            further.loosest = doubt::loosest(asked.model, asked.chain, sample, purpose, &watch);
        }
        further
    }

    /// The text that goes below the rest.
    pub(super) fn written(&self, asked: &Asked<'_>, tape: Tape) -> String {
        if !asked.command.safe && !asked.command.tolerances {
            return String::new();
        }
        let mut page = Page::default();
        page.line("");
        if let Some(found) = &self.safe {
            safe::written(&mut page, found, tape);
        } else if asked.command.safe {
            page.line("What to set was not found: ended before.");
        }
        if let Some(found) = &self.loosest {
            tolerances::written(&mut page, found, tape);
        } else if asked.command.tolerances {
            page.line("How loose each operation may be was not found: ended before.");
        }
        page.text()
    }
}
