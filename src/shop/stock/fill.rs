//! Boards filled as full as can be, one after the other: for pieces of very many sizes, where there is
//! nearly always a choice that leaves nothing.
//!
//! In: a [`Problem`] of any number of sizes. Out: patterns. On each board the largest piece that is
//! left, then those of the rest that fill it best (which sums can be reached, worked out exactly).

use super::columns::Effort;
use super::problem::{Pattern, Problem};
use super::whole::Whole;

/// Fills boards until all pieces are cut, no board is left or the effort is spent; what is left then
/// goes largest first.
pub(super) fn full(problem: &Problem, effort: &mut Effort) -> Whole {
    let mut wanted = problem.wanted();
    let mut available = problem.available();
    let mut boards = Vec::new();
    while !effort.is_spent() {
        let mut best: Option<(f64, Pattern)> = None;
        for (kind, one) in problem.kinds.iter().enumerate() {
            if available[kind] == Some(0) {
                continue;
            }
            let (pattern, filled) = filling(problem, kind, &wanted, effort);
            let rate = one.cost as f64 / filled as f64;
            if filled > 0 && best.as_ref().is_none_or(|(least, _)| rate < *least) {
                best = Some((rate, pattern));
            }
        }
        let Some((_, pattern)) = best else { break };
        for (item, copies) in pattern.gives() {
            wanted[item] -= copies;
        }
        if let Some(left) = &mut available[pattern.kind] {
            *left -= 1;
        }
        boards.push(pattern);
    }
    let rest = problem.with(&wanted, &available);
    boards.extend(rest.one_after_the_other(&mut wanted));
    Whole {
        boards,
        short: wanted,
        bound: None,
    }
}

/// A board filled, and how many cells of it.
fn filling(
    problem: &Problem,
    kind: usize,
    wanted: &[u32],
    effort: &mut Effort,
) -> (Pattern, usize) {
    let mut left = wanted.to_vec();
    let mut filled = 0;
    let rooms = problem.kinds[kind].rooms.iter().map(|room| {
        let mut pieces = Vec::new();
        let items = problem.items.iter();
        let largest = items
            .zip(&left)
            .position(|(item, left)| *left > 0 && item.size <= *room);
        if let Some(first) = largest {
            pieces.push(first);
            left[first] -= 1;
            let space = room - problem.items[first].size;
            let others = reached(problem, &left, space, effort);
            for item in &others {
                left[*item] -= 1;
            }
            pieces.extend(others);
        }
        pieces.sort_unstable();
        filled += pieces
            .iter()
            .map(|item| problem.items[*item].size)
            .sum::<usize>();
        let alike = pieces.chunk_by(|a, b| a == b);
        alike
            .map(|of| (of[0], u32::try_from(of.len()).unwrap_or(u32::MAX)))
            .collect()
    });
    let pattern = Pattern {
        kind,
        rooms: rooms.collect(),
    };
    (pattern, filled)
}

/// Bits in a word.
const WORD: usize = 64;

/// Adds every sum again with so much more, and gives the words of those that are new; what goes past
/// the last word is no sum.
fn shifted(sums: &mut [u64], by: usize) -> Vec<(usize, u64)> {
    let (words, bits) = (by / WORD, by % WORD);
    let mut fresh = Vec::new();
    // From the top, so that what is taken from below is still as it was.
    for at in (words..sums.len()).rev() {
        let mut moved = sums[at - words] << bits;
        if bits > 0 && at > words {
            moved |= sums[at - words - 1] >> (WORD - bits);
        }
        let new = moved & !sums[at];
        if new != 0 {
            sums[at] |= new;
            fresh.push((at, new));
        }
    }
    fresh
}

/// A sum that was not reached.
const NONE: usize = usize::MAX;

/// The pieces that fill a space best, larger ones before smaller where both would do.
fn reached(problem: &Problem, left: &[u32], space: usize, effort: &mut Effort) -> Vec<usize> {
    // For every sum the piece that it was first reached with; and the sums reached, a bit each.
    let mut with = vec![NONE; space + 1];
    let mut sums = vec![0_u64; space / WORD + 1];
    sums[0] = 1;
    'pieces: for (at, item) in problem.items.iter().enumerate() {
        if item.size == 0 || item.size > space {
            continue;
        }
        let fit = u32::try_from(space / item.size).unwrap_or(u32::MAX);
        for _ in 0..left[at].min(fit) {
            effort.spend(sums.len());
            for (word, fresh) in shifted(&mut sums, item.size) {
                let mut fresh = fresh;
                while fresh != 0 {
                    let sum = word * WORD + fresh.trailing_zeros() as usize;
                    if let Some(first) = with.get_mut(sum) {
                        *first = at;
                    }
                    fresh &= fresh - 1;
                }
            }
            if with[space] != NONE {
                break 'pieces;
            }
        }
    }
    let mut found = Vec::new();
    let mut sum = (1..=space)
        .rev()
        .find(|sum| with[*sum] != NONE)
        .unwrap_or(0);
    while sum > 0 && with[sum] != NONE {
        found.push(with[sum]);
        sum -= problem.items[with[sum]].size;
    }
    found
}
