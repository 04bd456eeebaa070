//! How likely something is, from how often it happened, with an interval that stays honest when one
//! looks at it again and again and stops when it pleases.
//!
//! In: hits among draws. Out: [`Tally::interval`], the beta-binomial confidence sequence: all
//! chances p for which the likelihood of the hits, mixed over the chances by the Jeffreys prior
//! (beta with 1/2, 1/2), is less than 1/alpha times their likelihood at p. Under p that ratio is a
//! martingale of mean 1, so by Ville's inequality it ever reaches 1/alpha with a chance of at most
//! alpha (Robbins 1970, "Statistical methods related to the law of the iterated logarithm";
//! Howard, Ramdas, McAuliffe, Sekhon 2021, "Time-uniform, nonparametric, nonasymptotic confidence
//! sequences"). An interval for a fixed number of draws does not have this property.
//! Does not: decide when to stop.

use statrs::function::gamma::ln_gamma;

/// Halvings of an interval: more than an f64 has bits.
const HALVINGS: usize = 100;
/// From here on the series of Stirling is exact to the last bits of an f64.
const SERIES_FROM: f64 = 64.0;

/// How often something happened.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Draws in which it happened.
    pub hits: u64,
    /// Draws.
    pub of: u64,
}

impl Tally {
    /// Counts a draw.
    pub fn add(&mut self, hit: bool) {
        self.hits += u64::from(hit);
        self.of += 1;
    }

    /// Takes in the draws of another tally.
    pub fn merge(&mut self, other: Self) {
        self.hits += other.hits;
        self.of += other.of;
    }

    /// The share of the draws in which it happened; 0 without draws.
    #[must_use]
    pub fn share(&self) -> f64 {
        if self.of == 0 {
            return 0.0;
        }
        self.hits as f64 / self.of as f64
    }

    /// From what to what the chance lies, right with a chance of at least 1 - `alpha` at all numbers
    /// of draws at once. Without draws, from 0 to 1.
    #[must_use]
    pub fn interval(&self, alpha: f64) -> (f64, f64) {
        let misses = self.of.saturating_sub(self.hits);
        // The interval of the opposite, turned about: so hits and misses are treated alike.
        let lower = lowest(self.hits, misses, alpha);
        let upper = 1.0 - lowest(misses, self.hits, alpha);
        (lower, upper)
    }
}

/// The least chance that the hits and misses allow.
fn lowest(hits: u64, misses: u64, alpha: f64) -> f64 {
    if hits == 0 {
        return 0.0;
    }
    let (hits, misses) = (hits as f64, misses as f64);
    let allowed = -alpha.ln() - mixture_over_best(hits, misses);
    if misses == 0.0 {
        return (-allowed / hits).exp();
    }
    // Too low at the one, not at the other.
    let (mut low, mut high) = (0.0, hits / (hits + misses));
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if best_over(hits, misses, middle) < allowed {
            high = middle;
        } else {
            low = middle;
        }
    }
    low
}

/// How much likelier hits and misses are at their own share than at the chance `p`, as a logarithm.
fn best_over(hits: f64, misses: f64, p: f64) -> f64 {
    let share = hits / (hits + misses);
    let off = p - share;
    // `ln_1p`, because the two terms nearly cancel near the share.
    -hits * (off / share).ln_1p() - misses * (-off / (1.0 - share)).ln_1p()
}

/// How likely hits and misses are under the mixture against at their own share, as a logarithm:
/// `ln B(hits + 1/2, misses + 1/2) - ln B(1/2, 1/2) - hits ln(share) - misses ln(1 - share)`, with
/// the great terms cancelled by hand.
fn mixture_over_best(hits: f64, misses: f64) -> f64 {
    let total = hits + misses;
    let half_log = 0.5 * (std::f64::consts::TAU / total).ln();
    half_log + after_half(hits) + after_half(misses)
        - after_whole(total)
        - std::f64::consts::PI.ln()
}

/// `ln gamma(x + 1/2) - (x ln x - x + ln(2 pi)/2)`.
fn after_half(x: f64) -> f64 {
    if x >= SERIES_FROM {
        // Abramowitz and Stegun 6.1.40 at x + 1/2 (Bernoulli polynomials at 1/2).
        let square = x * x;
        return (-1.0 / 24.0 + (7.0 / 2880.0 - 31.0 / 40320.0 / square) / square) / x;
    }
    let leading = if x > 0.0 { x * x.ln() - x } else { 0.0 };
    ln_gamma(x + 0.5) - leading - 0.5 * std::f64::consts::TAU.ln()
}

/// `ln gamma(x + 1) - (x ln x - x + ln(2 pi x)/2)`.
fn after_whole(x: f64) -> f64 {
    if x >= SERIES_FROM {
        let square = x * x;
        return (1.0 / 12.0 - (1.0 / 360.0 - 1.0 / 1260.0 / square) / square) / x;
    }
    ln_gamma(x + 1.0) - (x * x.ln() - x) - 0.5 * (std::f64::consts::TAU * x).ln()
}
