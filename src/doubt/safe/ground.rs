//! [`Ground`]: which findings are looked at for a safe setting, and what moves them.

use std::collections::{BTreeMap, BTreeSet};

use crate::explain::of_the_house;
use crate::inspect::{Finding, Key, Kind, Severity};
use crate::measure::{Length, Tape};
use crate::rules::{Quantity, Sense};

use super::super::chance::Tally;
use super::super::first_look::costly;
use super::super::rows::{Row, Sort};
use super::super::sample::{Sample, fails, margin};
use super::pull::Pull;
use super::solve::{self, Bench, Effect, Solved};
use super::{Beyond, MOVE_MOST, Need};

/// What is looked at, and what moves it.
pub(super) struct Ground {
    pub(super) tape: Tape,
    /// The findings whose margins are told, on the plan.
    pub(super) findings: Vec<Finding>,
    /// For each its sort.
    pub(super) sort: Vec<usize>,
    pub(super) sorts: Vec<Sort>,
    /// The levers by their numbers in the pull, then the gaps that are kept by hand.
    pub(super) levers: Vec<usize>,
    pub(super) by_hand: Vec<usize>,
    pub(super) effects: Vec<Effect>,
    /// Sorts that nothing moves.
    beyond: Vec<Sort>,
    /// All that fails or may fail beyond every setting, on the plan.
    out_of_reach: Vec<Finding>,
    pub(super) far: Vec<Quantity>,
}

/// What is kept by hand costs so many times what a mark of a length in the job does.
const BY_HAND: f64 = 3.0;
/// What opens a wall costs so many times as much.
const OPENS_WALL: f64 = 8.0;
/// A finding further within its limit than this is not looked at for what a lever does to it, mm.
const REACH_MM: f64 = 76.2;

impl Ground {
    pub(super) fn of(pull: &Pull, sample: &Sample) -> Self {
        let may_fail = |finding: &Finding| {
            let mut chances = sample.chances.iter();
            fails(finding) || chances.any(|one| one.plan.key == finding.key && one.tally.hits > 0)
        };
        let counts = |finding: &&Finding| finding.severity > Severity::Remark;
        let all: Vec<(usize, &Finding)> = pull.plan.iter().enumerate().collect();
        let all: Vec<(usize, &Finding)> = all
            .into_iter()
            .filter(|(_, finding)| counts(finding))
            .collect();
        let needy: Vec<&(usize, &Finding)> = all
            .iter()
            .filter(|(_, finding)| may_fail(finding))
            .collect();
        // A lever that moves nothing that may fail is none.
        let helps = |lever: usize| {
            let moved = &pull.moved[lever];
            needy.iter().any(|(at, finding)| {
                !of_the_house(finding.key.kind) && moved.moves(*at, solve::NO_EFFECT_MM)
            })
        };
        let levers: Vec<usize> = (0..pull.moved.len())
            .filter(|&lever| helps(lever))
            .collect();
        let touched: Vec<bool> = (0..pull.plan.len())
            .map(|at| {
                let mut moved = levers.iter().map(|&lever| &pull.moved[lever]);
                moved.any(|moved| moved.moves(at, solve::NO_EFFECT_MM))
            })
            .collect();
        let helped = |sort: Sort| {
            let mut of = needy.iter().filter(|(_, one)| sort == sort_of(one));
            is_kept_by_hand(sort.0) || of.any(|(at, _)| touched[*at])
        };
        let mut beyond: Vec<Sort> = Vec::new();
        for (_, finding) in &needy {
            let sort = sort_of(finding);
            let none = of_the_house(sort.0) || !helped(sort);
            if none && !beyond.contains(&sort) {
                beyond.push(sort);
            }
        }
        let mut ground = Self {
            tape: pull.tape,
            findings: Vec::new(),
            sort: Vec::new(),
            sorts: Vec::new(),
            levers,
            by_hand: Vec::new(),
            effects: Vec::new(),
            beyond,
            out_of_reach: needy.iter().map(|(_, one)| (*one).clone()).collect(),
            far: far(pull, sample),
        };
        ground
            .out_of_reach
            .retain(|one| ground.beyond.contains(&sort_of(one)));
        let mut places = Vec::new();
        for (at, finding) in &all {
            let near = touched[*at] && margin(finding) < REACH_MM;
            let looked = may_fail(finding) || near;
            if !looked || of_the_house(finding.key.kind) || ground.is_beyond(finding) {
                continue;
            }
            let sort = sort_of(finding);
            let number = ground.sorts.iter().position(|one| *one == sort);
            let number = number.unwrap_or_else(|| {
                ground.sorts.push(sort);
                ground.sorts.len() - 1
            });
            ground.sort.push(number);
            ground.findings.push((*finding).clone());
            places.push(*at);
        }
        ground.pulls(pull, &places);
        ground
    }

    fn pulls(&mut self, pull: &Pull, places: &[usize]) {
        for &lever in &self.levers {
            let moved = &pull.moved[lever];
            let per_mark = |of: &[f64]| places.iter().map(|&at| of[at]).collect::<Vec<f64>>();
            self.effects.push(Effect {
                more: per_mark(&moved.more),
                less: Some(per_mark(&moved.less)),
                weight: if pull.levers[lever].opens_wall() {
                    OPENS_WALL
                } else {
                    1.0
                },
                most: moved.most,
                least: moved.least,
            });
        }
        let mark = self.tape.mark();
        #[expect(clippy::cast_possible_truncation, reason = "3 in of marks")]
        let most = (MOVE_MOST / mark).floor() as i32;
        for (sort, (kind, _)) in self.sorts.iter().enumerate() {
            if is_kept_by_hand(*kind) {
                let of = |&one: &usize| if one == sort { mark.as_mm() } else { 0.0 };
                self.by_hand.push(sort);
                self.effects.push(Effect {
                    more: self.sort.iter().map(of).collect(),
                    less: None,
                    weight: BY_HAND,
                    most,
                    least: 0,
                });
            }
        }
    }

    /// Something that fails counts, where a setting could keep it.
    pub(super) fn counts(&self, finding: &Finding) -> bool {
        finding.severity > Severity::Remark && !self.is_beyond(finding)
    }

    pub(super) fn bench<'a>(&'a self, rows: &'a [Row]) -> Bench<'a> {
        Bench {
            rows,
            sort: &self.sort,
            sorts: self.sorts.len(),
            out: vec![false; self.sorts.len()],
            effects: &self.effects,
        }
    }

    /// Gives up the sorts that no lever brings within what is allowed, however far it is moved, then
    /// those that keep the others from it, the worst first; tells which.
    pub(super) fn give_up(&mut self, rows: &[Row], allowed: u64, within: u64) -> Vec<bool> {
        let mut bench = self.bench(rows);
        let sorts = 0..self.sorts.len();
        bench.out = sorts.map(|sort| !bench.is_curable(sort, allowed)).collect();
        loop {
            let solved = bench.solve(within);
            let left = (0..self.sorts.len()).filter(|&sort| !bench.out[sort]);
            let failing = left.map(|sort| (bench.fails_of(&solved.marks, sort), sort));
            let worst = failing.max_by(|a, b| a.0.cmp(&b.0).then(b.1.cmp(&a.1)));
            match worst {
                Some((fails, sort)) if solved.fails > within && fails > 0 => bench.out[sort] = true,
                _ => break,
            }
        }
        let out = bench.out;
        for (sort, _) in out.iter().enumerate().filter(|(_, out)| **out) {
            if let Some(worst) = self.worst(sort) {
                self.out_of_reach.push(self.findings[worst].clone());
            }
            self.beyond.push(self.sorts[sort]);
        }
        out
    }

    pub(super) fn is_beyond(&self, finding: &Finding) -> bool {
        of_the_house(finding.key.kind) || self.beyond.contains(&sort_of(finding))
    }

    pub(super) fn places(&self) -> BTreeMap<Key, usize> {
        let all = self.findings.iter().enumerate();
        all.map(|(at, one)| (one.key.clone(), at)).collect()
    }

    /// The finding of a sort that is nearest to its limit on the plan, by its place.
    pub(super) fn worst(&self, sort: usize) -> Option<usize> {
        let of = (0..self.sort.len()).filter(|&at| self.sort[at] == sort);
        of.min_by(|&a, &b| margin(&self.findings[a]).total_cmp(&margin(&self.findings[b])))
    }

    pub(super) fn needs(&self, bench: &Bench<'_>, solved: &Solved, allowed: u64) -> Vec<Need> {
        let of = bench.rows.len() as u64;
        let still = vec![0; self.effects.len()];
        let shifts = bench.shifts(&solved.marks);
        let needs = (0..self.sorts.len()).filter_map(|sort| {
            let worst = &self.findings[self.worst(sort)?];
            if bench.out[sort] {
                return None;
            }
            let hits = bench.fails_of(&still, sort);
            let members = (0..self.sort.len()).filter(|&at| self.sort[at] == sort);
            let after = members
                .clone()
                .map(|at| margin(&self.findings[at]) + shifts[at])
                .fold(f64::INFINITY, f64::min);
            let moves = Length::mm(after - margin(worst));
            let given = moves.as_mm() < -solve::NO_EFFECT_MM;
            (hits > 0 || given).then(|| Need {
                kind: self.sorts[sort].0,
                sense: self.sorts[sort].1,
                of: members.count(),
                planned: Tally { hits, of },
                limit: worst.limit,
                worst: worst.value(),
                alone: bench.alone(sort, allowed).map(Length::mm),
                moves,
                keep: keep(self.tape, worst, moves),
            })
        });
        needs.collect()
    }

    pub(super) fn beyond(&self, sample: &Sample) -> Vec<Beyond> {
        let of_sort = |sort: Sort| {
            let says = self
                .out_of_reach
                .iter()
                .find(|one| sort_of(one) == sort)?
                .says
                .clone();
            let mut groups = sample.groups.iter();
            let group = groups.find(|one| (one.kind, one.sense) == sort);
            let always = Tally {
                hits: sample.draws,
                of: sample.draws,
            };
            // What fails on the plan and does not vary is in no group.
            let mut fixed = self.out_of_reach.iter();
            let is_fixed = fixed.any(|one| {
                sort_of(one) == sort
                    && fails(one)
                    && !sample.chances.iter().any(|other| other.plan.key == one.key)
            });
            let tally = match group {
                Some(group) if !is_fixed => group.tally,
                _ => always,
            };
            Some(Beyond {
                kind: sort.0,
                tally,
                says,
            })
        };
        self.beyond
            .iter()
            .filter_map(|&sort| of_sort(sort))
            .collect()
    }
}

fn sort_of(finding: &Finding) -> Sort {
    (finding.key.kind, finding.sense)
}

/// What is marked out baluster by baluster, so that it can be kept smaller whatever the job's lengths.
const fn is_kept_by_hand(kind: Kind) -> bool {
    matches!(kind, Kind::Opening)
}

/// What the worst may be, on the tape and to the safe side. A ball is only gauged: a hair past a mark
/// is on it.
pub(super) fn keep(tape: Tape, worst: &Finding, moves: Length) -> Length {
    // What is not moved stays as it is.
    if moves.as_mm().abs() < solve::NO_EFFECT_MM {
        return worst.value();
    }
    let up = |length: Length| tape.round_up(length - Length::mm(GAUGED_MM));
    match worst.sense {
        Sense::AtLeast => up(worst.value() + moves),
        Sense::AtMost | Sense::Under => -up(moves - worst.value()),
    }
}

/// What a ball's size is off by at most, mm.
const GAUGED_MM: f64 = 0.1;

/// Rules that take long to look at and of which nothing may fail, whatever is moved.
fn far(pull: &Pull, sample: &Sample) -> Vec<Quantity> {
    let (mut seen, mut held) = (BTreeSet::<Quantity>::new(), BTreeSet::new());
    for (at, finding) in pull.plan.iter().enumerate() {
        let quantities = costly(finding.key.kind);
        let mut moved = pull.moved.iter();
        let mut chances = sample.chances.iter();
        seen.extend(quantities);
        if fails(finding)
            || moved.any(|one| one.moves(at, solve::NO_EFFECT_MM))
            || chances.any(|one| one.plan.key.kind == finding.key.kind)
        {
            held.extend(quantities);
        }
    }
    seen.difference(&held).copied().collect()
}
