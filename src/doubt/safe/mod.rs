//! [`Safe`]: what each setting must be for the whole stair to keep within its limits with a chance
//! that is asked for.
//!
//! In: a drawn stair. Out: for each sort of failure how far its quantity must move, by itself and
//! together with the others; the lengths of the design that move it so far, on the tape; what no
//! setting of the railing cures. The moves are found on the rows of the draws, all sorts at once, and
//! then the job is changed so and drawn again: what was not is never called so.

mod closer;
mod ground;
mod pull;
mod solve;
mod verify;

use crate::chain::Chain;
use crate::inspect::{Finding, Kind};
use crate::measure::Length;
use crate::rules::Sense;

use super::chance::Tally;
use super::model::Model;
use super::rows::{Look, Watch, rows};
use super::sample::Sample;
use ground::{Ground, keep};
use pull::Pull;
use solve::{Bench, Solved};
pub(super) use verify::OTHER_DRAWS;
pub use verify::Trial;

/// Nothing is moved further than this.
const MOVE_MOST: Length = Length::inches(3.0);
/// Rows that the settings are found on.
const MOST_ROWS: u64 = 4_096;

/// What each setting must be.
#[derive(Clone, Debug)]
pub struct Safe {
    /// The chance asked for that nothing fails.
    pub chance: f64,
    /// As planned: how often something fails that is not beyond every setting.
    pub planned: Tally,
    /// What is to be kept, sort by sort; those that never fail and give nothing away are left out.
    pub needs: Vec<Need>,
    /// Lengths of the design that are to be changed, or may not be.
    pub settings: Vec<Setting>,
    /// What no setting of the railing cures.
    pub beyond: Vec<Beyond>,
    /// Draws in which nothing stands at all, or something comes about that the plan has not: no
    /// setting is known to move those.
    pub unmoved: Tally,
    /// How often something fails with the settings, as the rows foretell it.
    pub foretold: Tally,
    /// The same with the job changed so and drawn again.
    pub trial: Trial,
}

/// One sort of failure, and what is to be kept.
#[derive(Clone, Debug)]
pub struct Need {
    /// The kind.
    pub kind: Kind,
    /// The side of the limit that is right.
    pub sense: Sense,
    /// How many findings it has.
    pub of: usize,
    /// How often at least one of them fails as planned.
    pub planned: Tally,
    /// The limit of the one that is nearest to it, or furthest past it, on the plan.
    pub limit: Length,
    /// Its value on the plan.
    pub worst: Length,
    /// How far all of them would have to move if nothing else could fail.
    pub alone: Option<Length>,
    /// How far the settings move the worst of them; less than nothing is given away for another.
    pub moves: Length,
    /// What the worst may be on the plan, on the tape and to the safe side.
    pub keep: Length,
}

/// A length of the design.
#[derive(Clone, Debug)]
pub struct Setting {
    /// What to do, in trade words; empty where it stays.
    pub what: String,
    /// Its field in the file; empty where it is kept by hand and no single field holds it.
    pub field: String,
    /// What it is.
    pub now: Length,
    /// What it is to be.
    pub to: Length,
    /// From what to what it may be, the others as they are to be: foretold, and not drawn. `None`
    /// where the wanted chance is not had.
    pub room: Option<(Length, Length)>,
}

/// What no setting cures.
#[derive(Clone, Debug)]
pub struct Beyond {
    /// The kind.
    pub kind: Kind,
    /// How often at least one fails.
    pub tally: Tally,
    /// One of them, as the plan tells it.
    pub says: String,
}

impl Safe {
    /// True where the settings were drawn and keep the chance.
    #[must_use]
    pub fn is_verified(&self) -> bool {
        matches!(&self.trial, Trial::Drawn { tally, .. } if self.allows(tally))
    }

    /// True where so many failures leave the wanted chance.
    #[must_use]
    pub fn allows(&self, tally: &Tally) -> bool {
        tally.of > 0 && tally.hits <= allowed(self.chance, tally.of)
    }

    /// True where nothing has to be changed.
    #[must_use]
    pub fn is_as_planned(&self) -> bool {
        self.allows(&self.planned)
    }
}

/// So many draws may fail.
pub(super) fn allowed(chance: f64, of: u64) -> u64 {
    // A hair, so that 1 - 0.99 of 100 is one.
    ((1.0 - chance) * of as f64 + 1e-9).floor() as u64
}

/// Looks for the settings. `None` where the watcher broke it off.
#[must_use]
pub fn safe(
    model: &Model,
    chain: &Chain,
    sample: &Sample,
    chance: f64,
    watch: Watch<'_>,
) -> Option<Safe> {
    let pull = Pull::of(model, chain);
    let mut ground = Ground::of(&pull, sample);
    let count = sample.wanted.most.min(MOST_ROWS);
    let rows = {
        let counts = |finding: &Finding| ground.counts(finding);
        let look = Look {
            places: ground.places(),
            reveals: Vec::new(),
            far: ground.far.clone(),
            counts: &counts,
        };
        rows(model, &look, (&sample.wanted, count), watch)?
    };
    let allowed = allowed(chance, count);
    // Draws that are lost whatever is set are no reason to set nothing: the others then keep the chance
    // beside them, and the whole is told as it is.
    let lost = rows.iter().filter(|row| Bench::lost(row)).count() as u64;
    let within = if lost > allowed {
        allowed + lost
    } else {
        allowed
    };
    let out = ground.give_up(&rows, allowed, within);
    let ground = ground;
    let counts = |finding: &Finding| ground.counts(finding);
    let bench = Bench {
        out,
        ..ground.bench(&rows)
    };
    let still = vec![0; ground.effects.len()];
    let tally = |hits: u64| Tally { hits, of: count };
    let planned = tally(bench.fails(&still));
    let mut solved = bench.solve(within);
    let trial = if solved.marks == still {
        // These are the plan's own draws.
        Trial::Drawn {
            tally: planned,
            edits: Vec::new(),
            tries: 0,
        }
    } else {
        let asked = verify::Asked {
            model,
            chain,
            pull: &pull,
            ground: &ground,
            bench: &bench,
            wanted: (&sample.wanted, count),
            allowed,
            counts: &counts,
        };
        verify::drawn(&asked, &mut solved, watch)?
    };
    Some(Safe {
        chance,
        planned,
        needs: ground.needs(&bench, &solved, allowed),
        settings: settings(&pull, &ground, &bench, &solved, within),
        beyond: ground.beyond(sample),
        unmoved: tally(lost),
        foretold: tally(solved.fails),
        trial,
    })
}

fn settings(
    pull: &Pull,
    ground: &Ground,
    bench: &Bench<'_>,
    solved: &Solved,
    allowed: u64,
) -> Vec<Setting> {
    let mut all = Vec::new();
    let had = solved.fails <= allowed;
    let gaps = ground.levers.len();
    for (number, &lever) in ground.levers.iter().enumerate() {
        let marks = solved.marks[number];
        let at = |marks: i32| pull.at(lever, marks);
        let Some(to) = at(marks) else {
            continue;
        };
        let room = had.then(|| bench.room(&solved.marks, number, allowed));
        all.push(Setting {
            what: if marks == 0 { String::new() } else { to.what },
            field: pull.levers[lever].field(),
            now: pull.levers[lever].now(),
            to: to.is,
            room: room.and_then(|(from, to)| Some((at(from)?.is, at(to)?.is))),
        });
    }
    for (number, &sort) in ground.by_hand.iter().enumerate() {
        let marks = solved.marks[gaps + number];
        let Some(worst) = ground.worst(sort).filter(|_| marks > 0) else {
            continue;
        };
        let worst = &ground.findings[worst];
        let shift = ground.tape.mark() * f64::from(marks);
        let to = keep(ground.tape, worst, shift);
        all.push(Setting {
            what: format!("keep every gap at {} or less", ground.tape.print(to)),
            field: String::new(),
            now: worst.value(),
            to,
            room: None,
        });
    }
    all
}
