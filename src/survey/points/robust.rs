//! Robust statistics: location, spread, and lines of best fit that a few wild values do not move.
//!
//! Huber, Robust Statistics (1981); the biweight and its constant 4.685 after Beaton and Tukey
//! (1974), both tuned to 95 % efficiency on normal errors.

use crate::survey::least_squares::least_squares;
use nalgebra::{Cholesky, Const, SMatrix, SVector};

/// A median absolute deviation times this is a normal distribution's standard deviation: one over
/// its upper quartile, 0.6745.
pub const MAD_TO_SD: f64 = 1.482_602_218_505_602;
/// Huber's constant for 95 % efficiency.
const HUBER: f64 = 1.345;
/// The biweight's.
pub(super) const BIWEIGHT: f64 = 4.685;
/// Steps of reweighting; each halves the error or better.
const STEPS: usize = 50;
/// Share of the spread at which reweighting has settled.
const SETTLED: f64 = 1e-9;

/// The median; the values are put in another order. `None` of none.
pub fn median(values: &mut [f64]) -> Option<f64> {
    let count = values.len();
    if count == 0 {
        return None;
    }
    let (below, middle, _) = values.select_nth_unstable_by(count / 2, f64::total_cmp);
    let middle = *middle;
    if count % 2 == 1 {
        return Some(middle);
    }
    let lower = below.iter().copied().max_by(f64::total_cmp);
    Some(f64::midpoint(middle, lower.unwrap_or(middle)))
}

/// Median, and the spread about it as a standard deviation from the median absolute deviation.
pub fn centre_and_spread(values: &mut [f64]) -> Option<(f64, f64)> {
    let centre = median(values)?;
    let mut away: Vec<f64> = values.iter().map(|value| (value - centre).abs()).collect();
    median(&mut away).map(|mad| (centre, mad * MAD_TO_SD))
}

/// Huber's location with the spread held at the median absolute deviation.
pub fn huber(values: &mut [f64]) -> Option<f64> {
    let (mut at, spread) = centre_and_spread(values)?;
    let limit = HUBER * spread;
    if limit <= 0.0 {
        return Some(at);
    }
    for _step in 0..STEPS {
        let (mut sum, mut weights) = (0.0, 0.0);
        for value in &*values {
            let weight = (limit / (value - at).abs()).min(1.0);
            sum += weight * value;
            weights += weight;
        }
        let next = sum / weights;
        let moved = (next - at).abs();
        at = next;
        if moved <= SETTLED * spread {
            break;
        }
    }
    Some(at)
}

/// Tukey's biweight of a residual in units of its limit.
pub(super) fn biweight(share: f64) -> f64 {
    let left = 1.0 - share * share;
    if share.abs() < 1.0 { left * left } else { 0.0 }
}

/// A fit by reweighting.
pub(super) struct Fit<const N: usize> {
    pub(super) coefficients: SVector<f64, N>,
    /// Spread of the residuals.
    pub(super) spread: f64,
    /// Inverse of the weighted normal matrix.
    pub(super) cofactor: SMatrix<f64, N, N>,
}

/// Weighted least squares; `None` where the rows do not settle every coefficient.
pub(super) fn solve<const N: usize>(
    rows: impl Iterator<Item = (SVector<f64, N>, f64, f64)>,
) -> Option<(SVector<f64, N>, Cholesky<f64, Const<N>>)> {
    let mut normal = SMatrix::<f64, N, N>::zeros();
    let mut right = SVector::<f64, N>::zeros();
    for (row, value, weight) in rows {
        normal += row * row.transpose() * weight;
        right += row * (value * weight);
    }
    // Columns are scaled to about one, so a pivot this small beside the largest is a column that
    // the rows do not see.
    const RANK: f64 = 1e-9;
    let factor = Cholesky::new(normal)?;
    let pivots = factor.l_dirty().diagonal();
    let settled = pivots.min() > RANK.sqrt() * pivots.max();
    settled.then(|| (factor.solve(&right), factor))
}

/// The biweight fit of `values` on `rows`, begun at the coefficients given; the spread is not let
/// under `floor`.
pub(super) fn fit<const N: usize>(
    rows: &[SVector<f64, N>],
    values: &[f64],
    start: SVector<f64, N>,
    floor: f64,
) -> Option<Fit<N>> {
    let mut coefficients = start;
    let mut last = None;
    for _step in 0..STEPS {
        let residuals: Vec<f64> = rows
            .iter()
            .zip(values)
            .map(|(row, value)| value - row.dot(&coefficients))
            .collect();
        let (_, spread) = centre_and_spread(&mut residuals.clone())?;
        let spread = spread.max(floor);
        let weights: Vec<f64> = residuals
            .iter()
            .map(|residual| biweight(residual / (BIWEIGHT * spread)))
            .collect();
        let (next, cofactor) = least_squares(rows, values, &weights)?;
        let moved = (next - coefficients).amax();
        coefficients = next;
        last = Some(Fit {
            coefficients,
            spread,
            cofactor,
        });
        if moved <= SETTLED * spread {
            break;
        }
    }
    last
}
