//! [`Adjustment`]: all readings solved together, and what they leave open.
//!
//! Every unknown is normal about what was meant, every reading is a function of unknowns with a
//! normal error, so what is known after reading is normal too. It is solved in the space of the
//! readings: with `S` the covariance of the readings (unknowns' and errors' together) and `d` their
//! departure from what was meant, the mean of any linear function `f` is `f(meant) + cov(f,
//! readings) S^-1 d`, and its variance falls by `cov(f, readings) S^-1 cov(readings, f)`. A wall's
//! bow needs no basis in this form: it is kriging with a linear drift (Rasmussen and Williams,
//! Gaussian Processes for Machine Learning, 2006, sections 2.2 and 2.7). Readings that are not
//! linear are replaced by their tangents until nothing moves (Gauss-Newton).
//!
//! Walls, landings and the flight hang together only through readings that touch two of them, so
//! each group that hangs together is solved on its own. Nothing of the posterior covariance is
//! formed but what is asked for.

use nalgebra::{DMatrix, DVector};

use super::dense::Factor;
use super::linear::{BowTerm, Linear};
use super::prior;
use super::rows::Row;
use super::unknowns::{Scalar, Unknowns};

/// Gauss-Newton has arrived when no reading's fitted value moves more than this, mm or radians.
const ARRIVED: f64 = 1e-9;
/// Tangents are taken at most so often; from what was meant three or four are enough.
const MOST_TANGENTS: usize = 25;

/// One group of readings that hang together, solved.
#[derive(Clone, Debug)]
struct Group {
    /// Numbers of its readings.
    rows: Vec<usize>,
    /// The tangent of each reading.
    tangents: Vec<Linear>,
    factor: Factor,
    /// Diagonal of `S^-1`.
    inverse_diagonal: DVector<f64>,
    /// `S^-1 d`.
    weights: DVector<f64>,
    /// Which scalars its readings have a part in, and after them which walls' bows.
    touches: Vec<bool>,
}

impl Group {
    /// Whether a function has anything in common with its readings. Many functions are asked for
    /// one group's unknowns only, beside a wall that was read at a thousand places.
    fn meets(&self, function: &Linear, scalars: usize) -> bool {
        let scalar = function.scalars.iter().map(|&(number, _)| number);
        let bows = function.bows.iter().map(|term| scalars + term.wall);
        let mut all = scalar.chain(bows);
        all.any(|at| self.touches.get(at).is_some_and(|touched| *touched))
    }
}

/// All readings solved together.
#[derive(Clone, Debug)]
pub struct Adjustment {
    unknowns: Unknowns,
    rows: Vec<Row>,
    groups: Vec<Group>,
    /// Which group a reading is in, and its place there.
    place: Vec<Option<(usize, usize)>>,
    /// Mean of each scalar.
    means: Vec<f64>,
    /// The readings' part in each wall's bow: place and weight.
    bows: Vec<Vec<((f64, f64), f64)>>,
    /// False where tangents were still moving at the end.
    settled: bool,
}

impl Adjustment {
    pub(super) fn of(unknowns: Unknowns, rows: Vec<Row>) -> Self {
        let mut all = Self {
            means: unknowns.scalars.iter().map(|scalar| scalar.mean).collect(),
            bows: vec![Vec::new(); unknowns.walls.len()],
            place: vec![None; rows.len()],
            groups: Vec::new(),
            settled: true,
            unknowns,
            rows,
        };
        for numbers in grouped(&all.unknowns, &all.rows) {
            all.solve(&numbers);
        }
        all
    }

    /// Solves one group and adds it.
    fn solve(&mut self, rows: &[usize]) {
        let mut fitted: Option<Vec<f64>> = None;
        for round in 0.. {
            let tangents: Vec<Linear> = rows
                .iter()
                .map(|&row| self.rows[row].shape.tangent(|part| self.mean(part)))
                .collect();
            let Some(group) = self.group(rows, tangents) else {
                // Errors are not so small that this happens: the job's check sees to it. What was
                // meant stands, and that is said.
                self.settled = false;
                return;
            };
            self.take(&group);
            let now: Vec<f64> = group.tangents.iter().map(|one| self.mean(one)).collect();
            let linear = rows.iter().all(|&row| self.rows[row].shape.is_linear());
            let moved = fitted.map_or(f64::INFINITY, |before| {
                let moves = before.iter().zip(&now).map(|(a, b)| (a - b).abs());
                moves.fold(0.0, f64::max)
            });
            if linear || moved < ARRIVED || round == MOST_TANGENTS {
                self.settled &= linear || moved < ARRIVED;
                for (at, &row) in rows.iter().enumerate() {
                    self.place[row] = Some((self.groups.len(), at));
                }
                self.groups.push(group);
                return;
            }
            fitted = Some(now);
        }
    }

    /// Factors and solves a group at its tangents.
    fn group(&self, rows: &[usize], tangents: Vec<Linear>) -> Option<Group> {
        let scalars = &self.unknowns.scalars;
        let count = rows.len();
        let mut covariance = DMatrix::zeros(count, count);
        for column in 0..count {
            for row in column..count {
                covariance[(row, column)] =
                    tangents[row].prior_covariance(&tangents[column], scalars);
            }
            covariance[(column, column)] += self.rows[rows[column]].sd.powi(2);
        }
        let departures = DVector::from_iterator(
            count,
            rows.iter()
                .zip(&tangents)
                .map(|(&row, one)| self.rows[row].value - meant(one, scalars)),
        );
        let factor = Factor::of(covariance)?;
        let inverse = factor.inverse_lower();
        let inverse_diagonal =
            DVector::from_iterator(count, inverse.column_iter().map(|one| one.norm_squared()));
        let weights = factor.solve(&departures);
        let mut touches = vec![false; scalars.len() + self.unknowns.walls.len()];
        for one in &tangents {
            for &(number, _) in &one.scalars {
                touches[number] = true;
            }
            for term in &one.bows {
                touches[scalars.len() + term.wall] = true;
            }
        }
        Some(Group {
            touches,
            rows: rows.to_vec(),
            tangents,
            factor,
            inverse_diagonal,
            weights,
        })
    }

    /// Takes the means that a group gives over those of its unknowns.
    fn take(&mut self, group: &Group) {
        let scalars = &self.unknowns.scalars;
        for one in &group.tangents {
            for &(number, _) in &one.scalars {
                self.means[number] = scalars[number].mean;
            }
            for term in &one.bows {
                self.bows[term.wall].clear();
            }
        }
        for (one, weight) in group.tangents.iter().zip(group.weights.iter()) {
            for &(number, factor) in &one.scalars {
                self.means[number] += scalars[number].sd.powi(2) * factor * weight;
            }
            for term in &one.bows {
                self.bows[term.wall].push((term.at, term.factor * weight));
            }
        }
    }

    /// The unknowns.
    #[must_use]
    pub const fn unknowns(&self) -> &Unknowns {
        &self.unknowns
    }

    pub(super) fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// False where readings that are not linear had no common solution near what was meant.
    #[must_use]
    pub const fn settled(&self) -> bool {
        self.settled
    }

    /// Mean of a linear function, mm.
    #[must_use]
    pub fn mean(&self, function: &Linear) -> f64 {
        let scalars = function.scalars.iter();
        let sum: f64 = scalars
            .map(|&(number, factor)| factor * self.means[number])
            .sum();
        let bows: f64 = function.bows.iter().map(|term| self.bow(term)).sum();
        function.constant + sum + bows
    }

    fn bow(&self, term: &BowTerm) -> f64 {
        let sum: f64 = self.bows[term.wall]
            .iter()
            .map(|&(at, weight)| weight * prior::bow(at, term.at))
            .sum();
        term.factor * sum
    }

    /// What the readings say of a wall's bow: places and weights.
    pub(super) fn wall_bow(&self, wall: usize) -> &[((f64, f64), f64)] {
        &self.bows[wall]
    }

    pub(super) fn scalar_mean(&self, number: usize) -> f64 {
        self.means[number]
    }

    /// For each group, `lower^-1 cov(readings, function)`.
    fn halves(&self, function: &Linear) -> Vec<Option<DVector<f64>>> {
        let scalars = &self.unknowns.scalars;
        let half = |group: &Group| {
            if !group.meets(function, scalars.len()) {
                return None;
            }
            let with: Vec<f64> = group
                .tangents
                .iter()
                .map(|one| one.prior_covariance(function, scalars))
                .collect();
            // Exactly nothing in common: another group's unknowns.
            let touched = with.iter().any(|one| one.abs() > 0.0);
            touched.then(|| group.factor.half(&DVector::from_vec(with)))
        };
        self.groups.iter().map(half).collect()
    }

    /// Covariance of two linear functions after reading, mm^2.
    #[must_use]
    pub fn covariance(&self, one: &Linear, other: &Linear) -> f64 {
        let prior = one.prior_covariance(other, &self.unknowns.scalars);
        let (a, b) = (self.halves(one), self.halves(other));
        let taken: f64 = a
            .iter()
            .zip(&b)
            .filter_map(|(a, b)| Some(a.as_ref()?.dot(b.as_ref()?)))
            .sum();
        prior - taken
    }

    /// Variance of a linear function after reading, mm^2.
    #[must_use]
    pub fn variance(&self, function: &Linear) -> f64 {
        let prior = function.prior_covariance(function, &self.unknowns.scalars);
        let halves = self.halves(function);
        let taken: f64 = halves.iter().flatten().map(DVector::norm_squared).sum();
        (prior - taken).max(0.0)
    }

    /// Covariance of many linear functions after reading, mm^2.
    #[must_use]
    pub fn joint_covariance(&self, functions: &[&Linear]) -> DMatrix<f64> {
        let count = functions.len();
        let scalars = &self.unknowns.scalars;
        let mut joint = DMatrix::from_fn(count, count, |row, column| {
            if row < column {
                0.0
            } else {
                functions[row].prior_covariance(functions[column], scalars)
            }
        });
        joint.fill_upper_triangle_with_lower_triangle();
        for group in &self.groups {
            let with = DMatrix::from_fn(group.rows.len(), count, |row, column| {
                group.tangents[row].prior_covariance(functions[column], scalars)
            });
            let halves = group.factor.halves(with);
            joint.gemm_tr(-1.0, &halves, &halves, 1.0);
        }
        joint
    }

    /// How much a further reading of `candidate`, with the standard uncertainty `sd`, would take
    /// off the variance of `function`, mm^2.
    #[must_use]
    pub fn reduction(&self, candidate: &Linear, sd: f64, function: &Linear) -> f64 {
        let shared = self.covariance(candidate, function);
        shared * shared / (self.variance(candidate) + sd * sd)
    }

    /// What the readings take back of a draw: of unknowns drawn before reading (how far each scalar
    /// departs from its mean, and each wall's bow) and of errors of the readings.
    pub(super) fn taken(
        &self,
        departs: &[f64],
        bow: &dyn Fn(usize, (f64, f64)) -> f64,
        errors: &[f64],
    ) -> Taken {
        let scalars = &self.unknowns.scalars;
        let mut taken = Taken {
            scalars: vec![0.0; scalars.len()],
            bows: vec![Vec::new(); self.unknowns.walls.len()],
        };
        for group in &self.groups {
            let drawn = group.tangents.iter().zip(&group.rows).map(|(one, &row)| {
                let of_scalars = one.scalars.iter().map(|&(at, factor)| factor * departs[at]);
                let of_bows = one
                    .bows
                    .iter()
                    .map(|term| term.factor * bow(term.wall, term.at));
                of_scalars.sum::<f64>() + of_bows.sum::<f64>() + errors[row]
            });
            let drawn = DVector::from_iterator(group.rows.len(), drawn);
            let weights = group.factor.solve(&drawn);
            for (one, weight) in group.tangents.iter().zip(weights.iter()) {
                for &(at, factor) in &one.scalars {
                    taken.scalars[at] += scalars[at].sd.powi(2) * factor * weight;
                }
                for term in &one.bows {
                    taken.bows[term.wall].push((term.at, term.factor * weight));
                }
            }
        }
        taken
    }

    /// How a linear function goes with what is drawn: with unknowns as they may be before reading,
    /// and with each reading's error. The readings' part in it, `S^-1 cov(readings, function)`, is
    /// taken off.
    pub(super) fn drawn(&self, function: &Linear) -> (Linear, Vec<f64>) {
        let scalars = &self.unknowns.scalars;
        let mut unread = function.clone();
        let mut errors = vec![0.0; self.rows.len()];
        for group in &self.groups {
            if !group.meets(function, scalars.len()) {
                continue;
            }
            let with = group.tangents.iter();
            let with = with
                .map(|one| one.prior_covariance(function, scalars))
                .collect();
            let parts = group.factor.solve(&DVector::from_vec(with));
            for ((one, &row), part) in group.tangents.iter().zip(&group.rows).zip(parts.iter()) {
                unread = unread.plus(-part, one);
                errors[row] = -part * self.rows[row].sd;
            }
        }
        (unread, errors)
    }

    /// A reading's `S^-1 d` and diagonal of `S^-1`.
    pub(super) fn weight(&self, row: usize) -> (f64, f64) {
        self.place[row].map_or_else(
            || (0.0, 1.0 / self.rows[row].sd.powi(2)),
            |(group, at)| {
                let group = &self.groups[group];
                (group.weights[at], group.inverse_diagonal[at])
            },
        )
    }

    /// A column of `S^-1`: the numbers of its group's readings, and the values.
    pub(super) fn inverse_column(&self, row: usize) -> (&[usize], DVector<f64>) {
        let Some((group, at)) = self.place[row] else {
            return (&[], DVector::zeros(0));
        };
        let group = &self.groups[group];
        let mut unit = DVector::zeros(group.rows.len());
        unit[at] = 1.0;
        (&group.rows, group.factor.solve(&unit))
    }

    /// Variances of scalars after reading, in one go.
    pub(super) fn scalar_variances(&self) -> Vec<f64> {
        let scalars = &self.unknowns.scalars;
        let mut variances: Vec<f64> = scalars.iter().map(|one| one.sd.powi(2)).collect();
        for group in &self.groups {
            let mut touched: Vec<usize> = group
                .tangents
                .iter()
                .flat_map(|one| one.scalars.iter().map(|&(number, _)| number))
                .collect();
            touched.sort_unstable();
            touched.dedup();
            let mut with = DMatrix::zeros(group.rows.len(), touched.len());
            for (row, one) in group.tangents.iter().enumerate() {
                for &(number, factor) in &one.scalars {
                    if let Ok(column) = touched.binary_search(&number) {
                        with[(row, column)] = factor * scalars[number].sd.powi(2);
                    }
                }
            }
            let halves = group.factor.halves(with);
            for (column, &number) in touched.iter().enumerate() {
                let left = variances[number] - halves.column(column).norm_squared();
                variances[number] = left.max(0.0);
            }
        }
        variances
    }
}

/// What readings take back of a draw.
pub(super) struct Taken {
    /// Of each scalar.
    pub(super) scalars: Vec<f64>,
    /// Of each wall's bow: places and weights.
    pub(super) bows: Vec<Vec<((f64, f64), f64)>>,
}

/// A linear function where every unknown is as meant.
fn meant(function: &Linear, scalars: &[Scalar]) -> f64 {
    let sum: f64 = function
        .scalars
        .iter()
        .map(|&(number, factor)| factor * scalars[number].mean)
        .sum();
    function.constant + sum
}

/// The readings in groups that share no unknown, each group and the groups in the order of the job.
fn grouped(unknowns: &Unknowns, rows: &[Row]) -> Vec<Vec<usize>> {
    // Scalars first, then a bow for each wall.
    let scalars = unknowns.scalars.len();
    let mut head: Vec<usize> = (0..scalars + unknowns.walls.len()).collect();
    fn find(head: &mut [usize], mut at: usize) -> usize {
        while head[at] != at {
            head[at] = head[head[at]];
            at = head[at];
        }
        at
    }
    let touched = |row: &Row| {
        let mut all: Vec<usize> = Vec::new();
        for part in row.shape.parts() {
            all.extend(part.scalars.iter().map(|&(number, _)| number));
            all.extend(part.bows.iter().map(|term| scalars + term.wall));
        }
        all
    };
    for row in rows {
        let all = touched(row);
        if let Some(&first) = all.first() {
            for &one in &all[1..] {
                let (a, b) = (find(&mut head, first), find(&mut head, one));
                head[a.max(b)] = a.min(b);
            }
        }
    }
    let mut groups: Vec<(usize, Vec<usize>)> = Vec::new();
    for (number, row) in rows.iter().enumerate() {
        let Some(&first) = touched(row).first() else {
            continue;
        };
        let root = find(&mut head, first);
        match groups.iter_mut().find(|(at, _)| *at == root) {
            Some((_, rows)) => rows.push(number),
            None => groups.push((root, vec![number])),
        }
    }
    groups.into_iter().map(|(_, rows)| rows).collect()
}
