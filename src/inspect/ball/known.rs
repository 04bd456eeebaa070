//! What is known so far of a ball, and when it is known well enough.

use nalgebra::Point3;

use super::Asked;
use crate::measure::tolerance::BALL_ROUNDING_MM as ROUNDING;

/// When to stop.
#[derive(Clone, Copy, Debug)]
pub(super) struct Goal {
    pub(super) asked: Asked,
    /// Stop once the limit is decided.
    pub(super) decide: bool,
}

impl Goal {
    /// How close these bounds on the diameter should be, mm; infinite where they say enough.
    fn width(&self, lower: f64, upper: f64) -> f64 {
        if upper.is_infinite() {
            // Coarse first: most openings are nowhere near their limit.
            return self.asked.width;
        }
        match self.asked.limit {
            Some(limit) if lower < limit && limit <= upper => self.asked.width_at_limit,
            Some(_) if self.decide => f64::INFINITY,
            _ => self.asked.width,
        }
    }

    /// An upper bound on the clearance that says enough by itself, mm: none unless only the
    /// limit's verdict is wanted.
    fn harmless(&self) -> f64 {
        let limit = self.asked.limit.filter(|_| self.decide);
        limit.map_or(f64::NEG_INFINITY, |limit| limit / 2.0 - ROUNDING)
    }
}

/// Bounds on the clearance of the best path, in the cell's frame, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub(super) lower: f64,
    pub(super) upper: f64,
    /// Where the best path known is tightest.
    pub(super) at: Point3<f64>,
}

impl Known {
    pub(super) fn nothing() -> Self {
        Self {
            lower: 0.0,
            upper: f64::INFINITY,
            at: Point3::origin(),
        }
    }

    /// The bounds on the diameter, with room for rounding.
    pub(super) fn diameters(&self) -> (f64, f64) {
        let lower = (2.0 * self.lower - ROUNDING).max(0.0);
        (lower, (2.0 * self.upper + ROUNDING).max(lower))
    }

    pub(super) fn enough(&self, goal: &Goal) -> bool {
        let (lower, upper) = self.diameters();
        // A hair of grace: the room for rounding must not ask for another round.
        upper - lower <= goal.width(lower, upper) + 4.0 * ROUNDING
    }

    /// How close to bring the bounds on the clearance next.
    pub(super) fn slack(&self, goal: &Goal) -> f64 {
        let (lower, upper) = self.diameters();
        let width = goal.width(lower, upper);
        if width.is_finite() {
            width / 2.0
        } else {
            goal.asked.width / 2.0
        }
    }

    /// An upper bound on the clearance as low as this ends the search.
    pub(super) fn settled(&self, goal: &Goal, slack: f64) -> f64 {
        goal.harmless().max(self.lower + slack)
    }
}
