//! The survey sheet: a form to fill in by hand, for the shape of one stair, that asks the readings
//! in the order in which one walks it: the foot, the steps from the bottom, the head, the walls.
//!
//! In: a job (its shape; its readings too where they are to be printed faint). Out: [`Sheet`],
//! every block with its place on the paper and what it asks, and from that the PDF
//! ([`Sheet::pdf`]). Millimetres on the paper, right and down from its upper left corner.
//! The names of readings are those of the job file, so that typing them in is copying.
//! Does not: judge a reading; compute anything about the stair but where to hold a tool.

mod ask;
mod elevation;
mod floors;
mod front;
mod gallery;
mod instruments;
pub(super) mod layout;
mod notes;
mod paper;
mod places;
mod read;
mod rule;
mod runs;
pub(super) mod scale;
mod sketch;
mod steps;
mod table;
mod walls;

pub use ask::Ask;
pub use layout::{Leaf, Placed, Sheet};
pub use paper::{GRID, MARGIN, Paper, ROW};
pub use places::{Place, places};

use super::pdf::About;
use crate::job::{FloorKind, Job};
use layout::Flow;

/// How a sheet is wanted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// The paper it is printed on.
    pub paper: Paper,
    /// Whether the readings that the job has are printed faint in their places.
    pub filled: bool,
}

/// Lays out the sheet for a job.
#[must_use]
pub fn sheet(job: &Job, options: Options) -> Sheet {
    let mut flow = Flow::new(options.paper);
    front::lay(&mut flow, job, &read::Read::of(job, options.filled));
    let runs = job.each_run();
    for run in runs.iter().filter(|run| run.has_stair()) {
        if run.starts.is_some() {
            runs::lay(&mut flow, run);
        }
        of_run(&mut flow, &run.job, options.filled);
    }
    notes::lay(&mut flow);
    let about = About {
        title: format!("Survey sheet: {}", job.name),
        subject: "Readings of a stair, to be filled in by hand".to_owned(),
    };
    flow.finish("Survey sheet", &job.name, about)
}

/// What is asked of one run, in the order in which one walks it.
fn of_run(flow: &mut Flow, job: &Job, filled: bool) {
    let read = read::Read::of(job, filled);
    let (lower, upper): (Vec<_>, Vec<_>) = floors::asked(job)
        .into_iter()
        .partition(|floor| floor.kind == FloorKind::Lower);
    floors::lay(flow, &lower, &read);
    // A level run has neither steps nor an upper floor.
    if job.level.is_none() {
        steps::lay(flow, job, &read);
        floors::lay(flow, &upper, &read);
    }
    walls::lay(flow, job, &read);
}
