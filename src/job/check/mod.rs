//! Whether a job that reads makes sense: sizes, counts, places and names.
//!
//! In: a job and the index of its text. Out: faults with their fields and lines, in the order of
//! the file. Does not: compute geometry beyond the plan of a wall; know rules.

mod alternatives;
mod bedding;
mod boards;
mod bottom;
mod built;
mod client;
mod copies;
mod design;
mod fastening;
mod fixings;
mod flight;
mod floors;
mod from_lines;
mod how;
mod infill;
mod lines;
mod local;
mod names;
mod notes;
mod railing;
mod received;
mod runs;
mod scribing;
mod several;
mod shop;
mod spacing;
mod stated;
mod steps;
mod tolerances;
mod tools;
mod two_walls;
mod units;
mod wall_readings;
mod walls;
mod winders;
mod wood;

use super::diagnostic::{Diagnostic, Severity};
use super::limits::{Bounds, LONGEST_JOB, MOST_RUNS};
use super::lines::Lines;
use super::spans::Spans;
use super::{Job, Len, OneRun};
use crate::measure::{Length, tolerance};

/// No more errors, and no more warnings, than this are told at a time. Each costs a look at the
/// text, and a file can hold half a million slips.
pub(super) const MOST_FAULTS: usize = 20;

/// Checks a job, whose text and index are given for the places of what is found. Each run is
/// checked by itself, by the same rules as the first.
pub(super) fn check(job: &Job, text: &str, spans: &Spans, lines: &Lines) -> Vec<Diagnostic> {
    if job.runs.len() > MOST_RUNS {
        // By itself: the faults of so many would crowd it out.
        let problem = format!("{} runs are too many", job.runs.len());
        let help = format!("{MOST_RUNS} at most");
        let fault = Diagnostic::at(text, lines, spans.nearest(text, "runs"), problem, help);
        return vec![fault.with_path("runs")];
    }
    let all = job.each_run();
    let mut found = Vec::new();
    for run in &all {
        let mut check = Check {
            job: &run.job,
            run,
            all: &all,
            text,
            spans,
            lines,
            found,
        };
        one_run(&mut check);
        found = check.found;
    }
    if let Some(first) = all.first() {
        let mut check = Check {
            job,
            run: first,
            all: &all,
            text,
            spans,
            lines,
            found,
        };
        how::text(&mut check, "name", "the job's name", &job.name, LONGEST_JOB);
        tools::check(&mut check);
        runs::check(&mut check);
        wood::check(&mut check);
        tolerances::check(&mut check);
        local::check(&mut check);
        shop::check(&mut check);
        client::check(&mut check);
        fastening::check(&mut check);
        notes::check(&mut check);
        alternatives::check(&mut check);
        names::check(&mut check);
        found = check.found;
    }
    found.sort_by_key(|fault| fault.bytes.start);
    found
}

/// What a run has for itself.
fn one_run(check: &mut Check<'_>) {
    if check.run.has_stair() {
        lines::check(check);
        if check.job.level.is_some() {
            runs::level(check);
        } else {
            flight::check(check);
            stated::flight(check);
            bottom::check(check);
            steps::check(check);
        }
        walls::check(check);
        floors::check(check);
        stated::overheads(check);
        boards::check(check);
        scribing::check(check);
    }
    design::check(check);
    fixings::check(check);
    railing::check(check);
    spacing::check(check);
    bedding::check(check);
    received::check(check);
    runs::railing(check);
    if check.run.has_stair() {
        built::check(check);
    }
}

/// What a length was meant to be.
#[derive(Clone, Copy, Debug)]
enum Meant {
    /// The design does not say.
    Unsaid,
    /// It is small, or on rough framing, so that it may well be a quarter off: only a factor
    /// between two units tells a slip.
    Loosely(Length),
    /// A quarter off it is likely to be a slip.
    Firmly(Length),
}

impl Meant {
    const fn length(self) -> Option<Length> {
        match self {
            Self::Unsaid => None,
            Self::Loosely(length) | Self::Firmly(length) => Some(length),
        }
    }
}

/// A reading further than this share off what was meant is likely to be a slip.
const SLIP: f64 = 0.25;

/// What the checks share.
struct Check<'a> {
    /// The run that is checked, as a job by itself.
    job: &'a Job,
    run: &'a OneRun,
    /// Every run of the job.
    all: &'a [OneRun],
    text: &'a str,
    spans: &'a Spans,
    lines: &'a Lines,
    found: Vec<Diagnostic>,
}

impl<'a> Check<'a> {
    /// The runs up to the one that is checked, itself included.
    fn so_far(&self) -> impl Iterator<Item = &'a OneRun> + use<'a> {
        let here = self
            .all
            .iter()
            .position(|run| std::ptr::eq(run, self.run))
            .unwrap_or(0);
        self.all.iter().take(here + 1)
    }

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
        let path = self.run.path(path);
        let bytes = self.spans.nearest(self.text, &path);
        let fault = Diagnostic::at(self.text, self.lines, bytes, problem, help).with_path(&path);
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
        let told = self.push(Severity::Error, path, problem, help);
        self.beside(told, other, says);
    }

    /// A likely slip that has to do with a second place.
    fn warn_both(
        &mut self,
        path: &str,
        problem: impl Into<String>,
        help: impl Into<String>,
        other: &str,
        says: &str,
    ) {
        let told = self.push(Severity::Warning, path, problem, help);
        self.beside(told, other, says);
    }

    /// Puts a second place to the fault that was just told.
    fn beside(&mut self, told: bool, other: &str, says: &str) {
        if !told {
            return;
        }
        let bytes = self.spans.nearest(self.text, &self.run.path(other));
        if let Some(fault) = self.found.pop() {
            self.found
                .push(fault.beside(self.text, self.lines, bytes, says));
        }
    }

    /// True where a length is within bounds; else it is told.
    fn length(&mut self, path: &str, what: &str, length: &Len, bounds: Bounds) -> bool {
        self.reading(path, what, length, bounds, Meant::Unsaid)
    }

    /// The same for a length that was meant to be another one, more or less: one that can stand
    /// but is likely to be a slip is warned of.
    fn reading(
        &mut self,
        path: &str,
        what: &str,
        length: &Len,
        bounds: Bounds,
        meant: Meant,
    ) -> bool {
        let good = bounds.hold(length.value);
        let meant = match meant {
            // What was meant is out of bounds itself, and has been told.
            Meant::Firmly(length) | Meant::Loosely(length) if !bounds.hold(length) => Meant::Unsaid,
            meant => meant,
        };
        if good {
            self.slip(path, what, length, bounds, meant);
        } else {
            let wanted = units::Wanted {
                fits: |length| bounds.hold(length),
                meant: meant.length(),
            };
            let slip = units::recognise(length, self.job.units, &wanted, true);
            let problem = self.out_of_bounds(what, length.value, bounds);
            let mut help = format!(
                "write {} to {}",
                self.print(bounds.least),
                self.print(bounds.most)
            );
            if let Some(slip) = slip {
                help = format!("{help}; {}", slip.say(self.job.tape));
            }
            self.tell(path, problem, help);
        }
        good
    }

    fn out_of_bounds(&self, what: &str, value: Length, bounds: Bounds) -> String {
        if !value.is_finite() {
            format!("{what} is not a number")
        } else if is_zero(value) {
            format!("{what} is zero")
        } else if value < Length::ZERO && bounds.least >= Length::ZERO {
            format!("{what} is negative")
        } else if value < bounds.least {
            format!("{what} is less than {}", self.print(bounds.least))
        } else {
            format!("{what} is more than {}", self.print(bounds.most))
        }
    }

    /// Warns of a length that can stand but is far from what was meant.
    fn slip(&mut self, path: &str, what: &str, length: &Len, bounds: Bounds, meant: Meant) {
        let Some(value) = meant.length() else {
            return;
        };
        if (length.value - value).abs() <= value.abs() * SLIP {
            return;
        }
        let wanted = units::Wanted {
            fits: |length| bounds.hold(length),
            meant: Some(value),
        };
        let slip = units::recognise(length, self.job.units, &wanted, false);
        let help = match (&slip, meant) {
            (Some(slip), _) => slip.say(self.job.tape),
            (None, Meant::Firmly(_)) => "read it again; is it the right place?".to_owned(),
            (None, _) => return,
        };
        let value = self.print(value);
        let problem = format!("{what} is more than a quarter off the {value} that is meant");
        self.warn(path, problem, help);
    }

    /// True for a length over zero, up to a most; else it is told.
    fn over_zero(&mut self, path: &str, what: &str, length: &Len, most: Length) -> bool {
        let value = length.value;
        let good = Length::ZERO < value && value <= most;
        if !good {
            let problem = if is_zero(value) {
                format!("{what} is zero")
            } else if value < Length::ZERO {
                format!("{what} is negative")
            } else if value.is_finite() {
                format!("{what} is more than {}", self.print(most))
            } else {
                format!("{what} is not a number")
            };
            let help = format!("write more than zero, and {} at most", self.print(most));
            self.tell(path, problem, help);
        }
        good
    }

    /// True where there are no more than so many of something; else it is told.
    fn few(&mut self, path: &str, what: &str, count: usize, most: usize) -> bool {
        if count > most {
            let problem = format!("{count} {what} are too many");
            self.tell(path, problem, format!("{most} at most"));
        }
        count <= most
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

    /// True for a kick of the flight; else it is told.
    fn kick(&mut self, path: &str, step: u32) -> bool {
        let kicks = self.job.flight.count;
        let good = (1..=kicks).contains(&step);
        if !good {
            let problem = format!("there is no kick {step}");
            self.tell(path, problem, format!("the flight has kicks 1 to {kicks}"));
        }
        good
    }

    /// True for a tread, for the upper floor as the last step, or, where it counts as well, for
    /// the lower floor as step 0; else it is told.
    fn step(&mut self, path: &str, step: u32, floor: bool) -> bool {
        let kicks = self.job.flight.count;
        let least = u32::from(!floor);
        let good = (least..=kicks).contains(&step);
        if !good {
            let lower = if floor { "0 is the lower floor, " } else { "" };
            self.tell(
                path,
                format!("there is no step {step}"),
                format!("{lower}treads go up from 1, and {kicks} is the upper floor"),
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
