//! The job that a command works on, and the chain run on it; faults are said on standard error.

use std::path::Path;
#[cfg(feature = "viewer")]
use std::path::PathBuf;

use super::{Outcome, talk};
use crate::chain::{self, Chain, ChainError};
use crate::job::{Document, Faults, Job};
use crate::measure::Tape;

/// The demo that a command works on where no job is named.
const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");
/// What messages call it.
const DEMO_NAME: &str = "demo-scenes/quarry-lane.ron (shipped)";

/// A job and where it came from.
#[derive(Clone, Debug)]
pub(super) struct Source {
    document: Document,
    /// Where saving writes to.
    #[cfg(feature = "viewer")]
    path: Option<PathBuf>,
}

impl Source {
    /// The job.
    pub(super) fn job(&self) -> &Job {
        self.document.job()
    }

    /// The document.
    pub(super) fn document(&self) -> &Document {
        &self.document
    }

    /// The same with its lengths on another tape, where one is asked for.
    pub(super) fn on_tape(mut self, tape: Option<Tape>) -> Self {
        if tape.is_some() {
            self.document = self.document.on_tape(tape);
        }
        self
    }

    /// The same with one of its alternatives.
    pub(super) fn alternative(&self, name: &str) -> Result<Self, Faults> {
        let document = self.document.alternative(name)?;
        let called = match document.job().name.as_str() {
            "" => name.to_owned(),
            whole => format!("{whole}: {name}"),
        };
        Ok(Self {
            document: document.called(called),
            #[cfg(feature = "viewer")]
            path: None,
        })
    }

    /// The document, and the file that it came from unless it is the demo.
    #[cfg(feature = "viewer")]
    pub(super) fn into_parts(self) -> (Document, Option<PathBuf>) {
        (self.document, self.path)
    }
}

/// Reads the job at a path, or the demo. What looks like a slip is said, and no fault.
pub(super) fn load(path: Option<&Path>) -> Result<Source, Outcome> {
    let document = match path {
        Some(path) => Document::load(path),
        None => Document::parse(DEMO, DEMO_NAME),
    }
    .map_err(|faults| say_faults(&faults))?;
    say_slips(&document);
    Ok(Source {
        document,
        #[cfg(feature = "viewer")]
        path: path.map(Path::to_path_buf),
    })
}

/// Reads a job as [`load`] does, and takes one of its alternatives if one is named.
pub(super) fn load_way(path: Option<&Path>, alternative: Option<&str>) -> Result<Source, Outcome> {
    let source = load(path)?;
    match alternative {
        Some(name) => source
            .alternative(name)
            .map_err(|faults| say_faults(&faults)),
        None => Ok(source),
    }
}

/// A job of ours, from its text.
pub(super) fn shipped(text: &str, name: &str) -> Result<Source, Outcome> {
    let document = Document::parse(text, name).map_err(|faults| say_faults(&faults))?;
    Ok(Source {
        document,
        #[cfg(feature = "viewer")]
        path: None,
    })
}

fn say_slips(document: &Document) {
    if !document.warnings().is_empty() {
        let slips = Faults {
            name: document.name().to_owned(),
            text: document.text().to_owned(),
            diagnostics: document.warnings().to_vec(),
        };
        talk::say(&slips.render(true));
    }
}

pub(super) fn say_faults(faults: &Faults) -> Outcome {
    // Styles are stripped where standard error is no terminal.
    talk::say(faults.render(true).trim_end());
    match faults.errors() {
        1 => talk::fault(&format!("{} has a fault", faults.name)),
        count => talk::fault(&format!("{} has {count} faults", faults.name)),
    }
}

/// Runs the chain.
pub(super) fn chain(source: &Source) -> Result<Chain, Outcome> {
    chain::run(source.job()).map_err(|error| say_chain_fault(source, error))
}

/// Says a fault that only the geometry shows, drawn at the field it comes from.
pub(super) fn say_chain_fault(source: &Source, error: ChainError) -> Outcome {
    let ChainError {
        path,
        problem,
        help,
    } = error;
    say_faults(&source.document.fault(&path, problem, help))
}
