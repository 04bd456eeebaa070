//! [`WallField`]: how a wall's face departs from its meant plumb plane.
//!
//! A plane with free offset, splay and lean plus a smooth bow, fitted together to readings that
//! are linear in the field: an offset at a point, or a difference between two points. This is
//! Gaussian-process regression with a linear drift ("universal kriging"; Rasmussen and Williams,
//! Gaussian Processes for Machine Learning, 2006, section 2.7). Lengths are mm.

use nalgebra::{Cholesky, DMatrix, DVector};

/// Standard deviation of one reading against a wall: half a millimetre, the finer half of a 1/16 in
/// mark (common practice, no source).
const READING_SD: f64 = 0.5;
/// Size of the bow that is expected before reading: 1/8 in, common practice, no source.
const BOW_SD: f64 = 3.0;
/// Distance over which a bow changes: about two stud bays, common practice, no source.
const BOW_LENGTH: f64 = 800.0;
/// How far off its meant line a wall may stand before reading; wide, so that readings decide.
const OFFSET_SD: f64 = 100.0;
/// Lean and splay expected before reading: 10 mm in a metre, wide, so that readings decide.
const SLOPE_SD: f64 = 0.010;

/// A reading that is linear in the field: its value at `plus`, less its value at `minus`.
#[derive(Clone, Debug, PartialEq)]
pub struct WallObservation {
    /// Where it adds, (along, up) mm.
    pub plus: (f64, f64),
    /// Where it takes away, if it is a difference.
    pub minus: Option<(f64, f64)>,
    /// The reading, mm.
    pub value: f64,
}

/// The plane part of the field.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PlanePart {
    /// Offset at the wall's foot, half way along, mm.
    pub offset: f64,
    /// Offset gained per length along, no unit.
    pub splay: f64,
    /// Offset gained per height, no unit; positive leans into the room.
    pub lean: f64,
}

/// Offset of a wall's face from the meant plumb plane, positive towards the room, as a smooth
/// field over (along, up).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WallField {
    /// Half way along, where splay turns.
    middle: f64,
    /// The foot, where lean turns.
    foot: f64,
    plane: PlanePart,
    observations: Vec<WallObservation>,
    /// Weight of each observation in the bow.
    weights: Vec<f64>,
}

impl WallField {
    /// Fits a wall to its readings. `middle` is half its length, `foot` its lowest height.
    #[must_use]
    pub fn fit(middle: f64, foot: f64, observations: Vec<WallObservation>) -> Self {
        let count = observations.len();
        let drift = DMatrix::from_fn(count, 3, |row, column| {
            drift_row(&observations[row], middle, foot)[column]
        });
        let prior = DVector::from_vec(vec![OFFSET_SD.powi(2), SLOPE_SD.powi(2), SLOPE_SD.powi(2)]);
        let mut covariance = &drift * DMatrix::from_diagonal(&prior) * drift.transpose();
        for row in 0..count {
            for column in 0..count {
                covariance[(row, column)] += between(&observations[row], &observations[column]);
            }
            covariance[(row, row)] += READING_SD.powi(2);
        }
        let values = DVector::from_iterator(count, observations.iter().map(|one| one.value));
        // Readings have a variance of their own, so this cannot fail for finite input; a flat wall
        // is the honest answer for input that is not.
        let Some(factor) = Cholesky::new(covariance) else {
            return Self {
                middle,
                foot,
                ..Self::default()
            };
        };
        let weights = factor.solve(&values);
        let plane = prior.component_mul(&(drift.transpose() * &weights));
        Self {
            middle,
            foot,
            plane: PlanePart {
                offset: plane[0],
                splay: plane[1],
                lean: plane[2],
            },
            observations,
            weights: weights.iter().copied().collect(),
        }
    }

    /// The offset at a place, mm: `along` from the wall's beginning, `up` above the datum.
    #[must_use]
    pub fn offset(&self, along: f64, up: f64) -> f64 {
        let plane = self.plane.offset
            + self.plane.splay * (along - self.middle)
            + self.plane.lean * (up - self.foot);
        plane + self.bow(along, up)
    }

    /// What the bow adds at a place, mm.
    #[must_use]
    pub fn bow(&self, along: f64, up: f64) -> f64 {
        self.observations
            .iter()
            .zip(&self.weights)
            .map(|(one, weight)| weight * to_point(one, (along, up)))
            .sum()
    }

    /// The plane part.
    #[must_use]
    pub fn plane(&self) -> PlanePart {
        self.plane
    }

    /// The same wall with another plane part.
    #[must_use]
    pub fn with_plane(&self, plane: PlanePart) -> Self {
        Self {
            plane,
            ..self.clone()
        }
    }

    /// The same wall without its bow.
    #[must_use]
    pub fn without_bow(&self) -> Self {
        Self {
            observations: Vec::new(),
            weights: Vec::new(),
            ..self.clone()
        }
    }

    /// True where it has a bow at all.
    #[must_use]
    pub fn is_bowed(&self) -> bool {
        self.weights
            .iter()
            .any(|weight| weight.abs() * BOW_SD > crate::measure::tolerance::SAME_POINT_MM)
    }
}

fn drift_row(one: &WallObservation, middle: f64, foot: f64) -> [f64; 3] {
    let at = |(along, up): (f64, f64)| [1.0, along - middle, up - foot];
    let mut row = at(one.plus);
    if let Some(minus) = one.minus {
        for (value, less) in row.iter_mut().zip(at(minus)) {
            *value -= less;
        }
    }
    row
}

/// Covariance of the bow at two places, mm^2.
fn kernel(a: (f64, f64), b: (f64, f64)) -> f64 {
    let squared = ((a.0 - b.0).powi(2) + (a.1 - b.1).powi(2)) / BOW_LENGTH.powi(2);
    BOW_SD.powi(2) * (-0.5 * squared).exp()
}

fn to_point(one: &WallObservation, point: (f64, f64)) -> f64 {
    kernel(one.plus, point) - one.minus.map_or(0.0, |minus| kernel(minus, point))
}

fn between(a: &WallObservation, b: &WallObservation) -> f64 {
    to_point(a, b.plus) - b.minus.map_or(0.0, |minus| to_point(a, minus))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn at(along: f64, up: f64, value: f64) -> WallObservation {
        WallObservation {
            plus: (along, up),
            minus: None,
            value,
        }
    }

    #[test]
    fn a_flat_plumb_wall_stays_flat() {
        let wall = WallField::fit(500.0, 0.0, vec![at(0.0, 0.0, 0.0), at(1000.0, 2000.0, 0.0)]);
        assert_relative_eq!(wall.offset(321.0, 1234.0), 0.0, epsilon = 1e-9);
        assert!(!wall.is_bowed());
    }

    #[test]
    fn a_leaning_plane_is_found_from_offsets_and_from_a_level() {
        // 12 mm in 2400 mm of height; the level of 1200 mm shows 6 mm at its foot where the wall
        // leans into the room.
        let grid = [0.0, 600.0, 1200.0];
        let offsets = grid
            .iter()
            .flat_map(|&a| [0.0, 800.0, 1600.0, 2400.0].map(|up| at(a, up, 0.005 * up)));
        let mut observations: Vec<_> = offsets.collect();
        observations.push(WallObservation {
            plus: (600.0, 300.0),
            minus: Some((600.0, 1500.0)),
            value: -6.0,
        });
        let wall = WallField::fit(600.0, 0.0, observations);
        // Half the standard deviation of one reading: a plane is in reach of the drift, so only
        // the wide prior holds it back.
        assert_relative_eq!(wall.offset(600.0, 2000.0), 10.0, epsilon = 0.25);
        assert_relative_eq!(wall.offset(300.0, 1000.0), 5.0, epsilon = 0.25);
    }

    #[test]
    fn a_bow_is_followed_between_readings() {
        let bow = |along: f64| 5.0 * (std::f64::consts::PI * along / 2000.0).sin();
        let observations = (0..=10)
            .flat_map(|i| {
                let along = f64::from(i) * 200.0;
                [0.0, 400.0, 800.0, 1200.0].map(|up| at(along, up, bow(along)))
            })
            .collect();
        let wall = WallField::fit(1000.0, 0.0, observations);
        assert_relative_eq!(wall.offset(900.0, 600.0), bow(900.0), epsilon = 0.5);
        assert!(wall.is_bowed());
    }
}
