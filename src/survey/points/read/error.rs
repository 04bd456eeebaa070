//! [`ReadError`]: why a file of points cannot be read.

use std::fmt;

/// Where in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// The file as a whole.
    File,
    /// A line, counted from 1.
    Line(u64),
    /// An item of a binary list, counted from 1: its list's name is in the message.
    Item(u64),
}

impl fmt::Display for Place {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File => Ok(()),
            Self::Line(line) => write!(out, "line {line}: "),
            Self::Item(number) => write!(out, "number {number}: "),
        }
    }
}

/// Why a file of points cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{place}{problem}; {help}")]
pub struct ReadError {
    /// Where.
    pub place: Place,
    /// What is wrong and what was read, in lower case, without a full stop.
    pub problem: String,
    /// What would do instead.
    pub help: String,
}

impl ReadError {
    pub(super) fn new(place: Place, problem: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            place,
            problem: problem.into(),
            help: help.into(),
        }
    }

    pub(super) fn io(place: Place, error: &std::io::Error) -> Self {
        Self::new(place, format!("cannot be read: {error}"), "try again")
    }
}

/// A piece of a file for a message: short, on one line, in backquotes.
pub(super) fn shown(bytes: &[u8]) -> String {
    const LONGEST: usize = 40;
    let text = String::from_utf8_lossy(bytes);
    let mut short: String = text
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().count() > LONGEST {
        short.push_str("...");
    }
    format!("`{}`", short.trim())
}
