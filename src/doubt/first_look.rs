//! The first look: a few hundred draws that tell what may fail and what need not be looked at again.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;

use crate::chain::Chain;
use crate::inspect::{self, Care, Finding, Key, Kind};
use crate::rules::{Quantity, Sense};

use super::batches::{self, Effort, Progress};
use super::chance::Tally;
use super::fan::{self, Fan};
use super::model::{Model, Scratch};
use super::results::{self, Measured};
use super::sample::{Wanted, fails, margin};
use super::spread::Spread;

/// Draws of the first look.
pub(super) const FIRST_LOOK: u64 = 256;
/// A finding may fail where its limit is within so many standard deviations of its mean: of a normal
/// distribution one in 300,000 lies further out.
pub(super) const NEAR: f64 = 4.5;
/// What is costly is looked at no more where its limit is further away than this.
pub(super) const FAR: f64 = 8.0;
/// Less spread than this is none, mm.
pub(super) const NO_SPREAD_MM: f64 = 1e-6;

/// What the plan comes to without any doubt.
pub(super) struct Plan {
    pub(super) findings: Vec<Finding>,
    pub(super) places: BTreeMap<Key, usize>,
    pub(super) results: Vec<Measured>,
    pub(super) fans: Vec<Fan>,
}

impl Plan {
    pub(super) fn of(model: &Model, chain: &Chain) -> Self {
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
pub(super) struct Watched {
    /// For each finding of the plan its place among the chances.
    pub(super) chance: Vec<Option<usize>>,
    /// The findings that may fail, by their place on the plan.
    pub(super) near: Vec<usize>,
    /// Bins for each.
    pub(super) bins: Vec<(f64, f64)>,
    /// For each chance its group.
    pub(super) group: Vec<usize>,
    pub(super) groups: Vec<(Kind, Sense, usize)>,
    /// Balls that are gauged and not only decided, and those that are looked at no more.
    pub(super) balls: inspect::Watched,
    /// Openings that are past their limit whatever comes, by their place on the plan.
    pub(super) certain: Vec<usize>,
    /// Quantities that are looked at no more.
    pub(super) far: Vec<Quantity>,
    /// How many findings vary, and come nowhere near.
    pub(super) safe: usize,
    /// What is watched of the fans and results: a bin for each.
    pub(super) result_bins: Vec<f64>,
}

/// Bins to a standard deviation, and how many there are: ten standard deviations either way.
pub(super) const BINS_TO_SD: f64 = 40.0;
pub(super) const BINS: usize = 800;

/// The first look at one finding.
#[derive(Clone, Debug)]
pub(super) struct Look {
    pub(super) tally: Tally,
    /// Its margin, mm.
    pub(super) spread: Spread,
    /// Its value, mm.
    pub(super) value: Spread,
}

/// Bins of values in the first look, mm, and how many.
pub(super) const FIRST_BIN_MM: f64 = 0.05;
pub(super) const FIRST_BINS: usize = 1_600;

/// What the first look sums up.
pub(super) struct Looks {
    pub(super) scratch: Option<Scratch>,
    pub(super) looks: Vec<Look>,
    pub(super) results: Vec<Spread>,
}

pub(super) fn first_look(
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
        looks: plan
            .findings
            .iter()
            .map(|one| Look {
                tally: Tally::default(),
                spread: Spread::about(0.0, 0.0, 0),
                value: Spread::about(one.value().as_mm(), FIRST_BIN_MM, FIRST_BINS),
            })
            .collect(),
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
                look.value.add(finding.value().as_mm());
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
            look.value.merge(&more.value);
        }
        for (spread, more) in all.results.iter_mut().zip(&more.results) {
            spread.merge(more);
        }
    };
    // They are none of those that are counted.
    let watch = |_: Progress| {
        watch(Progress {
            done: 0,
            most: wanted.most,
        })
    };
    batches::run(&effort, empty, draw, merge, |_, _| true, &watch)
}

impl Watched {
    pub(super) fn of(model: &Model, plan: &Plan, looks: &Looks) -> Self {
        let mut all = Self {
            chance: vec![None; plan.findings.len()],
            near: Vec::new(),
            bins: Vec::new(),
            group: Vec::new(),
            groups: Vec::new(),
            balls: inspect::Watched::default(),
            certain: Vec::new(),
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
            let is_ball = matches!(finding.key.kind, Kind::Opening | Kind::Triangle);
            if is_ball && look.tally.hits == FIRST_LOOK && mean < -FAR * sd {
                all.certain.push(at);
                all.balls.passed_over.insert(finding.key.clone());
                continue;
            }
            if !varies && fails(finding) && finding.is_trouble() {
                all.certain.push(at);
            }
            if !away || !varies {
                held_near.extend(costly(finding.key.kind));
            } else if is_ball {
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
pub(super) const fn costly(kind: Kind) -> &'static [Quantity] {
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
