//! Solids that stand for "no way through here" when an opening is judged.
//!
//! A guard's opening ends at the rail and at the tread: the ball may not go over the one or
//! through the hollow under the other.

use crate::setout::RailSet;
use crate::site::{Site, Step};

use super::Convex;
use super::carcass::across_block;
use super::railing::rail_obstacle;

/// How far an obstacle reaches on: taller than any guard.
const REACH: f64 = 1500.0;

/// The rail, its section carried up.
#[must_use]
pub fn rail_up(rail: &RailSet) -> Option<Convex> {
    rail_obstacle(rail, [-rail.depth.as_mm(), REACH])
}

/// A bottom rail, its section carried down (`down`) for the openings above it, or up for those
/// below it.
#[must_use]
pub fn bottom_rail_down(rail: &RailSet, down: bool) -> Option<Convex> {
    let reach = if down {
        [-REACH, rail.depth.as_mm()]
    } else {
        [0.0, REACH]
    };
    rail_obstacle(rail, reach)
}

/// A tread's outline across the flight at an outward offset: x and z.
pub(super) fn tread_ring(step: &Step, q: f64) -> Vec<(f64, f64)> {
    let (front, back) = (step.nosing_at(q), step.back_at(q));
    let [low, high] = [front, back].map(|x| step.top(x, q));
    vec![
        (front, low - step.thickness),
        (back, high - step.thickness),
        (back, high),
        (front, low),
    ]
}

/// A step as an obstacle: its tread with the nosing, and everything under the tread from the
/// kick's face back, solid. It reaches across the flight by `q` (from, to) outward.
#[must_use]
pub fn step_block(site: &Site, step: &Step, q: [f64; 2]) -> Vec<Convex> {
    let tread = across_block(site, q, |q| tread_ring(step, q));
    let under = across_block(site, q, |q| {
        let (front, back) = (step.kick_at(q), step.back_at(q));
        let [low, high] = [front, back].map(|x| step.top(x, q) - step.thickness);
        vec![
            (front, low - REACH),
            (back, high - REACH),
            (back, high),
            (front, low),
        ]
    });
    [tread, under].into_iter().flatten().collect()
}

/// A tread as an obstacle, from its nosing to its back: with everything above its underside (`up`),
/// or with everything below its top. It reaches across the flight by `q` (from, to) outward.
#[must_use]
pub fn tread_block(site: &Site, step: &Step, q: [f64; 2], up: bool) -> Option<Convex> {
    across_block(site, q, |q| {
        let mut ring = tread_ring(step, q);
        // The ring's underside first, then its top.
        let (moved, by) = if up { (2..4, REACH) } else { (0..2, -REACH) };
        for (_, z) in &mut ring[moved] {
            *z += by;
        }
        ring
    })
}

/// The lower floor as an obstacle: before the first kick, or all along a level run.
#[must_use]
pub fn floor_block(site: &Site, q: [f64; 2]) -> Option<Convex> {
    let [from, to] = match (site.steps.first(), &site.level) {
        (Some(first), _) => [first.nosing_x() - REACH, first.kick_x],
        (None, Some(level)) => [-REACH, level.length + REACH],
        (None, None) => return None,
    };
    across_block(site, q, |q| {
        let [low, high] = [from, to].map(|x| site.lower_floor(x, q));
        vec![
            (from, low - REACH),
            (to, high - REACH),
            (to, high),
            (from, low),
        ]
    })
}
