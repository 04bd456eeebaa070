//! [`Fan`]: where a rail may come to lie.
//!
//! The middle of its top at a few places along it: how far it comes off the plan, plumb and outward.
//! First run's frame for points, mm.

use nalgebra::Point3;

use crate::chain::{Chain, Laid};
use crate::measure::Length;
use crate::setout::RailSet;

use super::spread::Spread;

/// Places along a rail, as shares of it.
const PLACES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
/// Bins of what a place comes off by, mm, and how many.
const BIN_MM: f64 = 0.05;
const BINS: usize = 2_000;

/// Where a rail may come to lie.
#[derive(Clone, Debug)]
pub struct Fan {
    /// The run, by its number.
    pub run: usize,
    /// The rail's name.
    pub rail: String,
    /// Places along it, from the lower end.
    pub places: Vec<Spot>,
}

/// One place along a rail.
#[derive(Clone, Debug)]
pub struct Spot {
    /// The middle of its top as planned, in the first run's frame.
    pub at: Point3<f64>,
    /// Share of the way up the rail.
    pub share: f64,
    /// How far higher than planned it comes, mm.
    pub up: Spread,
    /// How far further towards the open side, mm.
    pub out: Spread,
}

impl Spot {
    /// The band that holds a share of the draws: plumb, then outward.
    #[must_use]
    pub fn band(&self, share: f64) -> Option<[(Length, Length); 2]> {
        let of = |spread: &Spread| {
            let (low, high) = spread.within(share)?;
            Some((Length::mm(low), Length::mm(high)))
        };
        Some([of(&self.up)?, of(&self.out)?])
    }
}

/// Level place along the flight, and what the line comes to there: height and outward, mm.
fn over(rail: &RailSet, outward: f64, x: f64) -> [f64; 2] {
    let along = rail.upper - rail.lower;
    let run = if along.x.abs() > f64::MIN_POSITIVE {
        (x - rail.lower.x) / along.x
    } else {
        0.0
    };
    [
        rail.lower.z + run * along.z,
        outward * (rail.lower.y + run * along.y),
    ]
}

/// The rails of a plan.
pub(super) fn of(chain: &Chain) -> Vec<Fan> {
    let spread = || Spread::about(0.0, BIN_MM, BINS);
    let runs = chain.runs.iter().enumerate();
    runs.map(|(run, one)| {
        let rail = &one.setout.rail;
        let place = |share: f64| Spot {
            at: one
                .frame
                .to_first(&(rail.lower + (rail.upper - rail.lower) * share)),
            share,
            up: spread(),
            out: spread(),
        };
        Fan {
            run,
            rail: rail.name.clone(),
            places: PLACES.map(place).into(),
        }
    })
    .collect()
}

pub(super) fn empty(fans: &[Fan]) -> Vec<Vec<[Spread; 2]>> {
    let of = |fan: &Fan| {
        let places = fan.places.iter();
        places
            .map(|one| [one.up.clone(), one.out.clone()])
            .collect()
    };
    fans.iter().map(of).collect()
}

/// Adds a drawn stair. The plan's places are level places of its own run.
pub(super) fn add(into: &mut [Vec<[Spread; 2]>], plan: &[Fan], laid: &Laid) {
    for (fan, (spreads, (setout, placed))) in plan
        .iter()
        .zip(into.iter_mut().zip(laid.setouts.iter().zip(&laid.placed)))
    {
        for (place, [up, out]) in fan.places.iter().zip(spreads) {
            let own = placed.frame.from_first(&place.at);
            let outward = placed.site.outward;
            let [height, aside] = over(&setout.rail, outward, own.x);
            up.add(height - own.z);
            out.add(aside - outward * own.y);
        }
    }
}

pub(super) fn merge(into: &mut [Vec<[Spread; 2]>], more: &[Vec<[Spread; 2]>]) {
    for (into, more) in into.iter_mut().zip(more) {
        for (into, more) in into.iter_mut().zip(more) {
            for (into, more) in into.iter_mut().zip(more) {
                into.merge(more);
            }
        }
    }
}

pub(super) fn told(plan: &[Fan], spreads: Vec<Vec<[Spread; 2]>>) -> Vec<Fan> {
    let fans = plan.iter().zip(spreads);
    fans.map(|(fan, spreads)| Fan {
        places: fan
            .places
            .iter()
            .zip(spreads)
            .map(|(place, [up, out])| Spot {
                up,
                out,
                ..place.clone()
            })
            .collect(),
        ..fan.clone()
    })
    .collect()
}
