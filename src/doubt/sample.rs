//! [`Sample`]: the stair drawn and worked thousands of times, and what fails how often.
//!
//! In: a chain that ran on readings, and how much to draw. Out: for each finding that may fail its
//! chance with an interval, how its value spreads and what it hangs on; the chance that anything
//! fails at all; where the rail may come to lie. A first look with a few hundred draws tells what may
//! fail, so that the others need not be worked out again and again; what it found safe is looked at
//! no more where that is costly, and counted as such.
//!
//! The same seed gives the same answer on any number of threads. A draw in which no rail exists is
//! counted and said, as a failure of the whole.

use std::ops::ControlFlow;

use nalgebra::Point3;

use crate::chain::Chain;
use crate::inspect::{Finding, Key, Kind, Severity, Verdict};
use crate::measure::Length;
use crate::rules::Sense;

use super::batches::{self, Ended, Progress};
use super::chance::Tally;
use super::cross::Cross;
use super::drawing::{CHUNK, Summary, drawn};
use super::fan::{self, Fan};
use super::first_look::{Look, Plan, Watched, first_look};
use super::model::Model;
use super::results::Measured;
use super::spread::Spread;

/// How much is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The same seed gives the same answer.
    pub seed: u64,
    /// No more draws than this.
    pub most: u64,
    /// Threads that draw; the answer does not depend on it.
    pub threads: usize,
    /// It stops at the next fixed number of draws when every chance is known this well, either way.
    pub narrow: f64,
}

impl Default for Wanted {
    fn default() -> Self {
        Self {
            seed: 1,
            most: 10_000,
            threads: std::thread::available_parallelism().map_or(1, usize::from),
            narrow: 0.02,
        }
    }
}

impl Wanted {
    /// The fixed numbers of draws at which it may stop: each half as many again as the one before.
    pub(super) fn ends(&self) -> Vec<u64> {
        let mut ends = Vec::new();
        let mut end = FIRST_END;
        while end < self.most {
            ends.push(end);
            end += (end / 2).next_multiple_of(CHUNK);
        }
        ends.push(self.most);
        ends
    }
}

/// The first number of draws at which it may stop.
const FIRST_END: u64 = 1_000;
/// Intervals of chances hold with this much doubt.
pub const MISS: f64 = 0.05;

/// What came of the draws.
#[derive(Clone, Debug)]
pub struct Sample {
    /// What was asked.
    pub wanted: Wanted,
    /// Draws made.
    pub draws: u64,
    /// Why no more.
    pub ended: Ended,
    /// What may fail, in the order in which it is found; then what fails whatever comes.
    pub chances: Vec<Chance>,
    /// How many findings vary and come nowhere near their limit.
    pub safe: usize,
    /// Troubles that the plan has not at all, such as two parts that come into one place.
    pub fresh: Vec<Fresh>,
    /// Draws in which nothing stands, by what stands in the way: the field and the words.
    pub none: Vec<(String, Tally)>,
    /// Something more than a remark fails that the plan keeps, or nothing stands.
    pub anything: Tally,
    /// The plan's own troubles, all of them cured by chance.
    pub all_kept: Tally,
    /// What may fail, kind by kind.
    pub groups: Vec<Group>,
    /// What the set-out comes to.
    pub results: Vec<Measured>,
    /// Where the rails may come to lie, run by run.
    pub fans: Vec<Fan>,
}

/// A finding that may fail.
#[derive(Clone, Debug)]
pub struct Chance {
    /// The finding on the plan.
    pub plan: Finding,
    /// How often it fails.
    pub tally: Tally,
    /// How its value spreads, mm.
    pub spread: Spread,
    /// Draws in which it was not found: there is no such place then.
    pub absent: u64,
    /// It was so far past its limit in every draw of the first look that it was looked at no more: its
    /// numbers are those of that look.
    pub certain: bool,
    /// What its variance comes from: the source's number among the model's, and its share; largest
    /// first. Shares of a straight dependence: what is bent or comes of two together is in none.
    pub shares: Vec<(usize, f64)>,
}

impl Chance {
    /// The chance that it fails, with its interval.
    #[must_use]
    pub fn interval(&self) -> (f64, f64) {
        self.tally.interval(MISS)
    }

    /// Its value's 95 % interval; `None` where it has none.
    #[must_use]
    pub fn within(&self) -> Option<(Length, Length)> {
        let (low, high) = self.spread.within(1.0 - MISS)?;
        Some((Length::mm(low), Length::mm(high)))
    }

    /// True where it failed in every draw.
    #[must_use]
    pub const fn always(&self) -> bool {
        self.tally.hits == self.tally.of
    }

    /// True where it is a trouble on the plan already.
    #[must_use]
    pub fn is_trouble(&self) -> bool {
        self.plan.is_trouble()
    }
}

/// A trouble that the plan has not.
#[derive(Clone, Debug)]
pub struct Fresh {
    /// What it is about.
    pub key: Key,
    /// How it was told in the first draw that had it.
    pub says: String,
    /// How much it matters.
    pub severity: Severity,
    /// How often.
    pub tally: Tally,
}

/// What may fail of one kind, on one side of its limits.
#[derive(Clone, Debug)]
pub struct Group {
    /// The kind.
    pub kind: Kind,
    /// The side of the limit that is right.
    pub sense: Sense,
    /// How many findings it has.
    pub of: usize,
    /// How often at least one of them fails.
    pub tally: Tally,
    /// The worst margin of them, mm; less than nothing is past the limit.
    pub worst: Spread,
}

impl Sample {
    /// What may fail in the order in which it is told, the likeliest first: what the plan keeps, then
    /// the plan's own troubles, those that failed in every draw last.
    #[must_use]
    pub fn listed(&self) -> [Vec<&Chance>; 3] {
        let failed = self.chances.iter().filter(|one| one.tally.hits > 0);
        let (troubles, kept): (Vec<&Chance>, _) = failed.partition(|one| one.is_trouble());
        let (always, open) = troubles.into_iter().partition(|one| one.always());
        [kept, open, always].map(likeliest)
    }

    /// What came near its limit and kept it in every draw.
    pub fn near(&self) -> impl Iterator<Item = &Chance> {
        self.chances.iter().filter(|one| one.tally.hits == 0)
    }
}

/// In the order of their chances, the greatest first; of equals what matters more.
fn likeliest(mut some: Vec<&Chance>) -> Vec<&Chance> {
    some.sort_by(|a, b| {
        let chance = b.tally.share().total_cmp(&a.tally.share());
        chance.then(b.plan.severity.cmp(&a.plan.severity))
    });
    some
}

/// How far a finding's value is on the right side of its limit, mm.
#[must_use]
pub fn margin(finding: &Finding) -> f64 {
    let over = (finding.value() - finding.limit).as_mm();
    match finding.sense {
        Sense::AtLeast => over,
        Sense::AtMost | Sense::Under => -over,
    }
}

/// True where a finding fails: its limit is broken, or the ball's bounds cannot show that it is kept.
pub(super) fn fails(finding: &Finding) -> bool {
    matches!(finding.verdict, Verdict::Broken | Verdict::TooClose)
}

/// A newel that is plumb on the plan stands past the edge of its tread by whatever hand sets it off
/// plumb: up to a lean that is seen that is no trouble.
pub(super) fn is_unseen(model: &Model, finding: &Finding) -> bool {
    let run = model.runs().get(finding.run);
    let seen = run.map(|run| run.job.design.eye().lean.value);
    finding.key.kind == Kind::PastEdge && seen.is_some_and(|seen| finding.value() <= seen)
}

/// Draws the stair. `watch` is told how far it has come and may break it off: what was drawn until
/// then comes back. `None` where the chain ran on given estimates.
#[must_use]
pub fn sample(
    chain: &Chain,
    wanted: &Wanted,
    watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> Option<Sample> {
    Some(sample_of(&Model::of(chain)?, chain, wanted, watch))
}

/// The same of a model that is at hand, such as one with other tolerances.
#[must_use]
pub fn sample_of(
    model: &Model,
    chain: &Chain,
    wanted: &Wanted,
    watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> Sample {
    let plan = Plan::of(model, chain);
    let first = first_look(model, &plan, wanted, watch);
    let watched = Watched::of(model, &plan, &first.summary);
    let ran = if first.ended == Ended::Cancelled {
        batches::Ran {
            summary: Summary::empty(model, &plan, &watched),
            draws: 0,
            ended: Ended::Cancelled,
        }
    } else {
        drawn(model, &plan, &watched, wanted, watch)
    };
    told(model, wanted, &plan, &watched, &first.summary.looks, ran)
}

fn told(
    model: &Model,
    wanted: &Wanted,
    plan: &Plan,
    watched: &Watched,
    looks: &[Look],
    ran: batches::Ran<Summary>,
) -> Sample {
    let summary = ran.summary;
    let of = summary.draws;
    let counted = |hits: u64| Tally { hits, of };
    let mut chances: Vec<Chance> = watched
        .near
        .iter()
        .enumerate()
        .map(|(chance, &at)| Chance {
            plan: plan.findings[at].clone(),
            tally: summary.tallies[chance],
            spread: summary.spreads[chance].clone(),
            absent: summary.absent[chance],
            certain: false,
            shares: shares(model, &summary.crosses[chance]),
        })
        .collect();
    let certain = watched.certain.iter().map(|&at| Chance {
        plan: plan.findings[at].clone(),
        tally: looks[at].tally,
        spread: looks[at].value.clone(),
        absent: 0,
        certain: true,
        shares: Vec::new(),
    });
    chances.extend(certain);
    let fresh = summary.fresh.into_iter();
    Sample {
        wanted: wanted.clone(),
        draws: of,
        ended: ran.ended,
        chances,
        safe: watched.safe,
        fresh: fresh
            .map(|(key, (says, severity, hits))| Fresh {
                key,
                says,
                severity,
                tally: counted(hits),
            })
            .collect(),
        none: summary
            .none
            .into_iter()
            .map(|(why, hits)| (why, counted(hits)))
            .collect(),
        anything: summary.anything,
        all_kept: summary.all_kept,
        groups: watched
            .groups
            .iter()
            .zip(summary.groups)
            .map(|(&(kind, sense, of), (tally, worst))| Group {
                kind,
                sense,
                of,
                tally,
                worst,
            })
            .collect(),
        results: plan
            .results
            .iter()
            .zip(summary.results)
            .map(|(one, spread)| Measured {
                spread,
                ..one.clone()
            })
            .collect(),
        fans: fan::told(&plan.fans, summary.fans),
    }
}

/// Each source's share of a result's variance, largest first: the square of its correlation, less
/// what as many unrelated numbers would show by accident.
fn shares(model: &Model, cross: &Cross) -> Vec<(usize, f64)> {
    let mut shares: Vec<(usize, f64)> = model
        .sources()
        .iter()
        .enumerate()
        .map(|(at, source)| {
            let numbers = source.from..source.from + source.count;
            // So much a sum of as many squares varies by accident.
            let spread = cross.accident() * (2.0 * source.count as f64).sqrt();
            (at, cross.share(numbers), SHARE_SEEN * spread)
        })
        .filter(|(_, share, seen)| share > seen)
        .map(|(at, share, _)| (at, share))
        .collect();
    shares.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    shares
}

/// A share less than so many standard deviations of what unrelated numbers show is none: there are
/// hundreds of sources.
const SHARE_SEEN: f64 = 10.0;

/// Where to point at, for a chance.
impl Chance {
    /// The place of its finding on the plan, mm in the first run's frame.
    #[must_use]
    pub const fn at(&self) -> Point3<f64> {
        self.plan.at
    }
}
