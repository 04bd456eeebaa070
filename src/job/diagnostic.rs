//! What is wrong with a job file, where, and what would do.
//!
//! In: faults with their bytes. Out: [`Faults`], an error that prints one line per fault, or
//! excerpts of the file with the places underlined.

use std::fmt::{self, Write as _};
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use serde::Serialize;

use super::lines::Lines;

/// A line longer than this is not drawn: it is no line that a person wrote.
const LONGEST_DRAWN: usize = 400;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The job cannot be used.
    Error,
    /// The job can be used, but this is likely to be a slip.
    Warning,
}

impl Severity {
    /// Its name in messages.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// A second place in the file that a fault has to do with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Aside {
    /// Its bytes in the file.
    pub bytes: Range<usize>,
    /// Its line, from 1.
    pub line: usize,
    /// What it has to do with the fault.
    pub says: String,
}

/// One thing wrong with a job file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// How bad it is.
    pub severity: Severity,
    /// The field, as `flight.readings[3].is`; empty where it is the file as a whole.
    pub path: String,
    /// The line, from 1; 0 where the fault is not at a place in the text.
    pub line: usize,
    /// The column in characters, from 1; 0 where the fault is not at a place in the text.
    pub column: usize,
    /// The bytes of the text.
    pub bytes: Range<usize>,
    /// What was read there, shortened; empty where nothing was.
    pub read: String,
    /// What is wrong, in lower case, without a full stop.
    pub problem: String,
    /// What would do instead.
    pub help: String,
    /// Another place that has to do with it.
    pub aside: Option<Aside>,
}

impl Diagnostic {
    /// An error about a file that has no text to point at.
    pub(super) fn of_file(problem: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            severity: Severity::Error,
            path: String::new(),
            line: 0,
            column: 0,
            bytes: 0..0,
            read: String::new(),
            problem: problem.into(),
            help: help.into(),
            aside: None,
        }
    }

    /// An error at bytes of a text.
    pub(super) fn at(
        text: &str,
        lines: &Lines,
        bytes: Range<usize>,
        problem: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        let (line, column) = lines.place(text, bytes.start);
        let read = shown(text.get(bytes.clone()).unwrap_or(""));
        Self {
            line,
            column,
            bytes,
            read,
            ..Self::of_file(problem, help)
        }
    }

    /// The same at a field.
    pub(super) fn with_path(mut self, path: impl Into<String>) -> Self {
        self.path = path.into();
        self
    }

    /// The same with a second place.
    pub(super) fn beside(
        mut self,
        text: &str,
        lines: &Lines,
        bytes: Range<usize>,
        says: impl Into<String>,
    ) -> Self {
        let line = lines.place(text, bytes.start).0;
        self.aside = Some(Aside {
            bytes,
            line,
            says: says.into(),
        });
        self
    }
}

/// A text for one line of a message: short, and without characters that move a terminal.
pub(super) fn shown(text: &str) -> String {
    const LONGEST: usize = 48;
    let first = text.lines().next().unwrap_or("");
    let mut out: String = first
        .chars()
        .take(LONGEST)
        .map(|c| {
            if c.is_control() || c == '\u{FEFF}' {
                '\u{FFFD}'
            } else {
                c
            }
        })
        .collect();
    if out.len() < text.len() && first.chars().nth(LONGEST).is_some() || first.len() < text.len() {
        out.push_str("...");
    }
    out
}

/// All that is wrong with a job file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Faults {
    /// The file's name, or where the text came from.
    pub name: String,
    /// Its text; empty where there is none to show.
    #[serde(skip)]
    pub text: String,
    /// What is wrong, in the order of the file.
    pub diagnostics: Vec<Diagnostic>,
}

impl Faults {
    pub(super) fn one(name: &str, text: &str, diagnostic: Diagnostic) -> Self {
        Self {
            name: name.to_owned(),
            text: text.to_owned(),
            diagnostics: vec![diagnostic],
        }
    }

    /// The number of errors, warnings not counted.
    #[must_use]
    pub fn errors(&self) -> usize {
        self.diagnostics
            .iter()
            .filter(|fault| fault.severity == Severity::Error)
            .count()
    }

    /// Excerpts of the file with the faults underlined, in colours of the terminal or without.
    #[must_use]
    pub fn render(&self, color: bool) -> String {
        let renderer = if color {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        let lines = Lines::of(&self.text);
        let mut out = String::new();
        for fault in &self.diagnostics {
            let group = self.group(fault, &lines);
            out.push_str(&renderer.render(&[group]));
            out.push_str("\n\n");
        }
        out.truncate(out.trim_end().len());
        out.push('\n');
        out
    }

    fn group<'a>(&'a self, fault: &'a Diagnostic, lines: &Lines) -> Group<'a> {
        let level = match fault.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let mut title = String::new();
        if !fault.path.is_empty() {
            title.push_str(&fault.path);
            title.push_str(": ");
        }
        title.push_str(&fault.problem);
        let group = Group::with_title(level.primary_title(title));
        let group = match self.excerpt(fault, lines) {
            Some(snippet) => group.element(snippet),
            None => group.element(Level::NOTE.message(self.place(fault))),
        };
        if fault.help.is_empty() {
            return group;
        }
        group.element(Level::HELP.message(fault.help.as_str()))
    }

    /// The lines of a fault, or nothing where they are not there or not to be drawn.
    fn excerpt<'a>(
        &'a self,
        fault: &'a Diagnostic,
        lines: &Lines,
    ) -> Option<Snippet<'a, annotate_snippets::Annotation<'a>>> {
        if fault.line == 0 || self.text.is_empty() {
            return None;
        }
        let aside = fault
            .aside
            .as_ref()
            .filter(|aside| self.drawable(lines, aside.line));
        let first = aside.map_or(fault.line, |aside| aside.line.min(fault.line));
        let last = aside.map_or(fault.line, |aside| aside.line.max(fault.line));
        if !self.drawable(lines, fault.line) {
            return None;
        }
        let drawn = lines.range(&self.text, first, last);
        // Lines between two places are folded away, but they are searched for folds.
        let (aside, drawn) = if drawn.len() > 200 * LONGEST_DRAWN {
            (None, lines.range(&self.text, fault.line, fault.line))
        } else {
            (aside, drawn)
        };
        let start_line = lines.place(&self.text, drawn.start).0;
        let mut snippet = Snippet::source(self.text.get(drawn.clone())?)
            .path(self.name.as_str())
            .line_start(start_line);
        snippet = snippet.annotation(AnnotationKind::Primary.span(self.underlined(
            &fault.bytes,
            fault.line,
            lines,
            drawn.start,
        )));
        if let Some(aside) = aside {
            snippet = snippet.annotation(
                AnnotationKind::Context
                    .span(self.underlined(&aside.bytes, aside.line, lines, drawn.start))
                    .label(aside.says.as_str()),
            );
        }
        Some(snippet)
    }

    /// Bytes as far as their first line goes, counted from `origin`.
    fn underlined(
        &self,
        bytes: &Range<usize>,
        line: usize,
        lines: &Lines,
        origin: usize,
    ) -> Range<usize> {
        let end = lines.range(&self.text, line, line).end;
        let end = bytes.end.min(end).max(bytes.start);
        bytes.start - origin..end - origin
    }

    fn drawable(&self, lines: &Lines, line: usize) -> bool {
        lines.range(&self.text, line, line).len() <= LONGEST_DRAWN
    }

    fn place(&self, fault: &Diagnostic) -> String {
        if fault.line == 0 {
            return format!("in {}", self.name);
        }
        format!("in {}:{}:{}", self.name, fault.line, fault.column)
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, fault) in self.diagnostics.iter().enumerate() {
            if at > 0 {
                out.write_char('\n')?;
            }
            out.write_str(&self.name)?;
            if fault.line > 0 {
                write!(out, ":{}:{}", fault.line, fault.column)?;
            }
            write!(out, ": {}: ", fault.severity.name())?;
            if !fault.path.is_empty() {
                write!(out, "{}: ", fault.path)?;
            }
            out.write_str(&fault.problem)?;
            if !fault.read.is_empty() {
                write!(out, " (read `{}`)", fault.read)?;
            }
            if let Some(aside) = &fault.aside {
                write!(out, "; line {}: {}", aside.line, aside.says)?;
            }
            if !fault.help.is_empty() {
                write!(out, "; {}", fault.help)?;
            }
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}
