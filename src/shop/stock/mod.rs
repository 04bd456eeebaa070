//! Stock: which pieces are cut from which boards.
//!
//! In: [`Blank`]s with their rough lengths, the [`Stock`] that is to be had, the [`Saw`]. Out: a
//! [`Plan`]: every board with its cuts, what is left of it, what all cost, and a bound that no plan
//! costs less than, so that the plan is proven best or its gap is known. Lengths are exact to a
//! millionth of a millimetre; the same pieces give the same plan anywhere.
//! Does not: look at width or thickness; the pieces given are of one section.

mod blanks;
mod columns;
mod counted;
mod fill;
mod glued;
mod grid;
mod job;
mod knapsack;
mod lay;
mod problem;
mod simplex;
mod ties;
mod types;
mod whole;

pub use blanks::{Section, Sectioned, blanks, blanks_of, sections};
pub use glued::{GlueUp, JOINTED, boards_for_width, glue_ups};
pub use job::{SPARE, SectionPlan, Unmatched, plans, saw, unmatched};
pub use types::{Blank, Board, CannotCut, CheapIn, Cut, Plan, Saw, Stock};

use columns::{Effort, relax};
use grid::{Coarse, Gridded, Unit};
use problem::Problem;
use whole::{Whole, rounded_up};

/// Most pieces that are planned in one go.
pub const MOST_PIECES: u64 = 20_000;

/// Plans how boards are cut: at the least price where all stock has one, else from the least length of
/// board. Of plans that cost the same shorter boards are taken, then fewer.
///
/// Pieces of one board lie a kerf apart, within its trims and off its defects; matched ones side by
/// side in their order. Where boards are too few, [`Plan::short`] tells what found none.
///
/// # Errors
/// [`CannotCut`] where a piece is longer than any board holds, where there are no boards, and where a
/// length is none.
pub fn plan(blanks: &[Blank], stock: &[Stock], saw: Saw) -> Result<Plan, CannotCut> {
    check(blanks, stock, saw)?;
    let units = grid::units(blanks, grid::nano(saw.kerf));
    if !units.is_empty() {
        grid::held(&units, stock, saw)?;
    }
    let gridded = grid::gridded(&units, stock, saw);
    let solved = solved(&gridded);
    let whole = &solved.whole;
    let cost = gridded.plan.cost(&whole.boards);
    let in_cost = |units: i64| units as f64 * gridded.cost_unit;
    Ok(Plan {
        boards: lay::boards(&solved, &units, blanks, stock, saw),
        cheap_in: gridded.cheap_in,
        cost: in_cost(cost),
        bound: whole.bound.map(|bound| in_cost(bound.min(cost))),
        short: short(&solved, &units),
    })
}

/// A plan with the units of each of its sizes.
struct Solved<'a> {
    whole: Whole,
    units: &'a [Vec<usize>],
}

fn solved(gridded: &Gridded) -> Solved<'_> {
    if gridded.plan.items.is_empty() {
        return Solved {
            whole: Whole {
                bound: Some(0),
                ..Whole::default()
            },
            units: &gridded.units,
        };
    }
    let (problem, mut solved) = match &gridded.coarse {
        Some(coarse) => off_the_grid(gridded, coarse),
        None => (
            &gridded.plan,
            Solved {
                whole: whole::solve(&gridded.plan),
                units: &gridded.units,
            },
        ),
    };
    ties::settle(problem, &mut solved.whole.boards);
    solved
}

/// Where the grid is not exact: boards filled full and a plan on the coarser grid, whichever is the
/// better; and a bound by pieces rounded down. Where there are very many sizes the search ends when
/// what it could still gain is next to nothing.
fn off_the_grid<'a>(gridded: &'a Gridded, coarse: &'a Coarse) -> (&'a Problem, Solved<'a>) {
    let left = |whole: &Whole| whole.short.iter().sum::<u32>();
    let cost = |whole: &Whole| gridded.plan.cost(&whole.boards);
    let mut best = Solved {
        whole: fill::full(&coarse.finer, &mut Effort(whole::EFFORT / 2)),
        units: &coarse.units,
    };
    let mut problem = &coarse.finer;
    let mut bound = Some(rounded_up(coarse.wood));
    let is_near = |whole: &Whole, bound: Option<i64>| {
        let over = bound.map(|bound| (cost(whole) - bound) as f64 / bound.max(1) as f64);
        left(whole) == 0 && over.is_some_and(|over| over <= 0.0 || coarse.many && over < NEAR)
    };
    if coarse.many && !is_near(&best.whole, bound) {
        let mut effort = Effort(whole::EFFORT);
        let relaxed = relax(&coarse.bound, &mut Vec::new(), &mut effort);
        let told = rounded_up(relaxed.bound.max(coarse.wood));
        bound = (relaxed.unmet < columns::UNMET).then_some(told);
    }
    if !is_near(&best.whole, bound) {
        let whole = whole::solve(&gridded.plan);
        if (left(&whole), cost(&whole)) < (left(&best.whole), cost(&best.whole)) {
            problem = &gridded.plan;
            best = Solved {
                whole,
                units: &gridded.units,
            };
        }
    }
    if !coarse.many && !is_near(&best.whole, bound) {
        // Whole boards for the pieces rounded down cost no more than for the pieces as they are.
        let whole = whole::solve(&coarse.bound);
        bound = whole.bound.max(bound.filter(|_| whole.bound.is_some()));
    }
    best.whole.bound = bound;
    (problem, best)
}

/// So near to the bound, as a share of it, a plan of very many sizes is good enough: a tenth of the
/// hundredth that is asked.
const NEAR: f64 = 0.001;

/// Pieces that found no board: the last of each size.
fn short(solved: &Solved<'_>, units: &[Unit]) -> Vec<(usize, u32)> {
    let mut short: Vec<(usize, u32)> = Vec::new();
    for (left, of) in solved.whole.short.iter().zip(solved.units) {
        let left = (*left as usize).min(of.len());
        for unit in &of[of.len() - left..] {
            short.extend(units[*unit].blanks.iter().map(|blank| (*blank, 1)));
        }
    }
    short.sort_unstable();
    short.dedup_by(|next, one| {
        let same = next.0 == one.0;
        one.1 += if same { next.1 } else { 0 };
        same
    });
    short
}

fn check(blanks: &[Blank], stock: &[Stock], saw: Saw) -> Result<(), CannotCut> {
    let count: u64 = blanks.iter().map(|blank| u64::from(blank.count)).sum();
    if count > MOST_PIECES {
        return Err(CannotCut::TooMany(count));
    }
    let is_length = |length: crate::measure::Length| length.is_finite() && length.as_mm() > 0.0;
    let may_be = |length: crate::measure::Length| length.is_finite() && length.as_mm() >= 0.0;
    let defects = stock.iter().flat_map(|one| &one.defects);
    let good = blanks.iter().all(|blank| is_length(blank.rough))
        && stock.iter().all(|one| is_length(one.length))
        && stock.iter().all(|one| {
            one.price
                .is_none_or(|price| price.is_finite() && price >= 0.0)
        })
        && defects
            .clone()
            .all(|(from, to)| may_be(*from) && may_be(*to))
        && may_be(saw.kerf)
        && may_be(saw.trim);
    if !good {
        return Err(CannotCut::NoLength);
    }
    Ok(())
}
