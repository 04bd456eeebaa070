//! [`Worked`]: a run as it is worked, on whatever stair there proves to be.
//!
//! The set-out is solved on the stair as it is known. What follows from it is fixed on site by marks:
//! the rail by its height over the first and last nosing, the baluster line by its string, newels and
//! balusters by the kicks and faces that they are marked from. On a stair that proves to be a little
//! other than it was read, these marks stand, and what is cut to them lands where they lead; and hand
//! and saw put each part a little off its mark. mm in the flight's frame; outward is towards the open
//! side.

use crate::measure::Length;
use crate::site::Site;

use super::programme::Line;
use super::rail_window::{RakeLine, Span};
use super::{BalusterLine, RailSet, SetOut};

/// What a run keeps to, and how far each part comes off it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Worked {
    /// Plumb height of the rail's top over the first and the last nosing.
    pub rail: Option<[Length; 2]>,
    /// The same of the handrail on the wall side.
    pub wall_rail: Option<[Length; 2]>,
    /// The line of the balusters, as strung.
    pub line: Option<BalusterLine>,
    /// How far each newel comes off, in the order of the job.
    pub newels: Vec<NewelOff>,
    /// How far each baluster comes off, by its number along the run from 0, those that a newel
    /// displaces counted.
    pub balusters: Vec<BalusterOff>,
}

/// How far a newel comes off its marks.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NewelOff {
    /// Its foot, up the flight and outward.
    pub foot: [Length; 2],
    /// Its lean more than meant, per length up it: up the flight and outward; no unit.
    pub lean: [f64; 2],
    /// Its height, where the job gives one, more than meant.
    pub height: Length,
}

/// How far a baluster comes off its marks.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BalusterOff {
    /// Its foot, up the flight and outward.
    pub foot: [Length; 2],
    /// Its head, up the flight and outward.
    pub head: [Length; 2],
}

impl Worked {
    /// The marks of a plan that was solved on a site, with nothing off them.
    #[must_use]
    pub fn to_plan(site: &Site, plan: &SetOut) -> Self {
        let over = |[lower, upper]: [nalgebra::Point3<f64>; 2]| {
            let (stations, along) = (site.stations(), upper - lower);
            let (first, last) = (stations.first()?, stations.last()?);
            // Two nosings fix a line only where they are two.
            (along.x.abs() > f64::MIN_POSITIVE && last.x > first.x).then(|| {
                [first, last].map(|one| {
                    let top = lower.z + along.z / along.x * (one.x - lower.x);
                    Length::mm(top - one.height)
                })
            })
        };
        let straight = |rail: &RailSet| over([rail.lower, rail.upper]);
        Self {
            rail: straight(&plan.rail),
            wall_rail: plan
                .wall_rail
                .as_ref()
                .and_then(|rail| over([rail.lower, rail.upper])),
            line: Some(plan.line),
            newels: vec![NewelOff::default(); plan.newels.len()],
            balusters: Vec::new(),
        }
    }

    pub(super) fn newel(&self, at: usize) -> NewelOff {
        self.newels.get(at).copied().unwrap_or_default()
    }

    pub(super) fn baluster(&self, number: usize) -> BalusterOff {
        self.balusters.get(number).copied().unwrap_or_default()
    }
}

/// The rake line at heights over the first and last nosing.
pub(super) fn through(site: &Site, heights: [Length; 2]) -> Option<RakeLine> {
    let stations = site.stations();
    let (first, last) = (stations.first()?, stations.last()?);
    (last.x > first.x).then(|| {
        Span::of(site).rake(Line {
            lower: first.height + heights[0].as_mm(),
            upper: last.height + heights[1].as_mm(),
        })
    })
}
