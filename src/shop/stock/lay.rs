//! From patterns to boards with their pieces in place.
//!
//! In: the patterns of a plan and the pieces of each size. Out: [`Board`]s: which piece lies where.

use super::Solved;
use super::grid::{Nano, Unit, clear, length, nano};
use super::problem::Pattern;
use super::types::{Blank, Board, Cut, Saw, Stock};

/// Lays the boards out, alike ones side by side, the longest pieces first on each. Pieces of one
/// size are taken in the order of the blanks.
pub(super) fn boards(
    solved: &Solved<'_>,
    units: &[Unit],
    blanks: &[Blank],
    stock: &[Stock],
    saw: Saw,
) -> Vec<Board> {
    let mut patterns: Vec<&Pattern> = solved.whole.boards.iter().collect();
    patterns.sort();
    let mut queues: Vec<_> = solved.units.iter().map(|all| all.iter()).collect();
    let kerf = nano(saw.kerf);
    patterns
        .into_iter()
        .map(|pattern| {
            let one = &stock[pattern.kind];
            let mut board = Board {
                stock: pattern.kind,
                length: one.length,
                cuts: Vec::new(),
                offcuts: Vec::new(),
            };
            for ((from, to), room) in clear(one, saw).into_iter().zip(&pattern.rooms) {
                let mut at = from;
                for (item, copies) in room {
                    for unit in queues[*item].by_ref().take(*copies as usize) {
                        lay(&mut board, &units[*unit], blanks, &mut at, kerf);
                    }
                }
                if to > at {
                    board.offcuts.push((length(at), length(to)));
                }
            }
            board
        })
        .collect()
}

/// Lays the pieces of a unit side by side, a kerf after each.
fn lay(board: &mut Board, unit: &Unit, blanks: &[Blank], at: &mut Nano, kerf: Nano) {
    for blank in &unit.blanks {
        let one = &blanks[*blank];
        let end = *at + nano(one.rough);
        board.cuts.push(Cut {
            blank: *blank,
            label: one.label.clone(),
            from: length(*at),
            to: length(end),
        });
        *at = end + kerf;
    }
}
