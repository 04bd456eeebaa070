//! The bound: the linear programme over all ways to cut, found without listing them.
//!
//! In: a [`Problem`]. Out: a bound that no plan can cost less than, and the patterns that reach it in
//! fractions. After P. C. Gilmore and R. E. Gomory, A linear programming approach to the cutting-stock
//! problem, Operations Research 9 (1961): the pattern that saves most is a knapsack over what the
//! pieces are worth, and it is solved exactly. At every step the worths give a bound by themselves (A. A.
//! Farley, A note on bounding a class of linear programming problems, Operations Research 38, 1990),
//! so that it holds wherever the work stops. Both from memory.

use std::collections::BTreeSet;

use super::knapsack::{Fillings, Offer};
use super::problem::{Pattern, Problem};
use super::simplex::{SAVES, Simplex};

/// What the programme came to.
#[derive(Clone, Debug)]
pub(super) struct Relaxed {
    /// No plan costs less, in the least unit of cost.
    pub(super) bound: f64,
    /// How often each pattern is used.
    pub(super) uses: Vec<f64>,
    /// Pieces that no board is left for, even in fractions.
    pub(super) unmet: f64,
    /// What the bound rests on.
    pub(super) rests_on: Worths,
}

/// What pieces and limited boards are worth, in the least unit of cost: no pattern's pieces are worth
/// more than its board costs with its limit.
#[derive(Clone, Debug, Default)]
pub(super) struct Worths {
    /// Of a piece of each size.
    pub(super) pieces: Vec<f64>,
    /// What a board of each kind costs more for being limited.
    pub(super) limits: Vec<f64>,
}

/// Rounding in the bound stays far below this share of the least unit of cost for anything that a
/// stair can hold; it is taken off before a bound is rounded up.
pub(super) const BOUND_NOISE: f64 = 1e-3;
/// Most rounds of new patterns.
const MOST_ROUNDS: usize = 3000;
/// Most pivots between two rounds.
const MOST_PIVOTS: usize = 5000;
/// Pieces left without a board, where less is rounding.
pub(super) const UNMET: f64 = 1e-6;

/// Work that may still be done, in cells and entries looked at: a clock that runs alike everywhere.
#[derive(Clone, Copy, Debug)]
pub(super) struct Effort(pub(super) usize);

impl Effort {
    pub(super) fn spend(&mut self, work: usize) {
        self.0 = self.0.saturating_sub(work);
    }

    pub(super) const fn is_spent(self) -> bool {
        self.0 == 0
    }
}

/// Solves the programme, adding the patterns that it asks for.
pub(super) fn relax(
    problem: &Problem,
    patterns: &mut Vec<Pattern>,
    effort: &mut Effort,
) -> Relaxed {
    let mut known: BTreeSet<Pattern> = patterns.iter().cloned().collect();
    for pattern in seeds(problem) {
        if known.insert(pattern.clone()) {
            patterns.push(pattern);
        }
    }
    let mut simplex = Simplex::new(problem);
    let mut bound = 0.0_f64;
    let mut done = 0;
    let mut rests_on = Worths::default();
    let dearest = problem.dearest();
    for _ in 0..MOST_ROUNDS {
        simplex.improve(patterns, MOST_PIVOTS);
        let worths = simplex.worths(patterns);
        let priced = price(problem, &worths, &simplex, effort);
        if priced.bound * dearest > bound {
            bound = priced.bound * dearest;
            rests_on = priced.rests_on;
        }
        let costs = simplex.costs(patterns) * dearest;
        let closed = (bound - BOUND_NOISE).ceil() >= (costs - BOUND_NOISE).ceil();
        let mut added = false;
        for pattern in priced.patterns {
            if known.insert(pattern.clone()) {
                patterns.push(pattern);
                added = true;
            }
        }
        let rows = worths.len();
        let pivots = simplex.pivots() - done;
        done += pivots;
        effort.spend((pivots + 1) * (rows * rows * 3 + patterns.len() * 8));
        if !added || closed && simplex.unmet() < UNMET || effort.is_spent() {
            break;
        }
    }
    simplex.improve(patterns, MOST_PIVOTS);
    Relaxed {
        bound,
        uses: simplex.uses(patterns.len()),
        unmet: simplex.unmet(),
        rests_on,
    }
}

/// Patterns to begin with: each size by itself on the board where it wastes least, and greedy ones.
fn seeds(problem: &Problem) -> Vec<Pattern> {
    let mut all = Vec::new();
    let wanted = problem.wanted();
    for at in 0..problem.items.len() {
        let mut alone = vec![0; wanted.len()];
        alone[at] = wanted[at];
        let patterns = (0..problem.kinds.len())
            .filter(|kind| problem.kinds[*kind].most != Some(0))
            .map(|kind| problem.greedy(kind, &alone))
            .filter(|pattern| pattern.pieces() > 0);
        let rate = |pattern: &Pattern| {
            problem.kinds[pattern.kind].cost as f64 / f64::from(pattern.pieces())
        };
        all.extend(patterns.min_by(|a, b| rate(a).total_cmp(&rate(b))));
    }
    let mut left = wanted;
    all.extend(problem.one_after_the_other(&mut left));
    all
}

struct Priced {
    bound: f64,
    rests_on: Worths,
    patterns: Vec<Pattern>,
}

/// The best pattern of every kind of board at these worths, where it saves, and the bound that the
/// worths give.
fn price(problem: &Problem, worths: &[f64], simplex: &Simplex<'_>, effort: &mut Effort) -> Priced {
    let offers: Vec<Offer> = problem
        .items
        .iter()
        .zip(worths)
        .map(|(item, worth)| Offer {
            size: item.size,
            count: item.wanted,
            worth: worth.max(0.0),
        })
        .collect();
    let greatest = problem.greatest();
    effort.spend(Fillings::effort(&offers, greatest));
    let table = Fillings::new(&offers, greatest);
    let dearest = problem.dearest();
    let best: Vec<f64> = problem
        .kinds
        .iter()
        .map(|kind| kind.rooms.iter().map(|room| table.worth(*room)).sum())
        .collect();
    let kinds = problem.kinds.iter().zip(&best);
    // Worths are lowered until no board that can be had without limit is worth more than it costs.
    let share = kinds
        .clone()
        .filter(|(kind, best)| kind.most.is_none() && **best > 0.0)
        .map(|(kind, best)| kind.cost as f64 / dearest / best)
        .fold(1.0, f64::min);
    let pieces: f64 = offers
        .iter()
        .map(|offer| offer.worth * f64::from(offer.count))
        .sum();
    let limits: Vec<f64> = kinds
        .map(|(kind, best)| {
            let over = share * best - kind.cost as f64 / dearest;
            kind.most.map_or(0.0, |_| over.max(0.0))
        })
        .collect();
    let limited: f64 = problem
        .kinds
        .iter()
        .zip(&limits)
        .map(|(kind, over)| f64::from(kind.most.unwrap_or(0)) * over)
        .sum();
    let in_cost = |worth: f64| worth * dearest;
    let rests_on = Worths {
        pieces: offers
            .iter()
            .map(|one| in_cost(share * one.worth))
            .collect(),
        limits: limits.iter().map(|over| in_cost(*over)).collect(),
    };
    let saving = (0..problem.kinds.len()).filter(|kind| {
        problem.kinds[*kind].most != Some(0) && simplex.saves(*kind, best[*kind], worths) > SAVES
    });
    let patterns = saving
        .map(|kind| Pattern {
            kind,
            rooms: problem.kinds[kind]
                .rooms
                .iter()
                .map(|room| table.filling(*room))
                .collect(),
        })
        .collect();
    Priced {
        bound: share * pieces - limited,
        rests_on,
        patterns,
    }
}
