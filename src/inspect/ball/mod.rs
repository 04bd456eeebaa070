//! The largest ball that passes through an opening, between certified bounds.
//!
//! In: convex pieces in the flight's frame and a [`Cell`], mm. Out: a [`Ball`], whose diameter lies
//! between `lower` and `upper`. With clearance c(p) the least distance from p to any piece, the
//! ball's diameter is twice the greatest, over the paths from the cell's source face to its sink
//! face, of the least clearance along the path. The centre of the ball stays in the cell; the
//! cell's sides are no obstacles to the ball itself.
//!
//! A surface hung across the cell bounds every path from above, a path bounds from below: where a
//! few curtains and the ways through their best points meet, that is the answer. Where they do not,
//! a tree of boxes closes in on it.
//! Does not: know parts, joints or rules.

mod curtain;
mod game;
mod hull;
mod known;
mod path;
mod piece;
mod pins;
mod queue;
mod scene;
#[cfg(test)]
mod tests;
mod tree;

use nalgebra::{Isometry3, Point3, Vector3};

use crate::measure::tolerance::{BALL_AT_LIMIT_MM, BALL_MM};
use crate::solids::Convex;
use curtain::Curtain;
use known::{Goal, Known};
use path::Ways;
use pins::Pins;
use scene::Scene;

/// An oriented box that a ball is to pass through, from its face at `-v` to its face at `+v`.
///
/// Its own axes: u along the rail or level, v through the opening, w up. Only the centre of the
/// ball has to stay in it, so whatever closes the opening must be among the pieces: space in the
/// box beside or behind them is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Carries the cell's axes, with their origin at its middle, to the flight's frame.
    pub frame: Isometry3<f64>,
    /// Half sides along u, v and w, mm.
    pub half: Vector3<f64>,
}

/// Bounds on the largest ball that passes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ball {
    /// A ball of this diameter passes, mm; 0 where none is shown to, infinite where there are no
    /// pieces.
    pub lower: f64,
    /// No larger ball passes, mm; infinite where there are no pieces, or a coordinate is no number.
    pub upper: f64,
    /// Where the best path found is tightest, in the flight's frame, mm: a ball of the lower
    /// diameter drawn here touches what it passes between, to within half of what is asked for.
    pub centre: Point3<f64>,
}

/// How well the answer has to be known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// The bounds are brought this close, mm.
    pub width: f64,
    /// A limit on the diameter that will be judged against the answer, mm.
    pub limit: Option<f64>,
    /// The bounds are brought this close where the limit lies between them, mm.
    pub width_at_limit: f64,
}

impl Asked {
    /// The house's tolerances, with a limit if there is one, mm.
    #[must_use]
    pub fn usual(limit: Option<f64>) -> Self {
        Self {
            width: BALL_MM,
            limit,
            width_at_limit: BALL_AT_LIMIT_MM,
        }
    }
}

/// Boxes that the general engine may make for one question, all rounds together. Past it the
/// bounds are returned as they stand, honest but wider than asked.
pub const BOXES: usize = 4_000;

/// Curtains tried before the general engine: each goes through the tightest spots of the last ways.
const CURTAINS: usize = 8;

/// The largest ball that passes through the cell between the pieces.
///
/// Where the bounds cannot be brought as close as asked within the budget of boxes ([`BOXES`]),
/// they are wider, never wrong.
#[must_use]
pub fn largest_ball(pieces: &[&Convex], cell: &Cell, asked: &Asked) -> Ball {
    answer(
        pieces,
        cell,
        &Goal {
            asked: *asked,
            decide: false,
        },
    )
}

/// Whether a ball of the limit's diameter (mm) passes; `None` where the limit lies between bounds as
/// close as `width_at_limit` (mm), or the budget ran out. Stops as soon as the limit is decided: for
/// drawn samples, where only the verdict counts.
#[must_use]
pub fn passes(pieces: &[&Convex], cell: &Cell, limit: f64, width_at_limit: f64) -> Option<bool> {
    let ball = decided(pieces, cell, limit, width_at_limit);
    if ball.lower >= limit {
        Some(true)
    } else if ball.upper < limit {
        Some(false)
    } else {
        None
    }
}

/// The bounds at which the limit is decided, mm, as [`passes`].
#[must_use]
pub fn decided(pieces: &[&Convex], cell: &Cell, limit: f64, width_at_limit: f64) -> Ball {
    let asked = Asked {
        width: BALL_MM.max(width_at_limit),
        limit: Some(limit),
        width_at_limit,
    };
    answer(
        pieces,
        cell,
        &Goal {
            asked,
            decide: true,
        },
    )
}

fn answer(pieces: &[&Convex], cell: &Cell, goal: &Goal) -> Ball {
    let scene = Scene::new(pieces, cell);
    let mut known = Known::nothing();
    if scene.pieces.is_empty() {
        known.lower = f64::INFINITY;
    } else if scene.is_finite() {
        curtains(&scene, goal, &mut known);
        boxes(&scene, goal, &mut known);
    }
    let (lower, upper) = known.diameters();
    Ball {
        lower,
        upper,
        centre: cell.frame * known.at,
    }
}

/// Hangs curtains through ever tighter places, with a way through each one's best point. Where the
/// way is tightest the next curtain is pinned.
fn curtains(scene: &Scene, goal: &Goal, known: &mut Known) {
    let middle = Curtain::through_the_middle(scene);
    let mut curtain = middle;
    let mut pins = Pins::default();
    let mut ways = Ways::default();
    for _ in 0..CURTAINS {
        let slack = known.slack(goal) / 4.0;
        let settled = known.settled(goal, slack);
        let top = curtain.top(scene, slack, known.upper, settled);
        known.upper = known.upper.min(top.upper.max(0.0));
        let straight = ways.add(scene, top.at);
        if let Some(way) = ways.best(goal.asked.width / 4.0) {
            known.lower = way.clearance.max(0.0);
            known.at = way.at;
        }
        if known.enough(goal) {
            return;
        }
        pins.add(scene, top.at, straight.at);
        curtain = middle.pinned(scene, &pins.points());
    }
}

/// Closes in with the general engine, each round halving what is left between the bounds.
fn boxes(scene: &Scene, goal: &Goal, known: &mut Known) {
    let mut budget = BOXES;
    while !known.enough(goal) && budget > 0 {
        let aim = known.slack(goal) / 2.0;
        let slack = aim.max((known.upper - known.lower) / 3.0);
        let sought = tree::Sought {
            upper: known.upper,
            enough: known.settled(goal, aim),
            slack,
            budget,
        };
        let found = tree::widest(scene, &sought);
        known.upper = known.upper.min(found.upper.max(0.0));
        if let Some(way) = found.way.filter(|way| way.clearance > known.lower) {
            known.lower = way.clearance;
            known.at = way.at;
        }
        budget = budget.saturating_sub(found.spent.max(1));
    }
}
