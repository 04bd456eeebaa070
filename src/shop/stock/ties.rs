//! Ties: where other boards cost no more, the shorter ones are taken, then the fewer.
//!
//! In: the boards of a plan. Out: the same pieces on boards that cost no more, are no longer in all, and
//! are no more. Each step is a gain by itself; that no plan is shorter at the price is not claimed.

use super::problem::{Pattern, Problem};

/// Most boards whose pairs are looked at: a few tenths of a second.
const MOST_BOARDS: usize = 300;
/// Most rounds.
const ROUNDS: usize = 8;

/// Puts pieces on shorter or fewer boards where that costs no more.
pub(super) fn settle(problem: &Problem, boards: &mut Vec<Pattern>) {
    for _ in 0..ROUNDS {
        let shortened = shorten(problem, boards);
        let few = boards.len() <= MOST_BOARDS;
        let spared = few && (empty_one(problem, boards) || join_two(problem, boards));
        if !shortened && !spared {
            return;
        }
    }
}

/// The pieces of a board, largest first.
fn pieces(board: &Pattern) -> Vec<usize> {
    let mut all: Vec<usize> = board
        .gives()
        .flat_map(|(item, copies)| std::iter::repeat_n(item, copies as usize))
        .collect();
    all.sort_unstable();
    all
}

/// What a board of a kind costs, and its length.
fn worth(problem: &Problem, kind: usize) -> (i64, i64) {
    let kind = &problem.kinds[kind];
    (kind.cost, kind.long)
}

/// How many boards of a kind there are beside those used.
fn is_left(problem: &Problem, boards: &[Pattern], kind: usize) -> bool {
    let used = boards.iter().filter(|board| board.kind == kind).count();
    problem.kinds[kind]
        .most
        .is_none_or(|most| used < most as usize)
}

/// Pieces on a board of a kind, each in the first clear stretch that holds it; none where one does not
/// go on it.
fn on(problem: &Problem, kind: usize, pieces: &[usize]) -> Option<Pattern> {
    let mut room = problem.kinds[kind].rooms.clone();
    let mut rooms: Vec<Vec<(usize, u32)>> = vec![Vec::new(); room.len()];
    for piece in pieces {
        let size = problem.items[*piece].size;
        let at = room.iter().position(|left| *left >= size)?;
        room[at] -= size;
        match rooms[at].last_mut() {
            Some((last, copies)) if last == piece => *copies += 1,
            _ => rooms[at].push((*piece, 1)),
        }
    }
    Some(Pattern { kind, rooms })
}

/// Each board changed for a cheaper or a shorter one where that holds its pieces.
fn shorten(problem: &Problem, boards: &mut [Pattern]) -> bool {
    let mut any = false;
    let mut order: Vec<usize> = (0..problem.kinds.len()).collect();
    order.sort_by_key(|kind| worth(problem, *kind));
    for at in 0..boards.len() {
        let own = worth(problem, boards[at].kind);
        let all = pieces(&boards[at]);
        let better = order
            .iter()
            .take_while(|kind| worth(problem, **kind) < own)
            .filter(|kind| is_left(problem, boards, **kind))
            .find_map(|kind| on(problem, *kind, &all));
        if let Some(better) = better {
            boards[at] = better;
            any = true;
        }
    }
    any
}

/// A board left out whose pieces go on what is left of the others.
fn empty_one(problem: &Problem, boards: &mut Vec<Pattern>) -> bool {
    let mut any = false;
    let mut at = 0;
    while at < boards.len() {
        let mut others = boards.clone();
        let board = others.remove(at);
        let placed = pieces(&board).into_iter().all(|piece| {
            others.iter_mut().any(|other| {
                let mut all = pieces(other);
                let place = all.partition_point(|there| *there <= piece);
                all.insert(place, piece);
                let with = on(problem, other.kind, &all);
                with.map(|with| *other = with).is_some()
            })
        });
        if placed {
            *boards = others;
            any = true;
        } else {
            at += 1;
        }
    }
    any
}

/// Two boards' pieces on one that costs and is no more than both.
fn join_two(problem: &Problem, boards: &mut Vec<Pattern>) -> bool {
    for first in 0..boards.len() {
        for second in first + 1..boards.len() {
            let both = [first, second].map(|at| worth(problem, boards[at].kind));
            let most = (both[0].0 + both[1].0, both[0].1 + both[1].1);
            let mut all = [pieces(&boards[first]), pieces(&boards[second])].concat();
            all.sort_unstable();
            let kinds = (0..problem.kinds.len()).filter(|kind| worth(problem, *kind) <= most);
            let joined = kinds
                .filter(|kind| is_left(problem, boards, *kind))
                .filter_map(|kind| on(problem, kind, &all))
                .min_by_key(|one| worth(problem, one.kind));
            if let Some(joined) = joined {
                boards[first] = joined;
                boards.remove(second);
                return true;
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::settle;
    use crate::shop::stock::problem::{Item, Kind, Pattern, Problem};

    fn kind(room: usize, cost: i64) -> Kind {
        Kind {
            rooms: vec![room],
            cost,
            most: None,
            long: room as i64,
        }
    }

    /// By hand: two pieces of 4 on two boards of 10 that cost nothing go on one of 8, which costs
    /// nothing either.
    #[test]
    fn boards_that_cost_nothing_are_not_taken_needlessly() {
        let problem = Problem {
            items: vec![Item { size: 4, wanted: 2 }],
            kinds: vec![kind(10, 0), kind(8, 0), kind(20, 5)],
        };
        let alone = Pattern {
            kind: 0,
            rooms: vec![vec![(0, 1)]],
        };
        let mut boards = vec![alone.clone(), alone];
        settle(&problem, &mut boards);
        assert_eq!(boards.len(), 1);
        assert_eq!((boards[0].kind, boards[0].pieces()), (1, 2));
    }
}
