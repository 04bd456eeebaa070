//! The chain: from a job to its troubles, one pure function, every intermediate kept.
//!
//! The window, the command line, `explain` and the tests all call it.
//! Does not: read files.

use crate::inspect::Inspection;
use crate::job::Job;
use crate::setout::SetOut;
use crate::site::Site;
use crate::solids::Solids;

/// Everything from site to troubles.
#[derive(Clone, Debug)]
pub struct Chain {
    /// The stair as found.
    pub site: Site,
    /// The solved positions.
    pub setout: SetOut,
    /// The parts as solids.
    pub solids: Solids,
    /// What was found.
    pub inspection: Inspection,
}

/// Why the chain could not run.
#[derive(Clone, Debug, thiserror::Error)]
pub enum ChainError {
    /// A fault in the job that only the geometry shows, with the field it lies in.
    #[error("{problem}; {help}")]
    Job {
        /// The field path, as in `design.newels[0].stands`.
        path: String,
        /// What is wrong.
        problem: String,
        /// What would do.
        help: String,
    },
}

/// Runs the chain on a job.
///
/// # Errors
/// [`ChainError`] names the field at fault and what would do.
pub fn run(job: &Job) -> Result<Chain, ChainError> {
    let _unused = job;
    Err(ChainError::Job {
        path: String::new(),
        problem: "not built".to_owned(),
        help: "wait".to_owned(),
    })
}

/// Runs the chain on the plumb, level, square stair that was meant: the ghost to compare with.
///
/// # Errors
/// As [`run`].
pub fn run_true(job: &Job) -> Result<Chain, ChainError> {
    run(job)
}
