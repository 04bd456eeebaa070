//! Doubt: how sure the results are that decide, and which reading would make them surer.
//!
//! In: a run that the chain was run on (with its survey). Out: [`Doubt`]: for each deciding result its
//! value with a standard deviation, what the doubt comes from, and the readings to take next, best
//! first. First order: each result is replaced by its tangent at what was found, and the survey's
//! covariance does the rest (JCGM 100:2008, section 5). Lengths are millimetres.
//! Does not: compute geometry of its own; draw samples (that will be here too).

pub mod batches;
pub mod chance;
pub mod compounding;
pub mod cross;
mod drawing;
mod fan;
mod first_look;
mod hand;
mod model;
mod next;
mod outcome;
pub mod propagate;
mod results;
mod sample;
pub mod sobol;
mod source;
pub mod spread;
pub mod stream;
pub mod sums;

pub use batches::{Ended, Progress};
pub use chance::Tally;
pub use fan::{Fan, Spot};
pub use model::{Drawn, Model, Scratch};
pub use next::{Advice, Shrink};
pub use outcome::Outcome;
pub use results::Measured;
pub use sample::{Chance, Fresh, Group, MISS, Sample, Wanted, margin, sample, sample_of};
pub use source::{Origin, Source};
pub use spread::Spread;

use crate::chain::RunChain;
use crate::rules::Pack;

/// How sure the deciding results are, and what to read next.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// The results that decide.
    pub outcomes: Vec<Outcome>,
    /// Readings worth taking, best first; each counts on those before it being taken.
    pub next: Vec<Advice>,
}

/// Works out the doubt of a run's results, from its own readings. `None` where the chain ran without
/// a survey, and for a railing that stands on another run's stair.
#[must_use]
pub fn first_order(run: &RunChain, pack: &Pack) -> Option<Doubt> {
    let survey = run.survey.as_ref()?;
    let tangents = outcome::tangents(run, pack, survey);
    Some(Doubt {
        next: next::rank(run, survey, &tangents),
        outcomes: tangents
            .into_iter()
            .map(|tangent| tangent.outcome(survey))
            .collect(),
    })
}
