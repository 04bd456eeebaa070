//! [`Document`]: a job with the text it was read from.
//!
//! In: the text of a RON file. Out: the job, and for every field its place in the text.

use std::fs::File;
use std::io::Read as _;
use std::path::Path;
use std::sync::OnceLock;

use super::alternative::Origin;
use super::diagnostic::{Diagnostic, Faults, Severity};
use super::lines::Lines;
use super::spans::Spans;
use super::whole::plain;
use super::{Job, OneRun, check, reading};
use crate::measure::Tape;

/// No job file is larger than this; the largest that the other limits allow is half of it.
pub const MAX_BYTES: u64 = 8 * 1024 * 1024;

/// A job and its text. What is saved is the text; an edit changes only the bytes it is about.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    pub(super) name: String,
    pub(super) text: String,
    pub(super) job: Job,
    pub(super) spans: Spans,
    pub(super) lines: Lines,
    pub(super) warnings: Vec<Diagnostic>,
    /// The file that this is an alternative of.
    pub(super) origin: Option<Box<Origin>>,
    pub(super) runs: Runs,
}

/// Every run by itself, made when it is first asked for: a tall stair is copied many times over.
#[derive(Clone, Debug, Default)]
pub(super) struct Runs(OnceLock<Vec<OneRun>>);

/// They follow from the job, so two documents that differ in them differ in that.
impl PartialEq for Runs {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Document {
    /// Reads and checks a text. `name` is what messages call it, mostly the file's path.
    ///
    /// # Errors
    /// All faults of form that can be told at a time, or, where the form is good, all faults of
    /// sense, or, where the job itself makes sense, those of its alternatives.
    pub fn parse(text: &str, name: &str) -> Result<Self, Faults> {
        let mut document = Self::of_text(text, name)?;
        if document.job.alternatives.is_empty() {
            return Ok(document);
        }
        let mut found = document.look_at_alternatives();
        found.append(&mut document.warnings);
        found.sort_by_key(|fault| fault.bytes.start);
        for severity in [Severity::Error, Severity::Warning] {
            let mut told = 0;
            found.retain(|fault| {
                told += usize::from(fault.severity == severity);
                fault.severity != severity || told <= check::MOST_FAULTS
            });
        }
        if found.iter().any(|fault| fault.severity == Severity::Error) {
            return Err(Faults {
                name: document.name,
                text: document.text,
                diagnostics: found,
            });
        }
        document.warnings = found;
        Ok(document)
    }

    /// Reads and checks a text, all but what its alternatives make of it.
    pub(super) fn of_text(text: &str, name: &str) -> Result<Self, Faults> {
        if text.len() as u64 > MAX_BYTES {
            return Err(Faults::one(name, "", too_large(text.len() as u64)));
        }
        if let Some(at) = text.find('\0') {
            return Err(Faults::one(name, "", no_text(text.as_bytes(), at)));
        }
        let (job, spans) = reading::read(text, name)?;
        let lines = Lines::of(text);
        let found = check::check(&job, text, &spans, &lines);
        if found.iter().any(|fault| fault.severity == Severity::Error) {
            let (name, text) = (name.to_owned(), text.to_owned());
            return Err(Faults {
                name,
                text,
                diagnostics: found,
            });
        }
        let (name, text) = (name.to_owned(), text.to_owned());
        Ok(Self {
            name,
            text,
            job,
            spans,
            lines,
            warnings: found,
            origin: None,
            runs: Runs::default(),
        })
    }

    /// Reads and checks bytes of any kind.
    ///
    /// # Errors
    /// As [`Document::parse`], and where the bytes are not UTF-8.
    pub fn parse_bytes(bytes: &[u8], name: &str) -> Result<Self, Faults> {
        let zero = bytes.iter().position(|byte| *byte == 0);
        match std::str::from_utf8(bytes) {
            Ok(text) => Self::parse(text, name),
            Err(error) => {
                // Whichever comes first shows that it is no text.
                let at = zero.map_or(error.valid_up_to(), |at| at.min(error.valid_up_to()));
                Err(Faults::one(name, "", no_text(bytes, at)))
            }
        }
    }

    /// Reads and checks a file. Never more than [`MAX_BYTES`] of it are read.
    ///
    /// # Errors
    /// As [`Document::parse_bytes`], and where the file cannot be read.
    pub fn load(path: &Path) -> Result<Self, Faults> {
        let name = path.display().to_string();
        let bytes = read_file(path, &name)?;
        Self::parse_bytes(&bytes, &name)
    }

    /// The job.
    #[must_use]
    pub const fn job(&self) -> &Job {
        &self.job
    }

    /// The text, as it is saved.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// What messages call the file.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The same job under another name, for "save as".
    #[must_use]
    pub fn renamed(mut self, name: &str) -> Self {
        name.clone_into(&mut self.name);
        self
    }

    /// The same job under another name of its own, for pages about one of its alternatives. Its
    /// text stays.
    #[must_use]
    pub fn called(mut self, name: String) -> Self {
        self.runs = Runs::default();
        self.job.name = name;
        self
    }

    /// The same job shown on another tape; `None` shows it on the file's own. The text stays, and
    /// edits and alternatives of it are shown on that tape too.
    #[must_use]
    pub fn on_tape(mut self, tape: Option<Tape>) -> Self {
        let own = self.job.own_tape();
        self.runs = Runs::default();
        self.job.read_on = tape.map(|_| own);
        self.job.tape = tape.unwrap_or(own);
        self
    }

    /// Every run of the job by itself, as [`Job::each_run`] has them.
    #[must_use]
    pub fn each_run(&self) -> &[OneRun] {
        self.runs.0.get_or_init(|| self.job.each_run())
    }

    /// Shown on the tape that another document is shown on.
    pub(super) fn shown_as(self, other: &Self) -> Self {
        match other.job.read_on {
            Some(_) => self.on_tape(Some(other.job.tape)),
            None => self,
        }
    }

    /// What is likely to be a slip, though the job can be used.
    #[must_use]
    pub fn warnings(&self) -> &[Diagnostic] {
        &self.warnings
    }

    /// The index of the text; [`Document::line_of`] and its neighbours ask it.
    #[must_use]
    pub const fn spans(&self) -> &Spans {
        &self.spans
    }

    /// Line and column, both from 1, of the field or value at a path; in an alternative, in the file
    /// that it is one of. Of a path that the file does not write, because it takes a default, there is none.
    #[must_use]
    pub fn line_of(&self, path: &str) -> Option<(usize, usize)> {
        let value = self.spans.value(&self.text, path)?;
        let field = self.spans.field(&self.text, path);
        let field = field.unwrap_or_else(|| value.clone());
        Some(match &self.origin {
            Some(file) => file.place(&field, &value),
            None => self.lines.place(&self.text, field.start),
        })
    }

    /// What a later stage has against a field, drawn like any other fault of the file; in an
    /// alternative, at the change that brings it.
    #[must_use]
    pub fn fault(&self, path: &str, problem: impl Into<String>, help: impl Into<String>) -> Faults {
        let bytes = self.spans.nearest(&self.text, path);
        let fault = Diagnostic::at(&self.text, &self.lines, bytes, problem, help).with_path(path);
        match &self.origin {
            Some(origin) => origin.fault(&fault),
            None => Faults::one(&self.name, &self.text, fault),
        }
    }

    /// The value at a path as the file writes it.
    #[must_use]
    pub fn value_text(&self, path: &str) -> Option<&str> {
        self.text.get(self.spans.value(&self.text, path)?)
    }

    /// The path of what stands at a byte of the text.
    #[must_use]
    pub fn path_at(&self, byte: usize) -> String {
        self.spans.path_at(&self.text, byte)
    }
}

fn read_file(path: &Path, name: &str) -> Result<Vec<u8>, Faults> {
    let told = |fault| Faults::one(name, "", fault);
    let refused = |error: std::io::Error| {
        let help = match error.kind() {
            std::io::ErrorKind::NotFound => "is the path right? `rakewell new` writes a job",
            std::io::ErrorKind::PermissionDenied => "ask for the right to read it",
            _ => "name a job file",
        };
        told(Diagnostic::of_file(
            format!("cannot be read: {}", plain(&error)),
            help,
        ))
    };
    let about = std::fs::metadata(path).map_err(refused)?;
    if about.is_dir() {
        return Err(told(Diagnostic::of_file(
            "this is a folder",
            "name the job file in it",
        )));
    }
    if about.len() > MAX_BYTES {
        return Err(told(too_large(about.len())));
    }
    let mut bytes = Vec::new();
    // A device or a growing file tells no true length beforehand.
    let file = File::open(path).map_err(refused)?;
    file.take(MAX_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(refused)?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(told(too_large(bytes.len() as u64)));
    }
    Ok(bytes)
}

fn too_large(bytes: u64) -> Diagnostic {
    let most = MAX_BYTES / (1024 * 1024);
    let read = bytes.div_ceil(1024 * 1024);
    Diagnostic::of_file(
        format!("the file is too large to be a job: {read} MiB or more, {most} MiB at most"),
        "is this the right file?",
    )
}

/// A file that is no text; `at` is the first byte that shows it.
fn no_text(bytes: &[u8], at: usize) -> Diagnostic {
    let before = bytes.get(..at).unwrap_or(bytes);
    let line = 1 + before.iter().filter(|byte| **byte == b'\n').count();
    let column = 1 + before
        .iter()
        .rev()
        .take_while(|byte| **byte != b'\n')
        .count();
    let read = bytes
        .get(at)
        .map_or_else(String::new, |byte| format!("byte 0x{byte:02X}"));
    let problem = format!("this is not text: byte {at} of the file is not UTF-8 text");
    let fault = Diagnostic::of_file(problem, "a job is a text file; save it as UTF-8");
    Diagnostic {
        line,
        column,
        read,
        ..fault
    }
}
