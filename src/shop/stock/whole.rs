//! Whole boards from fractions: a plan that can be sawn.
//!
//! In: a [`Problem`]. Out: patterns that together give every piece, and a bound. Boards filled one after
//! the other make a first plan; then the programme's fractions are rounded a pattern at a time and
//! the rest is solved again (a dive), a few dives with other choices; where all ways to cut can be
//! listed, the branch and bound of microlp over all of them has the last word. All by counted effort and
//! never by a clock: the same pieces give the same plan anywhere.

use std::collections::BTreeSet;

use microlp::{
    ComparisonOp, Error, OptimizationDirection, Problem as Programme, SolutionStatus, SolveOptions,
};

use super::columns::{BOUND_NOISE, Effort, Relaxed, UNMET, Worths, relax};
use super::counted;
use super::knapsack::{Fillings, Offer};
use super::problem::{Pattern, Problem};

/// A plan and how good it is.
#[derive(Clone, Debug, Default)]
pub(super) struct Whole {
    /// The boards.
    pub(super) boards: Vec<Pattern>,
    /// Pieces of each size that found no board.
    pub(super) short: Vec<u32>,
    /// No plan costs less; none where even fractions leave pieces without a board.
    pub(super) bound: Option<i64>,
}

/// Effort for one section: some tenths of a second.
pub(super) const EFFORT: usize = 500_000_000;
/// Most dives.
const DIVES: usize = 24;
/// Choices that a dive takes at each step, the first of them above all.
const CHOICES: usize = 4;
/// So few pieces left are also put on boards one after the other, to see whether that is better.
const FEW: u32 = 60;
/// A use so near under a whole number is that number.
const WHOLE: f64 = 1e-6;
/// Most ways to cut that are all listed, most steps to find them, and most nodes of the search over
/// them.
const MOST_LISTED: usize = 2000;
const MOST_STEPS: usize = 600_000;
const MOST_NODES: u64 = 25_000;
/// Most nodes times columns.
const MOST_COLUMNS: u64 = 1_500_000;

/// A bound as a whole number of the least unit of cost.
pub(super) fn rounded_up(bound: f64) -> i64 {
    (bound - BOUND_NOISE).ceil().max(0.0) as i64
}

/// Plans the boards.
pub(super) fn solve(problem: &Problem) -> Whole {
    let mut effort = Effort(EFFORT);
    let mut best = first(problem);
    let mut patterns = Vec::new();
    let relaxed = relax(problem, &mut patterns, &mut effort);
    best.bound = (relaxed.unmet < UNMET).then(|| rounded_up(relaxed.bound));
    for turn in 0..DIVES {
        if is_proven(problem, &best) || effort.is_spent() {
            return best;
        }
        let dived = dive(problem, &patterns, &relaxed, turn, &mut effort);
        if is_better(problem, &dived, &best) {
            best = Whole {
                bound: best.bound,
                ..dived
            };
        }
    }
    if !is_proven(problem, &best) {
        by_count(problem, &patterns, &mut best, &mut effort);
    }
    if !is_proven(problem, &best) {
        listed(problem, &relaxed, &mut best);
    }
    best
}

/// Raises the bound by whole numbers of boards.
fn by_count(problem: &Problem, patterns: &[Pattern], best: &mut Whole, effort: &mut Effort) {
    let cost = problem.cost(&best.boards);
    if best.short.iter().any(|left| *left > 0) {
        return;
    }
    if let Some(bound) = best.bound {
        let least = counted::least(problem, patterns, (bound, cost), effort);
        best.bound = best.bound.max(least);
    }
}

fn first(problem: &Problem) -> Whole {
    let mut short = problem.wanted();
    let boards = problem.one_after_the_other(&mut short);
    Whole {
        boards,
        short,
        bound: None,
    }
}

fn is_proven(problem: &Problem, whole: &Whole) -> bool {
    let met = whole.short.iter().all(|left| *left == 0);
    met && whole.bound == Some(problem.cost(&whole.boards))
}

/// Cells of pieces that found no board, then the cost.
fn is_better(problem: &Problem, one: &Whole, other: &Whole) -> bool {
    let left = |whole: &Whole| -> usize {
        let sizes = problem.items.iter().zip(&whole.short);
        sizes.map(|(item, left)| item.size * *left as usize).sum()
    };
    (left(one), problem.cost(&one.boards)) < (left(other), problem.cost(&other.boards))
}

/// What is left to plan of a problem, without the sizes of which none is left.
struct Rest {
    problem: Problem,
    /// The number of each of its sizes in the whole problem.
    items: Vec<usize>,
}

impl Rest {
    fn new(whole: &Problem, wanted: &[u32], available: &[Option<u32>]) -> Self {
        let mut problem = whole.with(wanted, available);
        let items: Vec<usize> = (0..wanted.len()).filter(|at| wanted[*at] > 0).collect();
        problem.items.retain(|item| item.wanted > 0);
        Self { problem, items }
    }

    /// Patterns of the whole problem as far as they give what is left.
    fn taken_over(&self, patterns: &[Pattern]) -> Vec<Pattern> {
        let own = |item: usize| self.items.binary_search(&item).ok();
        let mut seen = BTreeSet::new();
        let kept = patterns.iter().map(|pattern| {
            let mut left = self.problem.wanted();
            let rooms = pattern.rooms.iter().map(|room| {
                let mut kept = Vec::new();
                for (item, copies) in room {
                    if let Some(item) = own(*item) {
                        let copies = (*copies).min(left[item]);
                        left[item] -= copies;
                        kept.extend((copies > 0).then_some((item, copies)));
                    }
                }
                kept
            });
            Pattern {
                kind: pattern.kind,
                rooms: rooms.collect(),
            }
        });
        kept.filter(|pattern| pattern.pieces() > 0 && seen.insert(pattern.clone()))
            .collect()
    }

    /// A pattern of the rest in the sizes of the whole problem.
    fn given_back(&self, pattern: &Pattern) -> Pattern {
        let rooms = pattern.rooms.iter().map(|room| {
            let items = room.iter();
            items.map(|(item, n)| (self.items[*item], *n)).collect()
        });
        Pattern {
            kind: pattern.kind,
            rooms: rooms.collect(),
        }
    }
}

/// Boards that have been settled, and what is left.
struct Settled<'a> {
    problem: &'a Problem,
    boards: Vec<Pattern>,
    wanted: Vec<u32>,
    available: Vec<Option<u32>>,
}

impl Settled<'_> {
    /// Settles a board, as far as it is there and gives something that is wanted.
    fn settle(&mut self, pattern: &Pattern) -> bool {
        if self.available[pattern.kind] == Some(0) {
            return false;
        }
        let cut = self.problem.cut(pattern, &mut self.wanted);
        if cut.pieces() == 0 {
            return false;
        }
        if let Some(left) = &mut self.available[pattern.kind] {
            *left -= 1;
        }
        self.boards.push(cut);
        true
    }

    /// With the rest filled one board after the other.
    fn finished(&self) -> Whole {
        let rest = self.problem.with(&self.wanted, &self.available);
        let mut short = self.wanted.clone();
        let mut boards = self.boards.clone();
        boards.extend(rest.one_after_the_other(&mut short));
        Whole {
            boards,
            short,
            bound: None,
        }
    }
}

/// One dive: whole parts are settled, or else the pattern that is used most of those that are left (in
/// other turns the next ones, told by the digits of `turn`), and the rest is solved again.
fn dive(
    problem: &Problem,
    patterns: &[Pattern],
    relaxed: &Relaxed,
    turn: usize,
    effort: &mut Effort,
) -> Whole {
    let mut settled = Settled {
        problem,
        boards: Vec::new(),
        wanted: problem.wanted(),
        available: problem.available(),
    };
    let mut pool = patterns.to_vec();
    let mut uses = relaxed.uses.clone();
    let mut turn = turn;
    let mut best: Option<Whole> = None;
    loop {
        let mut any = false;
        for (pattern, used) in pool.iter().zip(&uses) {
            for _ in 0..(used + WHOLE).floor() as usize {
                any |= settled.settle(pattern);
            }
        }
        if !any {
            let mut order: Vec<usize> = (0..pool.len()).filter(|at| uses[*at] > WHOLE).collect();
            order.sort_by(|a, b| uses[*b].total_cmp(&uses[*a]));
            let choice = order.get((turn % CHOICES).min(order.len().saturating_sub(1)));
            turn /= CHOICES;
            if !choice.is_some_and(|at| settled.settle(&pool[*at])) {
                break;
            }
        }
        let left: u32 = settled.wanted.iter().sum();
        if left <= FEW {
            let finished = settled.finished();
            if best
                .as_ref()
                .is_none_or(|best| is_better(problem, &finished, best))
            {
                best = Some(finished);
            }
        }
        if left == 0 || effort.is_spent() {
            break;
        }
        effort.spend(pool.len() * 100);
        let rest = Rest::new(problem, &settled.wanted, &settled.available);
        let mut own = rest.taken_over(&pool);
        uses = relax(&rest.problem, &mut own, effort).uses;
        pool = own.iter().map(|one| rest.given_back(one)).collect();
    }
    best.unwrap_or_else(|| settled.finished())
}

/// Solves over all ways to cut that can be part of a cheaper plan, where these are few enough: then the
/// plan is the best there is.
///
/// A plan costs at least the bound and, for every pattern in it, what that pattern's board costs more
/// than its pieces are worth; so patterns that would bring it to what the plan costs already are left out.
fn listed(problem: &Problem, relaxed: &Relaxed, best: &mut Whole) {
    if best.short.iter().any(|left| *left > 0) {
        return;
    }
    let cost = problem.cost(&best.boards);
    let saving = cost as f64 - 1.0 - relaxed.bound + BOUND_NOISE;
    let Some(patterns) = all(problem, &relaxed.rests_on, saving) else {
        return;
    };
    match over(problem, &patterns) {
        // Nothing that could be cheaper gives all pieces.
        Search::Nothing => best.bound = Some(cost),
        Search::Found(settled, least) => {
            let found = settled.finished();
            if is_better(problem, &found, best) {
                best.boards = found.boards;
                best.short = found.short;
            }
            // A plan cheaper than ours was is one of the search's; any other costs what ours did.
            let least = rounded_up(least).min(problem.cost(&best.boards));
            best.bound = best.bound.max(Some(least));
        }
        Search::Open => {}
    }
}

/// What a search over listed patterns came to.
enum Search<'a> {
    /// No choice of them gives all pieces.
    Nothing,
    /// The boards, and what no choice of them costs less than.
    Found(Settled<'a>, f64),
    /// It ended before either.
    Open,
}

/// The cheapest choice of patterns, by branch and bound.
fn over<'a>(problem: &'a Problem, patterns: &[Pattern]) -> Search<'a> {
    let mut programme = Programme::new(OptimizationDirection::Minimize);
    let uses: Vec<_> = patterns
        .iter()
        .map(|pattern| {
            let cost = problem.kinds[pattern.kind].cost as f64 / problem.dearest();
            let most = i32::try_from(most_uses(problem, pattern)).unwrap_or(i32::MAX);
            programme.add_integer_var(cost, (0, most))
        })
        .collect();
    for (item, one) in problem.items.iter().enumerate() {
        let terms: Vec<_> = patterns
            .iter()
            .zip(&uses)
            .filter_map(|(pattern, var)| {
                let of = pattern.gives().filter(|(gives, _)| *gives == item);
                let copies: u32 = of.map(|(_, copies)| copies).sum();
                (copies > 0).then_some((*var, f64::from(copies)))
            })
            .collect();
        if terms.is_empty() {
            return Search::Nothing;
        }
        programme.add_constraint(terms, ComparisonOp::Ge, f64::from(one.wanted));
    }
    for (kind, one) in problem.kinds.iter().enumerate() {
        let of = patterns.iter().zip(&uses);
        let mut terms: Vec<_> = of
            .filter(|(pattern, _)| pattern.kind == kind)
            .map(|(_, var)| (*var, 1.0))
            .collect();
        // The number of boards of a kind is whole too: to part on that closes the search sooner.
        let most = one.most.and_then(|most| i32::try_from(most).ok());
        let boards = programme.add_integer_var(0.0, (0, most.unwrap_or(i32::MAX)));
        terms.push((boards, -1.0));
        programme.add_constraint(terms, ComparisonOp::Eq, 0.0);
    }
    let mut options = SolveOptions::default();
    options.node_limit = Some(MOST_NODES.min(MOST_COLUMNS / patterns.len().max(1) as u64));
    let outcome = match programme.solve_with(options) {
        Err(Error::Infeasible) => return Search::Nothing,
        Err(_) => return Search::Open,
        Ok(outcome) => outcome,
    };
    let Some(solution) = outcome.solution() else {
        return Search::Open;
    };
    let mut settled = Settled {
        problem,
        boards: Vec::new(),
        wanted: problem.wanted(),
        available: problem.available(),
    };
    for (pattern, var) in patterns.iter().zip(&uses) {
        for _ in 0..solution.var_value(*var).round().max(0.0) as usize {
            settled.settle(pattern);
        }
    }
    let least = match solution.status() {
        SolutionStatus::Optimal => Some(solution.objective()),
        SolutionStatus::Feasible => outcome.stats().best_bound,
    };
    Search::Found(settled, least.unwrap_or(0.0) * problem.dearest())
}

fn most_uses(problem: &Problem, pattern: &Pattern) -> u32 {
    let needed = pattern
        .gives()
        .map(|(item, copies)| problem.items[item].wanted.div_ceil(copies));
    let needed = needed.max().unwrap_or(0);
    problem.kinds[pattern.kind]
        .most
        .map_or(needed, |most| most.min(needed))
}

/// All ways to cut that leave no room for a further piece and whose board costs no more than `saving`
/// over what its pieces are worth; none where they are too many.
fn all(problem: &Problem, worths: &Worths, saving: f64) -> Option<Vec<Pattern>> {
    let mut found = Vec::new();
    let mut steps = 0;
    let offers: Vec<Offer> = problem
        .items
        .iter()
        .zip(&worths.pieces)
        .map(|(item, worth)| Offer {
            size: item.size,
            count: item.wanted,
            worth: *worth,
        })
        .collect();
    let table = Fillings::new(&offers, problem.greatest());
    for (kind, one) in problem.kinds.iter().enumerate() {
        let limit = worths.limits.get(kind).copied().unwrap_or(0.0);
        if one.most == Some(0) {
            continue;
        }
        let mut listing = Listing {
            problem,
            worths: &worths.pieces,
            table: &table,
            kind,
            left: problem.wanted(),
            rooms: Vec::new(),
            least: one.cost as f64 + limit - saving,
            steps: &mut steps,
            found: &mut found,
        };
        if !listing.room(0, 0.0) {
            return None;
        }
    }
    Some(found)
}

struct Listing<'a> {
    problem: &'a Problem,
    worths: &'a [f64],
    table: &'a Fillings,
    kind: usize,
    left: Vec<u32>,
    rooms: Vec<Vec<(usize, u32)>>,
    /// The least worth that its pieces must have.
    least: f64,
    steps: &'a mut usize,
    found: &'a mut Vec<Pattern>,
}

impl Listing<'_> {
    /// Lists all fillings of this clear stretch and those after it, where those before are worth so
    /// much. False where there are too many.
    fn room(&mut self, room: usize, worth: f64) -> bool {
        let rooms = &self.problem.kinds[self.kind].rooms;
        let Some(capacity) = rooms.get(room) else {
            let pattern = Pattern {
                kind: self.kind,
                rooms: self.rooms.clone(),
            };
            if pattern.pieces() > 0 {
                self.found.push(pattern);
            }
            return self.found.len() <= MOST_LISTED;
        };
        let after: f64 = rooms[room + 1..]
            .iter()
            .map(|later| self.table.worth(*later))
            .sum();
        let here = Here { room, after };
        self.fill(here, 0, *capacity, worth, Vec::new())
    }

    fn fill(
        &mut self,
        here: Here,
        item: usize,
        space: usize,
        worth: f64,
        so_far: Vec<(usize, u32)>,
    ) -> bool {
        *self.steps += 1;
        if *self.steps > MOST_STEPS {
            return false;
        }
        if worth + self.table.worth(space) + here.after < self.least {
            return true;
        }
        let Some(one) = self.problem.items.get(item) else {
            let mut left = self.problem.items.iter().zip(&self.left);
            if left.any(|(item, left)| *left > 0 && item.size <= space) {
                return true;
            }
            self.rooms.push(so_far);
            let go_on = self.room(here.room + 1, worth);
            self.rooms.pop();
            return go_on;
        };
        let fit = u32::try_from(space / one.size.max(1)).unwrap_or(u32::MAX);
        for copies in (0..=fit.min(self.left[item])).rev() {
            let mut longer = so_far.clone();
            longer.extend((copies > 0).then_some((item, copies)));
            let space = space - one.size * copies as usize;
            let worth = worth + self.worths[item] * f64::from(copies);
            self.left[item] -= copies;
            let go_on = self.fill(here, item + 1, space, worth, longer);
            self.left[item] += copies;
            if !go_on {
                return false;
            }
        }
        true
    }
}

/// The clear stretch that is being filled, and the most that those after it can be worth.
#[derive(Clone, Copy)]
struct Here {
    room: usize,
    after: f64,
}
