//! [`Fault`]: one measured departure from true that can be pointed at, and made true.

use std::fmt;

use crate::measure::tolerance::DEPARTS_MM;

use super::{Estimates, PlanePart};

/// One measured departure from true.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// A quantity of one step: its number and the trade word for the quantity.
    Step(u32, &'static str),
    /// A wall's lean.
    WallLean(String),
    /// A wall's splay: it runs off its meant line in plan.
    WallSplay(String),
    /// A wall standing off its meant line as a whole.
    WallOffset(String),
    /// A wall's bow.
    WallBow(String),
    /// The lower floor out of level: `level` across the flight, `fall` along it.
    LowerFloor(&'static str),
    /// A quantity of a landing: its name and the trade word for the quantity.
    Landing(String, &'static str),
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Step(number, "level") => write!(out, "tread {number} out of level"),
            Self::Step(number, "fall") => write!(out, "tread {number} out of level front to back"),
            Self::Step(number, "skew") => write!(out, "kick {number} out of square"),
            Self::Step(number, "tread end") => write!(out, "tread {number}'s open end"),
            Self::Step(number, what) => write!(out, "step {number}'s {what}"),
            Self::WallLean(name) => write!(out, "wall {name}'s lean"),
            Self::WallSplay(name) => write!(out, "wall {name}'s splay"),
            Self::WallOffset(name) => write!(out, "wall {name}'s distance"),
            Self::WallBow(name) => write!(out, "wall {name}'s bow"),
            Self::LowerFloor("fall") => {
                write!(out, "the lower floor out of level along the flight")
            }
            Self::LowerFloor(_) => write!(out, "the lower floor out of level"),
            Self::Landing(name, what) => write!(out, "landing {name}'s {what}"),
        }
    }
}

impl Estimates {
    /// Every departure from true, each with the fields of the job that its readings stand in.
    #[must_use]
    pub fn faults(&self) -> Vec<(Fault, Vec<String>)> {
        let mut faults = Vec::new();
        for (number, step) in (1..).zip(self.steps.clone().iter_mut()) {
            for (what, estimate) in step.each_mut() {
                if estimate.departs() {
                    faults.push((Fault::Step(number, what), estimate.readings.clone()));
                }
            }
        }
        let small = crate::measure::tolerance::SAME_POINT_MM;
        for wall in &self.walls {
            let plane = wall.field.plane();
            let name = || wall.name.clone();
            // Slopes are judged over a metre, so that all four are lengths.
            let parts = [
                (plane.lean.abs() * 1000.0 > small, Fault::WallLean(name())),
                (plane.splay.abs() * 1000.0 > small, Fault::WallSplay(name())),
                (plane.offset.abs() > small, Fault::WallOffset(name())),
                (wall.field.is_bowed(), Fault::WallBow(name())),
            ];
            let present = parts.into_iter().filter(|(is_there, _)| *is_there);
            faults.extend(present.map(|(_, fault)| (fault, wall.readings.clone())));
        }
        let (level, fall) = &self.lower;
        let lower = [("level", level), ("fall", fall)];
        let lower = lower.into_iter().filter(|(_, estimate)| estimate.departs());
        let told = |(what, estimate): (_, &super::Estimate)| {
            (Fault::LowerFloor(what), estimate.readings.clone())
        };
        faults.extend(lower.map(told));
        for landing in &mut self.landings.clone() {
            let name = landing.name.clone();
            for (what, size, estimate) in landing.each_mut() {
                if ((estimate.found - estimate.meant) * size).abs() > DEPARTS_MM {
                    let fault = Fault::Landing(name.clone(), what);
                    faults.push((fault, estimate.readings.clone()));
                }
            }
        }
        faults
    }

    /// The same stair with one fault made true.
    #[must_use]
    pub fn made_true(&self, fault: &Fault) -> Self {
        self.made_true_all([fault])
    }

    /// The same stair with several faults made true; their order does not matter.
    #[must_use]
    pub fn made_true_all<'f>(&self, faults: impl IntoIterator<Item = &'f Fault>) -> Self {
        let mut estimates = self.clone();
        for fault in faults {
            estimates.make_true(fault);
        }
        estimates
    }

    fn make_true(&mut self, fault: &Fault) {
        let estimates = self;
        match fault {
            Fault::Step(number, what) => {
                let step = (*number as usize)
                    .checked_sub(1)
                    .and_then(|at| estimates.steps.get_mut(at));
                for (word, estimate) in step.into_iter().flat_map(super::StepEstimates::each_mut) {
                    if word == *what {
                        estimate.make_true();
                    }
                }
            }
            Fault::WallLean(name) => estimates.set_plane(name, |plane| plane.lean = 0.0),
            Fault::WallSplay(name) => estimates.set_plane(name, |plane| plane.splay = 0.0),
            Fault::WallOffset(name) => estimates.set_plane(name, |plane| plane.offset = 0.0),
            Fault::WallBow(name) => {
                for wall in estimates.walls.iter_mut().filter(|wall| &wall.name == name) {
                    wall.field = wall.field.without_bow();
                }
            }
            Fault::LowerFloor("fall") => estimates.lower.1.make_true(),
            Fault::LowerFloor(_) => estimates.lower.0.make_true(),
            Fault::Landing(name, what) => {
                let named = estimates
                    .landings
                    .iter_mut()
                    .filter(|one| one.name == *name);
                for (word, _, estimate) in named.flat_map(super::LandingEstimate::each_mut) {
                    if word == *what {
                        estimate.make_true();
                    }
                }
            }
        }
    }

    /// The plumb, level, square stair that was meant.
    #[must_use]
    pub fn all_true(&self) -> Self {
        let mut estimates = self.clone();
        for step in &mut estimates.steps {
            for (_, estimate) in step.each_mut() {
                estimate.make_true();
            }
        }
        for wall in &mut estimates.walls {
            wall.field = wall.field.without_bow().with_plane(PlanePart::default());
        }
        estimates.lower.0.make_true();
        estimates.lower.1.make_true();
        for landing in &mut estimates.landings {
            for (_, _, estimate) in landing.each_mut() {
                estimate.make_true();
            }
        }
        estimates
    }

    fn set_plane(&mut self, name: &str, change: impl Fn(&mut PlanePart)) {
        for wall in self.walls.iter_mut().filter(|wall| wall.name == name) {
            let mut plane = wall.field.plane();
            change(&mut plane);
            wall.field = wall.field.with_plane(plane);
        }
    }
}
