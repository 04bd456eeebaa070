//! A sum of errors that each lie anywhere within the same limits, one as likely as another: how far
//! off it is, exactly.
//!
//! So many numbers from 0 to 1 add up by the law of Irwin (Biometrika 19, 1927) and Hall (the same
//! volume). Its density is the cardinal B-spline, and de Boor's recurrence (A Practical Guide to
//! Splines, 1978, chapter X) builds that of sums in positive terms alone, so that nothing cancels
//! however many there are; the formula with signs that change loses digits past twenty.

/// The chance that a sum of `count` errors, each anywhere from -1 to 1, lies within `half` of
/// zero.
#[must_use]
pub fn chance_within(count: u32, half: f64) -> f64 {
    let most = f64::from(count);
    if half >= most {
        return 1.0;
    }
    if half.is_nan() || half <= 0.0 {
        return 0.0;
    }
    1.0 - 2.0 * below(count, (most - half) / 2.0)
}

/// How far from zero a sum of `count` errors, each anywhere from -1 to 1, is at most, with a
/// chance from 0 to 1.
#[must_use]
pub fn half_width(count: u32, chance: f64) -> f64 {
    let (mut low, mut high) = (0.0, f64::from(count));
    // Each halves what is left: after so many it is under the last digit.
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if chance_within(count, middle) < chance {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

const HALVINGS: u32 = 56;

/// The chance that a sum of `count` numbers, each anywhere from 0 to 1, is under `x`.
///
/// It is the sum of the next density over `x`, `x - 1` and so on down, for that is what the density
/// of one more is: the chance between `x - 1` and `x`.
fn below(count: u32, x: f64) -> f64 {
    let whole = x.floor().max(0.0);
    let part = x - whole;
    // Densities at `part`, `part + 1` up to `x`; of one number alone first.
    let mut density = vec![0.0; whole as usize + 1];
    density[0] = 1.0;
    for of in 2..=count + 1 {
        let of = f64::from(of);
        for at in (0..density.len()).rev() {
            let here = part + at as f64;
            let before = at.checked_sub(1).map_or(0.0, |before| density[before]);
            // Past the greatest that a sum can be both densities are zero.
            density[at] = (here * density[at] + (of - here) * before) / (of - 1.0);
        }
    }
    density.iter().sum::<f64>().clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::{chance_within, half_width};

    /// One is rectangular, two are triangular, three are a quadratic spline: closed forms.
    #[test]
    fn few_errors_have_closed_forms() {
        for chance in [0.05, 0.5, 0.9, 0.95, 0.999] {
            let near = |count, wanted: f64| {
                let found = half_width(count, chance);
                assert!((found - wanted).abs() < 1e-9, "{count}: {found} {wanted}");
            };
            near(1, chance);
            near(2, 2.0 * (1.0 - (1.0 - chance).sqrt()));
            // The last sixth of each tail of three is x^3 / 6.
            let tail: f64 = (1.0 - chance) / 2.0;
            if tail <= 1.0 / 6.0 {
                near(3, 3.0 - 2.0 * (6.0 * tail).cbrt());
            }
        }
        // Within 1 of zero the density of three is (3 - s^2) / 8.
        for half in [0.2_f64, 0.7, 0.99] {
            let wanted = (3.0 * half - half.powi(3) / 3.0) / 4.0;
            assert!((chance_within(3, half) - wanted).abs() < 1e-12);
        }
    }

    /// JCGM 100:2008, G.2.2, example (from memory): of three rectangular errors of one width, 95 %
    /// lie within 1.937 and 99 % within 2.379 standard deviations; of a normal one within 1.960 and
    /// 2.576. With limits of 1 the standard deviation of three is 1.
    #[test]
    fn three_errors_lie_within_what_the_guide_prints() {
        assert!((half_width(3, 0.95) - 1.937).abs() < 5e-4);
        assert!((half_width(3, 0.99) - 2.379).abs() < 5e-4);
    }

    /// By the formula with alternating signs in whole fractions (Python's `fractions`, no rounding);
    /// those of 3 and 14 also by scipy 1.17.1, `2 * (irwinhall.ppf((1 + p) / 2, n) - n / 2)`.
    #[test]
    fn many_errors_agree_with_exact_fractions() {
        for (count, half, nearly) in [
            (3, 0.705_719_639_720_958, 1.937_341_430_817_389),
            (4, 0.805_453_283_578_239, 2.239_776_526_413_213),
            (7, 1.049_691_390_956_411, 2.975_340_370_967_302),
            (14, 1.470_543_524_963_381, 4.221_051_324_755_739),
            (30, 2.142_045_901_366_327, 6.189_181_285_304_624),
            (60, 3.022_833_665_649_002, 8.759_051_501_867_068),
        ] {
            assert!((half_width(count, 0.5) - half).abs() < 1e-10, "{count}");
            assert!((half_width(count, 0.95) - nearly).abs() < 1e-10, "{count}");
        }
    }

    /// The standard deviation is the square root of a third of the count (JCGM 100:2008, 4.3.7),
    /// and of many the band is that of a normal error: 1.959964 and 0.674490 of them.
    #[test]
    fn many_errors_grow_as_the_square_root_and_look_normal() {
        for count in [30, 60] {
            let sd = (f64::from(count) / 3.0).sqrt();
            assert!((half_width(count, 0.95) / sd - 1.959_964).abs() < 3e-3);
            assert!((half_width(count, 0.5) / sd - 0.674_490).abs() < 3e-3);
        }
        let four_times = half_width(56, 0.95) / half_width(14, 0.95);
        assert!((four_times - 2.0).abs() < 0.01, "{four_times}");
    }

    #[test]
    fn none_is_off_by_nothing_and_ends_are_ends() {
        assert!(half_width(0, 0.95).abs() < 1e-12);
        assert!((chance_within(0, 0.0) - 1.0).abs() < 1e-12);
        assert!((chance_within(5, 5.0) - 1.0).abs() < 1e-12);
        assert!(chance_within(5, 0.0).abs() < 1e-12);
        assert!(chance_within(5, f64::NAN).abs() < 1e-12);
    }
}
