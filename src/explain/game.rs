//! Shapley values of a game: what each player adds, averaged over all orders in which they may come.
//!
//! In: how many players, and the worth of every set of them. Out: [`Column`]. Worths are plain
//! numbers in whatever unit the worth has.
//! Source: L. S. Shapley, A value for n-person games (1953). Sampled orders come with their
//! reverse: such a pair is exact where players act on each other two by two at most.

use std::collections::BTreeMap;

use super::cores;

/// Players at most: sets are kept as bits, and a person reads no longer list.
pub const MOST_PLAYERS: usize = 12;

/// What each player adds.
#[derive(Clone, Debug, PartialEq)]
pub enum Column {
    /// Over all sets.
    Exact {
        /// One share for each player; they sum to the worth of all less the worth of none.
        shares: Vec<f64>,
    },
    /// Over drawn orders.
    Sampled {
        /// One share for each player; they sum to the worth of all less the worth of none.
        shares: Vec<f64>,
        /// Half the width of the 95 % interval of each share (Student's t over the pairs).
        errors: Vec<f64>,
        /// So many orders were drawn, a reversed one counted too.
        draws: usize,
    },
    /// Some sets have no worth, so that there is no share.
    Missing {
        /// So many have none.
        without: usize,
        /// Of so many that were asked for.
        of: usize,
    },
}

impl Column {
    /// The shares, where there are any.
    #[must_use]
    pub fn shares(&self) -> Option<&[f64]> {
        match self {
            Self::Exact { shares } | Self::Sampled { shares, .. } => Some(shares),
            Self::Missing { .. } => None,
        }
    }
}

/// The Shapley values of a game: exact where all sets are at most `evaluations` beside those that
/// `known` says already, else sampled with about that many. `worth` is asked on all cores; player
/// `i` is in a set where its bit `1 << i` is. The same answer on every machine.
///
/// More than [`MOST_PLAYERS`] are never asked for here; players past 31 would have no bit, so that
/// then nothing is shared out.
#[must_use]
pub fn shapley(
    players: usize,
    evaluations: usize,
    known: &[(u32, f64)],
    worth: &(impl Fn(u32) -> Option<f64> + Sync),
) -> Column {
    if players >= 32 {
        return Column::Missing { without: 0, of: 0 };
    }
    let mut worths: BTreeMap<u32, Option<f64>> = known
        .iter()
        .map(|(set, worth)| (*set, Some(*worth)))
        .collect();
    let sets = 1_u64 << players;
    let unknown = sets.saturating_sub(worths.len() as u64);
    let orders = if unknown <= evaluations as u64 {
        Vec::new()
    } else {
        orders(players, evaluations)
    };
    let wanted: Vec<u32> = if orders.is_empty() {
        (0..sets)
            .filter_map(|set| u32::try_from(set).ok())
            .collect()
    } else {
        let mut wanted: Vec<u32> = orders.iter().flat_map(|order| prefixes(order)).collect();
        wanted.sort_unstable();
        wanted.dedup();
        wanted
    };
    let asked: Vec<u32> = wanted
        .iter()
        .copied()
        .filter(|set| !worths.contains_key(set))
        .collect();
    let answers = cores::each(&asked, |set| worth(*set));
    worths.extend(asked.into_iter().zip(answers));
    let worth_of = |set: &u32| worths.get(set).copied().flatten();
    let without = wanted.iter().filter(|set| worth_of(set).is_none()).count();
    if without > 0 {
        let of = wanted.len();
        return Column::Missing { without, of };
    }
    let worth_of = |set: u32| worth_of(&set).unwrap_or_default();
    if orders.is_empty() {
        let shares = (0..players).map(|player| exact(players, player, &worth_of));
        return Column::Exact {
            shares: shares.collect(),
        };
    }
    sampled(players, &orders, &worth_of)
}

/// One player's share over all sets without it.
fn exact(players: usize, player: usize, worth: &impl Fn(u32) -> f64) -> f64 {
    let own = 1_u32 << player;
    let weights = weights(players);
    let mut share = 0.0;
    for set in (0..1_u32 << players).filter(|set| set & own == 0) {
        let weight = weights[set.count_ones() as usize];
        share += weight * (worth(set | own) - worth(set));
    }
    share
}

/// The part of all orders in which just a given set of each size comes before a player:
/// `s! (n - s - 1)! / n!`.
fn weights(players: usize) -> Vec<f64> {
    let mut weights = Vec::with_capacity(players);
    // From one size to the next the part changes by (s + 1) / (n - s - 1).
    let mut weight = 1.0 / count(players.max(1));
    for size in 0..players {
        weights.push(weight);
        weight *= count(size + 1) / count((players - size).saturating_sub(1).max(1));
    }
    weights
}

fn count(number: usize) -> f64 {
    f64::from(u32::try_from(number).unwrap_or(u32::MAX))
}

fn sampled(players: usize, orders: &[Vec<usize>], worth: &impl Fn(u32) -> f64) -> Column {
    let adds: Vec<Vec<f64>> = orders
        .iter()
        .map(|order| {
            let mut adds = vec![0.0; players];
            let mut before = worth(0);
            for (player, set) in order.iter().zip(prefixes(order).skip(1)) {
                let after = worth(set);
                adds[*player] = after - before;
                before = after;
            }
            adds
        })
        .collect();
    let pairs: Vec<Vec<f64>> = adds
        .chunks(2)
        .map(|pair| {
            let of = |player: usize| pair.iter().map(|adds| adds[player]).sum::<f64>();
            (0..players)
                .map(|player| of(player) / count(pair.len()))
                .collect()
        })
        .collect();
    let drawn = count(pairs.len());
    let shares: Vec<f64> = (0..players)
        .map(|player| pairs.iter().map(|pair| pair[player]).sum::<f64>() / drawn)
        .collect();
    let errors = (0..players).map(|player| {
        let off = |pair: &Vec<f64>| (pair[player] - shares[player]).powi(2);
        let squares: f64 = pairs.iter().map(off).sum();
        let freedom = pairs.len() - 1;
        student(freedom) * (squares / count(freedom) / drawn).sqrt()
    });
    // Few orders may agree by chance on one player: none is surer than all are on the whole.
    let errors: Vec<f64> = errors.collect();
    let pooled = (errors.iter().map(|error| error * error).sum::<f64>() / count(players)).sqrt();
    Column::Sampled {
        errors: errors.into_iter().map(|error| error.max(pooled)).collect(),
        shares,
        draws: orders.len(),
    }
}

/// The sets of those who have come, from none to all.
fn prefixes(order: &[usize]) -> impl Iterator<Item = u32> {
    let adding = order.iter().scan(0_u32, |set, player| {
        *set |= 1 << player;
        Some(*set)
    });
    std::iter::once(0).chain(adding)
}

/// No fewer pairs: their spread could not be told.
const LEAST_PAIRS: usize = 4;

/// Orders, each followed by its reverse, that ask for about so many sets.
fn orders(players: usize, evaluations: usize) -> Vec<Vec<usize>> {
    let of_pair = 2 * players.saturating_sub(1).max(1);
    let pairs = (evaluations / of_pair).max(LEAST_PAIRS);
    let mut draw = Draw(SEED);
    let mut orders = Vec::with_capacity(2 * pairs);
    for _ in 0..pairs {
        let mut order: Vec<usize> = (0..players).collect();
        for last in (1..players).rev() {
            order.swap(last, draw.below(last + 1));
        }
        let back = order.iter().rev().copied().collect();
        orders.extend([order, back]);
    }
    orders
}

/// The draws are the same every time.
const SEED: u64 = 0x5EED_0F57_A125;

/// Steele, Lea and Flood's `SplitMix64` (2014): one number after another, each as likely.
struct Draw(u64);

impl Draw {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^= mixed >> 31;
        // The high half of the product: no number below a dozen is favoured by more than 1e-18.
        let wide = u128::from(mixed) * (bound as u128);
        usize::try_from(wide >> 64).unwrap_or_default()
    }
}

/// The 97.5 % point of Student's t, as any handbook tabulates it (NIST/SEMATECH e-Handbook,
/// 1.3.6.7.2); past the table that of the next smaller entry, so that no interval is too narrow.
fn student(freedom: usize) -> f64 {
    const POINTS: [f64; 30] = [
        12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160,
        2.145, 2.131, 2.120, 2.110, 2.101, 2.093, 2.086, 2.080, 2.074, 2.069, 2.064, 2.060, 2.056,
        2.052, 2.048, 2.045, 2.042,
    ];
    match freedom {
        0 => f64::INFINITY,
        freedom => POINTS.get(freedom - 1).copied().unwrap_or(POINTS[29]),
    }
}
