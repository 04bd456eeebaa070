//! Solids that stand for "no way through here" when an opening is judged.
//!
//! A guard's opening ends at the rail and at the tread: the ball may not go over the one or
//! through the hollow under the other.

use nalgebra::Vector3;

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

/// A step as an obstacle: its tread with the nosing, and everything under the tread from the
/// kick's face back, solid. It reaches across the flight by `q` (from, to) outward.
#[must_use]
pub fn step_block(site: &Site, step: &Step, q: [f64; 2]) -> Vec<Convex> {
    let tread = across_block(site, q, |q| {
        let z = step.top_at(q);
        let (front, back, under) = (step.nosing_x(), step.back_x(), z - step.thickness);
        vec![(front, under), (back, under), (back, z), (front, z)]
    });
    let under = across_block(site, q, |q| {
        let head = step.top_at(q) - step.thickness;
        let (front, back) = (step.kick_x, step.back_x());
        vec![
            (front, head - REACH),
            (back, head - REACH),
            (back, head),
            (front, head),
        ]
    });
    [tread, under].into_iter().flatten().collect()
}

/// The lower floor as an obstacle before the first kick.
#[must_use]
pub fn floor_block(site: &Site, q: [f64; 2]) -> Option<Convex> {
    let first = site.steps.first()?;
    let a = site.at(first.nosing_x() - REACH, q[0], -REACH);
    let b = site.at(first.kick_x, q[1], 0.0);
    let size = Vector3::from(b - a).abs();
    let low = a.inf(&b);
    Convex::cuboid(low, low + size)
}
