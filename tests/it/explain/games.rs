//! Games with published values, and the properties that the value is defined by (L. S. Shapley,
//! A value for n-person games, 1953).

use approx::assert_relative_eq;
use rakewell::explain::{Column, shapley};
use rand_distr::{Distribution as _, StandardNormal};
use rand_pcg::Pcg64Mcg;

/// Every set asked for.
const ALL: usize = 1 << 12;

fn exact(players: usize, worth: impl Fn(u32) -> f64 + Sync) -> Vec<f64> {
    match shapley(players, ALL, &[], &|set| Some(worth(set))) {
        Column::Exact { shares } => shares,
        other => panic!("{other:?}"),
    }
}

fn close(told: &[f64], wanted: &[f64]) {
    assert_eq!(told.len(), wanted.len());
    for (told, wanted) in told.iter().zip(wanted) {
        assert_relative_eq!(told, wanted, epsilon = 1e-9);
    }
}

/// What each player adds, averaged over every order written out: another road to the same value.
pub(super) fn brute_force(players: usize, worth: &impl Fn(u32) -> f64) -> Vec<f64> {
    fn orders(left: &[usize], order: &mut Vec<usize>, told: &mut Vec<Vec<usize>>) {
        if left.is_empty() {
            told.push(order.clone());
        }
        for (at, player) in left.iter().enumerate() {
            let mut others = left.to_vec();
            others.remove(at);
            order.push(*player);
            orders(&others, order, told);
            order.pop();
        }
    }
    let mut all = Vec::new();
    orders(&(0..players).collect::<Vec<_>>(), &mut Vec::new(), &mut all);
    let mut sums = vec![0.0; players];
    for order in &all {
        let mut come = 0;
        for player in order {
            let with = come | 1 << player;
            sums[*player] += worth(with) - worth(come);
            come = with;
        }
    }
    let count = f64::from(u32::try_from(all.len()).unwrap());
    sums.iter().map(|sum| sum / count).collect()
}

struct Draws(Pcg64Mcg);

impl Draws {
    fn new(seed: u128) -> Self {
        Self(Pcg64Mcg::new(seed))
    }

    fn next(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }
}

// One left glove, two right ones; a pair is worth 1. The textbook glove game (L. S. Shapley and
// M. Shubik, Pure competition, coalitional power, and fair division, 1969); 2/3, 1/6, 1/6 as given
// in any account of it (from memory).
#[test]
fn the_glove_game() {
    let shares = exact(3, |set| {
        if set & 1 != 0 && set & 6 != 0 {
            1.0
        } else {
            0.0
        }
    });
    close(&shares, &[2.0 / 3.0, 1.0 / 6.0, 1.0 / 6.0]);
}

// A runway as long as the largest aeroplane that uses it asks for: each part of it is shared out
// among those who need it (S. C. Littlechild and G. Owen, A simple expression for the Shapley value
// in a special case, 1973). Costs 8, 11, 13, 18 give 2, 3, 4, 9.
#[test]
fn the_airport_game() {
    let costs = [8.0, 11.0, 13.0, 18.0];
    let shares = exact(4, |set| {
        let using = costs
            .iter()
            .enumerate()
            .filter(|(at, _)| set & (1 << at) != 0);
        using.map(|(_, cost)| *cost).fold(0.0, f64::max)
    });
    close(&shares, &[2.0, 3.0, 4.0, 9.0]);
}

// The same formula on twelve aeroplanes, the most that are ever asked for.
#[test]
fn twelve_aeroplanes() {
    let costs: Vec<f64> = (1..=12).map(|size| f64::from(size * size)).collect();
    let shares = exact(12, |set| {
        let using = costs
            .iter()
            .enumerate()
            .filter(|(at, _)| set & (1 << at) != 0);
        using.map(|(_, cost)| *cost).fold(0.0, f64::max)
    });
    let mut so_far = 0.0;
    let wanted: Vec<f64> = (0..12)
        .map(|at| {
            let below = if at == 0 { 0.0 } else { costs[at - 1] };
            so_far += (costs[at] - below) / (12.0 - f64::from(u32::try_from(at).unwrap()));
            so_far
        })
        .collect();
    close(&shares, &wanted);
}

#[test]
fn random_games_against_every_order() {
    for players in 1..=6 {
        for seed in 0..5 {
            let mut draws = Draws::new(seed * 10 + players as u128);
            let worths: Vec<f64> = (0..1 << players).map(|_| draws.next()).collect();
            let worth = |set: u32| worths[set as usize];
            let shares = exact(players, worth);
            close(&shares, &brute_force(players, &worth));
            let whole = worths[worths.len() - 1] - worths[0];
            assert_relative_eq!(shares.iter().sum::<f64>(), whole, epsilon = 1e-12);
        }
    }
}

#[test]
fn who_adds_nothing_gets_nothing_and_equals_get_the_same() {
    let mut draws = Draws::new(7);
    // Players 0 and 1 are alike, player 4 never adds anything.
    let worths: Vec<f64> = (0..12).map(|_| draws.next()).collect();
    let shares = exact(5, |set| {
        let alike = (set & 3).count_ones() as usize;
        let others = (set >> 2 & 3) as usize;
        worths[alike * 4 + others]
    });
    assert_relative_eq!(shares[0], shares[1], epsilon = 1e-12);
    assert_relative_eq!(shares[4], 0.0, epsilon = 1e-12);
}

/// Ten players who act by themselves, two by two, three by three, and as the greatest of all.
fn rough(seed: u128) -> impl Fn(u32) -> f64 + Sync {
    let mut draws = Draws::new(seed);
    let mut list = |count: usize| (0..count).map(|_| draws.next()).collect::<Vec<f64>>();
    let (own, pairs, triples, heights) = (list(10), list(100), list(1000), list(10));
    move |set| {
        let here: Vec<usize> = (0..10).filter(|at| set & (1 << at) != 0).collect();
        let mut sum: f64 = here.iter().map(|at| own[*at]).sum();
        for (i, a) in here.iter().enumerate() {
            for (j, b) in here.iter().enumerate().skip(i + 1) {
                sum += 0.3 * pairs[a * 10 + b];
                for c in here.iter().skip(j + 1) {
                    sum += 0.1 * triples[a * 100 + b * 10 + c];
                }
            }
        }
        sum + here.iter().map(|at| heights[*at]).fold(0.0, f64::max)
    }
}

#[test]
fn sampled_shares_lie_within_their_stated_error() {
    let (mut within, mut looked_at) = (0, 0);
    for seed in 0..40 {
        let game = rough(seed);
        let wanted = exact(10, &game);
        let told = shapley(10, 128, &[], &|set| Some(game(set)));
        let Column::Sampled {
            shares,
            errors,
            draws,
        } = told
        else {
            panic!("{told:?}")
        };
        assert_eq!(draws, 14);
        let whole = game((1 << 10) - 1) - game(0);
        assert_relative_eq!(shares.iter().sum::<f64>(), whole, epsilon = 1e-9);
        for ((share, error), wanted) in shares.iter().zip(&errors).zip(&wanted) {
            within += i32::from((share - wanted).abs() <= *error);
            looked_at += 1;
        }
    }
    // Of 400 intervals of 95 % fewer than 370 (92.5 %) would hold the truth once in a hundred.
    assert_eq!(looked_at, 400);
    assert!((370..=400).contains(&within), "{within} of 400");
}

// What two do together is split evenly by an order and its reverse, so that a pair of orders has it
// right whatever the order is.
#[test]
fn where_players_act_two_by_two_a_sample_is_exact() {
    let mut draws = Draws::new(3);
    let own: Vec<f64> = (0..12).map(|_| draws.next()).collect();
    let pairs: Vec<f64> = (0..144).map(|_| draws.next()).collect();
    let game = |set: u32| {
        let here: Vec<usize> = (0..12).filter(|at| set & (1 << at) != 0).collect();
        let alone: f64 = here.iter().map(|at| own[*at]).sum();
        let two = here.iter().flat_map(|a| here.iter().map(move |b| (a, b)));
        alone
            + two
                .filter(|(a, b)| a < b)
                .map(|(a, b)| pairs[a * 12 + b])
                .sum::<f64>()
    };
    let told = shapley(12, 100, &[], &|set| Some(game(set)));
    let Column::Sampled { shares, errors, .. } = told else {
        panic!("{told:?}")
    };
    close(&shares, &exact(12, game));
    assert!(errors.iter().all(|error| *error < 1e-9));
}

#[test]
fn the_same_answer_every_time_and_no_answer_made_up() {
    let game = rough(1);
    let once = shapley(10, 128, &[], &|set| Some(game(set)));
    assert_eq!(once, shapley(10, 128, &[], &|set| Some(game(set))));
    let told = shapley(3, ALL, &[], &|set| (set != 5).then_some(1.0));
    assert_eq!(told, Column::Missing { without: 1, of: 8 });
    assert_eq!(told.shares(), None);
    // Nobody to share with.
    assert_eq!(
        shapley(0, ALL, &[], &|_| Some(1.0)),
        Column::Exact { shares: Vec::new() }
    );
}
