//! Edits of a text: which bytes of a job file change, and to what, so that all others stay.
//!
//! In: a text with its index, a path, a value. Out: [`Splice`]s, to be made in their order.

use std::ops::Range;

use super::spans::{Bracket, Group, Item, Node, Spans};

/// Bytes of a text and what stands there instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Splice {
    /// The bytes that go.
    pub(super) bytes: Range<usize>,
    /// What comes for them.
    pub(super) with: String,
    /// Where in `with` the new value begins; `None` where there is none in it.
    pub(super) value: Option<usize>,
}

impl Splice {
    fn new(bytes: Range<usize>, with: impl Into<String>, value: Option<usize>) -> Self {
        Self {
            bytes,
            with: with.into(),
            value,
        }
    }
}

/// The text after the splices.
pub(super) fn spliced(text: &str, splices: &[Splice]) -> String {
    let mut out = text.to_owned();
    for splice in splices {
        out.replace_range(splice.bytes.clone(), &splice.with);
    }
    out
}

/// Puts a value at a path. What is not written yet is added to its struct, or, one past its last
/// item, to its list. `None` where the path leads nowhere.
pub(super) fn set(text: &str, spans: &Spans, path: &str, value: &str) -> Option<Vec<Splice>> {
    if let Some(bytes) = spans.value(text, path) {
        return Some(vec![Splice::new(bytes, value, Some(0))]);
    }
    if path.ends_with(']') {
        return add_item(text, spans, path, value);
    }
    let (parent, field) = path.rsplit_once('.').unwrap_or(("", path));
    let group = spans
        .node(text, parent)
        .and_then(fields_of)
        .filter(|_| is_field_name(field))?;
    let lead = format!("{field}: ");
    let item = format!("{lead}{value}");
    Some(with_item(text, group, &item, lead.len()))
}

/// Puts one more item to the end of a list, if the path is that of the place behind its last.
fn add_item(text: &str, spans: &Spans, path: &str, value: &str) -> Option<Vec<Splice>> {
    let (list, at) = path.strip_suffix(']')?.rsplit_once('[')?;
    let at: usize = at.parse().ok()?;
    match spans.node(text, list) {
        Some(node) => {
            let group = node.group().filter(|g| g.bracket == Bracket::Square)?;
            (group.items.len() == at).then(|| with_item(text, group, value, 0))
        }
        None if at == 0 && !list.ends_with(']') => {
            let mut splices = set(text, spans, list, &format!("[{value}]"))?;
            let added = splices.iter_mut().find_map(|one| one.value.as_mut());
            *added? += 1;
            Some(splices)
        }
        None => None,
    }
}

/// Takes a field or list item out. Comments stay. `None` where the path leads nowhere.
pub(super) fn remove(text: &str, spans: &Spans, path: &str) -> Option<Vec<Splice>> {
    let item = spans.item(text, path)?;
    Some(vec![Splice::new(with_line(text, item), "", None)])
}

fn is_field_name(name: &str) -> bool {
    !name.is_empty()
        && name
            .bytes()
            .all(|byte| byte.is_ascii_lowercase() || byte == b'_')
}

/// The names of the fields that a value writes.
pub(super) fn names_in<'t>(text: &'t str, node: &Node) -> Vec<&'t str> {
    let items = fields_of(node).map_or(&[][..], |group| &group.items);
    let names = items.iter().filter_map(|item| item.name);
    names.filter_map(|name| text.get(name.range())).collect()
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

/// One more item at the end of a group, written as its neighbours are: on its own line if the last
/// one is, behind it if not. The value begins `lead` bytes into the item.
pub(super) fn with_item(text: &str, group: &Group, item: &str, lead: usize) -> Vec<Splice> {
    let Some(last) = group.items.last() else {
        let at = group.open.range().end;
        return vec![Splice::new(at..at, item, Some(lead))];
    };
    let value_end = last.span().range().end;
    let end = last.comma.map_or(value_end, |comma| comma.range().end);
    let own_comma = if last.comma.is_some() { "," } else { "" };
    let (at, before) = match indent_before(text, last.span().range().start) {
        None => (end, " ".to_owned()),
        Some(indent) => {
            let (at, newline) = line_end(text, end, group.close.range().start);
            (at, format!("{newline}{indent}"))
        }
    };
    let added = format!("{before}{item}{own_comma}");
    // The later place first, so that it does not move.
    let mut splices = vec![Splice::new(at..at, added, Some(before.len() + lead))];
    if last.comma.is_none() {
        splices.push(Splice::new(value_end..value_end, ",", None));
    }
    splices
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
