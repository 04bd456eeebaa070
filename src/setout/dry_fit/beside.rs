//! What stands beside a newel in the row: its first remaining baluster, and the gap to it.

use nalgebra::Point3;

use crate::measure::Length;
use crate::setout::notch::Body;
use crate::setout::{BalusterSet, Gap, SetOut, plan};

use super::Beside;

/// Half a baluster's size up the flight at its foot and at its top.
fn halves(baluster: &BalusterSet) -> [f64; 2] {
    [baluster.along, baluster.seat_size()].map(|size| size.as_mm() / 2.0)
}

/// The neighbours of a newel in its row.
pub(super) fn beside(setout: &SetOut, name: &str, body: &Body<'_>) -> Vec<Beside> {
    let gaps = setout.gaps.iter();
    gaps.filter_map(|gap| {
        let above = gap.below == name;
        let other = if above {
            &gap.above
        } else if gap.above == name {
            &gap.below
        } else {
            return None;
        };
        let baluster = setout.balusters.iter().find(|one| one.name == *other);
        let faces = baluster.map(|one| faces(one, body, above));
        let reads = |pair: [Point3<f64>; 2]| Length::mm((pair[1].x - pair[0].x).abs());
        Some(Beside {
            other: other.clone(),
            at_foot: gap.clear,
            foot: faces.map(|pair| pair[0]),
            at_rail: faces.map(|pair| reads(pair[1])),
            rail: faces.map(|pair| pair[1]),
            next: baluster.and_then(|one| next(setout, &one.name, name)),
        })
    })
    .collect()
}

/// From the newel's face to a baluster's, at the baluster's foot and at its top.
fn faces(baluster: &BalusterSet, body: &Body<'_>, above: bool) -> [[Point3<f64>; 2]; 2] {
    let halves = halves(baluster);
    let at = |at: &Point3<f64>, half: f64| {
        let (low, high) = plan::extent(&body.at(at.z), |point| point.x);
        let (newel, face) = if above {
            (high, at.x - half)
        } else {
            (low, at.x + half)
        };
        [
            Point3::new(newel, at.y, at.z),
            Point3::new(face, at.y, at.z),
        ]
    };
    [at(&baluster.foot, halves[0]), at(&baluster.top, halves[1])]
}

/// The gap on the other side of a baluster than the newel's.
fn next(setout: &SetOut, baluster: &str, newel: &str) -> Option<(String, Length)> {
    let other = |gap: &Gap| {
        let pair = [&gap.below, &gap.above];
        let has = pair.iter().any(|name| *name == baluster);
        let rest = pair.into_iter().find(|name| *name != baluster);
        rest.filter(|name| has && *name != newel).cloned()
    };
    let mut gaps = setout.gaps.iter();
    gaps.find_map(|gap| Some((other(gap)?, gap.clear)))
}
