//! [`Problem`]: pieces and boards as whole numbers of cells of a grid, and ways to cut a board.
//!
//! A piece takes its length and one kerf; a board holds what lies between its trims and one kerf
//! more, because the last piece needs no cut after it where nothing is left. So `n` pieces fit where
//! their sum and `n - 1` kerfs do. With defects a board holds so much in each clear stretch.

/// Pieces of one size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Item {
    /// Cells that one takes, its kerf with it.
    pub(super) size: usize,
    /// How many are wanted.
    pub(super) wanted: u32,
}

/// Boards of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Kind {
    /// The clear stretches, in cells with one kerf more.
    pub(super) rooms: Vec<usize>,
    /// What one costs, in the least unit of cost.
    pub(super) cost: i64,
    /// How many there are.
    pub(super) most: Option<u32>,
    /// How long one is, in nanometres: of plans that cost the same the shorter boards are taken.
    pub(super) long: i64,
}

impl Kind {
    pub(super) fn greatest(&self) -> usize {
        self.rooms.iter().copied().max().unwrap_or(0)
    }
}

/// Pieces, largest first, and boards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Problem {
    pub(super) items: Vec<Item>,
    pub(super) kinds: Vec<Kind>,
}

/// One way to cut a board: in each clear stretch so many pieces of each size, largest first.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pattern {
    pub(super) kind: usize,
    pub(super) rooms: Vec<Vec<(usize, u32)>>,
}

impl Pattern {
    /// How many of each size it gives, a size at a time or more than once.
    pub(super) fn gives(&self) -> impl Iterator<Item = (usize, u32)> + '_ {
        self.rooms.iter().flatten().copied()
    }

    pub(super) fn pieces(&self) -> u32 {
        self.gives().map(|(_, copies)| copies).sum()
    }
}

impl Problem {
    /// The greatest clear stretch.
    pub(super) fn greatest(&self) -> usize {
        self.kinds.iter().map(Kind::greatest).max().unwrap_or(0)
    }

    /// The dearest board.
    pub(super) fn dearest(&self) -> f64 {
        let most = self.kinds.iter().map(|kind| kind.cost).max();
        most.unwrap_or(1).max(1) as f64
    }

    pub(super) fn wanted(&self) -> Vec<u32> {
        self.items.iter().map(|item| item.wanted).collect()
    }

    pub(super) fn available(&self) -> Vec<Option<u32>> {
        self.kinds.iter().map(|kind| kind.most).collect()
    }

    pub(super) fn cost(&self, patterns: &[Pattern]) -> i64 {
        patterns
            .iter()
            .map(|pattern| self.kinds[pattern.kind].cost)
            .sum()
    }

    /// The same boards with other pieces left and other boards left.
    pub(super) fn with(&self, wanted: &[u32], available: &[Option<u32>]) -> Self {
        let mut left = self.clone();
        for (item, wanted) in left.items.iter_mut().zip(wanted) {
            item.wanted = *wanted;
        }
        for (kind, most) in left.kinds.iter_mut().zip(available) {
            kind.most = *most;
        }
        left
    }

    /// The way to cut a board by putting in the largest that still goes in, then the next.
    pub(super) fn greedy(&self, kind: usize, wanted: &[u32]) -> Pattern {
        let empty = Pattern {
            kind,
            rooms: vec![Vec::new(); self.kinds[kind].rooms.len()],
        };
        let mut wanted = wanted.to_vec();
        self.topped_up(empty, &mut wanted)
    }

    /// A pattern as far as its pieces are still wanted, filled up with others that are; what it
    /// gives is taken from the wanted.
    pub(super) fn cut(&self, pattern: &Pattern, wanted: &mut [u32]) -> Pattern {
        let mut kept = pattern.clone();
        for room in &mut kept.rooms {
            room.retain_mut(|(item, copies)| {
                *copies = (*copies).min(wanted[*item]);
                wanted[*item] -= *copies;
                *copies > 0
            });
        }
        self.topped_up(kept, wanted)
    }

    fn topped_up(&self, mut pattern: Pattern, wanted: &mut [u32]) -> Pattern {
        for (room, capacity) in pattern
            .rooms
            .iter_mut()
            .zip(&self.kinds[pattern.kind].rooms)
        {
            let taken: usize = room
                .iter()
                .map(|(item, copies)| self.items[*item].size * *copies as usize)
                .sum();
            let mut left = capacity - taken;
            for (at, item) in self.items.iter().enumerate() {
                let fit = u32::try_from(left / item.size.max(1)).unwrap_or(u32::MAX);
                let copies = fit.min(wanted[at]);
                if copies == 0 {
                    continue;
                }
                wanted[at] -= copies;
                left -= item.size * copies as usize;
                match room.iter_mut().find(|(item, _)| *item == at) {
                    Some(there) => there.1 += copies,
                    None => room.push((at, copies)),
                }
            }
            room.sort_unstable();
        }
        pattern
    }

    /// Boards filled one after the other with the largest pieces that go in; each time the board that
    /// costs least for what goes into it. What found no board stays wanted.
    pub(super) fn one_after_the_other(&self, wanted: &mut [u32]) -> Vec<Pattern> {
        let mut available = self.available();
        let mut boards = Vec::new();
        while wanted.iter().any(|left| *left > 0) {
            let mut best: Option<(f64, Pattern)> = None;
            for (kind, one) in self.kinds.iter().enumerate() {
                if available[kind] == Some(0) {
                    continue;
                }
                let pattern = self.greedy(kind, wanted);
                let filled: usize = pattern
                    .gives()
                    .map(|(item, copies)| self.items[item].size * copies as usize)
                    .sum();
                if filled == 0 {
                    continue;
                }
                let rate = one.cost as f64 / filled as f64;
                if best.as_ref().is_none_or(|(least, _)| rate < *least) {
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
        boards
    }
}
