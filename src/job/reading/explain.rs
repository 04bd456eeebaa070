//! Says in plain words why `ron` refused a place, and what would do.

use std::ops::Range;

use ron::Error;

use super::mend::Copy;
use super::{Refusal, is_fractional};
use crate::job::diagnostic::{Diagnostic, shown};
use crate::job::lines::Lines;
use crate::job::nearest::did_you_mean;
use crate::job::spans::{Body, Node, Spans};
use crate::measure::{MeasureError, Unit, parse_angle, parse_force, parse_length};

/// The file as it is.
pub(super) struct Original<'a> {
    pub(super) text: &'a str,
    pub(super) lines: Lines,
    pub(super) spans: &'a Spans,
}

/// The place of a refusal in the mended copy.
pub(super) struct Place {
    /// The path of the refused value.
    pub(super) path: String,
    /// The path of what holds it.
    pub(super) parent: String,
    /// What to underline.
    pub(super) bytes: Range<usize>,
    /// A whole number was wanted and a broken one stands there.
    pub(super) fractional: bool,
}

/// Finds the place of a refusal.
pub(super) fn place(copy: &Copy, refusal: &Refusal) -> Place {
    let text = copy.text();
    let (line, column) = refusal.start;
    let cursor = Lines::of(text).byte(text, line, column);
    let mut path = refusal.path.clone();
    // A value without the name that `ron` looked for: what holds it is at fault.
    let unnamed = matches!(
        refusal.code,
        Error::SuggestRawIdentifier(_) | Error::ExpectedIdentifier | Error::InvalidIdentifier(_)
    );
    if let Some(holder) = path.strip_suffix(".?").filter(|_| unnamed) {
        path = holder.to_owned();
    }
    if path.contains('?') || copy.spans().node(text, &path).is_none() {
        path = copy.spans().path_at(text, cursor);
    }
    let mut parent = path
        .rfind(['.', '['])
        .map_or("", |cut| &path[..cut])
        .to_owned();
    let mut fractional = false;
    let bytes = match (&refusal.code, copy.spans().node(text, &path)) {
        (Error::NoSuchStructField { found, .. }, _) => {
            field_name(copy, &parent, found, false).unwrap_or(cursor..cursor)
        }
        (Error::DuplicateStructField { field, .. }, _) => {
            parent.clone_from(&refusal.path);
            field_name(copy, &parent, field, true).unwrap_or(cursor..cursor)
        }
        (Error::NoSuchEnumVariant { .. } | Error::MissingStructField { .. }, Some(node)) => {
            head(node)
        }
        (Error::ExpectedComma, Some(node)) => {
            fractional = text
                .get(node.span.range())
                .is_some_and(|number| is_fractional(number, &node.body));
            node.span.range()
        }
        (_, Some(node)) => node.span.range(),
        (_, None) => cursor..cursor,
    };
    Place {
        path,
        parent,
        bytes,
        fractional,
    }
}

/// The name of a value, or its opening bracket, or all of a scalar.
fn head(node: &Node) -> Range<usize> {
    match (node.name, node.group()) {
        (Some(name), _) => name.range(),
        (None, Some(group)) => group.open.range(),
        (None, None) => node.span.range(),
    }
}

/// The name of the first, or last, field of this name.
fn field_name(copy: &Copy, parent: &str, name: &str, last: bool) -> Option<Range<usize>> {
    let node = copy.spans().node(copy.text(), parent)?;
    let mut spans = node
        .group()?
        .items
        .iter()
        .filter_map(|item| item.name)
        .filter(|span| copy.text().get(span.range()) == Some(name));
    let span = if last {
        spans.next_back()
    } else {
        spans.next()
    };
    span.map(crate::job::spans::Span::range)
}

/// Tells a refusal in the terms of the file as it is.
pub(super) fn tell(
    original: &Original<'_>,
    copy: &Copy,
    refusal: &Refusal,
    place: &Place,
    units: Unit,
) -> Diagnostic {
    let mut bytes = copy.range_in_file(&place.bytes);
    let node = copy.spans().node(copy.text(), &place.path);
    let (problem, help) = match measure_fault(copy, refusal, node, units) {
        Some((fault, within)) => {
            if let Some(within) = within {
                bytes = copy.range_in_file(&within);
            }
            (fault.problem, fault.help)
        }
        None => words(copy, refusal, place, node),
    };
    let mut path = original
        .spans
        .path_at(original.text, copy.in_file(place.bytes.start));
    if let Error::MissingStructField { field, .. } = &refusal.code {
        if !path.is_empty() {
            path.push('.');
        }
        path.push_str(field);
    }
    let mut told =
        Diagnostic::at(original.text, &original.lines, bytes, problem, help).with_path(path);
    if let Some(node) = node.filter(|_| matches!(refusal.code, Error::Message(_))) {
        // All of the text, not only the bytes at fault in it.
        told.read = shown(copy.text().get(node.span.range()).unwrap_or(""));
    }
    told
}

/// What a measure says is wrong with its text, and the bytes at fault where they can be told.
fn measure_fault(
    copy: &Copy,
    refusal: &Refusal,
    node: Option<&Node>,
    units: Unit,
) -> Option<(MeasureError, Option<Range<usize>>)> {
    let Error::Message(message) = &refusal.code else {
        return None;
    };
    let node = node?;
    let source = copy.text().get(node.span.range())?;
    if matches!(node.body, Body::Number | Body::Word) {
        // `ron` has made a number of it already; what was typed tells more.
        let fault = parse_length(source, units).err()?;
        return Some((fault, None));
    }
    let typed: String = ron::from_str(source).ok()?;
    let faults = [
        parse_length(&typed, units).err(),
        parse_angle(&typed).err(),
        parse_force(&typed).err(),
    ];
    let fault = faults
        .into_iter()
        .flatten()
        .find(|fault| fault.to_string() == *message)?;
    let within = within_quotes(source, &fault.range)
        .map(|range| node.span.range().start + range.start..node.span.range().start + range.end);
    Some((fault, within))
}

/// Bytes of a text, counted in its quoted form. `None` where the quotes hold more than the
/// plain text and escaped marks.
fn within_quotes(source: &str, range: &Range<usize>) -> Option<Range<usize>> {
    let inside = source.strip_prefix('"')?.strip_suffix('"')?;
    let mut places = Vec::with_capacity(inside.len() + 1);
    let mut chars = inside.char_indices();
    while let Some((at, c)) = chars.next() {
        let width = if c == '\\' {
            let (_, escaped) = chars.next()?;
            if !matches!(escaped, '"' | '\'' | '\\') {
                return None;
            }
            1
        } else {
            c.len_utf8()
        };
        // An escaped mark is two bytes in the file and one in the text.
        places.extend((0..width).map(|byte| at + byte + 1));
    }
    places.push(inside.len() + 1);
    let start = *places.get(range.start)?;
    let end = *places.get(range.end)?;
    (start < end).then_some(start..end)
}

fn words(copy: &Copy, refusal: &Refusal, place: &Place, node: Option<&Node>) -> (String, String) {
    let last = |path: &str| path.rsplit('.').next().unwrap_or(path).to_owned();
    let text = |problem: &str, help: &str| (problem.to_owned(), help.to_owned());
    match &refusal.code {
        Error::NoSuchStructField {
            expected, found, ..
        } => {
            let free = free_fields(copy, place, expected);
            (
                format!("there is no field `{found}` here"),
                did_you_mean(found, &free, "other field"),
            )
        }
        Error::NoSuchEnumVariant {
            expected, found, ..
        } => (
            format!("`{found}` is not known here"),
            did_you_mean(found, expected, "name"),
        ),
        Error::MissingStructField { field, .. } => (
            format!("`{field}` is missing"),
            format!("add `{field}: {}`", example(field)),
        ),
        Error::DuplicateStructField { field, .. } => (
            format!("`{field}` is written twice"),
            "take one of the two out".to_owned(),
        ),
        Error::ExpectedInteger | Error::InvalidIntegerDigit { .. } => text(
            "a whole number is wanted here",
            "write it without quotes, as `14`",
        ),
        Error::IntegerOutOfBounds => text("this number is out of bounds", "write a count, as `14`"),
        Error::ExpectedComma if place.fractional => {
            text("a whole number is wanted here", "write a count, as `14`")
        }
        Error::ExpectedString => text("a text in quotes is wanted here", "write it as `\"W1\"`"),
        Error::ExpectedFloat => text("a number is wanted here", "write it as `0.5`"),
        Error::ExpectedArray => text("a list is wanted here", "write it in `[ ]`"),
        Error::ExpectedNamedStructLike(_) | Error::ExpectedStructLike => text(
            "fields in round brackets are wanted here",
            "write `(field: value, ...)`",
        ),
        Error::SuggestRawIdentifier(_)
        | Error::ExpectedIdentifier
        | Error::InvalidIdentifier(_)
            if node.is_some_and(|node| node.group().is_some()) =>
        {
            text(
                "the fields here need their names",
                "write `(field: value, ...)`",
            )
        }
        Error::SuggestRawIdentifier(_)
        | Error::ExpectedIdentifier
        | Error::InvalidIdentifier(_) => a_name(copy, node),
        Error::InvalidValueForType { expected, .. } => (
            format!(
                "{} is wanted here",
                expected.trim_end_matches(" as text or number")
            ),
            "write it as `10.25` or `\"10 1/4\"`".to_owned(),
        ),
        Error::Message(message) => match message.split_once("; ") {
            Some((problem, help)) => (problem.to_owned(), help.to_owned()),
            None => (message.clone(), String::new()),
        },
        other => {
            let what = other.to_string();
            let mut chars = what.chars();
            let lower = chars
                .next()
                .map(|c| c.to_lowercase().to_string() + chars.as_str());
            (
                lower.unwrap_or(what.clone()),
                format!("see how `{}` is written in a new job", last(&place.path)),
            )
        }
    }
}

/// Where a name such as `Wall` is wanted; most often it was put in quotes.
fn a_name(copy: &Copy, node: Option<&Node>) -> (String, String) {
    let text = node
        .filter(|node| matches!(node.body, Body::Text))
        .and_then(|node| copy.text().get(node.span.range()))
        .map(|text| text.trim_matches('"'))
        .filter(|text| !text.is_empty() && text.chars().all(char::is_alphanumeric));
    match text {
        Some(name) => (
            "a name is wanted here, and names stand without quotes".to_owned(),
            format!("write `{name}`"),
        ),
        None => (
            "a name is wanted here".to_owned(),
            "write one of those that a new job shows here, without quotes".to_owned(),
        ),
    }
}

/// The fields that a struct has and the file does not write yet.
fn free_fields<'a>(copy: &Copy, place: &Place, expected: &[&'a str]) -> Vec<&'a str> {
    let group = copy
        .spans()
        .node(copy.text(), &place.parent)
        .and_then(Node::group);
    expected
        .iter()
        .copied()
        .filter(|name| group.is_none_or(|group| group.field(copy.text(), name).is_none()))
        .collect()
}

/// How a field that is missing would be written.
fn example(field: &str) -> &'static str {
    match field {
        "format" | "place" | "nosing" => "1,",
        "field" => "\"design.rail.height\",",
        "changes" => "[(field: ..., is: ...)],",
        "name" | "clause" | "edition" | "detail" | "source" => "\"...\",",
        "rules" => "\"us-residential-2021\",",
        "carries" => "\"200 lb\",",
        "what" => "Top,",
        "limit" => "Length(\"36 in\"),",
        "rule" => "\"Headroom\",",
        "wall" => "\"W1\",",
        "line" => "\"L1\",",
        "open_side" => "Left,` or `open_side: Right,",
        "at" => "Top,` or `at: Bottom,",
        "high" => "Open,` or `high: Wall,",
        "low" => "Front,` or `low: Back,",
        "side" => "Open,` or `side: Wall,",
        "count" | "balusters" | "step" | "above" | "beyond" => "2,",
        "flight" | "design" | "rail" | "from" | "to" | "blocking" => "(...),",
        "section" => "Square(1.25),",
        "stands" => "Displaces(step: 1, balusters: 1),",
        "spacing" => "PerTread(count: 2),",
        "lower" | "upper" => "Newel(\"N1\"),",
        _ => "\"10 1/4\",",
    }
}
