//! Parts received: what each delivered part does to what was set out, whether it is taken, and where
//! the balusters go.
//!
//! In: the set-out, the parts as read. Out: [`ReceivedSet`]: for each part its effect on gaps,
//! reveals, lean and cap in numbers, a [`Verdict`] against the job's limits, and for the balusters
//! the places that they do least harm at (an assignment, solved exactly).
//! Does not: set out anew; what a part does is told against the set-out as it is.

mod baluster;
mod newel;
mod places;
mod rail;
mod section;
mod types;

use crate::job::Job;
use crate::site::Site;

use super::{Limits, SetOut};

pub use baluster::{Fit, Place, disturbance, places};
pub use places::{Assigned, assign};
pub use section::four_sided;
pub use types::*;

/// Weighs the parts that a job says were received. `None` where it says nothing of them.
///
/// Lengths are in the flight's frame. Errors: those of the readings; parts are reckoned as straight
/// prisms between what was read of them.
#[must_use]
pub fn weigh(job: &Job, site: &Site, setout: &SetOut, limits: &Limits) -> Option<ReceivedSet> {
    let received = job.received.as_ref()?;
    let (balusters, unfilled) = baluster::weigh(job, site, setout, limits, received);
    let newels = received.newels.iter();
    let rails = received.rails.iter();
    Some(ReceivedSet {
        newels: newels
            .filter_map(|one| newel::weigh(site, setout, one, &received.limits))
            .collect(),
        disturbance: balusters
            .iter()
            .filter_map(|one| Some(one.at.as_ref()?.fit.total))
            .sum(),
        balusters,
        unfilled,
        rails: rails
            .filter_map(|one| rail::weigh(site, setout, one, &received.limits))
            .collect(),
    })
}
