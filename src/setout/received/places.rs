//! Which baluster goes where: an assignment, solved exactly on whole micrometres.
//!
//! First as many places as can be are filled; then as few as can be by pieces past a limit; then the
//! disturbances added up are least. Of equals, pieces go in the order of the stack (the squared
//! differences of place and stack number, added up, are least). One whole number holds all of these,
//! each worth more than all of the next can add up to.

use pathfinding::kuhn_munkres::kuhn_munkres_min;
use pathfinding::matrix::Matrix;

use crate::job::ReceivedLimits;

use super::Fit;

/// A piece that cannot stand at a place. With it 2000 pairs stay under 1e17 micrometres.
const IMPOSSIBLE: i128 = 10_000_000_000_000;
/// A piece past a limit at a place: a kilometre.
const PAST: i128 = 1_000_000_000;
/// One micrometre counts for more than all that order can: 2000 squared, 2000 times, is 8e9.
const ORDER: i128 = 100_000_000_000;

/// For each place the number of its baluster.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assigned {
    /// In the order of the places; `None` where none can stand there, or none is left.
    pub balusters: Vec<Option<usize>>,
}

/// What a piece costs at a place, in whole micrometres.
fn micrometres(fit: Option<&Fit>, limits: &ReceivedLimits) -> i128 {
    let Some(fit) = fit else {
        return IMPOSSIBLE;
    };
    // Disturbances are a few inches at most.
    let cost = (fit.total.as_mm() * 1000.0).round() as i128;
    let past = if fit.within(limits) { 0 } else { PAST };
    cost.clamp(0, PAST / 4000) + past
}

/// Assigns balusters to places: `fits[place][baluster]`, `None` where it cannot stand. There may be
/// more of either.
#[must_use]
pub fn assign(fits: &[Vec<Option<Fit>>], limits: &ReceivedLimits) -> Assigned {
    let places = fits.len();
    let balusters = fits.first().map_or(0, Vec::len);
    let mut at = vec![None; places];
    if balusters == 0 {
        return Assigned { balusters: at };
    }
    let cost = |place: usize, baluster: usize| {
        let apart = place.abs_diff(baluster) as i128;
        micrometres(fits[place][baluster].as_ref(), limits) * ORDER + apart * apart
    };
    // The library wants no more rows than columns.
    let upright = places <= balusters;
    let weights = if upright {
        Matrix::from_fn(places, balusters, |(place, baluster)| cost(place, baluster))
    } else {
        Matrix::from_fn(balusters, places, |(baluster, place)| cost(place, baluster))
    };
    let (_, columns) = kuhn_munkres_min(&weights);
    for (row, column) in columns.into_iter().enumerate() {
        let (place, baluster) = if upright {
            (row, column)
        } else {
            (column, row)
        };
        if fits[place][baluster].is_some() {
            at[place] = Some(baluster);
        }
    }
    Assigned { balusters: at }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;

    fn fit(total: f64) -> Option<Fit> {
        let zero = Length::ZERO;
        Some(Fit {
            quarter_turns: 0,
            gap: zero,
            over: zero,
            reveal: zero,
            lean: zero,
            seat: zero,
            total: Length::mm(total),
        })
    }

    fn assigned(fits: &[Vec<Option<Fit>>]) -> Vec<Option<usize>> {
        assign(fits, &ReceivedLimits::default()).balusters
    }

    #[test]
    fn pieces_alike_go_in_the_order_of_the_stack() {
        let fits = vec![vec![fit(1.0); 5]; 3];
        assert_eq!(assigned(&fits), [Some(0), Some(1), Some(2)]);
    }

    #[test]
    fn the_sum_is_least_not_the_first() {
        // Greedy would take the 1 and pay 9: 10 in all; crosswise it is 5.
        let fits = vec![vec![fit(1.0), fit(2.0)], vec![fit(3.0), fit(9.0)]];
        assert_eq!(assigned(&fits), [Some(1), Some(0)]);
    }

    #[test]
    fn what_cannot_stand_there_leaves_the_place_empty() {
        let fits = vec![vec![None, fit(5.0)], vec![None, fit(1.0)]];
        assert_eq!(assigned(&fits), [None, Some(1)]);
        let fits = vec![vec![fit(5.0)], vec![fit(1.0)], vec![fit(2.0)]];
        assert_eq!(assigned(&fits), [None, Some(0), None]);
    }
}
