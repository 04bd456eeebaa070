//! The chain: from a job to its troubles, one pure function, every intermediate kept.
//!
//! The window, the command line, `explain` and the tests all call it.
//! Does not: read files.

mod climb;
pub mod compare;
mod dry_fit;
mod error;
mod fit;
mod notes;
mod wood;

use std::sync::Arc;

use crate::inspect::{self, Care, Finding, Inspection, Key};
use crate::job::{Job, OneRun};
use crate::rules::{self, Pack};
use crate::setout::boards::{BoardsSet, boards};
use crate::setout::built::{BuiltDifference, compare as compare_built};
use crate::setout::{self, Choices, Limits, SetOut, Worked};
use crate::site::{self, Frame, Placed, PlacedTurn, Site};
use crate::solids::{self, Solids};
use crate::survey::{self, Estimates, Survey};

pub use climb::climbs;
pub use dry_fit::{dry_fit_on, dry_fits, uncut};
pub use error::ChainError;
pub use fit::{Fitted, bed, bedding_limits, fitted, weigh};
pub use notes::{Taped, hooks_of, notes, taped};
pub use wood::{SeasonTold, SeasonWhat, at_moisture, seasons};

/// Everything from readings to troubles.
#[derive(Clone, Debug)]
pub struct Chain {
    /// The runs, in the order of [`Job::each_run`]; at least one.
    pub runs: Vec<RunChain>,
    /// The parts of the whole stair as solids, in the first run's frame.
    pub solids: Solids,
    /// The rule pack reported against.
    pub pack: Arc<Pack>,
    /// What was found, in the first run's frame.
    pub inspection: Inspection,
}

/// What was solved for one run, in its own frame.
#[derive(Clone, Debug)]
pub struct RunChain {
    /// The run by itself.
    pub run: Arc<OneRun>,
    /// Where its frame stands in the first run's.
    pub frame: Frame,
    /// Its readings adjusted; `None` where the chain ran on given estimates, and for a railing
    /// that stands on another run's stair.
    pub survey: Option<Arc<Survey>>,
    /// What its readings say, as found beside as meant.
    pub estimates: Estimates,
    /// The stair as found.
    pub site: Site,
    /// The turns on winders that lead to it, as found.
    pub turns: Vec<PlacedTurn>,
    /// The solved positions.
    pub setout: SetOut,
}

impl RunChain {
    /// What the boards of the run are cut to: worked out when it is asked for. None where a
    /// railing stands on another run's stair.
    #[must_use]
    pub fn boards(&self) -> BoardsSet {
        if self.run.has_stair() {
            boards(&self.run.job, &self.site)
        } else {
            BoardsSet::default()
        }
    }
}

impl Chain {
    /// The first run.
    ///
    /// # Panics
    /// Never: a job has at least one run.
    #[must_use]
    pub fn first(&self) -> &RunChain {
        self.runs.first().expect("a job has at least one run")
    }

    /// The runs that have a stair of their own, with their numbers.
    pub fn stairs(&self) -> impl Iterator<Item = (usize, &RunChain)> {
        let runs = self.runs.iter().enumerate();
        runs.filter(|(_, run)| run.run.has_stair())
    }

    /// The surveys of every run, a railing's on the wall side its stair's; none where the chain ran on
    /// given estimates.
    #[must_use]
    pub fn surveys(&self) -> Vec<Arc<Survey>> {
        let of = |run: &RunChain| {
            let stair = run.run.beside.as_ref();
            let own = stair.map_or(Some(run), |(stair, _)| self.runs.get(*stair));
            own.and_then(|run| run.survey.clone())
        };
        let all: Option<Vec<_>> = self.runs.iter().map(of).collect();
        all.unwrap_or_default()
    }

    /// The estimates of every run.
    #[must_use]
    pub fn estimates(&self) -> Vec<Estimates> {
        self.runs.iter().map(|run| run.estimates.clone()).collect()
    }

    /// The choices of every run, to hold them in another.
    #[must_use]
    pub fn choices(&self) -> Vec<Choices> {
        self.runs
            .iter()
            .map(|run| run.setout.choices.clone())
            .collect()
    }

    /// The estimates of every run as it was meant.
    #[must_use]
    pub fn all_true(&self) -> Vec<Estimates> {
        self.runs
            .iter()
            .map(|run| run.estimates.all_true())
            .collect()
    }
}

/// Runs the chain on a job.
///
/// # Errors
/// [`ChainError`] names the field at fault and what would do.
pub fn run(job: &Job) -> Result<Chain, ChainError> {
    run_all(&runs_of(job))
}

/// Every run of a job, to run the chain on.
#[must_use]
pub fn runs_of(job: &Job) -> Vec<Arc<OneRun>> {
    job.each_run().into_iter().map(Arc::new).collect()
}

/// Runs the chain on runs, one of which may have been changed.
///
/// # Errors
/// As [`run`].
pub fn run_all(runs: &[Arc<OneRun>]) -> Result<Chain, ChainError> {
    run_held(runs, &[])
}

/// The same with given choices, one for each run, or none: for runs of which something more was
/// read.
///
/// # Errors
/// As [`run`].
pub fn run_held(runs: &[Arc<OneRun>], held: &[Choices]) -> Result<Chain, ChainError> {
    let surveys = surveys_of(runs);
    let estimates = surveys
        .iter()
        .map(|survey| survey.estimates.clone())
        .collect();
    run_with(runs, estimates, held, &surveys)
}

/// The survey of every run. A railing on the wall side has its stair's, which stands before it.
fn surveys_of(runs: &[Arc<OneRun>]) -> Vec<Arc<Survey>> {
    let mut surveys: Vec<Arc<Survey>> = Vec::with_capacity(runs.len());
    for run in runs {
        let stair = run
            .beside
            .as_ref()
            .and_then(|(stair, _)| surveys.get(*stair));
        let survey = stair.cloned();
        surveys.push(survey.unwrap_or_else(|| Arc::new(surveyed(run))));
    }
    surveys
}

/// A run's survey, each reading by its field in the file.
fn surveyed(run: &OneRun) -> Survey {
    let mut survey = survey::survey(&run.job);
    for reading in &mut survey.readings {
        reading.path = run.path(&reading.path);
    }
    survey
}

/// Runs the chain on the job as planned: as if nothing had been fitted yet.
///
/// # Errors
/// As [`run`].
pub fn run_planned(job: &Job) -> Result<Chain, ChainError> {
    let mut job = job.clone();
    job.built.clear();
    for run in &mut job.runs {
        run.built.clear();
    }
    run(&job)
}

/// What has been fitted beside the plan, run by run: the chain of the job, and that of
/// [`run_planned`]. Each by its field in the file, in its own run's frame.
#[must_use]
pub fn as_built(now: &Chain, plan: &Chain) -> Vec<BuiltDifference> {
    let runs = now.runs.iter().zip(&plan.runs);
    runs.flat_map(|(run, plan)| {
        let told = compare_built(&run.run.job, &run.site, &plan.setout);
        told.into_iter().map(|one| BuiltDifference {
            field: run.run.path(&one.field),
            ..one
        })
    })
    .collect()
}

/// Runs the chain on the plumb, level, square stair that was meant: the ghost to compare with.
/// Counts are held as they were chosen on the stair as found.
///
/// # Errors
/// As [`run`].
pub fn run_true(found: &Chain) -> Result<Chain, ChainError> {
    run_on(&meant(found), found.all_true(), &found.choices())
}

/// The runs of a chain with their turns as they were meant, to run it on the true stair.
#[must_use]
pub fn meant(chain: &Chain) -> Vec<Arc<OneRun>> {
    let runs = again(chain).into_iter();
    runs.map(|run| {
        if run.turns.is_empty() {
            run
        } else {
            Arc::new(run.with_true_turns())
        }
    })
    .collect()
}

/// The runs of a chain, to run it again.
#[must_use]
pub fn again(chain: &Chain) -> Vec<Arc<OneRun>> {
    chain.runs.iter().map(|run| run.run.clone()).collect()
}

/// The stair set out, before its solids are made.
#[derive(Clone, Debug)]
pub struct Laid {
    /// The runs in their places.
    pub placed: Vec<Placed>,
    /// Their set-outs.
    pub setouts: Vec<SetOut>,
}

/// From estimates to the set-out.
///
/// # Errors
/// As [`run`].
pub fn lay(
    runs: &[Arc<OneRun>],
    estimates: &[Estimates],
    held: &[Choices],
    pack: &Pack,
) -> Result<Laid, ChainError> {
    work(runs, estimates, held, pack, &[])
}

/// The same as it is worked to the marks of a plan, one for each run; where there is none for a run
/// it is set out anew.
///
/// # Errors
/// As [`run`].
pub fn work(
    runs: &[Arc<OneRun>],
    estimates: &[Estimates],
    held: &[Choices],
    pack: &Pack,
    worked: &[Worked],
) -> Result<Laid, ChainError> {
    let sites = runs
        .iter()
        .zip(estimates)
        .map(|(run, estimates)| site::build(&run.job, estimates))
        .collect();
    let placed = site::place(runs, sites);
    let limits: Vec<Limits> = runs
        .iter()
        .map(|run| inspect::limits(pack, &run.job))
        .collect();
    let setouts = setout::work_stair(runs, &placed, &limits, held, worked)?;
    Ok(Laid { placed, setouts })
}

impl Laid {
    /// The solids of the whole stair, in the first run's frame.
    #[must_use]
    pub fn solids(&self, runs: &[Arc<OneRun>]) -> Solids {
        let frames: Vec<Frame> = self.placed.iter().map(|one| one.frame).collect();
        solids::build(&self.solid_runs(runs), &frames)
    }

    /// What is found on the whole stair. The surveys are those of the runs, whose doubt counts, or
    /// none.
    #[must_use]
    pub fn inspection(
        &self,
        runs: &[Arc<OneRun>],
        surveys: &[Arc<Survey>],
        solids: &Solids,
        pack: &Pack,
    ) -> Inspection {
        inspect::inspect(&self.inspected(runs, surveys), solids, pack)
    }

    /// Everything found on a drawn stair, with as much care as is asked; nothing is in doubt.
    #[must_use]
    pub fn findings(&self, runs: &[Arc<OneRun>], pack: &Pack, care: Care<'_>) -> Vec<Finding> {
        inspect::drawn(&self.inspected(runs, &[]), &self.solids(runs), pack, care)
    }

    /// One finding of the whole stair, with nothing worked out that it does not rest on; what it
    /// rests on is in no doubt.
    #[must_use]
    pub fn finding(&self, runs: &[Arc<OneRun>], pack: &Pack, key: &Key) -> Option<Finding> {
        self.finding_with(runs, pack, key, Care::Measure)
    }

    /// The same with as much care as is asked.
    #[must_use]
    pub fn finding_with(
        &self,
        runs: &[Arc<OneRun>],
        pack: &Pack,
        key: &Key,
        care: Care<'_>,
    ) -> Option<Finding> {
        inspect::one_with(&self.inspected(runs, &[]), pack, key, care)
    }

    fn inspected<'a>(
        &'a self,
        runs: &'a [Arc<OneRun>],
        surveys: &'a [Arc<Survey>],
    ) -> Vec<inspect::Run<'a>> {
        let solid = self.solid_runs(runs).into_iter();
        solid
            .zip(runs.iter().zip(&self.placed))
            .map(|(solid, (run, placed))| inspect::Run {
                name: &run.name,
                frame: placed.frame,
                survey: surveys.get(solid.number).map(Arc::as_ref),
                solid,
            })
            .collect()
    }

    fn solid_runs<'a>(&'a self, runs: &'a [Arc<OneRun>]) -> Vec<solids::Run<'a>> {
        runs.iter()
            .zip(self.placed.iter().zip(&self.setouts))
            .enumerate()
            .map(|(number, (run, (placed, setout)))| solids::Run {
                number,
                beside: run.beside.as_ref().map(|(stair, _)| *stair),
                turns: &placed.turns,
                job: &run.job,
                site: &placed.site,
                setout,
            })
            .collect()
    }
}

/// Runs the chain on given estimates with given choices, one for each run: a drawn sample, or a
/// stair with one fault made true. A railing on the wall side takes its stair's estimates. What is
/// given is in no doubt.
///
/// # Errors
/// As [`run`].
pub fn run_on(
    runs: &[Arc<OneRun>],
    estimates: Vec<Estimates>,
    held: &[Choices],
) -> Result<Chain, ChainError> {
    run_with(runs, estimates, held, &[])
}

/// The same with the surveys that the estimates are from, one for each run, or none: then what rests
/// on readings is judged with their doubt.
///
/// # Errors
/// As [`run`].
pub fn run_with(
    runs: &[Arc<OneRun>],
    estimates: Vec<Estimates>,
    held: &[Choices],
    surveys: &[Arc<Survey>],
) -> Result<Chain, ChainError> {
    let whole = runs.first().map(|run| &run.job);
    let name = whole.map_or("", |job| job.design.rules.as_str());
    let mut pack = rules::pack(name)?;
    if let Some(local) = whole.and_then(|job| job.design.local.as_ref()) {
        pack = Arc::new(pack.amended(local)?);
    }
    let laid = lay(runs, &estimates, held, &pack)?;
    let solids = laid.solids(runs);
    let inspection = laid.inspection(runs, surveys, &solids, &pack);
    let Laid { placed, setouts } = laid;
    let runs = runs
        .iter()
        .zip(estimates)
        .zip(placed.into_iter().zip(setouts))
        .enumerate()
        .map(|(number, ((run, estimates), (placed, setout)))| RunChain {
            run: run.clone(),
            frame: placed.frame,
            survey: surveys.get(number).filter(|_| run.has_stair()).cloned(),
            estimates,
            site: placed.site,
            turns: placed.turns,
            setout,
        })
        .collect();
    Ok(Chain {
        runs,
        solids,
        pack,
        inspection,
    })
}
