//! The job that a command works on, and the chain run on it; faults are said on standard error.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::{Outcome, talk};
use crate::chain::{self, Chain};
use crate::job::Job;
use crate::rules::{self, Pack};

/// The demo that a command works on where no job is named.
const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");
/// What messages call it.
const DEMO_NAME: &str = "the shipped demo, quarry-lane.ron";

/// A job and where it came from.
#[derive(Debug)]
pub(super) struct Source {
    job: Job,
    path: Option<PathBuf>,
}

impl Source {
    /// The job.
    pub(super) fn job(&self) -> &Job {
        &self.job
    }

    /// The file, unless it is the demo.
    pub(super) fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }
}

/// Reads the job at a path, or the demo.
pub(super) fn load(path: Option<&Path>) -> Result<Source, Outcome> {
    let text = match path {
        Some(path) => std::fs::read_to_string(path)
            .map_err(|error| talk::fault(&format!("cannot read {}: {error}", path.display())))?,
        None => DEMO.to_owned(),
    };
    let name = path.map_or_else(|| DEMO_NAME.to_owned(), |path| path.display().to_string());
    match ron::from_str(&text) {
        Ok(job) => Ok(Source {
            job,
            path: path.map(Path::to_path_buf),
        }),
        Err(error) => Err(talk::fault(&format!("{name}:{error}"))),
    }
}

/// The rule pack that the job asks for.
pub(super) fn pack(source: &Source) -> Result<Arc<Pack>, Outcome> {
    rules::pack(&source.job().design.rules)
        .map_err(|error| talk::fault(&format!("design.rules: {error}")))
}

/// Runs the chain.
pub(super) fn chain(source: &Source) -> Result<Chain, Outcome> {
    chain::run(source.job()).map_err(|error| talk::fault(&format!("{}: {error}", error.path)))
}
