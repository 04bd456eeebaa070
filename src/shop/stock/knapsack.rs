//! The best filling of a length: a bounded knapsack, exact on its grid.
//!
//! In: sizes in cells of the grid, how many there are of each, what each is worth. Out: for every
//! capacity up to the greatest the best worth, and what it is made of. Unit-free.

/// What is on offer: its size in cells, how many there are, what one is worth.
#[derive(Clone, Copy, Debug)]
pub(super) struct Offer {
    pub(super) size: usize,
    pub(super) count: u32,
    pub(super) worth: f64,
}

/// Some copies of one offer, taken together or not at all.
#[derive(Clone, Copy, Debug)]
struct Chunk {
    offer: usize,
    copies: u32,
    size: usize,
}

/// The table of best fillings.
#[derive(Debug)]
pub(super) struct Fillings {
    best: Vec<f64>,
    chunks: Vec<Chunk>,
    /// For every chunk and capacity whether it is taken, a bit each.
    taken: Vec<u64>,
    words: usize,
}

/// What adds less worth than this adds none: rounding of sums near one.
const NO_WORTH: f64 = 1e-12;

impl Fillings {
    /// Fills every capacity up to the greatest, `greatest` cells.
    pub(super) fn new(offers: &[Offer], greatest: usize) -> Self {
        let chunks = chunks(offers, greatest);
        let words = greatest / 64 + 1;
        let mut taken = vec![0_u64; words * chunks.len()];
        let mut best = vec![0.0; greatest + 1];
        for (chunk, bits) in chunks.iter().zip(taken.chunks_exact_mut(words)) {
            let worth = offers[chunk.offer].worth * f64::from(chunk.copies);
            for room in (chunk.size..=greatest).rev() {
                let with = best[room - chunk.size] + worth;
                if with > best[room] + NO_WORTH {
                    best[room] = with;
                    bits[room / 64] |= 1 << (room % 64);
                }
            }
        }
        Self {
            best,
            chunks,
            taken,
            words,
        }
    }

    /// Updates of a cell that a table takes: what the effort is counted in.
    pub(super) fn effort(offers: &[Offer], greatest: usize) -> usize {
        chunks(offers, greatest).len() * greatest
    }

    /// The best worth that goes into a capacity.
    pub(super) fn worth(&self, room: usize) -> f64 {
        self.best[room]
    }

    /// What it is made of: offers with their copies, in the order of the offers.
    pub(super) fn filling(&self, mut room: usize) -> Vec<(usize, u32)> {
        let mut found: Vec<(usize, u32)> = Vec::new();
        for (at, chunk) in self.chunks.iter().enumerate().rev() {
            let word = self.taken[at * self.words + room / 64];
            if word >> (room % 64) & 1 == 1 {
                room -= chunk.size;
                match found.last_mut() {
                    Some(last) if last.0 == chunk.offer => last.1 += chunk.copies,
                    _ => found.push((chunk.offer, chunk.copies)),
                }
            }
        }
        found.reverse();
        found
    }
}

/// Offers in chunks of 1, 2, 4 and so on, so that any number up to the count can be put together.
fn chunks(offers: &[Offer], greatest: usize) -> Vec<Chunk> {
    let mut all = Vec::new();
    for (offer, one) in offers.iter().enumerate() {
        if one.worth <= NO_WORTH || one.size == 0 {
            continue;
        }
        let most = u32::try_from(greatest / one.size).unwrap_or(u32::MAX);
        let mut left = one.count.min(most);
        let mut copies = 1;
        while left > 0 {
            copies = copies.min(left);
            all.push(Chunk {
                offer,
                copies,
                size: one.size * copies as usize,
            });
            left -= copies;
            copies *= 2;
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::{Fillings, Offer};

    /// Every way to fill, tried out.
    fn tried(offers: &[Offer], room: usize) -> f64 {
        let Some((first, rest)) = offers.split_first() else {
            return 0.0;
        };
        (0..=first.count)
            .take_while(|copies| first.size * *copies as usize <= room)
            .map(|copies| {
                f64::from(copies) * first.worth + tried(rest, room - first.size * copies as usize)
            })
            .fold(0.0, f64::max)
    }

    #[test]
    fn it_is_as_good_as_trying_every_way() {
        let mut seed = 7_u64;
        let mut next = |most: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) % most
        };
        for _ in 0..200 {
            let offers: Vec<Offer> = (0..4)
                .map(|_| Offer {
                    size: 3 + next(20) as usize,
                    count: 1 + next(5) as u32,
                    worth: next(100) as f64 / 50.0,
                })
                .collect();
            let table = Fillings::new(&offers, 60);
            for room in [0, 7, 31, 60] {
                assert!((table.worth(room) - tried(&offers, room)).abs() < 1e-9);
                let filling = table.filling(room);
                let size: usize = filling
                    .iter()
                    .map(|(at, copies)| offers[*at].size * *copies as usize)
                    .sum();
                let worth: f64 = filling
                    .iter()
                    .map(|(at, copies)| offers[*at].worth * f64::from(*copies))
                    .sum();
                assert!(size <= room && (worth - table.worth(room)).abs() < 1e-9);
                assert!(filling.iter().all(|(at, n)| *n <= offers[*at].count));
            }
        }
    }
}
