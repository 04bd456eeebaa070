//! What is asked of a chain after it ran: how the treads are bedded, and what the received parts do.

use crate::inspect;
use crate::job::Job;
use crate::rules::{Pack, Quantity};
use crate::setout::bedding::{self, Bedded, BeddingLimits};
use crate::setout::received::{self, ReceivedSet};

use super::{Chain, ChainError, RunChain};

/// What is told of a run beside its set-out, where the job has the readings for it.
#[derive(Clone, Debug, Default)]
pub struct Fitted {
    /// How its treads and kicks are bedded.
    pub bedded: Option<Bedded>,
    /// Its parts as they were received.
    pub received: Option<ReceivedSet>,
}

/// Beds and weighs every run of a chain, in its order.
///
/// # Errors
/// As [`bed`].
pub fn fitted(chain: &Chain) -> Result<Vec<Fitted>, ChainError> {
    let each = |run| {
        Ok(Fitted {
            bedded: bed(run, &chain.pack)?,
            received: weigh(run, &chain.pack),
        })
    };
    chain.runs.iter().map(each).collect()
}

/// The limits of a pack, and of the job where packs have none, that bedding works to.
#[must_use]
pub fn bedding_limits(pack: &Pack, job: &Job) -> BeddingLimits {
    let neighbours = job.bedding.as_ref().and_then(|one| one.neighbours.as_ref());
    let neighbours = neighbours.map(|length| length.value);
    let slope = pack.rule(Quantity::TreadSlope);
    BeddingLimits {
        rise_range: pack.length(Quantity::RiseVariation),
        rise_neighbours: neighbours,
        rise_most: pack.length(Quantity::RiseMax),
        going_range: pack.length(Quantity::TreadVariation),
        going_neighbours: neighbours,
        going_least: pack.length(Quantity::TreadDepth),
        slope: slope.and_then(|rule| rule.limit.slope()),
    }
}

/// Beds the treads and kicks of a run; `None` where no stringer's cut was read, for a railing that
/// stands on another run's stair, and where the chain ran on given estimates.
///
/// # Errors
/// As [`bedding::bed`], with the field in the file.
pub fn bed(run: &RunChain, pack: &Pack) -> Result<Option<Bedded>, ChainError> {
    let Some(survey) = &run.survey else {
        return Ok(None);
    };
    let job = &run.run.job;
    let limits = bedding_limits(pack, job);
    bedding::bed(job, survey, &run.site, &limits).map_err(|error| {
        let error = ChainError::from(error);
        ChainError {
            path: run.run.path(&error.path),
            ..error
        }
    })
}

/// Weighs the parts of a run that the job says were received; `None` where it says nothing of them.
#[must_use]
pub fn weigh(run: &RunChain, pack: &Pack) -> Option<ReceivedSet> {
    let job = &run.run.job;
    let limits = inspect::limits(pack, job);
    received::weigh(job, &run.site, &run.setout, &limits)
}
