//! Standard deviations carried through a function by its slopes, and whether that may be trusted.
//!
//! In: slopes (or a function to take them from) and the standard deviations of the inputs. Out: the
//! standard deviation of the result, its degrees of freedom and coverage factor, and a verdict
//! against drawn results. After JCGM 100:2008, sections 5 and G.4. Any units.
//! Does not: draw.

use nalgebra::DMatrix;
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

use super::spread::Spread;

/// A function counts as straight within its step if the slopes on the two sides differ by no more
/// than this share of the greater of them. At one standard deviation the result is then off its
/// tangent by at most a twentieth of what it moves, and the standard deviation by far less.
const STRAIGHT: f64 = 0.1;
/// Slopes that move the result by less than this share of its value are noise: results that were
/// searched for are no better.
const NOISE: f64 = 1e-9;
/// First order and draws agree if they are apart by no more than this many standard errors, beyond
/// what is tolerated.
const ERRORS: f64 = 3.0;

/// An input as a result sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// What the result moves by for each unit of the input.
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

    /// What it gives the result, with its sign.
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
    /// The slope jumps somewhere within the step: another part or rule decides there.
    Kinked,
    /// There is no value on one side.
    OneSided,
}

/// The slope of a function at 0, by differences, and whether it is the same all over the step.
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
    let all = [forward.whole, forward.half, backward.half, backward.whole];
    let greatest = all.iter().fold(0.0_f64, |most, one| most.max(one.abs()));
    let allowed = STRAIGHT * greatest + noise;
    let apart = |a: f64, b: f64| (a - b).abs();
    let spread = all
        .iter()
        .flat_map(|a| all.iter().map(|b| apart(*a, *b)))
        .fold(0.0, f64::max);
    if spread <= allowed {
        return Bend::Straight;
    }
    // What is smooth halves the difference of its slopes with the step; a kink at 0 keeps it, and
    // one elsewhere in the step loses it. A third derivative shows in both sides alike.
    let (at_whole, at_half) = (forward.whole - backward.whole, forward.half - backward.half);
    let smooth = |of_whole: f64, of_half: f64, share: f64| {
        apart(of_half, share * of_whole) <= 0.15 * of_whole.abs() + allowed
    };
    let centre = (
        f64::midpoint(forward.whole, backward.whole),
        f64::midpoint(forward.half, backward.half),
    );
    let odd = apart(centre.0, centre.1) <= 0.5 * greatest;
    if smooth(at_whole, at_half, 0.5) && odd {
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
    /// Standard error of that shift.
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
    if !(sd > 0.0) {
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
