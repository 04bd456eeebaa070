//! The fastening schedule: how every joint is held, with its bores, checked against what is behind.
//!
//! In: a [`Chain`]. Out: [`Schedule`]. What makes a guard safe (a newel's base, a rail at a newel or a
//! wall, the ends of balusters) has no default: it is as the job states with its source, or it is not
//! shown.

mod anchors;
mod boards;
mod fixings;
mod strips;
mod types;
mod usual;

pub use types::*;

use std::collections::BTreeMap;

use crate::chain::{Chain, RunChain};
use crate::job::{Fastened, Job};
use crate::measure::{Length, Tape};
use crate::shop::there::Known;
use usual::Wood;

/// The fastening schedule of a whole stair.
#[must_use]
pub fn schedule(chain: &Chain) -> Schedule {
    let mut lines = Vec::new();
    for (number, run) in chain.runs.iter().enumerate() {
        let joiner = Joiner { chain, number, run };
        lines.extend(anchors::all(&joiner));
        lines.extend(fixings::all(&joiner));
        lines.extend(boards::all(&joiner));
        lines.extend(strips::all(&joiner));
    }
    let mut lines = alike(lines, chain.first().run.job.tape);
    // Stable: within a kind from the first run on, from the bottom up.
    lines.sort_by_key(|line| line.kind);
    Schedule { lines }
}

/// The plugs of the whole stair, part by part in the order of the schedule; none for what has been
/// fitted.
#[must_use]
pub fn plugs(chain: &Chain) -> Vec<PlugSet> {
    let fitted = Known::of(chain).fitted;
    let mut plugs = Vec::new();
    for run in &chain.runs {
        let fixings = run.run.job.design.fixings.iter();
        for fixing in fixings.filter(|one| !fitted.contains(&one.part)) {
            plugs.extend(fixing.plug.as_ref().map(|plug| PlugSet {
                part: fixing.part.clone(),
                diameter: plug.diameter.value,
                depth: plug.depth.value,
                number: 1,
            }));
        }
    }
    for line in schedule(chain).lines {
        let HeldBy::Driven(set) = line.held_by else {
            continue;
        };
        let Some((diameter, depth)) = set.plug else {
            continue;
        };
        let count = u32::try_from(line.joints.len()).unwrap_or(u32::MAX).max(1);
        for (part, _) in line.joints {
            plugs.push(PlugSet {
                part,
                diameter,
                depth,
                number: set.total / count,
            });
        }
    }
    plugs
}

/// One run of the stair whose joints are told.
struct Joiner<'a> {
    chain: &'a Chain,
    number: usize,
    run: &'a RunChain,
}

impl<'a> Joiner<'a> {
    fn job(&self) -> &'a Job {
        &self.run.run.job
    }

    fn line(&self, kind: JointKind, joint: (String, Option<String>), held_by: HeldBy) -> JointLine {
        JointLine {
            run: self.number,
            kind,
            joints: vec![joint],
            held_by,
            bores: Vec::new(),
            faults: Vec::new(),
        }
    }

    /// A joint that is fastened as is usual, or as the job says.
    fn usual(&self, joint: Fastened, parts: (String, Option<String>), wood: &Wood) -> JointLine {
        let job = self.job();
        let (set, faults) = usual::driven(&job.fastening, (joint, job.units), wood);
        let mut line = self.line(JointKind::Usual(joint), parts, HeldBy::Driven(set));
        line.faults = faults;
        line
    }
}

/// Joints that are held alike as far as the tape tells, as one line.
fn alike(lines: Vec<JointLine>, tape: Tape) -> Vec<JointLine> {
    let mut told: Vec<JointLine> = Vec::new();
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    for line in lines {
        let key = key(&line, tape);
        let Some(one) = known.get(&key).and_then(|&at| told.get_mut(at)) else {
            known.insert(key, told.len());
            told.push(line);
            continue;
        };
        one.joints.extend(line.joints);
        if let (HeldBy::Driven(set), HeldBy::Driven(more)) = (&mut one.held_by, &line.held_by) {
            set.total += more.total;
            // What is behind differs by a hair from one to the next: the least of it counts.
            set.room = set.room.zip(more.room).map(|(a, b)| a.min(b));
        }
        for bore in line.bores {
            let same = |own: &&mut BoreLeft| {
                let print =
                    |one: &BoreLeft| [one.diameter, one.deep, one.left].map(|it| tape.print(it));
                (&own.part, &own.name) == (&bore.part, &bore.name) && print(own) == print(&bore)
            };
            match one.bores.iter_mut().find(same) {
                Some(own) => own.number += bore.number,
                None => one.bores.push(bore),
            }
        }
    }
    told
}

/// What of a joint is printed but for its parts, as one text.
fn key(line: &JointLine, tape: Tape) -> String {
    let print = |length: Length| tape.print(length);
    let held = match &line.held_by {
        HeldBy::Driven(set) => format!(
            "{:?}{}{}{:?}{:?}{:?}{}{:?}{}{}{}",
            set.what,
            print(set.diameter),
            print(set.length),
            set.clear.map(print),
            set.pilot.map(print),
            set.plug.map(|(wide, deep)| [print(wide), print(deep)]),
            set.each,
            set.every.map(print),
            print(set.through),
            print(set.bite),
            set.room.is_some(),
        ),
        other => format!("{other:?}"),
    };
    let faults: Vec<String> = line.faults.iter().map(|fault| told(fault, tape)).collect();
    // Each fixing is one of its own, with a name.
    let own = (line.kind == JointKind::Fixing).then_some((&line.joints, &line.bores));
    format!("{}{:?}{held}{faults:?}{own:?}", line.run, line.kind)
}

fn told(fault: &JointFault, tape: Tape) -> String {
    let print = |length: Length| tape.print(length);
    match fault {
        JointFault::NothingBehind { nearest } => {
            format!(
                "{:?}",
                nearest.as_ref().map(|(part, off)| (part, print(*off)))
            )
        }
        JointFault::Unseen { wall } => wall.clone(),
        JointFault::TooLong { past, at_most } => {
            format!("long{}{:?}", print(*past), at_most.map(print))
        }
        JointFault::TooShort { bite, at_least } => {
            format!("short{}{}", print(*bite), print(*at_least))
        }
        JointFault::PlugTooWide { piece, at_most } => {
            format!("wide{}{:?}", print(*piece), at_most.map(print))
        }
        JointFault::PlugTooDeep { piece, at_most } => {
            format!("deep{}{:?}", print(*piece), at_most.map(print))
        }
        JointFault::Through { by, at_most } => format!("out{}{}", print(*by), print(*at_most)),
    }
}
