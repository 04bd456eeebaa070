//! The draws themselves, chunk by chunk.

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use crate::inspect::{Care, Finding, Key, Severity};

use super::batches::{self, Effort, Progress};
use super::chance::Tally;
use super::cross::Cross;
use super::fan;
use super::first_look::{BINS, Plan, Watched};
use super::model::{Model, Scratch};
use super::results;
use super::sample::{MISS, Wanted, fails, is_unseen, margin};
use super::spread::Spread;

/// Draws handed out at a time.
pub(super) const CHUNK: u64 = 50;
/// So many troubles that the plan has not are told apart.
pub(super) const MOST_FRESH: usize = 64;

/// What a chunk of draws sums up.
pub(super) struct Summary {
    pub(super) scratch: Scratch,
    pub(super) tallies: Vec<Tally>,
    pub(super) spreads: Vec<Spread>,
    pub(super) crosses: Vec<Cross>,
    pub(super) absent: Vec<u64>,
    pub(super) fresh: BTreeMap<Key, (String, Severity, u64)>,
    pub(super) none: BTreeMap<String, u64>,
    pub(super) anything: Tally,
    pub(super) all_kept: Tally,
    pub(super) groups: Vec<(Tally, Spread)>,
    pub(super) results: Vec<Spread>,
    pub(super) fans: Vec<Vec<[Spread; 2]>>,
    pub(super) draws: u64,
}

impl Summary {
    pub(super) fn empty(model: &Model, plan: &Plan, watched: &Watched) -> Self {
        let bin = |(middle, bin): (f64, f64)| Spread::about(middle, bin, BINS);
        let worst = |number: usize| {
            let members = (0..watched.group.len()).filter(|&at| watched.group[at] == number);
            let widest = members.map(|at| watched.bins[at].1).fold(0.0, f64::max);
            let least = (0..watched.group.len())
                .filter(|&at| watched.group[at] == number)
                .map(|at| margin(&plan.findings[watched.near[at]]))
                .fold(f64::INFINITY, f64::min);
            Spread::about(least, widest, BINS)
        };
        Self {
            scratch: model.scratch(),
            tallies: vec![Tally::default(); watched.near.len()],
            spreads: watched.bins.iter().map(|&one| bin(one)).collect(),
            crosses: vec![Cross::of(model.size()); watched.near.len()],
            absent: vec![0; watched.near.len()],
            fresh: BTreeMap::new(),
            none: BTreeMap::new(),
            anything: Tally::default(),
            all_kept: Tally::default(),
            groups: (0..watched.groups.len())
                .map(|at| (Tally::default(), worst(at)))
                .collect(),
            results: plan
                .results
                .iter()
                .zip(&watched.result_bins)
                .map(|(_, &bin)| Spread::about(0.0, bin, BINS))
                .collect(),
            fans: fan::empty(&plan.fans),
            draws: 0,
        }
    }

    fn merge(&mut self, more: Self) {
        for (tally, more) in self.tallies.iter_mut().zip(&more.tallies) {
            tally.merge(*more);
        }
        for (spread, more) in self.spreads.iter_mut().zip(&more.spreads) {
            spread.merge(more);
        }
        for (cross, more) in self.crosses.iter_mut().zip(&more.crosses) {
            cross.merge(more);
        }
        for (absent, more) in self.absent.iter_mut().zip(&more.absent) {
            *absent += more;
        }
        for (key, (says, severity, count)) in more.fresh {
            if let Some(known) = self.fresh.get_mut(&key) {
                known.2 += count;
            } else if self.fresh.len() < MOST_FRESH {
                self.fresh.insert(key, (says, severity, count));
            }
        }
        for (why, count) in more.none {
            *self.none.entry(why).or_default() += count;
        }
        self.anything.merge(more.anything);
        self.all_kept.merge(more.all_kept);
        for ((tally, worst), (more, more_worst)) in self.groups.iter_mut().zip(&more.groups) {
            tally.merge(*more);
            worst.merge(more_worst);
        }
        for (spread, more) in self.results.iter_mut().zip(&more.results) {
            spread.merge(more);
        }
        fan::merge(&mut self.fans, &more.fans);
        self.draws += more.draws;
    }
}

pub(super) fn drawn(
    model: &Model,
    plan: &Plan,
    watched: &Watched,
    wanted: &Wanted,
    watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> batches::Ran<Summary> {
    let effort = Effort {
        ends: wanted.ends(),
        chunk: CHUNK,
        threads: wanted.threads,
    };
    let drawing = Drawing {
        model,
        plan,
        watched,
        lessened: model.without(&watched.far),
        seed: wanted.seed,
    };
    let known = |tally: &Tally| {
        let (low, high) = tally.interval(MISS);
        high - low <= 2.0 * wanted.narrow
    };
    batches::run(
        &effort,
        || Summary::empty(model, plan, watched),
        |summary, number| drawing.draw(summary, number),
        Summary::merge,
        |summary, _| summary.tallies.iter().all(known) && known(&summary.anything),
        watch,
    )
}

pub(super) struct Drawing<'a> {
    model: &'a Model,
    plan: &'a Plan,
    watched: &'a Watched,
    lessened: Model,
    seed: u64,
}

impl Drawing<'_> {
    fn draw(&self, summary: &mut Summary, number: u64) {
        self.model.draw(self.seed, number, &mut summary.scratch);
        summary.draws += 1;
        let drawn = match self.model.lay(&mut summary.scratch) {
            Ok(drawn) => drawn,
            Err(error) => {
                *summary.none.entry(results::in_the_way(&error)).or_default() += 1;
                summary.anything.add(true);
                summary.all_kept.add(false);
                for tally in &mut summary.tallies {
                    tally.add(true);
                }
                for (tally, _) in &mut summary.groups {
                    tally.add(true);
                }
                return;
            }
        };
        let care = Care::Some(&self.watched.balls);
        let findings = self.lessened.findings(&drawn, care);
        let mut seen = vec![false; self.watched.near.len()];
        let mut failed = vec![false; self.watched.near.len()];
        let mut worst = vec![f64::INFINITY; self.watched.groups.len()];
        let (mut anything, mut all_kept) = (false, self.watched.certain.is_empty());
        for finding in &findings {
            let fails = fails(finding);
            let Some(&at) = self.plan.places.get(&finding.key) else {
                if fails && !is_unseen(self.model, finding) {
                    anything |= finding.severity > Severity::Remark;
                    all_kept = false;
                    fresh(summary, finding);
                }
                continue;
            };
            let counts = finding.severity > Severity::Remark;
            all_kept &= !fails;
            anything |= fails && counts && !self.plan.findings[at].is_trouble();
            let Some(chance) = self.watched.chance[at] else {
                continue;
            };
            (seen[chance], failed[chance]) = (true, fails);
            let value = finding.value().as_mm();
            summary.spreads[chance].add(value);
            summary.crosses[chance].add(&summary.scratch.numbers, value);
            let group = self.watched.group[chance];
            worst[group] = worst[group].min(margin(finding));
        }
        for (at, (seen, failed)) in seen.iter().zip(&failed).enumerate() {
            summary.tallies[at].add(*failed);
            summary.absent[at] += u64::from(!seen);
        }
        for (number, (tally, spread)) in summary.groups.iter_mut().enumerate() {
            let mut members = self.watched.group.iter().zip(&failed);
            tally.add(members.any(|(group, failed)| *group == number && *failed));
            if worst[number].is_finite() {
                spread.add(worst[number]);
            }
        }
        summary.anything.add(anything);
        summary.all_kept.add(all_kept);
        let off = results::off(self.model, &drawn, &self.plan.results);
        for (spread, value) in summary.results.iter_mut().zip(off) {
            if let Some(value) = value {
                spread.add(value);
            }
        }
        fan::add(&mut summary.fans, &self.plan.fans, &drawn.laid);
    }
}

/// Adds a trouble that the plan has not.
fn fresh(summary: &mut Summary, finding: &Finding) {
    if let Some(known) = summary.fresh.get_mut(&finding.key) {
        known.2 += 1;
    } else if summary.fresh.len() < MOST_FRESH {
        let told = (finding.says.clone(), finding.severity, 1);
        summary.fresh.insert(finding.key.clone(), told);
    }
}
