//! How each reading stands among the others, and which one is a slip.
//!
//! Data snooping (Baarda, A testing procedure for use in geodetic networks, 1968): a reading's
//! misfit over its own standard deviation, `w = v / (sigma sqrt r)`, is standard normal where all is
//! well; past 3.29, which a clean reading passes once in a thousand times, it is named. The
//! redundancy number `r` is the share of a reading that the others, and what was meant, already
//! tell: under a tenth nobody can check it.

use nalgebra::{DMatrix, DVector};

use super::Adjustment;
use super::rows::Read;
use super::units::{UnitSlip, unit_slip};

/// The two-sided one in a thousand of the standard normal distribution: 3.29 (Baarda 1968; any
/// table of the normal distribution).
pub const CRITICAL: f64 = 3.29;
/// 95 % of a normal distribution lies within so many of its standard deviations.
pub const WITHIN: f64 = 1.96;
/// Under this redundancy a reading cannot be checked.
pub const CHECKABLE: f64 = 0.1;
/// Two readings whose tests hang together by more than this cannot be told apart.
const ALIKE: f64 = 0.9;
/// So many slips are named at most: where there are more, the survey is to be read again.
pub const MOST_SUSPECTS: usize = 12;

/// What is to be thought of a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It agrees with the rest.
    Agrees,
    /// It disagrees with the rest: likely a slip.
    Suspect,
    /// Nothing else tells what it tells.
    Unchecked,
    /// Nothing else tells what it tells, and it is far from what was meant.
    UncheckedAndFar,
}

/// A reading after the adjustment. Values are mm, or radians where it reads an angle.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Where it stands in the job.
    pub path: String,
    /// What it reads, in trade words.
    pub what: String,
    /// A length or an angle.
    pub read: Read,
    /// What was read.
    pub value: f64,
    /// Its standard uncertainty.
    pub sd: f64,
    /// What all readings together make of it.
    pub fitted: f64,
    /// What all the others together make of it.
    pub predicted: f64,
    /// The standard deviation of that.
    pub predicted_sd: f64,
    /// Its redundancy number.
    pub r: f64,
    /// Its misfit in its own standard deviations.
    pub w: f64,
    /// What is to be thought of it.
    pub standing: Standing,
}

impl Judged {
    /// What was read less what all readings make of it, mm or radians.
    #[must_use]
    pub fn misfit(&self) -> f64 {
        self.value - self.fitted
    }
}

/// A reading that is likely a slip.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// Its number among the readings.
    pub reading: usize,
    /// Its test value with the suspects before it taken out, in standard deviations.
    pub w: f64,
    /// Its redundancy number then: 0 nothing checks it, 1 the others alone decide.
    pub r: f64,
    /// What the others make of it then, mm or radians.
    pub predicted: f64,
    /// The standard deviation of that.
    pub predicted_sd: f64,
    /// Numbers of readings that the fault could as well be in.
    pub or: Vec<usize>,
    /// The factor that would explain it.
    pub unit: Option<UnitSlip>,
}

/// Judges every reading.
pub(super) fn judge(adjustment: &Adjustment) -> Vec<Judged> {
    adjustment
        .rows()
        .iter()
        .enumerate()
        .map(|(number, row)| {
            let (weight, inverse) = adjustment.weight(number);
            let sd2 = row.sd.powi(2);
            let r = (sd2 * inverse).clamp(0.0, 1.0);
            let w = weight / inverse.sqrt();
            Judged {
                path: row.path.clone(),
                what: row.what.clone(),
                read: row.read,
                value: row.value,
                sd: row.sd,
                fitted: row.value - sd2 * weight,
                predicted: row.value - weight / inverse,
                predicted_sd: (1.0 / inverse - sd2).max(0.0).sqrt(),
                r,
                w,
                standing: standing(w, r),
            }
        })
        .collect()
}

fn standing(w: f64, r: f64) -> Standing {
    match (w.abs() > CRITICAL, r < CHECKABLE) {
        (false, false) => Standing::Agrees,
        (true, false) => Standing::Suspect,
        (false, true) => Standing::Unchecked,
        (true, true) => Standing::UncheckedAndFar,
    }
}

/// Names slips one at a time: the worst is taken out, the rest adjusted again, until all that is
/// left agrees. Taking readings out is exact in the tangent space: it needs columns of `S^-1` only.
pub(super) fn suspects(adjustment: &Adjustment, judged: &[Judged]) -> Vec<Suspect> {
    let mut found: Vec<Suspect> = Vec::new();
    let mut left: Vec<Left> = (0..judged.len())
        .map(|number| {
            let (weight, inverse) = adjustment.weight(number);
            Left { weight, inverse }
        })
        .collect();
    let mut out = Out::default();
    while found.len() < MOST_SUSPECTS {
        let worst = (0..judged.len())
            .filter(|number| !out.rows.contains(number))
            .map(|number| (number, left[number].w(), left[number].r(judged[number].sd)))
            .filter(|(_, w, r)| w.abs() > CRITICAL && *r >= CHECKABLE)
            .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        let Some((number, w, r)) = worst else { break };
        let one = &judged[number];
        let Left { weight, inverse } = left[number];
        let predicted = one.value - weight / inverse;
        let predicted_sd = (1.0 / inverse - one.sd.powi(2)).max(0.0).sqrt();
        let column = column(adjustment, judged.len(), number);
        found.push(Suspect {
            reading: number,
            w,
            r,
            predicted,
            predicted_sd,
            or: alike(number, &column, &left, &out),
            unit: unit_slip(one.read, one.value, predicted, predicted_sd.hypot(one.sd)),
        });
        out.rows.push(number);
        out.columns.push(column);
        left = without(adjustment, judged.len(), &out);
    }
    found
}

/// Readings that were taken out, and their columns of `S^-1`.
#[derive(Default)]
struct Out {
    rows: Vec<usize>,
    columns: Vec<Vec<f64>>,
}

impl Out {
    /// Their part of `S^-1`.
    fn block(&self) -> DMatrix<f64> {
        let size = self.rows.len();
        DMatrix::from_fn(size, size, |i, j| self.columns[j][self.rows[i]])
    }

    /// What they share with a reading.
    fn with(&self, number: usize) -> DVector<f64> {
        let parts = self.columns.iter().map(|column| column[number]);
        DVector::from_iterator(self.rows.len(), parts)
    }
}

/// What the tests of the readings come from, with some readings taken out.
#[derive(Clone, Copy)]
struct Left {
    weight: f64,
    inverse: f64,
}

impl Left {
    fn w(self) -> f64 {
        self.weight / self.inverse.sqrt()
    }

    fn r(self, sd: f64) -> f64 {
        sd.powi(2) * self.inverse
    }
}

/// A whole column of `S^-1`, noughts where a reading is of another group.
fn column(adjustment: &Adjustment, count: usize, row: usize) -> Vec<f64> {
    let (numbers, values) = adjustment.inverse_column(row);
    let mut column = vec![0.0; count];
    for (&number, value) in numbers.iter().zip(values.iter()) {
        column[number] = *value;
    }
    column
}

/// The adjustment of the rest when some readings are out: the Schur complement in `S^-1`.
fn without(adjustment: &Adjustment, count: usize, out: &Out) -> Vec<Left> {
    let size = out.rows.len();
    let weights = out.rows.iter().map(|&row| adjustment.weight(row).0);
    let weights = DVector::from_iterator(size, weights);
    let solver = out.block().lu();
    let solved = solver
        .solve(&weights)
        .unwrap_or_else(|| DVector::zeros(size));
    (0..count)
        .map(|number| {
            let with = out.with(number);
            let (weight, inverse) = adjustment.weight(number);
            let taken = solver
                .solve(&with)
                .map_or(0.0, |solution| with.dot(&solution));
            Left {
                weight: weight - with.dot(&solved),
                // What is left is positive; a reading that was taken out is not asked again.
                inverse: (inverse - taken).max(f64::MIN_POSITIVE),
            }
        })
        .collect()
}

/// Readings whose tests hang together with this one's so much that the slip may be in them, with
/// some readings taken out.
fn alike(row: usize, column: &[f64], left: &[Left], out: &Out) -> Vec<usize> {
    let size = out.rows.len();
    // The library does not solve for nothing.
    let solved = (size > 0)
        .then(|| out.block().lu().solve(&out.with(row)))
        .flatten()
        .unwrap_or_else(|| DVector::zeros(size));
    let shared = |number: usize| {
        let parts = out.columns.iter().zip(solved.iter());
        column[number] - parts.map(|(of, share)| of[number] * share).sum::<f64>()
    };
    (0..left.len())
        .filter(|&number| {
            let both = left[row].inverse * left[number].inverse;
            number != row
                && !out.rows.contains(&number)
                && left[number].w().abs() > CRITICAL
                && shared(number).abs() > ALIKE * both.sqrt()
        })
        .collect()
}
