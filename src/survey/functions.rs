//! Places on the stair as linear functions of the unknowns, and what was known of a function before
//! anything was read: for those who hold what was read against a limit.

use crate::job::Surface;

use super::{Adjustment, Linear};

impl Adjustment {
    /// Place up the flight of a nosing on the baluster line, mm; `None` where there is no such step.
    #[must_use]
    pub fn of_nosing(&self, step: u32) -> Option<Linear> {
        let unknowns = self.unknowns();
        let is_step = step > 0 && step as usize <= unknowns.steps.len();
        is_step.then(|| unknowns.nosing(step, 0.0))
    }

    /// Place up the flight of a kick's face on the baluster line, mm; `None` where there is no such
    /// kick.
    #[must_use]
    pub fn of_kick(&self, step: u32) -> Option<Linear> {
        let unknowns = self.unknowns();
        let is_kick = step > 0 && step as usize <= unknowns.steps.len();
        is_kick.then(|| unknowns.kick(step, 0.0, Surface::Finished))
    }

    /// Height of a tread at its nosing so far outward of the baluster line, mm; of the lower floor
    /// (0) at the first kick. `None` where there is no such step.
    #[must_use]
    pub fn of_nosing_height(&self, step: u32, outward: f64) -> Option<Linear> {
        let unknowns = self.unknowns();
        match step {
            0 => Some(unknowns.height(0, outward, Surface::Finished)),
            step if step as usize <= unknowns.steps.len() => {
                Some(unknowns.nosing_height(step, outward))
            }
            _ => None,
        }
    }

    /// Variance of a linear function before anything was read, mm^2.
    #[must_use]
    pub fn prior_variance(&self, function: &Linear) -> f64 {
        function.prior_covariance(function, &self.unknowns().scalars)
    }
}
