//! Rows of reveals: how they range, what they change by from one step to the next, how they drift
//! up the flight, and where the eye catches it.
//!
//! In: site and set-out. Out: a [`RevealRun`] for each row: tread ends, skirts, newels' blocks, the
//! rail beside a wall. Lengths are level, but over nosings and of newels' blocks, which are plumb.

use nalgebra::Point3;

use crate::job::Seen;
use crate::measure::{Length, Tape};
use crate::rules::Sense;

use super::railing::{Limit, PRACTICE, exact};
use super::{Finding, Key, Kind, Severity};

mod rows;

pub(super) use rows::of_run;

/// What a row of reveals is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// Between balusters and the ends of their treads.
    TreadEnds,
    /// What shows of a skirt, or beside it.
    Skirts,
    /// What shows of the newels' head blocks.
    NewelBlocks,
    /// Between a rail and the wall that it runs along.
    RailToWall,
}

/// One reveal.
#[derive(Clone, Debug, PartialEq)]
pub struct RevealAt {
    /// The part that it is beside, such as `B07` or `T3`.
    pub part: String,
    /// The step; of newels their number from the bottom, from 1.
    pub step: u32,
    /// What shows.
    pub value: Length,
    /// Where to point at, mm in the first run's frame.
    pub at: Point3<f64>,
}

/// What reveals change by from one step to the next: the mean of the later less that of the former.
#[derive(Clone, Debug, PartialEq)]
pub struct RevealChange {
    /// The former step.
    pub from: u32,
    /// The later one.
    pub to: u32,
    /// The change.
    pub by: Length,
    /// Where to point at, mm in the first run's frame: the first reveal of the later step.
    pub at: Point3<f64>,
}

/// A place where the eye catches something.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenAt {
    /// Where to point at, mm in the first run's frame.
    pub at: Point3<f64>,
    /// The step that it is at.
    pub step: u32,
    /// What is seen there.
    pub what: Seeing,
}

/// What the eye sees of a row of reveals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seeing {
    /// One of its two ends: the least or the greatest of reveals that range too far.
    Range,
    /// A jump from the step before.
    Jump,
    /// The end of a row that drifts too much per step.
    Drift,
}

/// A row of reveals.
#[derive(Clone, Debug, PartialEq)]
pub struct RevealRun {
    /// What it is about.
    pub family: Family,
    /// The same in words.
    pub what: String,
    /// The parts that it belongs to: they name it among all rows.
    pub parts: Vec<String>,
    /// The run, by its number in [`crate::job::Job::each_run`].
    pub run: usize,
    /// The reveals, from the bottom up; at least two.
    pub values: Vec<RevealAt>,
    /// The least of them, by its place in `values`.
    pub least: usize,
    /// The greatest.
    pub most: usize,
    /// The greatest less the least.
    pub range: Length,
    /// What they change by from step to step.
    pub changes: Vec<RevealChange>,
    /// How they drift per step: the slope of the line through the steps' means, by least squares.
    pub slope: Length,
    /// The farthest that a step's mean lies off that line.
    pub remainder: Length,
    /// Where the eye catches it.
    pub seen: Vec<SeenAt>,
}

impl RevealRun {
    /// A row of reveals from the bottom up; `None` where there is nothing to compare.
    #[must_use]
    pub fn of(
        family: Family,
        (what, parts): (String, Vec<String>),
        values: Vec<RevealAt>,
        eye: &Seen,
    ) -> Option<Self> {
        let by_value = |a: &usize, b: &usize| values[*a].value.total_cmp(&values[*b].value);
        let least = (0..values.len()).min_by(by_value)?;
        // Of equals the first.
        let most = (0..values.len()).rev().max_by(by_value)?;
        if values.len() < 2 {
            return None;
        }
        let range = values[most].value - values[least].value;
        let steps = means(&values);
        let changes = steps
            .windows(2)
            .map(|pair| RevealChange {
                from: pair[0].step,
                to: pair[1].step,
                by: pair[1].value - pair[0].value,
                at: pair[1].at,
            })
            .collect();
        let (slope, remainder) = drift(&steps);
        let mut run = Self {
            family,
            what,
            parts,
            run: 0,
            values,
            least,
            most,
            range,
            changes,
            slope,
            remainder,
            seen: Vec::new(),
        };
        run.seen = run.caught(eye);
        Some(run)
    }

    /// The means of the reveals of each step, from the bottom up.
    #[must_use]
    pub fn steps(&self) -> Vec<RevealAt> {
        means(&self.values)
    }

    /// Where the eye catches it, from the bottom up.
    fn caught(&self, eye: &Seen) -> Vec<SeenAt> {
        let mut seen = Vec::new();
        let over =
            |value: Length, limit: &crate::job::Len| !Sense::AtMost.holds(value.abs(), limit.value);
        if over(self.range, &eye.reveal) {
            let ends = [self.least, self.most].map(|at| &self.values[at]);
            seen.extend(ends.map(|end| end.seen(Seeing::Range)));
        }
        for change in self.changes.iter().filter(|one| over(one.by, &eye.step)) {
            seen.push(SeenAt {
                at: change.at,
                step: change.to,
                what: Seeing::Jump,
            });
        }
        if let (true, Some(last)) = (over(self.slope, &eye.slope), self.values.last()) {
            seen.push(last.seen(Seeing::Drift));
        }
        seen.sort_by_key(|one| one.step);
        seen
    }

    /// Carries its places into another frame.
    pub(super) fn place(&mut self, to: impl Fn(&Point3<f64>) -> Point3<f64>) {
        let values = self.values.iter_mut().map(|one| &mut one.at);
        let changes = self.changes.iter_mut().map(|one| &mut one.at);
        let seen = self.seen.iter_mut().map(|one| &mut one.at);
        for at in values.chain(changes).chain(seen) {
            *at = to(at);
        }
    }

    /// What is found of it: its range, its greatest change between steps, and its drift.
    pub(super) fn findings(&self, eye: &Seen, tape: Tape) -> Vec<Finding> {
        let jump = self.changes.iter().reduce(|most, one| {
            if one.by.abs() > most.by.abs() {
                one
            } else {
                most
            }
        });
        let mut found = vec![self.ranges(eye, tape)];
        found.extend(jump.map(|jump| self.jumps(jump, eye, tape)));
        if self.changes.len() > 1 {
            found.push(self.drifts(eye, tape));
        }
        found
    }

    fn finding(
        &self,
        (kind, severity): (Kind, Severity),
        (value, limit): (Length, Length),
        at: Point3<f64>,
        says: String,
    ) -> Finding {
        let key = Key {
            kind,
            parts: self.parts.clone(),
        };
        let limit = Limit {
            limit,
            sense: Sense::AtMost,
            source: PRACTICE,
        };
        exact(key, value, limit, severity, at, says)
    }

    /// A place of the row in words, after the part that is there.
    fn on(&self, one: &RevealAt) -> String {
        match self.family {
            Family::TreadEnds => format!("{} on tread {}", one.part, one.step),
            _ => one.part.clone(),
        }
    }

    fn ranges(&self, eye: &Seen, tape: Tape) -> Finding {
        let (least, most) = (&self.values[self.least], &self.values[self.most]);
        let says = format!(
            "{} by {}: {} at {}, {} at {}",
            self.wanders(),
            tape.print(self.range),
            tape.print(least.value),
            self.on(least),
            tape.print(most.value),
            self.on(most)
        );
        let severity = match self.family {
            Family::TreadEnds => Severity::Fix,
            _ => Severity::Remark,
        };
        let kind = (Kind::RevealDrift, severity);
        self.finding(kind, (self.range, eye.reveal.value), least.at, says)
    }

    fn wanders(&self) -> String {
        format!("{} wanders", self.what)
    }

    fn jumps(&self, jump: &RevealChange, eye: &Seen, tape: Tape) -> Finding {
        let unit = self.unit();
        let says = format!(
            "{} jumps by {} from {unit} {} to {unit} {}; {} is seen",
            self.what,
            tape.print(jump.by.abs()),
            jump.from,
            jump.to,
            tape.print(eye.step.value)
        );
        let kind = (Kind::RevealStep, Severity::Remark);
        self.finding(kind, (jump.by.abs(), eye.step.value), jump.at, says)
    }

    /// The drift over the whole row against what may be seen of it, so that both are lengths that a
    /// tape shows.
    fn drifts(&self, eye: &Seen, tape: Tape) -> Finding {
        let (first, last) = (&self.values[0], &self.values[self.values.len() - 1]);
        let steps = f64::from(last.step.abs_diff(first.step));
        let (whole, limit) = (self.slope.abs() * steps, eye.slope.value * steps);
        let way = if self.slope < Length::ZERO {
            "less"
        } else {
            "more"
        };
        let says = format!(
            "{} drifts to {} {way} over {steps} {}s, within {} of a straight line; {} is seen",
            self.what,
            tape.print(whole),
            self.unit(),
            tape.print(self.remainder),
            tape.print(limit)
        );
        let kind = (Kind::RevealSlope, Severity::Remark);
        self.finding(kind, (whole, limit), last.at, says)
    }

    /// What its places are numbered by.
    #[must_use]
    pub const fn unit(&self) -> &'static str {
        match self.family {
            Family::TreadEnds => "tread",
            Family::Skirts | Family::RailToWall => "step",
            Family::NewelBlocks => "newel",
        }
    }
}

impl RevealAt {
    fn seen(&self, what: Seeing) -> SeenAt {
        SeenAt {
            at: self.at,
            step: self.step,
            what,
        }
    }
}

/// The means of each step, at its first reveal.
fn means(values: &[RevealAt]) -> Vec<RevealAt> {
    values
        .chunk_by(|a, b| a.step == b.step)
        .filter_map(|step| {
            let sum: Length = step.iter().map(|one| one.value).sum();
            Some(RevealAt {
                value: sum / step.len() as f64,
                ..step.first()?.clone()
            })
        })
        .collect()
}

/// The slope of the line nearest to the steps' means by least squares, per step, and the farthest
/// that one lies off it.
fn drift(steps: &[RevealAt]) -> (Length, Length) {
    let count = steps.len().max(1) as f64;
    let points: Vec<(f64, f64)> = steps
        .iter()
        .map(|one| (f64::from(one.step), one.value.as_mm()))
        .collect();
    let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(|point| point.0), mean(|point| point.1));
    let across: f64 = points.iter().map(|point| (point.0 - x).powi(2)).sum();
    let both: f64 = points
        .iter()
        .map(|point| (point.0 - x) * (point.1 - y))
        .sum();
    let slope = if across > 0.0 { both / across } else { 0.0 };
    let off = points
        .iter()
        .map(|point| (point.1 - y - slope * (point.0 - x)).abs());
    (Length::mm(slope), Length::mm(off.fold(0.0, f64::max)))
}

#[cfg(test)]
mod tests;
