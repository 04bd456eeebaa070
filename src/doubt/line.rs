//! [`Line`]: one number that is in doubt, a finding or a number of the set-out, and how it is read
//! off a draw with nothing worked out that it does not rest on.

use std::ops::ControlFlow;

use nalgebra::Point3;

use crate::chain::{Chain, ChainError};
use crate::inspect::{Care, Finding, Verdict};
use crate::measure::Length;

use super::batches::{self, Effort, Ended, Progress};
use super::chance::Tally;
use super::cross::Cross;
use super::model::{Model, Scratch};
use super::results::{self, Measured};
use super::spread::Spread;

/// Draws handed out at a time.
const CHUNK: u64 = 50;
/// Bins to a standard deviation, and how many there are.
const BINS_TO_SD: f64 = 40.0;
const BINS: usize = 800;

/// Told how far it has come; may break it off.
pub(super) type Watch<'a> = &'a (dyn Fn(Progress) -> ControlFlow<()> + Sync);

/// One number that is in doubt.
#[derive(Clone, Debug)]
pub enum Line {
    /// Something that is held against a limit, as it is on the plan.
    Finding(Box<Finding>),
    /// A number of the set-out.
    Result(Box<Measured>),
}

impl Line {
    /// Every line of a stair: what is found on the plan, judged without doubt as draws are, and what
    /// the set-out comes to.
    #[must_use]
    pub fn all(model: &Model, chain: &Chain) -> Vec<Self> {
        let mut scratch = model.scratch();
        let Ok(plan) = model.lay(&mut scratch) else {
            return Vec::new();
        };
        let found = model.findings(&plan, Care::Fine).into_iter();
        let results = results::of(model, &plan, chain).into_iter();
        found
            .map(|one| Self::Finding(Box::new(one)))
            .chain(results.map(|one| Self::Result(Box::new(one))))
            .collect()
    }

    /// What it is called: the id of a finding, the words of a number of the set-out.
    #[must_use]
    pub fn id(&self) -> String {
        match self {
            Self::Finding(finding) => finding.key.id(),
            Self::Result(result) => result.what.clone(),
        }
    }

    /// The finding, where it is one.
    #[must_use]
    pub fn finding(&self) -> Option<&Finding> {
        match self {
            Self::Finding(finding) => Some(finding),
            Self::Result(_) => None,
        }
    }

    /// As planned.
    #[must_use]
    pub fn planned(&self) -> Length {
        match self {
            Self::Finding(finding) => finding.value(),
            Self::Result(result) => result.planned,
        }
    }

    /// What it comes to where the scratch's numbers are drawn; `None` where there is no such place.
    pub(super) fn look(
        &self,
        model: &Model,
        scratch: &mut Scratch,
        care: Care<'_>,
    ) -> Result<Option<Seen>, ChainError> {
        let drawn = model.lay(scratch)?;
        Ok(match self {
            Self::Finding(plan) => {
                let found = drawn
                    .laid
                    .finding_with(model.runs(), model.pack(), &plan.key, care);
                found.map(|finding| Seen {
                    value: finding.value().as_mm(),
                    fails: matches!(finding.verdict, Verdict::Broken | Verdict::TooClose),
                    says: finding.says,
                    at: Some(finding.at),
                })
            }
            Self::Result(plan) => {
                let off = results::off(model, &drawn, std::slice::from_ref(plan.as_ref()));
                let off = off.first().copied().flatten();
                off.map(|off| Seen {
                    value: plan.planned.as_mm() + off,
                    fails: false,
                    says: String::new(),
                    at: None,
                })
            }
        })
    }

    /// Its value there, mm.
    pub(super) fn value(
        &self,
        model: &Model,
        scratch: &mut Scratch,
        care: Care<'_>,
    ) -> Option<f64> {
        let seen = self.look(model, scratch, care).ok().flatten()?;
        seen.value.is_finite().then_some(seen.value)
    }

    /// Draws it; about its plan and in bins of a share of what is thought to be its standard
    /// deviation. `None` where the watcher broke it off.
    pub(super) fn drawn(&self, model: &Model, effort: &Draws, watch: Watch<'_>) -> Option<Draw> {
        let limits = Effort {
            ends: vec![effort.draws],
            chunk: CHUNK,
            threads: effort.threads,
        };
        let middle = self.planned().as_mm();
        let empty = || Draw {
            scratch: Some(model.scratch()),
            spread: Spread::about(middle, effort.sd / BINS_TO_SD, BINS),
            tally: Tally::default(),
            cross: Cross::of(model.size()),
            absent: 0,
            none: 0,
        };
        let ran = batches::run(
            &limits,
            empty,
            |draw, number| draw.add(self, model, effort.seed, number),
            |all: &mut Draw, more: Draw| all.merge(&more),
            |_, _| false,
            watch,
        );
        (ran.ended != Ended::Cancelled).then_some(ran.summary)
    }
}

/// A line as it was seen on one draw.
pub(super) struct Seen {
    /// mm.
    pub(super) value: f64,
    pub(super) fails: bool,
    pub(super) says: String,
    /// Where it is pointed at, mm.
    pub(super) at: Option<Point3<f64>>,
}

/// How often a line is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Draws {
    pub(super) seed: u64,
    pub(super) draws: u64,
    pub(super) threads: usize,
    /// Its standard deviation so far as it is known, mm: for the width of the bins.
    pub(super) sd: f64,
}

/// What came of drawing a line.
#[derive(Clone, Debug)]
pub(super) struct Draw {
    scratch: Option<Scratch>,
    pub(super) spread: Spread,
    pub(super) tally: Tally,
    pub(super) cross: Cross,
    /// Draws in which there is no such place.
    pub(super) absent: u64,
    /// Draws in which nothing stands: it counts as failing.
    pub(super) none: u64,
}

impl Draw {
    fn add(&mut self, line: &Line, model: &Model, seed: u64, number: u64) {
        let scratch = self.scratch.get_or_insert_with(|| model.scratch());
        model.draw(seed, number, scratch);
        match line.look(model, scratch, Care::Measure) {
            Ok(Some(seen)) => {
                self.spread.add(seen.value);
                self.cross.add(&scratch.numbers, seen.value);
                self.tally.add(seen.fails);
            }
            Ok(None) => {
                self.absent += 1;
                self.tally.add(false);
            }
            Err(_) => {
                self.none += 1;
                self.tally.add(true);
            }
        }
    }

    fn merge(&mut self, more: &Self) {
        self.spread.merge(&more.spread);
        self.cross.merge(&more.cross);
        self.tally.merge(more.tally);
        self.absent += more.absent;
        self.none += more.none;
    }

    /// The share of the variance that goes straight with a source, less what as many unrelated
    /// numbers show by accident.
    pub(super) fn share(&self, source: &super::Source) -> f64 {
        self.cross.share(source.from..source.from + source.count)
    }
}

/// Asks something of a model for each of so many numbers, in their order; `None` where the watcher
/// broke it off.
pub(super) fn each<T: Send>(
    model: &Model,
    many: usize,
    threads: usize,
    watch: Watch<'_>,
    ask: impl Fn(&mut Scratch, usize) -> T + Sync,
) -> Option<Vec<T>> {
    const AT_A_TIME: u64 = 8;
    let effort = Effort {
        ends: vec![many as u64],
        chunk: AT_A_TIME,
        threads,
    };
    let ran = batches::run(
        &effort,
        || (None, Vec::new()),
        |(scratch, told): &mut (Option<Scratch>, Vec<T>), number| {
            let scratch = scratch.get_or_insert_with(|| model.scratch());
            told.push(ask(scratch, number as usize));
        },
        |all, more| all.1.extend(more.1),
        |_, _| false,
        watch,
    );
    (ran.ended != Ended::Cancelled).then_some(ran.summary.1)
}
