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
