//! Whether a job that reads makes sense: sizes, counts, places and names.
//!
//! In: a job and the index of its text. Out: faults with their fields and lines, in the order of
//! the file. Does not: compute geometry beyond the plan of a wall; know rules.

mod design;
mod flight;
mod spacing;
mod walls;

use super::diagnostic::{Diagnostic, Severity};
use super::limits::Bounds;
use super::lines::Lines;
use super::spans::Spans;
use super::{Job, Len};
use crate::measure::{Length, tolerance};

/// No more errors, and no more warnings, than this are told at a time. Each costs a look at the
/// text, and a file can hold half a million slips.
const MOST_FAULTS: usize = 20;

/// Checks a job, whose text and index are given for the places of what is found.
pub(super) fn check(job: &Job, text: &str, spans: &Spans, lines: &Lines) -> Vec<Diagnostic> {
    let mut check = Check {
        job,
        text,
        spans,
        lines,
        found: Vec::new(),
    };
    flight::check(&mut check);
    walls::check(&mut check);
    design::check(&mut check);
    spacing::check(&mut check);
    names(&mut check);
    check.found.sort_by_key(|fault| fault.bytes.start);
    check.found
}

/// What the checks share.
struct Check<'a> {
    job: &'a Job,
    text: &'a str,
    spans: &'a Spans,
    lines: &'a Lines,
    found: Vec<Diagnostic>,
}

impl Check<'_> {
    fn tell(&mut self, path: &str, problem: impl Into<String>, help: impl Into<String>) {
        self.push(Severity::Error, path, problem, help);
    }

    fn warn(&mut self, path: &str, problem: impl Into<String>, help: impl Into<String>) {
        self.push(Severity::Warning, path, problem, help);
    }

    /// True unless there are enough of this severity already.
    fn push(
        &mut self,
        severity: Severity,
        path: &str,
        problem: impl Into<String>,
        help: impl Into<String>,
    ) -> bool {
        let alike = self
            .found
            .iter()
            .filter(|fault| fault.severity == severity)
            .count();
        if alike >= MOST_FAULTS {
            return false;
        }
        let bytes = self.spans.nearest(self.text, path);
        let fault = Diagnostic::at(self.text, self.lines, bytes, problem, help).with_path(path);
        self.found.push(Diagnostic { severity, ..fault });
        true
    }

    /// A fault that has to do with a second place.
    fn tell_both(
        &mut self,
        path: &str,
        problem: impl Into<String>,
        help: impl Into<String>,
        other: &str,
        says: &str,
    ) {
        if !self.push(Severity::Error, path, problem, help) {
            return;
        }
        let bytes = self.spans.nearest(self.text, other);
        if let Some(fault) = self.found.pop() {
            self.found
                .push(fault.beside(self.text, self.lines, bytes, says));
        }
    }

    /// True where a length is within bounds; else it is told.
    fn length(&mut self, path: &str, what: &str, length: &Len, bounds: Bounds) -> bool {
        let value = length.value;
        if bounds.hold(value) {
            return true;
        }
        let problem = if !value.is_finite() {
            format!("{what} is not a number")
        } else if is_zero(value) {
            format!("{what} is zero")
        } else if value < Length::ZERO && bounds.least >= Length::ZERO {
            format!("{what} is negative")
        } else if value < bounds.least {
            format!("{what} is less than {}", self.print(bounds.least))
        } else {
            format!("{what} is more than {}", self.print(bounds.most))
        };
        let help = format!(
            "write {} to {}",
            self.print(bounds.least),
            self.print(bounds.most)
        );
        self.tell(path, problem, help);
        false
    }

    fn count(&mut self, path: &str, what: &str, count: u32, least: u32, most: u32) -> bool {
        let good = (least..=most).contains(&count);
        if !good {
            self.tell(
                path,
                format!("{count} {what}"),
                format!("write {least} to {most}"),
            );
        }
        good
    }

    fn print(&self, length: Length) -> String {
        self.job.tape.print(length)
    }

    /// True for a tread of the flight; else it is told.
    fn tread(&mut self, path: &str, step: u32) -> bool {
        let kicks = self.job.flight.count;
        let treads = kicks.saturating_sub(1);
        let good = (1..=treads).contains(&step);
        if !good {
            self.tell(
                path,
                format!("there is no tread {step}"),
                format!("{kicks} kicks carry treads 1 to {treads}"),
            );
        }
        good
    }
}

/// Lengths are never compared with `==`.
fn is_zero(length: Length) -> bool {
    length.abs() < Length::mm(tolerance::SAME_POINT_MM)
}

/// Every part has a name of its own: troubles call it by that.
fn names(check: &mut Check<'_>) {
    let job = check.job;
    let mut named: Vec<(String, &str)> = Vec::new();
    let lists = [
        (
            "walls",
            job.walls
                .iter()
                .map(|part| part.name.as_str())
                .collect::<Vec<_>>(),
        ),
        (
            "stringers",
            job.stringers
                .iter()
                .map(|part| part.name.as_str())
                .collect(),
        ),
        (
            "skirts",
            job.skirts.iter().map(|part| part.name.as_str()).collect(),
        ),
        (
            "design.newels",
            job.design
                .newels
                .iter()
                .map(|part| part.name.as_str())
                .collect(),
        ),
    ];
    for (list, names) in lists {
        named.extend(
            names
                .into_iter()
                .enumerate()
                .map(|(at, name)| (format!("{list}[{at}].name"), name)),
        );
    }
    named.push(("design.rail.name".to_owned(), &job.design.rail.name));
    if let Some(rail) = &job.design.bottom_rail {
        named.push(("design.bottom_rail.name".to_owned(), &rail.name));
    }
    let mut former: std::collections::BTreeMap<&str, String> = std::collections::BTreeMap::new();
    for (path, name) in named {
        one_name(check, &path, name);
        match former.get(name) {
            Some(first) => check.tell_both(
                &path,
                format!("two parts are called `{name}`"),
                "give every part a name of its own",
                first,
                "the other one",
            ),
            None => {
                former.insert(name, path);
            }
        }
    }
}

fn one_name(check: &mut Check<'_>, path: &str, name: &str) {
    let most = super::limits::LONGEST_NAME;
    if name.trim().is_empty() {
        check.tell(
            path,
            "the name is empty",
            "call it something short, as `W1`",
        );
    } else if name.chars().count() > most {
        check.tell(
            path,
            "the name is too long",
            format!("{most} characters at most"),
        );
    } else if name.chars().any(char::is_control) {
        check.tell(
            path,
            "the name holds characters that do not print",
            "use letters and digits",
        );
    } else if is_given(name) {
        check.tell(
            path,
            format!("`{name}` is the name of a baluster, tread or kick"),
            "B, T and K with a number are given by the program; call it something else",
        );
    }
}

/// `B07`, `T4` and `K12` are given to balusters, treads and kicks.
fn is_given(name: &str) -> bool {
    name.strip_prefix(['B', 'T', 'K'])
        .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|byte| byte.is_ascii_digit()))
}
