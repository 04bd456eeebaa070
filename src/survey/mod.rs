//! The survey: readings made into estimates of the stair and its walls.
//!
//! In: the readings of the job. Out: [`Estimates`]: every quantity as found beside as meant, and
//! one [`WallField`] per wall. Lengths are millimetres.
//! Does not: place anything in space (that is `site`), or guess without saying so: what was not
//! read is taken as meant, and carries no reading.

mod estimates;
mod fault;
mod wall_field;

pub use estimates::{Estimate, Estimates, StepEstimates, WallEstimate, estimate};
pub use fault::Fault;
pub use wall_field::{PlanePart, WallField, WallObservation};
