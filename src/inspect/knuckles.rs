//! Room for the knuckles of a hand round every rail that is there to hold.
//!
//! In: the whole stair, mm in the first run's frame. Out: findings in the same frame.

use std::collections::{BTreeMap, BTreeSet};

use crate::job::Duty;
use crate::measure::Length;
use crate::rules::Sense;
use crate::solids::{Bounds, PartKind};

use super::clash::{self, Boxes};
use super::railing::{Limit, exact};
use super::whole::Stair;
use super::{Finding, Key, Kind, Run, Severity};

/// What a hand needs round a rail: 1 1/2 in, common practice; it is what codes ask between a
/// handrail and its wall.
const KNUCKLES: Length = Length::inches(1.5);
/// What is further from a rail than this is no concern of a hand, mm.
const NEAR_MM: f64 = 150.0;

/// The clearance of every rail to hold from every part near it that is neither a joint of it, nor a
/// baluster, a bracket or a wall: walls have their own rule, and a hand passes balusters.
pub(super) fn findings(stair: &Stair<'_>) -> Vec<Finding> {
    let near = Near::of(stair);
    let mut found = Vec::new();
    for run in stair.runs {
        let design = &run.solid.job.design;
        let held = (design.rail.duty != Duty::Guard).then_some(&run.solid.setout.rail.name);
        let beside = run.solid.setout.wall_rail.as_ref().map(|rail| &rail.name);
        let room = Room::of(run);
        for name in held.into_iter().chain(beside) {
            let Some(rail) = stair.place(name) else {
                continue;
            };
            let others = near.beside(stair, rail, room.reach());
            found.extend(
                others
                    .into_iter()
                    .filter_map(|other| room.finding(stair, rail, other)),
            );
        }
    }
    found
}

/// The room that a run asks.
struct Room {
    run: usize,
    asked: Length,
    source: &'static str,
}

impl Room {
    fn of(run: &Run<'_>) -> Self {
        let asked = run.solid.job.design.knuckles.as_ref();
        Self {
            run: run.solid.number,
            asked: asked.map_or(KNUCKLES, |asked| asked.value),
            source: match asked {
                Some(_) => "the job's room for knuckles",
                None => "common practice",
            },
        }
    }

    fn reach(&self) -> f64 {
        NEAR_MM.max(self.asked.as_mm())
    }

    fn finding(&self, stair: &Stair<'_>, rail: usize, other: usize) -> Option<Finding> {
        let gap = clash::nearest_within(stair.solids, rail, other, self.reach())?;
        // Two that overlap are told as a clash.
        if gap.distance <= 0.0 {
            return None;
        }
        let value = Length::mm(gap.distance);
        let (name, part, tape) = (stair.name(rail), stair.name(other), stair.tape());
        let says = format!(
            "a hand on rail {name} has {} beside {part}; at least {} is asked",
            tape.print(value),
            tape.print(self.asked)
        );
        let key = Key {
            kind: Kind::Knuckle,
            parts: vec![name.to_owned(), part.to_owned()],
        };
        let limit = Limit {
            limit: self.asked,
            sense: Sense::AtLeast,
            source: self.source,
        };
        let mut one = exact(key, value, limit, Severity::Fix, gap.on_a, says);
        one.run = self.run;
        Some(one)
    }
}

/// What stands near what, and what is joined to what.
struct Near {
    /// The parts that have a body.
    parts: Vec<usize>,
    boxes: Vec<Bounds>,
    tree: Boxes,
    /// Each part's joints.
    joints: BTreeMap<usize, BTreeSet<usize>>,
}

impl Near {
    fn of(stair: &Stair<'_>) -> Self {
        let all = stair.solids.parts.iter().enumerate();
        let (parts, boxes): (Vec<usize>, Vec<Bounds>) = all
            .filter_map(|(place, part)| Some((place, part.bounds()?)))
            .unzip();
        let mut joints: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for joint in &stair.solids.joints {
            joints.entry(joint.a).or_default().insert(joint.b);
            joints.entry(joint.b).or_default().insert(joint.a);
        }
        let tree = Boxes::of(&boxes);
        Self {
            parts,
            boxes,
            tree,
            joints,
        }
    }

    /// The parts near a rail that a hand on it may meet.
    fn beside(&self, stair: &Stair<'_>, rail: usize, reach: f64) -> Vec<usize> {
        let Ok(at) = self.parts.binary_search(&rail) else {
            return Vec::new();
        };
        let near = self.tree.near(&self.boxes[at], reach);
        let near = near.into_iter().map(|at| self.parts[at]);
        near.filter(|&other| other != rail && !self.passes(stair, rail, other))
            .collect()
    }

    fn joined(&self, a: usize, b: usize) -> bool {
        self.joints
            .get(&a)
            .is_some_and(|joined| joined.contains(&b))
    }

    /// Whether a hand on the rail passes this part: what the rail is joined to, what a hand passes
    /// anyway, and a rail that comes to the same newel.
    fn passes(&self, stair: &Stair<'_>, rail: usize, other: usize) -> bool {
        use PartKind::{Baluster, Newel, Panel, Rail, Rosette, Wall};
        let kind = stair.kind(other);
        let passed = matches!(kind, None | Some(Baluster | Panel | Rosette | Wall));
        if passed || self.joined(rail, other) {
            return true;
        }
        let mut own = self.joints.get(&rail).into_iter().flatten();
        kind == Some(Rail)
            && own.any(|&joint| stair.kind(joint) == Some(Newel) && self.joined(joint, other))
    }
}
