//! The chain: from a job to its troubles, one pure function, every intermediate kept.
//!
//! The window, the command line, `explain` and the tests all call it.
//! Does not: read files.

use std::sync::Arc;

use crate::inspect::{self, Inspection};
use crate::job::Job;
use crate::rules::{self, Pack, RuleError};
use crate::setout::{self, Choices, SetOut, SetOutError};
use crate::site::{self, Site};
use crate::solids::{self, Solids};
use crate::survey::{self, Estimates, Survey};

/// Everything from readings to troubles.
#[derive(Clone, Debug)]
pub struct Chain {
    /// The readings adjusted; `None` where the chain ran on given estimates.
    pub survey: Option<Arc<Survey>>,
    /// What the readings say, as found beside as meant.
    pub estimates: Estimates,
    /// The stair as found.
    pub site: Site,
    /// The solved positions.
    pub setout: SetOut,
    /// The parts as solids.
    pub solids: Solids,
    /// The rule pack reported against.
    pub pack: Arc<Pack>,
    /// What was found.
    pub inspection: Inspection,
}

/// Why the chain could not run: a fault in the job that only the geometry or the rules show.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{problem}; {help}")]
pub struct ChainError {
    /// The field path, as in `design.newels[0].stands`.
    pub path: String,
    /// What is wrong.
    pub problem: String,
    /// What would do.
    pub help: String,
}

impl From<SetOutError> for ChainError {
    fn from(error: SetOutError) -> Self {
        Self {
            path: error.path,
            problem: error.problem,
            help: error.help,
        }
    }
}

impl From<RuleError> for ChainError {
    fn from(error: RuleError) -> Self {
        let help = format!("use one of: {}", rules::names().join(", "));
        Self {
            path: "design.rules".to_owned(),
            problem: error.to_string(),
            help,
        }
    }
}

/// Runs the chain on a job.
///
/// # Errors
/// [`ChainError`] names the field at fault and what would do.
pub fn run(job: &Job) -> Result<Chain, ChainError> {
    let survey = survey::survey(job);
    let chain = run_on(job, survey.estimates.clone(), &Choices::default())?;
    Ok(Chain {
        survey: Some(Arc::new(survey)),
        ..chain
    })
}

/// Runs the chain on the plumb, level, square stair that was meant: the ghost to compare with.
/// Counts are held as they were chosen on the stair as found.
///
/// # Errors
/// As [`run`].
pub fn run_true(job: &Job, found: &Chain) -> Result<Chain, ChainError> {
    run_on(job, found.estimates.all_true(), &found.setout.choices)
}

/// Runs the chain on given estimates with given choices: a drawn sample, or a stair with one fault
/// made true.
///
/// # Errors
/// As [`run`].
pub fn run_on(job: &Job, estimates: Estimates, held: &Choices) -> Result<Chain, ChainError> {
    let pack = rules::pack(&job.design.rules)?;
    let site = site::build(job, &estimates);
    let limits = inspect::limits(&pack, job.design.rail.duty);
    let setout = setout::solve(job, &site, &limits, held)?;
    let solids = solids::build(job, &site, &setout);
    let inspection = inspect::inspect(job, &site, &setout, &solids, &pack);
    Ok(Chain {
        survey: None,
        estimates,
        site,
        setout,
        solids,
        pack,
        inspection,
    })
}
