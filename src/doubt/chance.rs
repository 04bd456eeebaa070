//! How likely something is, from how often it happened, with an interval that stays honest when one
//! looks at it again and again and stops when it pleases.
//!
//! In: hits among draws. Out: [`Tally::interval`], the beta-binomial confidence sequence: all
//! chances p for which the likelihood of the hits, mixed over the chances by the Jeffreys prior
//! (beta with 1/2, 1/2), is less than 1/alpha times their likelihood at p. Under p that ratio is a
//! martingale of mean 1, so by Ville's inequality it ever reaches 1/alpha with a chance of at most
//! alpha (Robbins 1970, "Statistical methods related to the law of the iterated logarithm";
//! Howard, Ramdas and others 2021, "Time-uniform, nonparametric, nonasymptotic confidence
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

#[cfg(test)]
mod tests {
    use super::super::stream::stream;
    use super::*;
    use approx::assert_relative_eq;
    use statrs::function::beta::{inv_beta_reg, ln_beta};

    const ALPHA: f64 = 0.05;

    fn interval(hits: u64, of: u64) -> (f64, f64) {
        Tally { hits, of }.interval(ALPHA)
    }

    /// By hand. B(1/2, 3/2) : B(1/2, 1/2) = 1/2, so of one miss (1/2) / (1 - p) < 20; of two misses
    /// 3/8, so (1 - p)^2 > 3/160; of one hit and one miss 1/8, so p (1 - p) > 1/160.
    #[test]
    fn few_draws_by_hand() {
        assert_eq!(interval(0, 0), (0.0, 1.0));
        assert_relative_eq!(interval(0, 1).1, 0.975, epsilon = 1e-12);
        assert_relative_eq!(interval(1, 1).0, 0.025, epsilon = 1e-12);
        assert_relative_eq!(
            interval(0, 2).1,
            1.0 - (3.0_f64 / 160.0).sqrt(),
            epsilon = 1e-12
        );
        let half = 0.5 * (1.0 - 4.0_f64 / 160.0).sqrt();
        assert_relative_eq!(interval(1, 2).0, 0.5 - half, epsilon = 1e-12);
        assert_relative_eq!(interval(1, 2).1, 0.5 + half, epsilon = 1e-12);
    }

    /// The ends satisfy the defining inequality as an equation, written with `ln_beta`.
    #[test]
    fn the_ends_are_where_the_ratio_is_one_over_alpha() {
        for (hits, of) in [
            (1, 10),
            (3, 40),
            (50, 120),
            (63, 127),
            (65, 130),
            (900, 10_000),
            (1, 9000),
        ] {
            let (h, m) = (hits as f64, (of - hits) as f64);
            let (low, high) = interval(hits, of);
            for p in [low, high] {
                let ratio =
                    ln_beta(0.5 + h, 0.5 + m) - ln_beta(0.5, 0.5) - h * p.ln() - m * (-p).ln_1p();
                assert_relative_eq!(ratio, 20.0_f64.ln(), epsilon = 1e-7);
            }
        }
    }

    /// Of very many draws, the logarithm of the ratio is n (p - share)^2 / (2 share (1 - share)) less
    /// ln(n pi / 2) / 2 (Laplace), whence the width; `ln_gamma` itself would be off by thousands.
    #[test]
    fn of_very_many_draws_it_is_what_the_laws_of_great_numbers_say() {
        let n = 1e15_f64;
        let (low, high) = interval(300_000_000_000_000, 1_000_000_000_000_000);
        let half = (2.0 * 0.21 / n
            * (20.0_f64.ln() + 0.5 * (n * std::f64::consts::FRAC_PI_2).ln()))
        .sqrt();
        assert_relative_eq!(high - 0.3, half, max_relative = 2e-3);
        assert_relative_eq!(0.3 - low, half, max_relative = 2e-3);
    }

    #[test]
    fn hits_and_misses_are_treated_alike_and_the_share_is_inside() {
        for of in [1, 2, 7, 100, 5000] {
            for hits in [0, 1, of / 3, of / 2, of] {
                let (low, high) = interval(hits, of);
                let (other_low, other_high) = interval(of - hits, of);
                assert_relative_eq!(low, 1.0 - other_high, epsilon = 1e-12);
                assert_relative_eq!(high, 1.0 - other_low, epsilon = 1e-12);
                let share = Tally { hits, of }.share();
                assert!((0.0..=share).contains(&low) && (share..=1.0).contains(&high));
            }
        }
    }

    #[test]
    fn more_hits_raise_it_more_draws_narrow_it_and_more_surety_widens_it() {
        let mut before = interval(0, 200);
        for hits in 1..=200 {
            let now = interval(hits, 200);
            assert!(
                now.0 > before.0 && now.1 >= before.1,
                "{hits}: {now:?} after {before:?}"
            );
            before = now;
        }
        let width = |(low, high): (f64, f64)| high - low;
        for of in [10_u64, 100, 1000, 10_000] {
            assert!(width(interval(of, 10 * of)) < width(interval(of / 10, of)));
            let tally = Tally { hits: of / 10, of };
            assert!(width(tally.interval(0.01)) > width(tally.interval(0.05)));
        }
    }

    #[test]
    fn tallies_add_up() {
        let mut tally = Tally::default();
        tally.add(true);
        tally.add(false);
        tally.merge(Tally { hits: 3, of: 10 });
        assert_eq!(tally, Tally { hits: 4, of: 12 });
        assert_relative_eq!(tally.share(), 1.0 / 3.0);
        assert_relative_eq!(Tally::default().share(), 0.0);
    }

    /// Clopper and Pearson 1934: right for one number of draws, fixed beforehand.
    fn for_one_look(tally: Tally) -> (f64, f64) {
        let (hits, misses) = (tally.hits as f64, (tally.of - tally.hits) as f64);
        let low = if tally.hits == 0 {
            0.0
        } else {
            inv_beta_reg(hits, misses + 1.0, ALPHA / 2.0)
        };
        let high = if misses <= 0.0 {
            1.0
        } else {
            inv_beta_reg(hits + 1.0, misses, 1.0 - ALPHA / 2.0)
        };
        (low, high)
    }

    /// How many sequences of draws ever have an interval without the true chance, if one looks at
    /// each of the ends: the worst way to stop.
    fn ever_missed(chance: f64, sequences: u64, of: impl Fn(Tally) -> (f64, f64)) -> f64 {
        let mut missed = 0;
        for sequence in 0..sequences {
            let mut stream = stream(11, sequence);
            let mut tally = Tally::default();
            for look in 0..24 {
                let end = (20.0 * 1.25_f64.powi(look)) as u64;
                while tally.of < end {
                    tally.add(stream.uniform() < chance);
                }
                let (low, high) = of(tally);
                if chance < low || chance > high {
                    missed += 1;
                    break;
                }
            }
        }
        missed as f64 / sequences as f64
    }

    /// What it costs to be right at every look: about twice the width of one look's interval.
    #[test]
    fn it_is_not_right_by_saying_nothing() {
        let width = |(low, high): (f64, f64)| high - low;
        for tally in [
            (0, 100),
            (10, 100),
            (200, 4000),
            (2000, 4000),
            (100, 10_000),
        ] {
            let tally = Tally {
                hits: tally.0,
                of: tally.1,
            };
            let ratio = width(tally.interval(ALPHA)) / width(for_one_look(tally));
            assert!((1.0..2.1).contains(&ratio), "{tally:?}: {ratio}");
        }
    }

    /// Seen: ours misses in 0.5 to 1 % of the sequences, that for one look in 21 to 31 %.
    #[test]
    fn it_stays_right_however_often_one_looks_and_one_for_a_fixed_number_does_not() {
        const SEQUENCES: u64 = 2000;
        // Three standard errors of the simulation.
        let beyond = 3.0 * (ALPHA * (1.0 - ALPHA) / SEQUENCES as f64).sqrt();
        for chance in [0.003, 0.02, 0.1, 0.5, 0.95] {
            let ours = ever_missed(chance, SEQUENCES, |tally| tally.interval(ALPHA));
            assert!(ours <= ALPHA + beyond, "{chance}: {ours}");
        }
        for chance in [0.02, 0.1, 0.5] {
            let fixed = ever_missed(chance, SEQUENCES, for_one_look);
            assert!(fixed > ALPHA + beyond, "{chance}: {fixed}");
        }
    }
}
