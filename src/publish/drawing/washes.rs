//! The washes: what each piece covers, those behind first.

use std::collections::BTreeSet;

use super::flat::{common, middle, twice_area};
use super::piece::Piece;

/// What two pieces cover in common below this is no more than a shared line, mm^2.
const SLIVER: f64 = 0.02;

/// The order in which pieces are painted so that none that lies in front is covered. Of two that
/// overlap in the picture the nearer one at a place of both comes later: right wherever they are
/// not in one place. A ring of pieces that each lie over the next has no right order and is begun
/// at the farthest.
pub(super) fn order(pieces: &[Piece]) -> Vec<usize> {
    let mut by_depth: Vec<usize> = (0..pieces.len()).collect();
    let centre = |at: usize| pieces[at].far + pieces[at].near;
    by_depth.sort_by(|a, b| centre(*a).total_cmp(&centre(*b)));
    let (over, mut under) = laid(pieces, &by_depth);
    let mut free: BTreeSet<usize> = BTreeSet::new();
    let mut left: BTreeSet<usize> = (0..by_depth.len()).collect();
    free.extend(left.iter().filter(|at| under[**at] == 0));
    let mut painted = Vec::with_capacity(by_depth.len());
    while let Some(next) = free.pop_first().or_else(|| left.first().copied()) {
        if !left.remove(&next) {
            continue;
        }
        painted.push(by_depth[next]);
        for above in &over[next] {
            under[*above] -= 1;
            if under[*above] == 0 && left.contains(above) {
                free.insert(*above);
            }
        }
    }
    painted
}

/// For every piece, in the order given, those that lie over it; and how many it lies over.
fn laid(pieces: &[Piece], order: &[usize]) -> (Vec<Vec<usize>>, Vec<usize>) {
    let mut over = vec![Vec::new(); order.len()];
    let mut under = vec![0; order.len()];
    // From left to right, so that only neighbours are compared.
    let mut across: Vec<usize> = (0..order.len()).collect();
    let left = |at: usize| pieces[order[at]].frame.low.0;
    across.sort_by(|a, b| left(*a).total_cmp(&left(*b)));
    for (place, &a) in across.iter().enumerate() {
        let here = &pieces[order[a]];
        for &b in &across[place + 1..] {
            let other = &pieces[order[b]];
            if other.frame.low.0 >= here.frame.high.0 {
                break;
            }
            if here.part == other.part || !here.frame.meets(&other.frame) {
                continue;
            }
            match is_over(other, here) {
                Some(true) => {
                    over[a].push(b);
                    under[b] += 1;
                }
                Some(false) => {
                    over[b].push(a);
                    under[a] += 1;
                }
                None => {}
            }
        }
    }
    (over, under)
}

/// Whether one piece lies over another; nothing where they do not overlap in the picture.
fn is_over(one: &Piece, other: &Piece) -> Option<bool> {
    let both = common(&one.ring, &other.ring);
    if both.len() < 3 || twice_area(&both) < 2.0 * SLIVER {
        return None;
    }
    let at = middle(&both);
    Some(one.met(at)?.depth > other.met(at)?.depth)
}
