//! A stream of random numbers for every draw, so that a draw is the same whoever makes it and when.
//!
//! In: the seed of a run and the number of a draw. Out: a [`Stream`] of normal and rectangular
//! numbers of mean 0 and standard deviation 1; what they scale is the caller's, in any unit.
//! Does not: know what is drawn.

use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64;
use rand_pcg::rand_core::Rng;

/// A rectangular number of standard deviation 1 lies within this of 0: the square root of 3.
const HALF_WIDTH: f64 = 1.732_050_807_568_877_2;
/// 2^-53, the distance between neighbours of [`Stream::uniform`].
const STEP: f64 = 1.0 / 9_007_199_254_740_992.0;

/// Random numbers of one draw, in the order in which they are asked for.
#[derive(Clone, Debug)]
pub struct Stream(Pcg64);

/// The stream of a draw. The seed and the number are mixed into the state, and the number chooses
/// the sequence of the generator too: neighbouring numbers share nothing, and no two draws of a
/// seed can start alike.
#[must_use]
pub fn stream(seed: u64, index: u64) -> Stream {
    // Mixed before the two meet: else seed 1 with draw 2 would be seed 2 with draw 1.
    let mut words = Mixer(mixed(seed) ^ mixed(index ^ GOLDEN));
    let state = u128::from(words.next()) << 64 | u128::from(words.next());
    let sequence = u128::from(index) << 64 | u128::from(words.next());
    Stream(Pcg64::new(state, sequence))
}

impl Stream {
    /// A number from 0 to 1, 1 not among them; all equally likely.
    pub fn uniform(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 * STEP
    }

    /// A normal number: mean 0, standard deviation 1.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// A number from minus to plus the square root of 3, all equally likely: mean 0, standard
    /// deviation 1.
    pub fn rectangular(&mut self) -> f64 {
        HALF_WIDTH * (2.0 * self.uniform() - 1.0)
    }
}

/// 2^64 over the golden ratio, odd.
const GOLDEN: u64 = 0x9E37_79B9_7F4A_7C15;

/// The generator `SplitMix64` (Steele, Lea and Flood 2014): made to start other generators.
struct Mixer(u64);

impl Mixer {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(GOLDEN);
        mixed(self.0)
    }
}

/// Mixes the bits of a word; no two words come out the same.
fn mixed(mut word: u64) -> u64 {
    word = (word ^ (word >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    word = (word ^ (word >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    word ^ (word >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROWS: u64 = 20_000;

    /// Of numbers of mean 0 and standard deviation 1 the mean product is within this, at four
    /// standard errors.
    fn four_errors() -> f64 {
        4.0 / (ROWS as f64).sqrt()
    }

    fn mean(values: impl Iterator<Item = f64>) -> f64 {
        values.sum::<f64>() / ROWS as f64
    }

    #[test]
    fn a_draw_is_the_same_whenever_it_is_made() {
        let words = |seed, index| {
            let mut stream = stream(seed, index);
            [(); 3].map(|()| stream.uniform().to_bits())
        };
        assert_eq!(words(7, 12), words(7, 12));
        assert_ne!(words(7, 12), words(7, 13));
        assert_ne!(words(7, 12), words(8, 12));
        assert_ne!(words(7, 12), words(12, 7));
    }

    /// Mean 0 and variance 1 of what each draw begins with, and fourth moments 3 and 9/5 of the
    /// normal and the rectangular distribution: closed forms.
    #[test]
    fn first_numbers_of_draws_have_the_moments_of_their_distribution() {
        type Kind = fn(&mut Stream) -> f64;
        let kinds: [(Kind, f64); 2] = [(Stream::normal, 3.0), (Stream::rectangular, 1.8)];
        for (kind, fourth) in kinds {
            let values: Vec<f64> = (0..ROWS).map(|index| kind(&mut stream(3, index))).collect();
            let moment = |power| mean(values.iter().map(|value| value.powi(power)));
            assert!(moment(1).abs() < four_errors());
            assert!((moment(2) - 1.0).abs() < four_errors() * (fourth - 1.0).sqrt());
            // Standard error of the fourth moment of a normal number: sqrt(96).
            assert!((moment(4) - fourth).abs() < four_errors() * 96.0_f64.sqrt());
        }
        let least = (0..ROWS).map(|index| stream(3, index).uniform());
        let (low, high) = least.fold((1.0_f64, 0.0_f64), |(a, b), u| (a.min(u), b.max(u)));
        assert!((0.0..1e-3).contains(&low) && (0.999..1.0).contains(&high));
    }

    /// No correlation within a draw, between neighbouring draws, draws of twice the number, nor
    /// neighbouring seeds, at the same place and one apart.
    #[test]
    fn neighbouring_draws_share_nothing() {
        let first = |seed, index| stream(seed, index).normal();
        let second = |seed, index| {
            let mut stream = stream(seed, index);
            stream.normal();
            stream.normal()
        };
        let products: [(&str, &dyn Fn(u64) -> f64); 7] = [
            ("within", &|i| first(1, i) * second(1, i)),
            ("next", &|i| first(1, i) * first(1, i + 1)),
            ("next, later", &|i| second(1, i) * second(1, i + 1)),
            ("next, one apart", &|i| second(1, i) * first(1, i + 1)),
            ("twice", &|i| first(1, i + 1) * first(1, 2 * i + 2)),
            ("seeds", &|i| first(1, i) * first(2, i)),
            ("swapped", &|i| first(1, i + 2) * first(i + 2, 1)),
        ];
        for (name, product) in products {
            let found = mean((0..ROWS).map(product));
            assert!(found.abs() < four_errors(), "{name}: {found}");
        }
    }

    /// Chi-squared over a grid of 16 by 16 for what neighbouring draws begin with: the 0.999
    /// quantile for 255 degrees of freedom is 330.5 (tables of chi-squared).
    #[test]
    fn pairs_of_neighbouring_draws_fill_the_square_evenly() {
        let mut cells = [0.0_f64; 256];
        for index in 0..ROWS {
            let place = |index| (16.0 * stream(5, index).uniform()) as usize;
            cells[16 * place(2 * index) + place(2 * index + 1)] += 1.0;
        }
        let expected = ROWS as f64 / 256.0;
        let chi: f64 = cells
            .iter()
            .map(|n| (n - expected).powi(2) / expected)
            .sum();
        assert!(chi > 180.0 && chi < 330.5, "{chi}");
    }
}
