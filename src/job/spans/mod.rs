//! Where every value of a job file stands in its text.
//!
//! In: RON text. Out: [`Spans`], a tree of byte ranges that answers field paths.
//!
//! # Paths
//! Fields are joined by points and list items stand in square brackets, both counted as in the
//! file, from 0: `flight.readings[3].is`. The names of variants may be left out or written, as
//! `serde_path_to_error` writes them: `flight.readings[3].Going.is` is the same place. What a
//! variant holds without a field name has the variant's name (`design.rail.lower.Newel`), or its
//! number (`design.rail.lower.0`). `Some` is passed through in the same way. [`Spans::path_at`]
//! leaves the names of variants out where it can.
//!
//! Does not: know which fields a job has; judge values.

mod path;
mod token;
mod tree;

use std::ops::Range;

use path::Step;
pub use tree::{MAX_DEPTH, MAX_VALUES};

/// A stretch of the text, in bytes. Half the size of a range, and `Copy`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    start: u32,
    end: u32,
}

impl Span {
    /// A span from byte to byte; a file is far smaller than 4 GiB, and what is not saturates.
    #[must_use]
    pub fn new(start: usize, end: usize) -> Self {
        let narrow = |byte: usize| u32::try_from(byte).unwrap_or(u32::MAX);
        Self {
            start: narrow(start),
            end: narrow(end),
        }
    }

    /// The bytes as a range.
    #[must_use]
    pub const fn range(self) -> Range<usize> {
        self.start as usize..self.end as usize
    }

    /// From the start of this to the end of another.
    #[must_use]
    pub const fn to(self, other: Self) -> Self {
        Self {
            start: self.start,
            end: other.end,
        }
    }

    const fn holds(self, byte: usize) -> bool {
        self.start as usize <= byte && byte < self.end as usize
    }
}

/// A kind of bracket.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bracket {
    /// `( )`: structs and what variants hold.
    Round,
    /// `[ ]`: lists.
    Square,
    /// `{ }`: maps, which a job has none of.
    Curly,
}

impl Bracket {
    const fn pair(self) -> (char, char) {
        match self {
            Self::Round => ('(', ')'),
            Self::Square => ('[', ']'),
            Self::Curly => ('{', '}'),
        }
    }
}

/// A value in the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Node {
    /// All of it, the variant's name included.
    pub span: Span,
    /// The name of a variant, or of a struct.
    pub name: Option<Span>,
    /// What it is.
    pub body: Body,
}

impl Node {
    const fn scalar(span: Span, body: Body) -> Self {
        Self {
            span,
            name: None,
            body,
        }
    }

    /// What stands in its brackets.
    #[must_use]
    pub const fn group(&self) -> Option<&Group> {
        match &self.body {
            Body::Group(group) => Some(group),
            _ => None,
        }
    }
}

/// What a value is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Body {
    /// A number.
    Number,
    /// A text in quotes.
    Text,
    /// A name alone.
    Word,
    /// Brackets.
    Group(Group),
}

/// Brackets and what stands in them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Their kind.
    pub bracket: Bracket,
    /// The opening bracket.
    pub open: Span,
    /// The closing bracket.
    pub close: Span,
    /// What stands between.
    pub items: Vec<Item>,
}

impl Group {
    /// The item with this field name.
    #[must_use]
    pub fn field(&self, text: &str, name: &str) -> Option<&Item> {
        self.items.iter().find(|item| item.is_named(text, name))
    }
}

/// A field, or an item of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// The field's name.
    pub name: Option<Span>,
    /// Its value.
    pub value: Node,
    /// The comma behind it.
    pub comma: Option<Span>,
}

impl Item {
    /// From the name to the end of the value.
    #[must_use]
    pub fn span(&self) -> Span {
        self.name.unwrap_or(self.value.span).to(self.value.span)
    }

    fn is_named(&self, text: &str, name: &str) -> bool {
        self.name.and_then(|span| text.get(span.range())) == Some(name)
    }
}

/// The first fault in the brackets, commas and quotes of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SyntaxFault {
    /// Where.
    pub span: Span,
    /// What is wrong, in lower case, without a full stop.
    pub problem: String,
    /// What would do.
    pub help: String,
    /// A second place that has to do with it.
    pub beside: Option<(Span, &'static str)>,
}

impl SyntaxFault {
    fn new(span: Span, problem: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            span,
            problem: problem.into(),
            help: help.into(),
            beside: None,
        }
    }

    fn beside(mut self, span: Span, says: &'static str) -> Self {
        self.beside = Some((span, says));
        self
    }
}

/// The index of one text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spans {
    root: Node,
}

impl Spans {
    /// Indexes a text.
    ///
    /// # Errors
    /// The first fault of brackets, commas or quotes, or a text nested past [`MAX_DEPTH`] or
    /// longer than [`MAX_VALUES`].
    pub fn index(text: &str) -> Result<Self, SyntaxFault> {
        tree::parse(text).map(|root| Self { root })
    }

    /// The whole value.
    #[must_use]
    pub const fn root(&self) -> &Node {
        &self.root
    }

    /// The value at a path; the empty path is the whole.
    #[must_use]
    pub fn node(&self, text: &str, path: &str) -> Option<&Node> {
        path::steps(path)?
            .iter()
            .try_fold(&self.root, |node, step| take(text, node, step))
    }

    /// The field or list item at a path: its name and its value.
    #[must_use]
    pub fn item(&self, text: &str, path: &str) -> Option<&Item> {
        let (parent, last) = path::split_last(path)?;
        let group = inner(self.node(text, parent)?).group()?;
        find(text, group, &last)
    }

    /// The bytes of the value at a path.
    #[must_use]
    pub fn value(&self, text: &str, path: &str) -> Option<Range<usize>> {
        self.node(text, path).map(|node| node.span.range())
    }

    /// The bytes of the field at a path, name included.
    #[must_use]
    pub fn field(&self, text: &str, path: &str) -> Option<Range<usize>> {
        self.item(text, path).map(|item| item.span().range())
    }

    /// The bytes of the value at a path, or, where the file does not write it, of the smallest
    /// value around the place where it would stand.
    #[must_use]
    pub fn nearest(&self, text: &str, path: &str) -> Range<usize> {
        let mut path = path;
        loop {
            if let Some(node) = self.node(text, path) {
                return node.span.range();
            }
            if path.is_empty() {
                return self.root.span.range();
            }
            path = path.rfind(['.', '[']).map_or("", |cut| &path[..cut]);
        }
    }

    /// The path of the smallest value or field that holds a byte.
    #[must_use]
    pub fn path_at(&self, text: &str, byte: usize) -> String {
        let mut path = String::new();
        let mut node = &self.root;
        while let Some(group) = node.group() {
            let Some((at, item)) = group
                .items
                .iter()
                .enumerate()
                .find(|(_, item)| item.span().holds(byte))
            else {
                break;
            };
            match item.name.and_then(|name| text.get(name.range())) {
                Some(name) if path.is_empty() => path.push_str(name),
                Some(name) => {
                    path.push('.');
                    path.push_str(name);
                }
                None if group.bracket == Bracket::Square => path.push_str(&format!("[{at}]")),
                None => path.push_str(&unnamed(text, node, at)),
            }
            node = &item.value;
        }
        path
    }
}

/// The step from a variant to what it holds without a field name.
fn unnamed(text: &str, node: &Node, at: usize) -> String {
    match node.name.and_then(|name| text.get(name.range())) {
        Some("Some") => String::new(),
        Some(name) if node.group().is_some_and(|group| group.items.len() == 1) => {
            format!(".{name}")
        }
        _ => format!(".{at}"),
    }
}

/// Passes through `Some(...)`.
fn inner(node: &Node) -> &Node {
    match (&node.name, &node.body) {
        // Only `Some` holds one unnamed group that fields can be asked of.
        (Some(_), Body::Group(group)) if group.items.len() == 1 => {
            let only = &group.items[0];
            if only.name.is_none() && only.value.group().is_some() {
                &only.value
            } else {
                node
            }
        }
        _ => node,
    }
}

/// One step of a path.
fn take<'a>(text: &str, node: &'a Node, step: &Step<'_>) -> Option<&'a Node> {
    let named = node.name.and_then(|name| text.get(name.range()));
    if let (Step::Field(field), Some(variant), Some(group)) = (step, named, node.group())
        && *field == variant
    {
        // What a variant holds: its one unnamed value, or itself with its fields.
        return match group.items.as_slice() {
            [only] if only.name.is_none() => Some(&only.value),
            _ => Some(node),
        };
    }
    find(text, inner(node).group()?, step).map(|item| &item.value)
}

fn find<'a>(text: &str, group: &'a Group, step: &Step<'_>) -> Option<&'a Item> {
    match step {
        Step::Field(name) => group.field(text, name).or_else(|| {
            let at: usize = name.parse().ok()?;
            group.items.get(at).filter(|item| item.name.is_none())
        }),
        Step::At(at) => (group.bracket == Bracket::Square)
            .then(|| group.items.get(*at))
            .flatten(),
    }
}

#[cfg(test)]
mod tests;
