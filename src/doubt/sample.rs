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

use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;

use nalgebra::Point3;

use crate::chain::Chain;
use crate::inspect::{self, Care, Finding, Key, Kind, Severity, Verdict};
use crate::measure::Length;
use crate::rules::{Quantity, Sense};

use super::batches::{self, Effort, Ended, Progress};
use super::chance::Tally;
use super::cross::Cross;
use super::fan::{self, Fan};
use super::model::{Model, Scratch};
use super::results::{self, Measured};
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
    fn ends(&self) -> Vec<u64> {
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
/// Draws handed out at a time.
const CHUNK: u64 = 50;
/// Draws of the first look.
const FIRST_LOOK: u64 = 256;
/// A finding may fail where its limit is within so many standard deviations of its mean: of a normal
/// distribution one in 300,000 lies further out.
const NEAR: f64 = 4.5;
/// What is costly is looked at no more where its limit is further away than this.
const FAR: f64 = 8.0;
/// Less spread than this is none, mm.
const NO_SPREAD_MM: f64 = 1e-6;
/// Intervals of chances hold with this much doubt.
pub const MISS: f64 = 0.05;
/// Rows of margins that are kept whole.
const KEPT_ROWS: u64 = 4_096;
/// So many troubles that the plan has not are told apart.
const MOST_FRESH: usize = 64;

/// What came of the draws.
#[derive(Clone, Debug)]
pub struct Sample {
    /// What was asked.
    pub wanted: Wanted,
    /// Draws made.
    pub draws: u64,
    /// Why no more.
    pub ended: Ended,
    /// What may fail, in the order in which it is found.
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
    /// The worst margin of each group, mm, for the first few thousand draws: row by row.
    pub margins: Vec<Vec<f64>>,
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
    /// the plan's own troubles.
    #[must_use]
    pub fn listed(&self) -> [Vec<&Chance>; 2] {
        let (troubles, kept) = self.chances.iter().partition(|one| one.is_trouble());
        [likeliest(kept), likeliest(troubles)]
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
fn fails(finding: &Finding) -> bool {
    matches!(finding.verdict, Verdict::Broken | Verdict::TooClose)
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
    told(model, wanted, &plan, &watched, ran)
}

/// What the plan comes to without any doubt.
struct Plan {
    findings: Vec<Finding>,
    places: BTreeMap<Key, usize>,
    results: Vec<Measured>,
    fans: Vec<Fan>,
}

impl Plan {
    fn of(model: &Model, chain: &Chain) -> Self {
        let mut scratch = model.scratch();
        // Judged without doubt, so that plan and draws are judged alike.
        let (findings, results) = model.lay(&mut scratch).map_or_else(
            |_none| (chain.inspection.findings.clone(), Vec::new()),
            |drawn| {
                (
                    model.findings(&drawn, Care::Measure),
                    results::of(model, &drawn, chain),
                )
            },
        );
        let places = findings.iter().enumerate();
        Self {
            places: places.map(|(at, one)| (one.key.clone(), at)).collect(),
            findings,
            results,
            fans: fan::of(chain),
        }
    }
}

/// What is watched in the draws.
struct Watched {
    /// For each finding of the plan its place among the chances.
    chance: Vec<Option<usize>>,
    /// The findings that may fail, by their place on the plan.
    near: Vec<usize>,
    /// Bins for each.
    bins: Vec<(f64, f64)>,
    /// For each chance its group.
    group: Vec<usize>,
    groups: Vec<(Kind, Sense, usize)>,
    /// Balls that are gauged and not only decided, and those that are looked at no more.
    balls: inspect::Watched,
    /// Quantities that are looked at no more.
    far: Vec<Quantity>,
    /// How many findings vary, and come nowhere near.
    safe: usize,
    /// What is watched of the fans and results: a bin for each.
    result_bins: Vec<f64>,
}

/// Bins to a standard deviation, and how many there are: ten standard deviations either way.
const BINS_TO_SD: f64 = 40.0;
const BINS: usize = 800;

/// The first look at one finding.
#[derive(Clone, Debug)]
struct Look {
    tally: Tally,
    spread: Spread,
}

/// What the first look sums up.
struct Looks {
    scratch: Option<Scratch>,
    looks: Vec<Look>,
    results: Vec<Spread>,
}

fn first_look(
    model: &Model,
    plan: &Plan,
    wanted: &Wanted,
    watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> batches::Ran<Looks> {
    let effort = Effort {
        ends: vec![FIRST_LOOK],
        chunk: FIRST_LOOK / 16,
        threads: wanted.threads,
    };
    // Its draws are none of those that are counted afterwards.
    let seed = !wanted.seed;
    let empty = || Looks {
        scratch: None,
        looks: vec![
            Look {
                tally: Tally::default(),
                spread: Spread::about(0.0, 0.0, 0),
            };
            plan.findings.len()
        ],
        results: vec![Spread::about(0.0, 0.0, 0); plan.results.len()],
    };
    let draw = |summary: &mut Looks, number: u64| {
        let scratch = summary.scratch.get_or_insert_with(|| model.scratch());
        model.draw(seed, number, scratch);
        let Ok(drawn) = model.lay(scratch) else {
            return;
        };
        for finding in model.findings(&drawn, Care::Gauge) {
            if let Some(&at) = plan.places.get(&finding.key) {
                let look = &mut summary.looks[at];
                look.tally.add(fails(&finding));
                look.spread.add(margin(&finding));
            }
        }
        let off = results::off(model, &drawn, &plan.results);
        for (spread, value) in summary.results.iter_mut().zip(off) {
            if let Some(value) = value {
                spread.add(value);
            }
        }
    };
    let merge = |all: &mut Looks, more: Looks| {
        for (look, more) in all.looks.iter_mut().zip(more.looks) {
            look.tally.merge(more.tally);
            look.spread.merge(&more.spread);
        }
        for (spread, more) in all.results.iter_mut().zip(&more.results) {
            spread.merge(more);
        }
    };
    let most = wanted.most + FIRST_LOOK;
    let watch = |progress: Progress| {
        watch(Progress {
            done: progress.done,
            most,
        })
    };
    batches::run(&effort, empty, draw, merge, |_, _| true, &watch)
}

impl Watched {
    fn of(model: &Model, plan: &Plan, looks: &Looks) -> Self {
        let mut all = Self {
            chance: vec![None; plan.findings.len()],
            near: Vec::new(),
            bins: Vec::new(),
            group: Vec::new(),
            groups: Vec::new(),
            balls: inspect::Watched::default(),
            far: Vec::new(),
            safe: 0,
            result_bins: looks
                .results
                .iter()
                .map(|spread| spread.sd().unwrap_or_default() / BINS_TO_SD)
                .collect(),
        };
        let mut held_near: BTreeSet<Quantity> = BTreeSet::new();
        for (at, (finding, look)) in plan.findings.iter().zip(&looks.looks).enumerate() {
            let (mean, sd) = (
                look.spread.mean().unwrap_or_default(),
                look.spread.sd().unwrap_or_default(),
            );
            let varies =
                sd > NO_SPREAD_MM || (0 < look.tally.hits && look.tally.hits < look.tally.of);
            let may_fail = varies && (look.tally.hits > 0 || mean < NEAR * sd);
            let away = look.tally.hits == 0 && mean > FAR * sd;
            if !away || !varies {
                held_near.extend(costly(finding.key.kind));
            } else if matches!(finding.key.kind, Kind::Opening | Kind::Triangle) {
                all.balls.passed_over.insert(finding.key.clone());
            }
            if may_fail {
                all.watch(at, finding, sd.max(NO_SPREAD_MM));
            } else if varies {
                all.safe += 1;
            }
        }
        let seen: BTreeSet<Quantity> = plan
            .findings
            .iter()
            .flat_map(|finding| costly(finding.key.kind).iter().copied())
            .collect();
        all.far = seen.difference(&held_near).copied().collect();
        all.far
            .retain(|quantity| model.pack().rule(*quantity).is_some());
        all
    }

    fn watch(&mut self, at: usize, finding: &Finding, sd: f64) {
        let group = (finding.key.kind, finding.sense);
        let found = self.groups.iter().position(|one| (one.0, one.1) == group);
        let number = found.unwrap_or_else(|| {
            self.groups.push((group.0, group.1, 0));
            self.groups.len() - 1
        });
        self.groups[number].2 += 1;
        self.chance[at] = Some(self.near.len());
        self.near.push(at);
        self.group.push(number);
        self.bins.push((finding.value().as_mm(), sd / BINS_TO_SD));
        self.balls.gauged.insert(finding.key.clone());
    }
}

/// The rules behind a kind of finding that takes long to look at.
const fn costly(kind: Kind) -> &'static [Quantity] {
    match kind {
        Kind::Width | Kind::LandingWidth => &[
            Quantity::WidthClear,
            Quantity::WidthOneRail,
            Quantity::WidthTwoRails,
            Quantity::LandingNarrower,
        ],
        Kind::Headroom => &[Quantity::Headroom],
        Kind::Triangle => &[Quantity::OpeningTriangle],
        Kind::OpenKick => &[Quantity::OpenKickBall],
        _ => &[],
    }
}

/// What a chunk of draws sums up.
struct Summary {
    scratch: Scratch,
    tallies: Vec<Tally>,
    spreads: Vec<Spread>,
    crosses: Vec<Cross>,
    absent: Vec<u64>,
    fresh: BTreeMap<Key, (String, Severity, u64)>,
    none: BTreeMap<String, u64>,
    anything: Tally,
    all_kept: Tally,
    groups: Vec<(Tally, Spread)>,
    margins: Vec<Vec<f64>>,
    results: Vec<Spread>,
    fans: Vec<Vec<[Spread; 2]>>,
    draws: u64,
}

impl Summary {
    fn empty(model: &Model, plan: &Plan, watched: &Watched) -> Self {
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
            margins: Vec::new(),
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
        self.margins.extend(more.margins);
        for (spread, more) in self.results.iter_mut().zip(&more.results) {
            spread.merge(more);
        }
        fan::merge(&mut self.fans, &more.fans);
        self.draws += more.draws;
    }
}

fn drawn(
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
    let most = wanted.most + FIRST_LOOK;
    let watch = |progress: Progress| {
        watch(Progress {
            done: progress.done + FIRST_LOOK,
            most,
        })
    };
    batches::run(
        &effort,
        || Summary::empty(model, plan, watched),
        |summary, number| drawing.draw(summary, number),
        Summary::merge,
        |summary, _| summary.tallies.iter().all(known) && known(&summary.anything),
        &watch,
    )
}

struct Drawing<'a> {
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
        let (mut anything, mut all_kept) = (false, true);
        for finding in &findings {
            let fails = fails(finding);
            all_kept &= !fails;
            let Some(&at) = self.plan.places.get(&finding.key) else {
                if fails {
                    anything |= finding.severity > Severity::Remark;
                    fresh(summary, finding);
                }
                continue;
            };
            let counts = finding.severity > Severity::Remark;
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
        if number < KEPT_ROWS {
            summary.margins.push(worst);
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

fn fresh(summary: &mut Summary, finding: &Finding) {
    if let Some(known) = summary.fresh.get_mut(&finding.key) {
        known.2 += 1;
    } else if summary.fresh.len() < MOST_FRESH {
        let told = (finding.says.clone(), finding.severity, 1);
        summary.fresh.insert(finding.key.clone(), told);
    }
}

fn told(
    model: &Model,
    wanted: &Wanted,
    plan: &Plan,
    watched: &Watched,
    ran: batches::Ran<Summary>,
) -> Sample {
    let summary = ran.summary;
    let of = summary.draws;
    let counted = |hits: u64| Tally { hits, of };
    let chances = watched
        .near
        .iter()
        .enumerate()
        .map(|(chance, &at)| Chance {
            plan: plan.findings[at].clone(),
            tally: summary.tallies[chance],
            spread: summary.spreads[chance].clone(),
            absent: summary.absent[chance],
            shares: shares(model, &summary.crosses[chance]),
        })
        .collect();
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
        margins: summary.margins,
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
    let accident = 1.0 / (cross.count() as f64).max(1.0);
    let mut shares: Vec<(usize, f64)> = model
        .sources()
        .iter()
        .enumerate()
        .map(|(at, source)| {
            let numbers = source.from..source.from + source.count;
            let squares = numbers.map(|number| cross.correlation(number).powi(2) - accident);
            (at, squares.sum::<f64>())
        })
        .filter(|(_, share)| *share > SHARE_SEEN * accident)
        .collect();
    shares.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    shares
}

/// A share less than so many times what an unrelated number shows is none.
const SHARE_SEEN: f64 = 8.0;

/// Where to point at, for a chance.
impl Chance {
    /// The place of its finding on the plan, mm in the first run's frame.
    #[must_use]
    pub const fn at(&self) -> Point3<f64> {
        self.plan.at
    }
}
