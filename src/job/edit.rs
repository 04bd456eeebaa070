//! Edits of a document: only the bytes that the edit is about change, so that comments, order and
//! spacing of a hand-written file survive. The result is read and checked like any file.

use std::ops::Range;

use super::Document;
use super::diagnostic::{Diagnostic, Faults};
use super::lines::Lines;
use super::spans::{Bracket, Group, Item, Node, Spans};

impl Document {
    /// The document with another value at a path, such as `flight.readings[3].is`. `value` is
    /// RON: a text stands in its quotes. A field that is not written yet is added to its struct.
    ///
    /// # Errors
    /// Where the value is not one RON value, the path leads nowhere, or the job is then wrong.
    pub fn set(&self, path: &str, value: &str) -> Result<Self, Faults> {
        let value = one_value(value)?;
        let text = match self.spans.value(&self.text, path) {
            Some(bytes) => replaced(&self.text, bytes, value),
            None => self.with_field(path, value)?,
        };
        let edited = Self::parse(&text, &self.name)?;
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
        let text = match self.spans.node(&self.text, path).map(Node::group) {
            Some(Some(list)) if list.bracket == Bracket::Square => {
                with_item(&self.text, list, item)
            }
            Some(_) => return Err(self.no_list(path)),
            None => self.with_field(path, &format!("[{item}]"))?,
        };
        Self::parse(&text, &self.name)
    }

    /// The document without a field or list item. Comments stay.
    ///
    /// # Errors
    /// Where the path leads nowhere, or the job is then wrong.
    pub fn remove(&self, path: &str) -> Result<Self, Faults> {
        let item = self
            .spans
            .item(&self.text, path)
            .ok_or_else(|| self.nowhere(path))?;
        let bytes = with_line(&self.text, item);
        Self::parse(&replaced(&self.text, bytes, ""), &self.name)
    }

    /// The text with a field more in the struct that the path's last step stands in.
    fn with_field(&self, path: &str, value: &str) -> Result<String, Faults> {
        let (parent, field) = path.rsplit_once('.').unwrap_or(("", path));
        let group = self
            .spans
            .node(&self.text, parent)
            .and_then(fields_of)
            .filter(|_| is_field_name(field))
            .ok_or_else(|| self.nowhere(path))?;
        Ok(with_item(&self.text, group, &format!("{field}: {value}")))
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
fn quoted(typed: &str) -> String {
    let mut out = String::from("\"");
    for c in typed.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
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

fn replaced(text: &str, bytes: Range<usize>, with: &str) -> String {
    let mut out = text.to_owned();
    out.replace_range(bytes, with);
    out
}

fn is_field_name(name: &str) -> bool {
    !name.is_empty()
        && name
            .bytes()
            .all(|byte| byte.is_ascii_lowercase() || byte == b'_')
}

/// The brackets that a value's fields stand in.
fn fields_of(node: &Node) -> Option<&Group> {
    let group = node.group()?;
    match group.items.as_slice() {
        [only] if only.name.is_none() => only.value.group(),
        items if items.iter().all(|item| item.name.is_some()) => Some(group),
        _ => None,
    }
    .filter(|group| group.bracket == Bracket::Round)
}

/// The text with one more item at the end of a group, written as its neighbours are: on its own
/// line if the last one is, behind it if not.
fn with_item(text: &str, group: &Group, item: &str) -> String {
    let Some(last) = group.items.last() else {
        let at = group.open.range().end;
        return replaced(text, at..at, item);
    };
    let value_end = last.span().range().end;
    let end = last.comma.map_or(value_end, |comma| comma.range().end);
    let own_comma = if last.comma.is_some() { "," } else { "" };
    let (at, added) = match indent_before(text, last.span().range().start) {
        None => (end, format!(" {item}{own_comma}")),
        Some(indent) => {
            let (at, newline) = line_end(text, end, group.close.range().start);
            (at, format!("{newline}{indent}{item}{own_comma}"))
        }
    };
    let mut out = replaced(text, at..at, &added);
    if last.comma.is_none() {
        out.insert(value_end, ',');
    }
    out
}

/// The blanks before a byte, if nothing else stands before it on its line.
fn indent_before(text: &str, byte: usize) -> Option<&str> {
    let before = text.get(..byte)?;
    let line = before.get(before.rfind('\n')? + 1..)?;
    line.chars().all(|c| c == ' ' || c == '\t').then_some(line)
}

/// Where a line can be added behind `from`, and the file's line end: at the end of the line where
/// only a comment follows on it, else at once.
fn line_end(text: &str, from: usize, close: usize) -> (usize, &'static str) {
    let newline = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let rest = text.get(from..close).unwrap_or("");
    let Some(length) = rest.find('\n') else {
        return (from, newline);
    };
    let line = rest.get(..length).unwrap_or("");
    let line = line.strip_suffix('\r').unwrap_or(line);
    let comment = line.trim_start();
    if comment.is_empty() || comment.starts_with("//") {
        return (from + line.len(), newline);
    }
    (from, newline)
}

/// The bytes of an item with its comma, and with its line where it has one to itself.
fn with_line(text: &str, item: &Item) -> Range<usize> {
    let start = item.span().range().start;
    let end = item
        .comma
        .map_or(item.span().range().end, |comma| comma.range().end);
    let rest = text.get(end..).unwrap_or("");
    let blank = rest.len() - rest.trim_start_matches([' ', '\t', '\r']).len();
    match indent_before(text, start) {
        Some(indent) if rest.get(blank..).is_some_and(|rest| rest.starts_with('\n')) => {
            start - indent.len()..end + blank + 1
        }
        Some(_) => start..end,
        None => start..end + rest.len() - rest.trim_start_matches([' ', '\t']).len(),
    }
}
