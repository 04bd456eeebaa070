//! Settings tried: the job changed so, its chain run, and drawn again with the same numbers.

use std::collections::BTreeMap;

use crate::chain::{self, Chain};
use crate::inspect::Finding;

use super::super::chance::Tally;
use super::super::model::Model;
use super::super::rows::{Look, Row, Watch, rows};
use super::super::sample::Wanted;
use super::closer::closer;
use super::ground::{Ground, keep};
use super::pull::{Made, Pull};
use super::solve::{Bench, NO_EFFECT_MM, Solved};

/// So often it is stepped on by one mark where the draws do not bear it out.
const MOST_STEPS: usize = 4;

/// The draws that try the settings are none of those that they were found on.
pub(in crate::doubt) const OTHER_DRAWS: u64 = 0x3C6E_F372_FE94_F82B;

/// What came of trying the settings.
#[derive(Clone, Debug, PartialEq)]
pub enum Trial {
    /// The job was changed so and drawn.
    Drawn {
        /// How often something failed that is not beyond every setting.
        tally: Tally,
        /// The edits of the file: field and the RON text of its value.
        edits: Vec<(String, String)>,
        /// How often it was stepped on by a mark before.
        tries: usize,
    },
    /// It could not be: why not.
    NotMade(String),
}

/// What it is tried with.
pub(super) struct Asked<'a> {
    pub(super) model: &'a Model,
    pub(super) chain: &'a Chain,
    pub(super) pull: &'a Pull,
    pub(super) ground: &'a Ground,
    pub(super) bench: &'a Bench<'a>,
    pub(super) wanted: (&'a Wanted, u64),
    pub(super) allowed: u64,
    pub(super) counts: &'a (dyn Fn(&Finding) -> bool + Sync),
}

/// Tries the settings, and steps on by a mark where the draws do not bear them out; the moves are then
/// those that were tried last. `None` where the watcher broke it off.
pub(super) fn drawn(asked: &Asked<'_>, solved: &mut Solved, watch: Watch<'_>) -> Option<Trial> {
    let mut tries = 0;
    loop {
        let (runs, edits) = match asked.made(&solved.marks) {
            Ok(made) => made,
            Err(why) => return Some(Trial::NotMade(why)),
        };
        let chain = match chain::run_all(&runs) {
            Ok(chain) => chain,
            Err(error) => return Some(Trial::NotMade(error.to_string())),
        };
        let Some(model) = Model::of(&chain) else {
            return Some(Trial::NotMade("nothing on it is in doubt".to_owned()));
        };
        let model = if asked.model.counts_unread() {
            model.with_unread()
        } else {
            model
        };
        let look = Look {
            places: BTreeMap::new(),
            reveals: Vec::new(),
            far: asked.ground.far.clone(),
            counts: asked.counts,
        };
        // Not the draws that the settings were found on.
        let fresh = Wanted {
            seed: asked.wanted.0.seed ^ OTHER_DRAWS,
            ..asked.wanted.0.clone()
        };
        let rows = rows(&model, &look, (&fresh, asked.wanted.1), watch)?;
        let tally = Tally {
            hits: rows.iter().filter(|row| Bench::lost(row)).count() as u64,
            of: asked.wanted.1,
        };
        // What was foretold out of reach is drawn once, and told as it is.
        let done = tally.hits <= asked.allowed
            || tries >= MOST_STEPS
            || solved.fails > asked.allowed
            || !asked.step_on(&rows, solved);
        if done {
            return Some(Trial::Drawn {
                tally,
                edits,
                tries,
            });
        }
        tries += 1;
    }
}

impl Asked<'_> {
    fn made(&self, marks: &[i32]) -> Result<Made, String> {
        let levers = self.ground.levers.iter().zip(marks);
        let pulled: Vec<(usize, i32)> = levers
            .filter(|(_, marks)| **marks != 0)
            .map(|(lever, marks)| (*lever, *marks))
            .collect();
        let mut made = self
            .pull
            .made(&pulled)
            .ok_or("a job cannot hold such a length")?;
        let by_hand = &marks[self.ground.levers.len()..];
        for (&sort, &marks) in self.ground.by_hand.iter().zip(by_hand) {
            let Some(worst) = self.ground.worst(sort).filter(|_| marks > 0) else {
                continue;
            };
            let shift = self.ground.tape.mark() * f64::from(marks);
            let to = keep(self.ground.tape, &self.ground.findings[worst], shift);
            made = closer(self.model, self.chain, made, to).ok_or_else(|| {
                let to = self.ground.tape.print(to);
                format!("no few balusters more keep every gap at {to} or less")
            })?;
        }
        Ok(made)
    }

    /// A mark further where most still fails. False where nothing moves that.
    fn step_on(&self, rows: &[Row], solved: &mut Solved) -> bool {
        let ground = self.ground;
        let mut often = vec![0u64; ground.sorts.len()];
        for sort in rows.iter().flat_map(|row| &row.others) {
            if let Some(at) = ground.sorts.iter().position(|one| one == sort) {
                often[at] += 1;
            }
        }
        let most = often.iter().max().copied().unwrap_or(0);
        let Some(sort) = often.iter().position(|&one| one == most && one > 0) else {
            return false;
        };
        let Some(worst) = ground.worst(sort) else {
            return false;
        };
        let mut best: Option<(bool, f64, usize, i32)> = None;
        for (lever, effect) in ground.effects.iter().enumerate() {
            for way in [1, -1] {
                let mut moved = vec![0; ground.effects.len()];
                moved[lever] = way;
                let gain = self.bench.shifts(&moved)[worst] / effect.weight;
                let to = solved.marks[lever] + way;
                if gain <= NO_EFFECT_MM || !(effect.least..=effect.most).contains(&to) {
                    continue;
                }
                // One that is moved already goes before one that is not.
                let already = solved.marks[lever] != 0;
                let better = best.is_none_or(|(was, most, ..)| {
                    (already && !was) || (already == was && gain > most)
                });
                if better {
                    best = Some((already, gain, lever, way));
                }
            }
        }
        let Some((_, _, lever, way)) = best else {
            return false;
        };
        solved.marks[lever] += way;
        solved.fails = self.bench.fails(&solved.marks);
        true
    }
}
