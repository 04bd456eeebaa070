//! Doubt: how sure the results are, what decides, and what small errors come to.
//!
//! In: a chain that ran on readings, with the tolerances of hand and saw. [`Model`] is the worked stair
//! as a function of independent sources: each reading's error, each wall's bow between its readings,
//! each cutting or fitting error; what nobody read stands as meant unless it is counted. Out:
//! [`Sample`], thousands of stairs drawn and worked to the plan's marks (JCGM 101:2008, Propagation of
//! distributions using a Monte Carlo method): for each finding its chance of failing, how its value
//! spreads and what that comes from; and [`Doubt`], first order from the survey's covariance alone
//! (JCGM 100:2008, section 5), with the readings to take next.
//!
//! The machinery knows no stair: [`stream`]s of numbers, [`batches`] of draws with the same answer on
//! any number of threads, [`chance`]s that may be looked at at any time, [`spread`]s, [`cross`]es,
//! [`sobol`] shares, first-order [`propagate`]d doubt.
//! Does not: compute geometry of its own. Lengths are millimetres.

mod again;
pub mod batches;
pub mod chance;
pub mod compounding;
pub mod cross;
mod decides;
mod drawing;
mod fan;
mod first_look;
mod hand;
mod line;
mod model;
mod next;
mod outcome;
pub mod propagate;
mod purpose;
mod results;
mod rows;
mod safe;
mod sample;
mod slopes;
pub mod sobol;
mod source;
pub mod spread;
pub mod stream;
pub mod sums;

pub use again::{Again, Care, Reading, State};
pub use batches::{Ended, Progress};
pub use chance::Tally;
pub use decides::{Decides, Part, decides};
pub use fan::{Fan, Spot};
pub use line::Line;
pub use model::{Drawn, Model, Scratch};
pub use next::{Advice, Shrink};
pub use outcome::Outcome;
pub use purpose::{Allowed, Alone, Loosest, Purpose, Together, Way, loosest};
pub use results::Measured;
pub use safe::{Beyond, Need, Safe, Setting, Trial, safe};
pub use sample::{Chance, Fresh, Group, MISS, Sample, Wanted, margin, sample, sample_of};
pub use slopes::{Bent, FirstOrder, first_orders};
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
