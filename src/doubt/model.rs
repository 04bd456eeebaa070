//! [`Model`]: the worked stair as a function of its independent sources of doubt.
//!
//! One number for each error, in its own standard deviations: all noughts is the plan on the stair as
//! found. Everything that counts draws, takes slopes or shares variance asks this one function.

use std::sync::Arc;

use crate::chain::{self, Chain, ChainError, Laid};
use crate::inspect::{Care, Finding};
use crate::job::OneRun;
use crate::measure::Length;
use crate::rules::{Pack, Quantity};
use crate::setout::{Choices, SetOut, Worked};
use crate::survey::{self, Drawer, Estimates, Linear};

use super::hand;
use super::source::{Aim, Origin, Source};
use super::stream::{Stream, stream};

/// The worked stair as a function of its sources.
#[derive(Clone, Debug)]
pub struct Model {
    runs: Vec<Arc<OneRun>>,
    pack: Arc<Pack>,
    /// The rules that are looked at.
    looked: Arc<Pack>,
    held: Vec<Choices>,
    found: Vec<Estimates>,
    plan: Vec<Worked>,
    /// Each survey once, with the runs that stand on it.
    drawers: Vec<(Drawer, Vec<usize>)>,
    /// What hand and saw do: the run, where it goes, and its standard deviation.
    errors: Vec<(usize, Aim, f64)>,
    sources: Vec<Source>,
    /// The set-out of each run that pieces are cut to.
    planned: Vec<SetOut>,
    /// What nobody read is drawn too.
    unread_counts: bool,
    /// Numbers before those of hand and saw.
    surveyed: usize,
}

/// What a draw is worked out in, so that it is not made anew for each.
#[derive(Clone, Debug)]
pub struct Scratch {
    estimates: Vec<Estimates>,
    worked: Vec<Worked>,
    /// The numbers of the draw, each in the standard deviation of its source.
    pub numbers: Vec<f64>,
}

/// A stair as it was drawn and worked.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// Its set-out.
    pub laid: Laid,
    /// How much longer than planned each run's rail was cut.
    pub cut: Vec<Length>,
}

impl Model {
    /// The model of a stair whose chain was run on its readings; `None` where it ran on given
    /// estimates, which are in no doubt.
    #[must_use]
    pub fn of(chain: &Chain) -> Option<Self> {
        let surveys = chain.surveys();
        if surveys.len() != chain.runs.len() {
            return None;
        }
        let mut drawers: Vec<(Drawer, Vec<usize>)> = Vec::new();
        let mut made: Vec<Arc<survey::Survey>> = Vec::new();
        for (number, (survey, run)) in surveys.iter().zip(&chain.runs).enumerate() {
            if let Some(at) = made.iter().position(|one| Arc::ptr_eq(one, survey)) {
                drawers[at].1.push(number);
            } else {
                made.push(survey.clone());
                drawers.push((Drawer::of(&run.run.job, survey), vec![number]));
            }
        }
        let mut sources = Vec::new();
        let mut from = 0;
        for (drawer, runs) in &drawers {
            for (source, count) in drawer.sources() {
                sources.push(Source {
                    run: runs.first().copied().unwrap_or_default(),
                    unread: drawer.is_unread(source),
                    origin: Origin::Survey(source.clone()),
                    from,
                    count: *count,
                });
                from += count;
            }
        }
        let surveyed = from;
        let mut errors = Vec::new();
        for (number, run) in chain.runs.iter().enumerate() {
            for error in hand::errors(&run.run.job, &run.setout) {
                sources.push(Source {
                    run: number,
                    unread: false,
                    origin: error.origin,
                    from,
                    count: 1,
                });
                errors.push((number, error.aim, error.sd));
                from += 1;
            }
        }
        Some(Self {
            runs: chain::again(chain),
            pack: chain.pack.clone(),
            looked: chain.pack.clone(),
            held: chain.choices(),
            found: chain.estimates(),
            plan: chain
                .runs
                .iter()
                .map(|run| Worked::to_plan(&run.site, &run.setout))
                .collect(),
            planned: chain.runs.iter().map(|run| run.setout.clone()).collect(),
            drawers,
            errors,
            sources,
            unread_counts: false,
            surveyed,
        })
    }

    /// The sources, in order.
    #[must_use]
    pub fn sources(&self) -> &[Source] {
        &self.sources
    }

    /// The same with what nobody read as far off as framing may be. The readings are to decide, so
    /// those customs are wide: what fails then is no more than what is to be read.
    #[must_use]
    pub fn with_unread(&self) -> Self {
        Self {
            unread_counts: true,
            ..self.clone()
        }
    }

    /// Whether a source has a part in the draws.
    #[must_use]
    pub const fn counts(&self, source: &Source) -> bool {
        self.unread_counts || !source.unread
    }

    /// How many quantities nobody read and stand as meant.
    #[must_use]
    pub fn unread(&self) -> usize {
        let sources = self.sources.iter();
        sources.filter(|source| !self.counts(source)).count()
    }

    /// True where what nobody read is drawn too.
    #[must_use]
    pub const fn counts_unread(&self) -> bool {
        self.unread_counts
    }

    /// The runs.
    #[must_use]
    pub fn runs(&self) -> &[Arc<OneRun>] {
        &self.runs
    }

    /// The pack reported against.
    #[must_use]
    pub fn pack(&self) -> &Pack {
        &self.pack
    }

    /// How many numbers a draw takes.
    #[must_use]
    pub fn size(&self) -> usize {
        self.surveyed + self.errors.len()
    }

    /// What to work draws out in.
    #[must_use]
    pub fn scratch(&self) -> Scratch {
        Scratch {
            estimates: self.found.clone(),
            worked: self.plan.clone(),
            numbers: vec![0.0; self.size()],
        }
    }

    /// The set-out that the pieces of a run are cut to.
    #[must_use]
    pub(super) fn plan(&self, run: usize) -> &SetOut {
        &self.planned[run]
    }

    /// The same without some rules: what they limit is not looked at.
    pub(super) fn without(&self, quantities: &[Quantity]) -> Self {
        Self {
            looked: Arc::new(self.pack.without(quantities)),
            ..self.clone()
        }
    }

    /// Draws the numbers of a draw into its scratch.
    pub fn draw(&self, seed: u64, draw: u64, scratch: &mut Scratch) {
        self.number(&mut stream(seed, draw), &mut scratch.numbers);
    }

    /// Draws the numbers: normal for what was read, within limits for hand and saw, nought for what
    /// nobody read.
    pub fn number(&self, stream: &mut Stream, numbers: &mut Vec<f64>) {
        numbers.clear();
        for source in &self.sources {
            let (normal, counts) = (source.is_normal(), self.counts(source));
            numbers.extend((0..source.count).map(|_| {
                let number = if normal {
                    stream.normal()
                } else {
                    stream.rectangular()
                };
                // It is drawn all the same, so that the others have the same numbers either way.
                if counts { number } else { 0.0 }
            }));
        }
    }

    /// The stair that the scratch's numbers make.
    ///
    /// # Errors
    /// [`ChainError`] where no rail, newel or row stands on it.
    pub fn lay(&self, scratch: &mut Scratch) -> Result<Drawn, ChainError> {
        let Scratch {
            estimates,
            worked,
            numbers,
        } = scratch;
        let mut from = 0;
        for (drawer, runs) in &self.drawers {
            let numbers = &numbers[from..from + drawer.size()];
            from += drawer.size();
            let Some((first, others)) = runs.split_first() else {
                continue;
            };
            drawer.draw(numbers, &mut estimates[*first]);
            for &other in others {
                estimates[other] = estimates[*first].clone();
            }
        }
        worked.clone_from(&self.plan);
        let mut cut = vec![Length::ZERO; self.runs.len()];
        for ((run, aim, sd), number) in self.errors.iter().zip(&numbers[self.surveyed..]) {
            cut[*run] += Length::mm(aim.add(&mut worked[*run], sd * number));
        }
        let laid = chain::work(&self.runs, estimates, &self.held, &self.pack, worked)?;
        Ok(Drawn { laid, cut })
    }

    /// Everything found on a drawn stair; what is drawn is in no doubt.
    #[must_use]
    pub fn findings(&self, drawn: &Drawn, care: Care<'_>) -> Vec<Finding> {
        drawn.laid.findings(&self.runs, &self.looked, care)
    }

    /// What a linear function of the unknowns of a run's survey moves by for each number of a draw.
    pub(super) fn moves(&self, run: usize, function: &Linear) -> Vec<f64> {
        let mut moves = vec![0.0; self.size()];
        let mut from = 0;
        for (drawer, runs) in &self.drawers {
            if runs.contains(&run) {
                let part = drawer.moves(function);
                moves[from..from + part.len()].copy_from_slice(&part);
            }
            from += drawer.size();
        }
        moves
    }

    /// The same with hand and saw as another model of this stair has them, and with the unknowns in
    /// doubt that are so there: what one more reading does is then seen by itself.
    pub(super) fn counting_as(mut self, other: &Self) -> Self {
        self.unread_counts = other.unread_counts;
        if self.errors.len() == other.errors.len() {
            self.errors.clone_from(&other.errors);
        }
        for source in &mut self.sources {
            let same = |one: &&Source| one.run == source.run && one.origin == source.origin;
            if matches!(source.origin, Origin::Survey(survey::Source::Unread(_)))
                && let Some(before) = other.sources.iter().find(same)
            {
                source.unread = before.unread;
            }
        }
        self
    }

    /// The same stair with other tolerances: each error of hand and saw grows as its operation's does.
    /// One that was stated as nothing stays nothing.
    #[must_use]
    pub fn with_tolerances(&self, factor: impl Fn(&Source) -> f64) -> Self {
        let mut model = self.clone();
        let hands = self
            .sources
            .iter()
            .filter(|source| source.from >= self.surveyed);
        for ((_, _, sd), source) in model.errors.iter_mut().zip(hands) {
            *sd *= factor(source);
        }
        model
    }
}
