//! Witness points: where two parts stand in each other, one point for each region.
//!
//! In: the pairs of pieces that overlap, the deepest first. Out: points inside both, mm in the
//! flight's frame.

use nalgebra::Point3;

use super::search::Deep;
use super::separate::mean_corner;
use super::{MOST_POINTS, nearest};
use crate::measure::tolerance::CONTACT_MM;
use crate::solids::Bounds;

/// No more pairs of pieces than this, the deepest, are sorted into regions: a bent rail lying in a
/// bowed wall has hundreds, of one region.
const MOST_PAIRS: usize = 128;

/// What one pair of pieces has in common.
struct Overlap {
    bounds: Bounds,
    at: Point3<f64>,
    /// The first overlap of its region.
    region: usize,
}

/// A point inside both parts for each region that they share, the deepest first, [`MOST_POINTS`] at
/// most. Overlaps of pieces whose boxes meet are one region.
pub(super) fn witness_points(deep: &[Deep<'_>]) -> Vec<Point3<f64>> {
    let mut overlaps: Vec<Overlap> = Vec::new();
    for (number, pair) in deep.iter().take(MOST_PAIRS).enumerate() {
        let mut one = overlap(pair);
        one.region = number;
        let bounds = one.bounds;
        let met: Vec<usize> = overlaps
            .iter()
            .filter(|other| other.bounds.meets(&bounds, CONTACT_MM))
            .map(|other| other.region)
            .collect();
        if let Some(&first) = met.iter().min() {
            one.region = first;
            // What it joins is one region from now on, called by its deepest.
            for other in &mut overlaps {
                if met.contains(&other.region) {
                    other.region = first;
                }
            }
        }
        overlaps.push(one);
    }
    let leads = overlaps.iter().enumerate();
    leads
        .filter(|(number, one)| *number == one.region)
        .map(|(_, one)| one.at)
        .take(MOST_POINTS)
        .collect()
}

fn overlap(pair: &Deep<'_>) -> Overlap {
    let [a, b] = pair.pieces;
    match a.common(b.planes()) {
        Some(common) => Overlap {
            bounds: common.bounds(),
            at: mean_corner(&common),
            region: 0,
        },
        None => {
            let at = nearest::boxes_meet(a, b);
            Overlap {
                bounds: Bounds { low: at, high: at },
                at,
                region: 0,
            }
        }
    }
}
