//! The survey: every reading adjusted, slips caught, what is open named.
//!
//! In: the readings of the job. Out: [`Survey`]: [`Estimates`] of the stair and its walls (every
//! quantity as found beside as meant, with its doubt), each reading as it stands among the others,
//! the slips, what nothing ties to the rest, and an [`Adjustment`] that answers for any linear
//! function of the unknowns: its mean, its variance, and what one more reading would take off it.
//! Lengths are millimetres, flight's frame.
//! Does not: place anything in space (that is `site`), or guess without saying so: what was not
//! read is taken as meant, and carries no reading. No reading is left out of the estimates, however
//! doubtful: a slip is named, and it is for the one who read it to read again.

mod adjustment;
mod candidates;
mod cuts;
mod dense;
mod drawer;
mod estimates;
mod fault;
mod functions;
mod further;
mod judged;
mod least_squares;
mod linear;
mod loose;
pub mod points;
mod prior;
mod rows;
mod uncertainty;
mod units;
mod unknowns;
mod wall_field;

use crate::job::Job;

pub use adjustment::Adjustment;
pub use candidates::{Candidate, LEVEL, Spot, candidates};
pub use cuts::{Cut, StringerCuts, cuts};
pub use drawer::{Drawer, Source};
pub use estimates::{Estimate, Estimates, LandingEstimate, Shift, StepEstimates, WallEstimate};
pub use fault::Fault;
pub use further::{Further, repeats};
pub use judged::{CHECKABLE, CRITICAL, Judged, MOST_SUSPECTS, Standing, Suspect, WITHIN};
pub use linear::Linear;
pub use loose::Loose;
pub use rows::{Read, step_words};
pub use uncertainty::{TapeEnds, tape_limit};
pub(crate) use uncertainty::{rectangular, taped_sd};
pub use units::UnitSlip;
pub use unknowns::{Scalar, Unknowns, What};
pub use wall_field::{PlanePart, WallField};

/// What the readings say.
#[derive(Clone, Debug)]
pub struct Survey {
    /// The stair and its walls as found.
    pub estimates: Estimates,
    /// Every reading as it stands among the others, in the order of the job.
    pub readings: Vec<Judged>,
    /// Readings that are likely slips, worst first.
    pub suspects: Vec<Suspect>,
    /// What no reading ties to the rest.
    pub loose: Vec<Loose>,
    /// The adjustment, to ask for more.
    pub adjustment: Adjustment,
}

/// Adjusts the readings of a job.
#[must_use]
pub fn survey(job: &Job) -> Survey {
    let unknowns = Unknowns::of(job);
    let rows = rows::of(job, &unknowns);
    let adjustment = Adjustment::of(unknowns, rows);
    let readings = judged::judge(&adjustment);
    let variances = adjustment.scalar_variances();
    Survey {
        estimates: estimates::of(job, &adjustment, &variances),
        suspects: judged::suspects(&adjustment, &readings),
        loose: loose::loose(job, &adjustment, &variances),
        readings,
        adjustment,
    }
}
