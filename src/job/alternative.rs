//! One alternative of a job as a document of its own: the job's text with the alternative's
//! changes made in it, read and checked like any file.
//!
//! What is wrong with it is told in the file that a person has before him: at the line of the
//! change that brings it, never at a line of the changed copy.

use std::ops::Range;

use super::Document;
use super::alternatives::{Alternative, Change};
use super::diagnostic::{Aside, Diagnostic, Faults, Severity};
use super::nearest::{did_you_mean, nearest};
use super::spans::Spans;
use super::splice::{self, Splice};

/// The file that an alternative was made from, and how.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Origin {
    file: Document,
    /// Which of its alternatives.
    place: usize,
    /// Every splice in its order, and the change that it was made for.
    made: Vec<(Splice, Source)>,
}

/// Where a change is written, in the bytes of the original file.
#[derive(Clone, Debug, PartialEq)]
struct Source {
    /// Which change of the alternative.
    change: usize,
    field: Range<usize>,
    /// Its value; that of `field` where something is taken out.
    is: Range<usize>,
}

/// Where something in the changed text comes from.
struct Home {
    bytes: Range<usize>,
    /// The change that wrote it, and whether it is in the change's value rather than its field.
    by: Option<(usize, bool)>,
}

impl Origin {
    /// Brings bytes of the changed text back to the file.
    fn home(&self, bytes: &Range<usize>) -> Home {
        let Range { mut start, mut end } = bytes.clone();
        for (splice, source) in self.made.iter().rev() {
            let (at, before, after) = (splice.bytes.start, splice.bytes.len(), splice.with.len());
            if start >= at + after {
                start = start - after + before;
                end = end.max(at + after) - after + before;
            } else if start >= at {
                let Some(value) = splice.value else {
                    (start, end) = (at, at);
                    continue;
                };
                let in_value = start >= at + value;
                let bytes = if in_value {
                    let within = |byte: usize| {
                        (source.is.start + byte.saturating_sub(at + value)).min(source.is.end)
                    };
                    within(start)..within(end)
                } else {
                    source.field.clone()
                };
                let by = Some((source.change, in_value));
                return Home { bytes, by };
            } else if end >= at + after {
                end = end - after + before;
            } else {
                end = end.min(at + before);
            }
        }
        Home {
            bytes: start..end.max(start),
            by: None,
        }
    }

    /// Line and column in the file, both from 1, of a field of the changed text: that of the change
    /// that writes its value, else its own.
    pub(super) fn place(&self, field: &Range<usize>, value: &Range<usize>) -> (usize, usize) {
        let value = self.home(value);
        let bytes = match value.by {
            Some(_) => value.bytes,
            None => self.home(field).bytes,
        };
        self.file.lines.place(&self.file.text, bytes.start)
    }

    /// Something that is wrong with the changed text, told in the terms of the file.
    pub(super) fn fault(&self, fault: &Diagnostic) -> Faults {
        Faults::one(&self.file.name, &self.file.text, self.teller().tell(fault))
    }

    fn teller(&self) -> Teller<'_> {
        Teller {
            document: &self.file,
            place: self.place,
            alternative: &self.file.job.alternatives[self.place],
            origin: self,
        }
    }
}

impl Document {
    /// The names of the alternatives, in the order of the file.
    pub fn alternatives(&self) -> impl Iterator<Item = &str> {
        self.job.alternatives.iter().map(|one| one.name.as_str())
    }

    /// The job with the changes of one alternative made in it: its text is the file's, with
    /// nothing else touched. Lines that it tells are those of the file.
    ///
    /// # Errors
    /// Where there is no alternative of this name, or the job is wrong with its changes.
    pub fn alternative(&self, name: &str) -> Result<Self, Faults> {
        let place = self.alternatives().position(|known| known == name);
        match place {
            Some(place) if self.origin.is_none() => self.nth_alternative(place),
            Some(_) => Err(self.fault(
                "alternatives",
                "this is an alternative already, and they do not nest",
                "ask the job itself for it",
            )),
            None => {
                let known: Vec<&str> = self.alternatives().collect();
                let help = did_you_mean(name, &known, "alternative");
                let problem = format!("there is no alternative `{name}`");
                Err(self.fault("alternatives", problem, help))
            }
        }
    }

    /// All that is wrong with the alternatives, and all that is likely to be a slip in them.
    pub(super) fn look_at_alternatives(&self) -> Vec<Diagnostic> {
        (0..self.job.alternatives.len())
            .flat_map(|place| match self.nth_alternative(place) {
                Ok(alternative) => alternative.warnings,
                Err(faults) => faults.diagnostics,
            })
            .collect()
    }

    fn nth_alternative(&self, place: usize) -> Result<Self, Faults> {
        let alternative = &self.job.alternatives[place];
        let told = |diagnostics| Faults {
            name: self.name.clone(),
            text: self.text.clone(),
            diagnostics,
        };
        let mut writer = Writer {
            document: self,
            place,
            text: self.text.clone(),
            made: Vec::new(),
            same: Vec::new(),
        };
        for (at, change) in alternative.changes.iter().enumerate() {
            writer
                .make(at, change)
                .map_err(|fault| told(vec![*fault]))?;
        }
        let Writer {
            text, made, same, ..
        } = writer;
        let origin = Origin {
            file: self.clone(),
            place,
            made,
        };
        let teller = origin.teller();
        match Self::of_text(&text, &self.name) {
            Ok(document) => {
                let mut document = document.shown_as(self);
                let fresh = document.warnings.iter().filter(|one| !self.warns(one));
                let mut warnings: Vec<Diagnostic> = fresh.map(|one| teller.tell(one)).collect();
                warnings.extend(same);
                document.warnings = warnings;
                document.origin = Some(Box::new(origin));
                Ok(document)
            }
            Err(faults) => Err(told(
                faults
                    .diagnostics
                    .iter()
                    .filter(|one| !self.warns(one))
                    .map(|one| teller.tell(one))
                    .collect(),
            )),
        }
    }

    /// True for a warning that the job has as it stands.
    fn warns(&self, one: &Diagnostic) -> bool {
        let alike = |own: &&Diagnostic| own.path == one.path && own.problem == one.problem;
        one.severity == Severity::Warning && self.warnings.iter().any(|own| alike(&own))
    }
}

/// Makes the changes of an alternative, one after the other.
struct Writer<'a> {
    document: &'a Document,
    /// Which alternative.
    place: usize,
    text: String,
    made: Vec<(Splice, Source)>,
    /// Changes that change nothing.
    same: Vec<Diagnostic>,
}

impl Writer<'_> {
    fn make(&mut self, at: usize, change: &Change) -> Result<(), Box<Diagnostic>> {
        let path = format!("alternatives[{}].changes[{at}]", self.place);
        let written = |field: &str| {
            let Document { text, spans, .. } = self.document;
            spans.nearest(text, &format!("{path}.{field}"))
        };
        let told = |problem: String, help: String| {
            let Document { text, lines, .. } = self.document;
            Diagnostic::at(text, lines, written("field"), problem, help)
                .with_path(format!("{path}.field"))
        };
        // Every splice leaves brackets as they were, so that the text has an index again.
        let Ok(spans) = Spans::index(&self.text) else {
            let problem = "this cannot be written into the file".to_owned();
            return Err(Box::new(told(problem, String::new())));
        };
        let splices = if change.remove {
            splice::remove(&self.text, &spans, &change.field)
        } else {
            splice::set(&self.text, &spans, &change.field, change.is.text())
        };
        let Some(splices) = splices else {
            let (problem, help) = lost(&self.text, &spans, &change.field, change.remove);
            return Err(Box::new(told(problem, help)));
        };
        let former = spans.value(&self.text, &change.field);
        if !change.remove && former.and_then(|b| self.text.get(b)) == Some(change.is.text()) {
            let same = told(
                "this is so already in the job as it stands".to_owned(),
                "take the change out, or write another value".to_owned(),
            );
            self.same.push(Diagnostic {
                severity: Severity::Warning,
                ..same
            });
        }
        let source = Source {
            change: at,
            field: written("field"),
            is: written(if change.remove { "field" } else { "is" }),
        };
        self.text = splice::spliced(&self.text, &splices);
        let made = splices.into_iter().map(|splice| (splice, source.clone()));
        self.made.extend(made);
        Ok(())
    }
}

/// Why a path leads nowhere, and where it could lead.
fn lost(text: &str, spans: &Spans, path: &str, remove: bool) -> (String, String) {
    let mut held = path;
    while !held.is_empty() && spans.node(text, held).is_none() {
        held = held.rfind(['.', '[']).map_or("", |cut| &held[..cut]);
    }
    let rest = &path[held.len()..];
    let node = spans.node(text, held);
    if let Some(index) = rest.strip_prefix('[') {
        let items = node
            .and_then(super::spans::Node::group)
            .map_or(0, |g| g.items.len());
        let at = index.split(']').next().unwrap_or(index);
        let help = match (items, remove) {
            (0, true) => "there is nothing to take out".to_owned(),
            (_, true) => format!("items count from 0, so the last one is [{}]", items - 1),
            _ => format!("items count from 0; [{items}] adds one"),
        };
        return (format!("`{held}` has no item {at}"), help);
    }
    let step = rest.trim_start_matches('.').split(['.', '[']).next();
    let step = step.unwrap_or("");
    if step.is_empty() {
        let help = "write it as messages do: `design.newels[0].height`";
        return (
            format!("`{path}` is not the path of a field"),
            help.to_owned(),
        );
    }
    let known: Vec<&str> = node.map_or_else(Vec::new, |node| splice::names_in(text, node));
    let problem = if held.is_empty() {
        format!("there is no field `{step}` in the file")
    } else {
        format!("there is no field `{step}` in `{held}`")
    };
    let help = match nearest(step, known.iter().copied()) {
        Some(name) => format!("did you mean `{name}`?"),
        None if remove => did_you_mean(step, &known, "field"),
        None => "set what holds it as a whole first".to_owned(),
    };
    (problem, help)
}

/// Tells what is wrong with the changed text in the terms of the file.
struct Teller<'a> {
    document: &'a Document,
    place: usize,
    alternative: &'a Alternative,
    origin: &'a Origin,
}

impl Teller<'_> {
    fn tell(&self, fault: &Diagnostic) -> Diagnostic {
        let home = self.origin.home(&fault.bytes);
        let aside = fault.aside.as_ref().map(|aside| {
            let home = self.origin.home(&aside.bytes);
            (home, aside.says.clone())
        });
        let told = if let Some((change, in_value)) = home.by {
            let field = if in_value { "is" } else { "field" };
            let path = self.path(change, field);
            let help = self.help(fault, change, in_value);
            let told = self.at(home.bytes, fault.problem.clone(), help);
            let told = self.beside(told.with_path(path), aside);
            let read = if in_value { &fault.read } else { &told.read };
            Diagnostic {
                read: read.clone(),
                ..told
            }
        } else {
            self.elsewhere(fault, home, aside.as_ref())
        };
        Diagnostic {
            severity: fault.severity,
            ..told
        }
    }

    /// Something that no change wrote is wrong beside what one did write.
    fn elsewhere(
        &self,
        fault: &Diagnostic,
        home: Home,
        aside: Option<&(Home, String)>,
    ) -> Diagnostic {
        let by = aside.and_then(|(home, _)| home.by);
        let (path, bytes) = match by
            .map(|by| by.0)
            .or_else(|| self.nearest_change(&fault.path))
        {
            Some(change) => {
                let is = self.written(change);
                (self.path(change, is), self.bytes(&self.path(change, is)))
            }
            None => {
                let path = format!("alternatives[{}].name", self.place);
                let bytes = self.bytes(&path);
                (path, bytes)
            }
        };
        let problem = if fault.path.is_empty() {
            format!("with this, {}", fault.problem)
        } else {
            format!("with this, {}: {}", fault.path, fault.problem)
        };
        let told = self.at(bytes, problem, fault.help.clone()).with_path(path);
        if fault.line == 0 {
            return told;
        }
        self.beside(told, Some((home, "what it does not go with".to_owned())))
    }

    fn at(&self, bytes: Range<usize>, problem: String, help: String) -> Diagnostic {
        let Document { text, lines, .. } = self.document;
        Diagnostic::at(text, lines, bytes, problem, help)
    }

    fn beside(&self, told: Diagnostic, aside: Option<(Home, String)>) -> Diagnostic {
        let Some((home, says)) = aside else {
            return told;
        };
        let Document { text, lines, .. } = self.document;
        let line = lines.place(text, home.bytes.start).0;
        let bytes = home.bytes;
        Diagnostic {
            aside: Some(Aside { bytes, line, says }),
            ..told
        }
    }

    /// The field that says what a change does.
    fn written(&self, change: usize) -> &'static str {
        match self.alternative.changes.get(change) {
            Some(change) if change.remove => "field",
            _ => "is",
        }
    }

    fn path(&self, change: usize, field: &str) -> String {
        format!("alternatives[{}].changes[{change}].{field}", self.place)
    }

    fn bytes(&self, path: &str) -> Range<usize> {
        self.document.spans.nearest(&self.document.text, path)
    }

    /// The change whose field has most of a path's beginning; the later of equals. Of one change
    /// alone it is that.
    fn nearest_change(&self, path: &str) -> Option<usize> {
        let changes = &self.alternative.changes;
        if changes.len() == 1 {
            return Some(0);
        }
        let steps = |path: &str| {
            path.split(['.', '['])
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        let wanted = steps(path);
        let shared = |field: &str| {
            let own = steps(field);
            own.iter().zip(&wanted).take_while(|(a, b)| a == b).count()
        };
        changes
            .iter()
            .enumerate()
            .map(|(at, change)| (shared(&change.field), at))
            .filter(|(shared, _)| *shared > 0)
            .max()
            .map(|(_, at)| at)
    }

    /// A misspelt field may mean one that its struct has already, which a reader that finds an
    /// unknown field beside it does not offer.
    fn help(&self, fault: &Diagnostic, change: usize, in_value: bool) -> String {
        let meant = || {
            let field = &self.alternative.changes.get(change)?.field;
            let (parent, last) = field.rsplit_once('.').unwrap_or(("", field));
            let Document { text, spans, .. } = self.document;
            let known = splice::names_in(text, spans.node(text, parent)?);
            nearest(last, known)
        };
        match meant() {
            Some(name) if !in_value && fault.problem.starts_with("there is no field") => {
                format!("did you mean `{name}`?")
            }
            _ => fault.help.clone(),
        }
    }
}
