//! [`Disturbance`]: how much of the work a change undoes.

use std::collections::BTreeMap;

use nalgebra::Vector3;

use crate::measure::Length;
use crate::solids::{Part, Solids};

/// What a change does to the parts of a stair.
///
/// Cures are ranked by one measure of it: the way that every part moves (its furthest corner),
/// summed, with 5 mm for each part that is cut to another shape, 100 mm for each that is new or
/// gone, and 300 mm where a finished wall must be opened. Those figures weigh a saw cut, a new piece
/// and a plasterer's day against moving what is not yet glued: ours, no source.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Disturbance {
    /// The way that parts move, each by its furthest corner, summed.
    pub moved: Length,
    /// Parts that move or are cut otherwise.
    pub touched: usize,
    /// Of these, parts that are cut to another shape.
    pub recut: usize,
    /// Parts that are new or gone.
    pub new_or_gone: usize,
    /// True where a finished wall must be opened.
    pub opens_wall: bool,
}

const RECUT: Length = Length::mm(5.0);
const NEW_OR_GONE: Length = Length::mm(100.0);
const OPENED: Length = Length::mm(300.0);
/// A part that moves less stays, and one whose corners move apart by less keeps its shape, mm.
const STAYS: f64 = 0.1;

impl Disturbance {
    /// The one measure that cures are ranked by.
    #[must_use]
    pub fn measure(&self) -> Length {
        let count = |number: usize| f64::from(u32::try_from(number).unwrap_or(u32::MAX));
        let wall = if self.opens_wall {
            OPENED
        } else {
            Length::ZERO
        };
        self.moved + RECUT * count(self.recut) + NEW_OR_GONE * count(self.new_or_gone) + wall
    }

    /// Between the parts before and after a change, told by their names.
    pub(super) fn between(before: &Solids, after: &Solids) -> Self {
        let named = |solids: &Solids| -> BTreeMap<String, usize> {
            let parts = solids.parts.iter().enumerate();
            parts.map(|(at, part)| (part.name.clone(), at)).collect()
        };
        let (old, new) = (named(before), named(after));
        let mut all = Self::default();
        for (name, &at) in &old {
            let Some(&now) = new.get(name) else {
                all.new_or_gone += 1;
                continue;
            };
            let (moved, recut) = between(&before.parts[at], &after.parts[now]);
            all.moved += Length::mm(moved);
            all.recut += usize::from(recut);
            all.touched += usize::from(recut || moved > 0.0);
        }
        all.new_or_gone += new.keys().filter(|name| !old.contains_key(*name)).count();
        all
    }
}

/// How far the furthest corner of a part moves, and whether its shape changes.
fn between(before: &Part, after: &Part) -> (f64, bool) {
    let corners = |part: &Part| -> Vec<usize> {
        part.pieces
            .iter()
            .map(|piece| piece.corners().len())
            .collect()
    };
    if corners(before) != corners(after) {
        let bounds = before.bounds().zip(after.bounds());
        let moved = bounds.map_or(0.0, |(a, b)| {
            (a.low - b.low).norm().max((a.high - b.high).norm())
        });
        return (if moved < STAYS { 0.0 } else { moved }, true);
    }
    let of = |part: &Part| -> Vec<_> {
        part.pieces
            .iter()
            .flat_map(|piece| piece.corners().to_vec())
            .collect()
    };
    let ways: Vec<Vector3<f64>> = of(before)
        .iter()
        .zip(of(after))
        .map(|(a, b)| b - a)
        .collect();
    let moved = ways.iter().map(Vector3::norm).fold(0.0, f64::max);
    if moved < STAYS {
        return (0.0, false);
    }
    let first = ways.first().copied().unwrap_or_default();
    let recut = ways.iter().any(|way| (way - first).norm() > STAYS);
    (moved, recut)
}
