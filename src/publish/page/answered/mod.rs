//! What came back from a client's page: the file that it saved, or the text that it copied, read and
//! put into the job.
//!
//! In: a job's document and what came back, as bytes of any kind. Out: the document with the answers
//! in it, and in plain words what the client decided and what to mind. An alternative that was chosen
//! is recorded and never made the job: that is the carpenter's to do. Does not: open or write files.

mod put;
mod read;
mod shape;
mod stands;
mod text;

use std::io::{self, Read};

use crate::job::{Document, Faults};

pub use read::{Answered, One, read};
pub use stands::{Decision, Decisions, answer_says, decided, decisions};
pub use text::MOST_BYTES;

/// What came back, put into its job.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// The job with the answers in it. Its text is as it was where they stand in it already.
    pub document: Document,
    /// What the client decided and what was done with it, a sentence each.
    pub did: Vec<String>,
    /// What to mind: an answer to what is asked no more, a drawing that has changed since.
    pub mind: Vec<String>,
}

/// Why nothing was taken. The job is as it was.
#[derive(Debug, thiserror::Error)]
pub enum NotTaken {
    /// What came back cannot be read, or is for another job.
    #[error(transparent)]
    Unread(#[from] Unread),
    /// The job would be wrong with it.
    #[error(transparent)]
    Job(#[from] Faults),
}

/// What is wrong with what came back.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}{problem}; {help}", place(at))]
pub struct Unread {
    /// The line, as `line 7`, or the field, as `answers[2].note`; empty where it is the whole.
    pub at: String,
    /// What was read, and what is wrong with it.
    pub problem: String,
    /// What would do.
    pub help: String,
}

fn place(at: &str) -> String {
    if at.is_empty() {
        String::new()
    } else {
        format!("{at}: ")
    }
}

impl Unread {
    fn at(at: impl Into<String>, problem: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            at: at.into(),
            problem: problem.into(),
            help: help.into(),
        }
    }

    fn whole(problem: impl Into<String>, help: impl Into<String>) -> Self {
        Self::at("", problem, help)
    }
}

/// The bytes that came back, and one more than may be of what is too large: [`read`] refuses that.
///
/// # Errors
/// As the system has it.
pub fn bytes(from: impl Read) -> io::Result<Vec<u8>> {
    let mut said = Vec::new();
    from.take(MOST_BYTES as u64 + 1).read_to_end(&mut said)?;
    Ok(said)
}

/// Puts what came back into a job. The same twice changes nothing.
///
/// # Errors
/// Where it cannot be read, is for another job, or the job would be wrong with it.
pub fn take(document: &Document, said: &[u8]) -> Result<Taken, NotTaken> {
    let answered = read(said)?;
    put::put(document, &answered)
}

/// A text for one line of a message: short, in quotes, and with nothing that moves a terminal.
fn shown(text: &str) -> String {
    const LONGEST: usize = 60;
    let short: String = text.chars().take(LONGEST).collect();
    let more = if short.len() < text.len() { "..." } else { "" };
    format!("{short:?}{more}")
}

#[cfg(test)]
mod tests;
