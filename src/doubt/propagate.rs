//! Standard deviations carried through a function by its slopes, and whether that may be trusted.
//!
//! In: slopes (or a function to take them from) and the standard deviations of the inputs. Out: the
//! standard deviation of the result, its degrees of freedom and coverage factor, and a verdict
//! against drawn results. After JCGM 100:2008, sections 5 and G.4. Any units.
//! Does not: draw.

use nalgebra::DMatrix;
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

use super::spread::Spread;

/// A function counts as straight within its step if its slopes over the four halves of it differ by
/// no more than this share of the greatest. At the end of the step the result is then off its
/// tangent by at most a tenth of what it moves, and the standard deviation by far less.
const STRAIGHT: f64 = 0.1;
/// A slope changes evenly within the step if it changes nowhere by less than this share of what it
/// does where it changes most, and its change jumps by no more.
const EVEN: f64 = 0.2;
/// Slopes that move the result by less than this share of its value are noise: results that were
/// searched for are no better.
const NOISE: f64 = 1e-9;
/// First order and draws agree if they are apart by no more than this many standard errors, beyond
/// what is tolerated.
const ERRORS: f64 = 3.0;

/// An input as a result sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// What the result moves by for each unit of the input, in the units of both.
    pub slope: f64,
    /// Standard deviation of the input.
    pub sd: f64,
    /// Degrees of freedom of that standard deviation; infinite where it is known.
    pub freedom: f64,
}

impl Source {
    /// One whose standard deviation is known.
    #[must_use]
    pub fn known(slope: f64, sd: f64) -> Self {
        Self {
            slope,
            sd,
            freedom: f64::INFINITY,
        }
    }

    /// What it gives the result, with its sign: a standard deviation in the unit of the result.
    #[must_use]
    pub fn contribution(&self) -> f64 {
        self.slope * self.sd
    }
}

/// The standard deviation of a result of independent sources: JCGM 100, formula (10).
#[must_use]
pub fn combined(sources: &[Source]) -> f64 {
    sources
        .iter()
        .map(|source| source.contribution().powi(2))
        .sum::<f64>()
        .sqrt()
}

/// The sources' shares of the variance, in first order; all 0 if nothing varies.
#[must_use]
pub fn shares(sources: &[Source]) -> Vec<f64> {
    let variance = combined(sources).powi(2);
    let share = |source: &Source| {
        if variance > 0.0 {
            source.contribution().powi(2) / variance
        } else {
            0.0
        }
    };
    sources.iter().map(share).collect()
}

/// The covariance of results of correlated inputs: JCGM 100, formula (13), and (H.9) between
/// results. A row of slopes for each result, a column for each input.
///
/// # Panics
///
/// If the covariance is not square of as many rows as there are inputs.
#[must_use]
pub fn carried(slopes: &DMatrix<f64>, covariance: &DMatrix<f64>) -> DMatrix<f64> {
    slopes * covariance * slopes.transpose()
}

/// Effective degrees of freedom of a result of independent sources, by Welch and Satterthwaite:
/// JCGM 100, formula (G.2b). Infinite where all are known.
#[must_use]
pub fn effective_freedom(sources: &[Source]) -> f64 {
    let term = |source: &Source| source.contribution().powi(4) / source.freedom;
    let sum: f64 = sources.iter().map(term).filter(|term| *term > 0.0).sum();
    if sum > 0.0 {
        combined(sources).powi(4) / sum
    } else {
        f64::INFINITY
    }
}

/// How many standard deviations to either side hold a share of the distribution of Student: JCGM
/// 100, table G.2. The normal distribution for infinite degrees of freedom. The caller cuts degrees
/// that are not whole to the next lower (G.4.1), if it wants to.
#[must_use]
pub fn coverage_factor(freedom: f64, share: f64) -> f64 {
    let below = 0.5 + 0.5 * share.clamp(0.0, 1.0 - f64::EPSILON);
    match StudentsT::new(0.0, 1.0, freedom) {
        Ok(student) if freedom.is_finite() => student.inverse_cdf(below),
        _ => Normal::standard().inverse_cdf(below),
    }
}

/// The second-order term of two independent normal inputs i and j, to be added to the variance once
/// for each ordered pair, (i, i) among them: JCGM 100, 5.1.2, note.
/// `mixed`: second derivative by i and j; `slope`: first by i; `third`: by i and twice by j.
#[must_use]
pub fn second_order_term(mixed: f64, slope: f64, third: f64, sds: (f64, f64)) -> f64 {
    (0.5 * mixed * mixed + slope * third) * (sds.0 * sds.1).powi(2)
}

/// How a function goes within a step to either side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bend {
    /// As good as straight: the slope may be used.
    Straight,
    /// Bent smoothly.
    Curved,
    /// The slope changes at a place within the step rather than all over it: another part or rule
    /// decides there.
    Kinked,
    /// There is no value on one side.
    OneSided,
}

/// The slope of a function at 0, by differences, and whether it is the same all over the step. Slopes
/// are in the unit of the function per unit of its argument.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slope {
    /// The slope at 0: from both sides, of two steps together where it is smooth; over the whole
    /// step where it jumps; of the side that has a value where only one has.
    pub central: f64,
    /// The slope towards plus, over the whole step.
    pub forward: f64,
    /// The slope towards minus, over the whole step.
    pub backward: f64,
    /// The second derivative, over the whole step; 0 where one side has no value.
    pub second: f64,
    /// Whether the slope may stand for the function within the step.
    pub straight: bool,
    /// In which way the function is not straight.
    pub bend: Bend,
}

/// The slope of `f` at 0, where it is `at_zero`, within a step to either side: a standard deviation,
/// or a few. Five values are compared: at the whole and half steps. `None` if `f` has no finite
/// value on either side, or the step is no positive number.
#[must_use]
pub fn slope(f: impl Fn(f64) -> Option<f64>, at_zero: f64, step: f64) -> Option<Slope> {
    if !(step > 0.0 && step.is_finite() && at_zero.is_finite()) {
        return None;
    }
    let f = |at: f64| f(at).filter(|value| value.is_finite());
    let side = |sign: f64| {
        let half = f(sign * 0.5 * step)?;
        let whole = f(sign * step)?;
        Some(Side {
            half: sign * (half - at_zero) / (0.5 * step),
            whole: sign * (whole - at_zero) / step,
        })
    };
    // The least difference of slopes that is more than rounding.
    let noise = NOISE * at_zero.abs() / step;
    match (side(1.0), side(-1.0)) {
        (Some(forward), Some(backward)) => Some(both_sides(forward, backward, step, noise)),
        (Some(one), None) | (None, Some(one)) => Some(Slope {
            central: one.half,
            forward: one.whole,
            backward: one.whole,
            second: 0.0,
            straight: false,
            bend: Bend::OneSided,
        }),
        (None, None) => None,
    }
}

/// Slopes towards one side.
#[derive(Clone, Copy)]
struct Side {
    half: f64,
    whole: f64,
}

fn both_sides(forward: Side, backward: Side, step: f64, noise: f64) -> Slope {
    let whole = f64::midpoint(forward.whole, backward.whole);
    let half = f64::midpoint(forward.half, backward.half);
    let bend = bend(forward, backward, noise);
    let central = match bend {
        // Richardson: the error of the half step is a quarter of that of the whole.
        Bend::Straight | Bend::Curved => half + (half - whole) / 3.0,
        Bend::Kinked | Bend::OneSided => whole,
    };
    Slope {
        central,
        forward: forward.whole,
        backward: backward.whole,
        second: (forward.whole - backward.whole) / step,
        straight: bend == Bend::Straight,
        bend,
    }
}

fn bend(forward: Side, backward: Side, noise: f64) -> Bend {
    // The slopes of the four halves, from minus to plus.
    let pieces = [
        2.0 * backward.whole - backward.half,
        backward.half,
        forward.half,
        2.0 * forward.whole - forward.half,
    ];
    let greatest = pieces.iter().fold(0.0_f64, |most, one| most.max(one.abs()));
    let least = pieces.iter().copied().fold(f64::INFINITY, f64::min);
    let most = pieces.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if most - least <= STRAIGHT * greatest + noise {
        return Bend::Straight;
    }
    // How the slope changes from piece to piece: of what is smooth steadily, and everywhere; of a
    // kink at one place, and elsewhere not.
    let turns = [0, 1, 2].map(|at| pieces[at + 1] - pieces[at]);
    let sharpest = turns.iter().fold(0.0_f64, |most, one| most.max(one.abs()));
    let everywhere = turns
        .iter()
        .all(|turn| turn * turns[1] > 0.0 && turn.abs() >= EVEN * sharpest);
    let steady = (turns[0] - 2.0 * turns[1] + turns[2]).abs() <= EVEN * sharpest;
    if everywhere && steady {
        Bend::Curved
    } else {
        Bend::Kinked
    }
}

/// First order against draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// Standard deviation of the draws over that of first order. 1 where neither varies.
    pub ratio: f64,
    /// Standard error of that ratio, from the draws.
    pub ratio_error: f64,
    /// How far the mean of the draws lies from the first-order value, in first-order standard
    /// deviations; 0 where there is none.
    pub shift: f64,
    /// Standard error of that shift, in the same.
    pub shift_error: f64,
    /// Whether both are within what is tolerated, the errors of the draws counted.
    pub agrees: bool,
}

/// Holds a first-order value and standard deviation against draws: they agree if the standard
/// deviations differ by no more than a share `tolerated` of the first-order one and the mean by no
/// more than that share of a standard deviation, beyond three standard errors of the draws. `None`
/// where there are fewer than four draws with a value.
#[must_use]
pub fn compared(value: f64, sd: f64, draws: &Spread, tolerated: f64) -> Option<Comparison> {
    let (mean, drawn, error) = (draws.mean()?, draws.sd()?, draws.sd_error()?);
    let within = |off: f64, error: f64| off.abs() <= tolerated + ERRORS * error;
    if sd.is_nan() || sd <= 0.0 {
        // Nothing to be measured against: they agree only if the draws do not vary either.
        let still = drawn <= 0.0;
        return Some(Comparison {
            ratio: if still { 1.0 } else { f64::MAX },
            ratio_error: 0.0,
            shift: 0.0,
            shift_error: 0.0,
            agrees: still,
        });
    }
    let (ratio, ratio_error) = (drawn / sd, error / sd);
    let (shift, shift_error) = ((mean - value) / sd, draws.mean_error()? / sd);
    Some(Comparison {
        ratio,
        ratio_error,
        shift,
        shift_error,
        agrees: within(ratio - 1.0, ratio_error) && within(shift, shift_error),
    })
}

/// Whether a first-order standard deviation agrees with draws to a share `tolerated` of it, the
/// sampling error of the draws' standard deviation counted; false with fewer than four draws.
#[must_use]
pub fn agrees(first_order_sd: f64, draws: &Spread, tolerated: f64) -> bool {
    draws
        .mean()
        .and_then(|mean| compared(mean, first_order_sd, draws, tolerated))
        .is_some_and(|comparison| comparison.agrees)
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    reason = "a test that finds nothing where something must be has failed"
)]
mod tests {
    use super::super::stream::stream;
    use super::*;
    use approx::assert_relative_eq;

    /// JCGM 100:2008, table G.2, and the normal distribution in its last line.
    #[test]
    fn coverage_factors_as_tabled() {
        for (freedom, share, factor) in [
            (1.0, 0.95, 12.71),
            (10.0, 0.95, 2.23),
            (16.0, 0.99, 2.92),
            (50.0, 0.95, 2.01),
            (100.0, 0.99, 2.626),
        ] {
            assert!(
                (coverage_factor(freedom, share) - factor).abs() < 0.005,
                "{freedom} {share}"
            );
        }
        assert_relative_eq!(
            coverage_factor(f64::INFINITY, 0.95),
            1.959_964,
            epsilon = 1e-6
        );
        assert!(coverage_factor(0.0, 0.95).is_finite() && coverage_factor(5.0, 1.0).is_finite());
    }

    #[test]
    fn nothing_that_varies_is_no_doubt_and_no_share() {
        let still = [Source::known(2.0, 0.0), Source::known(0.0, 3.0)];
        assert_relative_eq!(combined(&still), 0.0);
        assert_eq!(shares(&still), [0.0, 0.0]);
        assert!(effective_freedom(&still).is_infinite());
        let two = [Source::known(3.0, 1.0), Source::known(-1.0, 4.0)];
        assert_relative_eq!(combined(&two), 5.0);
        assert_relative_eq!(shares(&two)[1], 0.64);
    }

    fn of(f: impl Fn(f64) -> f64, step: f64) -> Slope {
        let at_zero = f(0.0);
        slope(|at| Some(f(at)), at_zero, step).unwrap()
    }

    #[test]
    fn slopes_of_known_functions() {
        let line = of(|x| 3.0 * x + 1e3, 0.5);
        assert!(line.straight);
        assert_relative_eq!(line.central, 3.0, epsilon = 1e-9);
        // e^x: slope and second derivative 1; the differences' own errors are h^4/480 and h^2/12.
        let curve = of(f64::exp, 0.02);
        assert!(curve.straight);
        assert_relative_eq!(curve.central, 1.0, epsilon = 1e-9);
        assert_relative_eq!(curve.second, 1.0, epsilon = 1e-4);
        let bent = of(f64::exp, 0.4);
        assert_eq!((bent.straight, bent.bend), (false, Bend::Curved));
        assert_relative_eq!(bent.central, 1.0, epsilon = 1e-4);
        let level = of(|_| 12.0, 1.0);
        assert!(level.straight && level.central.abs() < 1e-12);
        // The top of a hill has no slope, and it is not straight.
        assert_eq!(of(|x| 4.0 - x * x, 1.0).bend, Bend::Curved);
    }

    /// The witness of a gap changes: at 0, within the half step, beyond it, and beyond the step.
    #[test]
    fn kinks_are_seen_within_the_step_only() {
        for place in [0.0, 0.2, 0.45, 0.7, -0.3, -0.8] {
            let kinked = of(|x| 10.0 + (x - place).max(0.0), 1.0);
            assert_eq!(
                (kinked.straight, kinked.bend),
                (false, Bend::Kinked),
                "at {place}"
            );
        }
        assert!(of(|x| 10.0 + x + (x - 1.1).max(0.0), 1.0).straight);
        let hinge = of(f64::abs, 1.0);
        assert_relative_eq!(hinge.forward, 1.0);
        assert_relative_eq!(hinge.backward, -1.0);
        assert_relative_eq!(hinge.central, 0.0);
        assert_eq!(
            of(|x| if x > 0.6 { 3.0 } else { 0.0 }, 1.0).bend,
            Bend::Kinked
        );
    }

    #[test]
    fn noise_far_below_the_value_is_straight() {
        let noisy = of(|x| 1000.0 + 1e-8 * (1e4 * x).sin(), 0.1);
        assert!(noisy.straight, "{noisy:?}");
    }

    #[test]
    fn where_there_is_no_value_it_says_so() {
        let edge = slope(|x| (x > -0.1).then_some(2.0 * x), 0.0, 1.0).unwrap();
        assert_eq!((edge.straight, edge.bend), (false, Bend::OneSided));
        assert_relative_eq!(edge.central, 2.0);
        let below = slope(|x| (x < 0.1).then_some(2.0 * x), 0.0, 1.0).unwrap();
        assert_relative_eq!(below.central, 2.0);
        assert_eq!(slope(|_| None, 0.0, 1.0), None);
        assert_eq!(slope(|_| Some(f64::NAN), 0.0, 1.0), None);
        assert_eq!(slope(Some, 0.0, 0.0), None);
        assert_eq!(slope(Some, f64::NAN, 1.0), None);
    }

    fn drawn(count: u64, of: impl Fn(f64) -> f64) -> Spread {
        let mut spread = Spread::about(0.0, 0.05, 400);
        for index in 0..count {
            spread.add(of(stream(31, index).normal()));
        }
        spread
    }

    #[test]
    fn draws_of_a_line_agree_and_those_of_a_bent_one_do_not() {
        let line = drawn(2000, |x| 2.0 * x + 1.0);
        assert!(compared(1.0, 2.0, &line, 0.05).unwrap().agrees && agrees(2.0, &line, 0.05));
        // A fifth more is seen from 2000 draws on; from 20 it is not yet.
        assert!(!agrees(2.4, &line, 0.05));
        assert!(agrees(2.4, &drawn(20, |x| 2.0 * x), 0.05));
        // The mean of x^2/2 is 1/2 to the side: a shift, though the spread is right enough.
        let shifted = compared(0.0, 2.0, &drawn(4000, |x| 2.0 * x + 0.5 * x * x), 0.1).unwrap();
        assert!(shifted.shift > 0.1 && !shifted.agrees, "{shifted:?}");
        // On the top of a hill first order sees no doubt at all.
        assert!(!agrees(0.0, &drawn(100, |x| x * x), 0.05));
        assert!(agrees(0.0, &drawn(100, |_| 4.0), 0.05));
        assert!(!agrees(1.0, &Spread::about(0.0, 1.0, 1), 0.05));
    }
}
