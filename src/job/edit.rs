//! Edits of a document: only the bytes that the edit is about change, so that comments, order and
//! spacing of a hand-written file survive. The result is read and checked like any file.

use std::ops::Range;

use super::Document;
use super::diagnostic::{Diagnostic, Faults};
use super::lines::Lines;
use super::spans::{Bracket, Node, Spans};
use super::splice;

impl Document {
    /// The document with another value at a path, such as `flight.readings[3].is`. `value` is
    /// RON: a text stands in its quotes. A field that is not written yet is added to its struct.
    ///
    /// # Errors
    /// Where the value is not one RON value, the path leads nowhere, or the job is then wrong.
    pub fn set(&self, path: &str, value: &str) -> Result<Self, Faults> {
        let value = one_value(value)?;
        let splices =
            splice::set(&self.text, &self.spans, path, value).ok_or_else(|| self.nowhere(path))?;
        let text = splice::spliced(&self.text, &splices);
        let edited = Self::parse(&text, &self.name)?.shown_as(self);
        if edited.value_text(path) == Some(value) {
            return Ok(edited);
        }
        // An edit that landed elsewhere must not pass as done.
        Err(self.nowhere(path))
    }

    /// The document with another length at a path, given as it was typed: `10 1/4`, `3' 2"`.
    ///
    /// # Errors
    /// As [`Document::set`].
    pub fn set_length(&self, path: &str, typed: &str) -> Result<Self, Faults> {
        self.set(path, &quoted(typed))
    }

    /// The document with one more item at the end of a list, such as
    /// `design.balusters.spacing.but`. A list that is not written yet is added.
    ///
    /// # Errors
    /// As [`Document::set`].
    pub fn append(&self, path: &str, item: &str) -> Result<Self, Faults> {
        let item = one_value(item)?;
        let splices = match self.spans.node(&self.text, path).map(Node::group) {
            Some(Some(list)) if list.bracket == Bracket::Square => {
                splice::with_item(&self.text, list, item, 0)
            }
            Some(_) => return Err(self.no_list(path)),
            None => splice::set(&self.text, &self.spans, path, &format!("[{item}]"))
                .ok_or_else(|| self.nowhere(path))?,
        };
        let text = splice::spliced(&self.text, &splices);
        Ok(Self::parse(&text, &self.name)?.shown_as(self))
    }

    /// The document without a field or list item. Comments stay.
    ///
    /// # Errors
    /// Where the path leads nowhere, or the job is then wrong.
    pub fn remove(&self, path: &str) -> Result<Self, Faults> {
        let splices =
            splice::remove(&self.text, &self.spans, path).ok_or_else(|| self.nowhere(path))?;
        let text = splice::spliced(&self.text, &splices);
        Ok(Self::parse(&text, &self.name)?.shown_as(self))
    }

    fn nowhere(&self, path: &str) -> Faults {
        let fault = Diagnostic::of_file(
            "there is no such place in the file",
            "set what holds it as a whole first",
        );
        Faults::one(&self.name, &self.text, fault.with_path(path))
    }

    fn no_list(&self, path: &str) -> Faults {
        let fault = Diagnostic::of_file("this is not a list", "set it as a whole");
        Faults::one(&self.name, &self.text, fault.with_path(path))
    }
}

/// A text in RON's quotes.
#[must_use]
pub fn quoted(typed: &str) -> String {
    let mut out = String::from("\"");
    for c in typed.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => out.extend(c.escape_unicode()),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// The text without the blanks around it, if it is one RON value and nothing else.
fn one_value(value: &str) -> Result<&str, Faults> {
    let fault = |bytes: Range<usize>, problem: &str, help: &str| {
        let told = Diagnostic::at(value, &Lines::of(value), bytes, problem, help);
        Faults::one("the new value", value, told)
    };
    let spans = Spans::index(value)
        .map_err(|found| fault(found.span.range(), &found.problem, &found.help))?;
    let bytes = spans.root().span.range();
    if value.trim().len() != bytes.len() {
        // A comment behind it would swallow the comma that follows in the file.
        return Err(fault(
            bytes,
            "a comment cannot stand here",
            "give the value alone",
        ));
    }
    Ok(value.trim())
}
