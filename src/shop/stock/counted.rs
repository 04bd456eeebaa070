//! A bound by whole numbers of boards: what the programme over fractions cannot tell is often told by
//! how many boards of each kind there are.
//!
//! In: a [`Problem`], a bound and what a plan costs. Out: the least cost between these that any whole
//! numbers of boards come to on which the pieces go at least in fractions. No plan costs less.

use super::columns::{Effort, relax};
use super::problem::{Pattern, Problem};

/// Most choices of numbers that are looked at.
const MOST_CHOICES: usize = 300;
/// Pieces left without a board, even in fractions: what is more than the programme's rounding.
const LEFT: f64 = 1e-3;

/// The least cost from `from` up that may hold all pieces, `below` where none under that does; nothing
/// where there are too many choices or the effort is spent.
pub(super) fn least(
    problem: &Problem,
    patterns: &[Pattern],
    (from, below): (i64, i64),
    effort: &mut Effort,
) -> Option<i64> {
    let mut choices = Choices {
        problem,
        from,
        below,
        order: by_cost(problem),
        found: Vec::new(),
    };
    if !choices.list(0, 0, &mut vec![0; problem.kinds.len()]) {
        return None;
    }
    let mut all = choices.found;
    all.sort();
    let mut failed: Vec<Vec<u32>> = Vec::new();
    for (cost, counts) in all {
        // Fewer boards of every kind hold no more.
        let fewer = |more: &Vec<u32>| counts.iter().zip(more).all(|(a, b)| a <= b);
        if failed.iter().any(fewer) {
            continue;
        }
        if holds(problem, patterns, &counts, effort) {
            return Some(cost);
        }
        if effort.is_spent() {
            return None;
        }
        failed.push(counts);
    }
    Some(below)
}

/// True where all pieces go on so many boards, cut in fractions.
fn holds(problem: &Problem, patterns: &[Pattern], counts: &[u32], effort: &mut Effort) -> bool {
    let items = problem.items.iter();
    let wood: usize = items.map(|item| item.size * item.wanted as usize).sum();
    let kinds = problem.kinds.iter().zip(counts);
    let room: usize = kinds
        .map(|(kind, count)| kind.rooms.iter().sum::<usize>() * *count as usize)
        .sum();
    if room < wood {
        return false;
    }
    let most: Vec<Option<u32>> = counts.iter().copied().map(Some).collect();
    let limited = problem.with(&problem.wanted(), &most);
    relax(&limited, &mut patterns.to_vec(), effort).unmet < LEFT
}

/// The kinds, the dearest first.
fn by_cost(problem: &Problem) -> Vec<usize> {
    let mut order: Vec<usize> = (0..problem.kinds.len()).collect();
    order.sort_by_key(|kind| std::cmp::Reverse(problem.kinds[*kind].cost));
    order
}

/// Numbers of boards whose cost lies in a range.
struct Choices<'a> {
    problem: &'a Problem,
    from: i64,
    below: i64,
    order: Vec<usize>,
    found: Vec<(i64, Vec<u32>)>,
}

impl Choices<'_> {
    /// Lists them, those of the kinds before this one being chosen. False where there are too many.
    fn list(&mut self, at: usize, cost: i64, counts: &mut Vec<u32>) -> bool {
        let Some(&kind) = self.order.get(at) else {
            if cost >= self.from {
                self.found.push((cost, counts.clone()));
            }
            return self.found.len() <= MOST_CHOICES;
        };
        let one = &self.problem.kinds[kind];
        let room = self.below - 1 - cost;
        let most = match (one.cost, one.most) {
            // What costs nothing is all used; without end there is nothing to count.
            (0, Some(most)) => {
                counts[kind] = most;
                return self.list(at + 1, cost, counts);
            }
            (0, None) => return false,
            (each, most) => (room / each).min(most.map_or(i64::MAX, i64::from)),
        };
        // The last kind alone brings the cost into the range.
        let is_last = at + 1 == self.order.len();
        let lacking = (self.from - cost).max(0);
        let least = if is_last {
            (lacking + one.cost - 1) / one.cost
        } else {
            0
        };
        for count in least..=most {
            counts[kind] = u32::try_from(count).unwrap_or(u32::MAX);
            if !self.list(at + 1, cost + count * one.cost, counts) {
                return false;
            }
        }
        counts[kind] = 0;
        true
    }
}
