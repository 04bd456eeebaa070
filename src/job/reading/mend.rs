//! Mends a refused place in a copy of the text, so that reading can go on past it.
//!
//! Every change is remembered, so that a byte of the copy can be brought back to the file.

use std::ops::Range;

use ron::Error;

use super::Refusal;
use super::explain::Place;
use crate::job::nearest::nearest;
use crate::job::spans::{Bracket, Group, Node, Spans};

/// The copy, its index, and what was changed.
pub(super) struct Copy {
    text: String,
    spans: Spans,
    /// Where, how long before, how long after; each in the bytes of its time.
    changes: Vec<(usize, usize, usize)>,
}

impl Copy {
    pub(super) fn of(text: &str, spans: Spans) -> Self {
        Self {
            text: text.to_owned(),
            spans,
            changes: Vec::new(),
        }
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    pub(super) const fn spans(&self) -> &Spans {
        &self.spans
    }

    /// Where a byte of the copy stands in the file.
    pub(super) fn in_file(&self, byte: usize) -> usize {
        self.changes
            .iter()
            .rev()
            .fold(byte, |byte, &(at, before, after)| {
                if byte >= at + after {
                    byte - after + before
                } else {
                    byte.min(at + byte.saturating_sub(at).min(before))
                }
            })
    }

    /// Where bytes of the copy stand in the file.
    pub(super) fn range_in_file(&self, bytes: &Range<usize>) -> Range<usize> {
        let start = self.in_file(bytes.start);
        start..self.in_file(bytes.end).max(start)
    }

    /// Changes some bytes; false, and nothing changed, where the result has no index.
    fn change(&mut self, bytes: Range<usize>, with: &str) -> bool {
        let mut text = self.text.clone();
        if text.get(bytes.clone()).is_none() {
            return false;
        }
        text.replace_range(bytes.clone(), with);
        let Ok(spans) = Spans::index(&text) else {
            return false;
        };
        self.changes.push((bytes.start, bytes.len(), with.len()));
        self.text = text;
        self.spans = spans;
        true
    }
}

/// Mends what was refused; false where nothing neutral can stand for it.
pub(super) fn mend(copy: &mut Copy, refusal: &Refusal, place: &Place) -> bool {
    let Some((bytes, with)) = remedy(copy, refusal, place) else {
        return leave_out_item(copy, place);
    };
    // The same text again would be refused again.
    if copy.text.get(bytes.clone()) == Some(with.as_str()) {
        return leave_out_item(copy, place);
    }
    copy.change(bytes, &with)
}

fn remedy(copy: &Copy, refusal: &Refusal, place: &Place) -> Option<(Range<usize>, String)> {
    let node = copy.spans.node(&copy.text, &place.path);
    match &refusal.code {
        Error::NoSuchStructField {
            expected, found, ..
        } => {
            let group = group_of(copy, &place.parent)?;
            let meant = nearest(found, expected.iter().copied())
                .filter(|name| group.field(&copy.text, name).is_none());
            match meant {
                Some(name) => Some((place.bytes.clone(), name.to_owned())),
                None => whole_item(group, place.bytes.start),
            }
        }
        Error::DuplicateStructField { .. } => {
            whole_item(group_of(copy, &place.parent)?, place.bytes.start)
        }
        Error::NoSuchEnumVariant {
            expected, found, ..
        } => {
            let name = nearest(found, expected.iter().copied())?;
            Some((place.bytes.clone(), name.to_owned()))
        }
        Error::MissingStructField { field, .. } => {
            let group = group_of(copy, &place.path)?;
            let at = group.open.range().end;
            Some((at..at, format!("{field}: {},", neutral_field(field)?)))
        }
        code => {
            let with = neutral_value(code, place)?;
            Some((node?.span.range(), with.to_owned()))
        }
    }
}

fn group_of<'a>(copy: &'a Copy, path: &str) -> Option<&'a Group> {
    let node = copy.spans.node(&copy.text, path)?;
    innermost(node).group()
}

/// The group that fields stand in: `Some((...))` holds it one deeper.
fn innermost(node: &Node) -> &Node {
    match node.group().map(|group| group.items.as_slice()) {
        Some([only]) if only.name.is_none() && only.value.group().is_some() => &only.value,
        _ => node,
    }
}

/// The bytes of the field whose name starts at a byte, with its comma.
fn whole_item(group: &Group, start: usize) -> Option<(Range<usize>, String)> {
    let item = group
        .items
        .iter()
        .find(|item| item.span().range().start == start)?;
    let end = item
        .comma
        .map_or(item.span().range().end, |comma| comma.range().end);
    Some((start..end, String::new()))
}

/// Leaves the smallest list item around a place out: the other items can still be read.
fn leave_out_item(copy: &mut Copy, place: &Place) -> bool {
    let mut node = copy.spans.root();
    let mut item_bytes = None;
    while let Some(group) = node.group() {
        let start = place.bytes.start;
        let Some(item) = group
            .items
            .iter()
            .find(|item| item.span().range().contains(&start))
        else {
            break;
        };
        if group.bracket == Bracket::Square {
            let end = item
                .comma
                .map_or(item.span().range().end, |comma| comma.range().end);
            item_bytes = Some(item.span().range().start..end);
        }
        node = &item.value;
    }
    item_bytes.is_some_and(|bytes| copy.change(bytes, ""))
}

/// Something that reads where this field is missing.
fn neutral_field(field: &str) -> Option<&'static str> {
    Some(match field {
        "name" | "rules" | "wall" | "line" | "field" | "clause" | "edition" | "detail"
        | "source" | "part" | "rule" | "species" => "\"-\"",
        "limit" => "Length(1)",
        "carries" => "\"1 lb\"",
        "fitted" | "driest" | "wettest" => "8",
        "changes" => "[]",
        "open_side" => "Left",
        "high" | "side" | "face" => "Open",
        "at" | "what" => "Top",
        "low" => "Front",
        "section" => "Square(1)",
        "stands" => "At(x: 1)",
        "lower" | "upper" => "Newel(\"-\")",
        "spacing" => "AlongRail()",
        "from" | "to" => "(x: 0, y: 0)",
        "blocking" => "(along: 0, up: 0, width: 1, height: 1)",
        // What stands in these is missing too, and would be told field by field.
        "flight" | "design" | "rail" | "balusters" => return None,
        _ => "1",
    })
}

/// Something that reads where this refusal came from.
fn neutral_value(code: &Error, place: &Place) -> Option<&'static str> {
    Some(match code {
        Error::ExpectedString => "\"-\"",
        Error::ExpectedFloat => "0.5",
        Error::ExpectedArray => "[]",
        Error::ExpectedNamedStructLike(name) => match *name {
            "PlanPoint" => "(x: 0, y: 0)",
            "Blocking" => "(along: 0, up: 0, width: 1, height: 1)",
            "Lean" => "(over: 1)",
            _ => return None,
        },
        Error::ExpectedInteger
        | Error::IntegerOutOfBounds
        | Error::InvalidIntegerDigit { .. }
        | Error::UnderscoreAtBeginning => "1",
        Error::Message(said) if said.contains("is no colour") => "\"#808080\"",
        // A measure says for itself what is wrong with it.
        Error::Message(_) | Error::InvalidValueForType { .. } if !place.path.is_empty() => "1",
        Error::ExpectedComma if place.fractional => "1",
        _ => return None,
    })
}
