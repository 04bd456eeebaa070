//! Which source a result's variance comes from, also where the result is not straight in them.
//!
//! In: a function of independent groups of random inputs, of several results at once. Out: for each
//! result and group the first-order share (what the variance would lose if the group were known)
//! and the total share (what would be left if all others were known), with standard errors.
//!
//! For every sample two rows A and B are drawn, and the function is asked for A, for B, and for A
//! with one group after another from B: `groups + 2` times.
//! Total: Jansen 1999, the mean square of the change over twice the variance. First: the correlation
//! of B with A-with-the-group-from-B (Janon, Klein, Lagnoux, Nodet, Prieur 2014), less the
//! correlation that A and B have by accident, as far as it shows in the other: 1 - total of it. That
//! keeps the error small for small shares too, as the estimator of Saltelli, Annoni, Azzini,
//! Campolongo, Ratto, Tarantola 2010 does, and for great ones, as it does not.
//! Errors: jackknife over blocks of samples.
//! Does not: draw. In units of the caller's.

use std::ops::{AddAssign, ControlFlow, SubAssign};

use super::batches::{self, Effort, Ended, Progress};

/// The samples are parted into so many blocks for the standard errors.
const BLOCKS: u64 = 40;

/// Of the two independent samples of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Row {
    /// The first.
    A,
    /// The second.
    B,
}

/// From which row each group of inputs is to be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pick {
    all: Row,
    but: Option<usize>,
}

impl Pick {
    /// All groups from one row.
    const fn all(row: Row) -> Self {
        Self {
            all: row,
            but: None,
        }
    }

    /// All from A, and this group from B.
    const fn a_but(group: usize) -> Self {
        Self {
            all: Row::A,
            but: Some(group),
        }
    }

    /// The row of a group.
    #[must_use]
    pub fn row(&self, group: usize) -> Row {
        if self.but == Some(group) {
            Row::B
        } else {
            self.all
        }
    }

    /// The row of all groups but [`Pick::but`].
    #[must_use]
    pub fn rest(&self) -> Row {
        self.all
    }

    /// The group that is taken from B while the rest is from A, if there is one.
    #[must_use]
    pub fn but(&self) -> Option<usize> {
        self.but
    }

    /// The number of the draw that a group's inputs are to be taken from, such that A and B of all
    /// samples have numbers of their own: for [`super::stream::stream`].
    #[must_use]
    pub fn draw(&self, sample: u64, group: usize) -> u64 {
        row_draw(sample, self.row(group))
    }
}

/// The number of the draw of a row of a sample.
#[must_use]
pub fn row_draw(sample: u64, row: Row) -> u64 {
    2 * sample + u64::from(row == Row::B)
}

/// A group's shares of the variance of a result, with their standard errors. They are estimates: one
/// near 0 may come out a little below it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shares {
    /// What of the variance would go if the group were known.
    pub first: f64,
    /// What of it would stay if all other groups were known.
    pub total: f64,
    /// Standard error of `first`.
    pub first_se: f64,
    /// Standard error of `total`.
    pub total_se: f64,
}

/// The shares of all results.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// For each result, the shares of each group.
    pub results: Vec<Vec<Shares>>,
    /// Samples that they rest on.
    pub used: u64,
    /// Samples left out because the function gave nothing for one of their rows.
    pub lost: u64,
    /// Whether all samples were made.
    pub ended: Ended,
}

/// The shares of some groups, from so many samples.
///
/// `eval` is asked for the results of a sample with each group from the row that the [`Pick`] says;
/// it must give as many results each time, in the same order. Where it gives none, or one that is no
/// finite number, the sample is lost, and counted. The same on any number of threads. `watch` is as
/// for [`batches::run`], counted in samples.
pub fn shares(
    groups: usize,
    samples: u64,
    threads: usize,
    eval: impl Fn(u64, &Pick) -> Option<Vec<f64>> + Sync,
    watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> Table {
    let eval = |sample: u64, pick: &Pick| {
        eval(sample, pick).filter(|results| results.iter().all(|value| value.is_finite()))
    };
    // Sums of squares are of distances from this, which is about in the middle of each result.
    let Some(middle) = (0..samples).find_map(|sample| eval(sample, &Pick::all(Row::A))) else {
        return Table {
            results: Vec::new(),
            used: 0,
            lost: samples,
            ended: Ended::Most,
        };
    };
    let effort = Effort {
        ends: vec![samples],
        chunk: samples.div_ceil(BLOCKS).max(1),
        threads,
    };
    let ran = batches::run(
        &effort,
        || vec![Block::of(middle.len(), groups)],
        |blocks, sample| blocks[0].add(sample, groups, &middle, &eval),
        |blocks, more| blocks.extend(more),
        |_, _| false,
        watch,
    );
    let used = ran.summary.iter().map(|block| block.used).sum();
    Table {
        results: (0..middle.len())
            .map(|result| table_row(&ran.summary, result, groups))
            .collect(),
        used,
        lost: ran.draws - used,
        ended: ran.ended,
    }
}

/// The sums of a block of samples.
struct Block {
    used: u64,
    results: Vec<Sums>,
}

impl Block {
    fn of(results: usize, groups: usize) -> Self {
        Self {
            used: 0,
            results: vec![Sums::of(groups); results],
        }
    }

    fn add(
        &mut self,
        sample: u64,
        groups: usize,
        middle: &[f64],
        eval: &impl Fn(u64, &Pick) -> Option<Vec<f64>>,
    ) {
        let picks = [Pick::all(Row::A), Pick::all(Row::B)]
            .into_iter()
            .chain((0..groups).map(Pick::a_but));
        let mut rows = Vec::with_capacity(groups + 2);
        for pick in picks {
            match eval(sample, &pick) {
                Some(row) if row.len() == middle.len() => rows.push(row),
                _ => return,
            }
        }
        self.used += 1;
        for (at, sums) in self.results.iter_mut().enumerate() {
            let value = |row: &Vec<f64>| row[at] - middle[at];
            let (a, b) = (value(&rows[0]), value(&rows[1]));
            sums.add(a, b, rows[2..].iter().map(value));
        }
    }
}

/// What the shares of one result are made from: plain sums, so that a block is taken out again.
#[derive(Clone, Debug)]
struct Sums {
    n: f64,
    a: f64,
    b: f64,
    aa: f64,
    bb: f64,
    ab: f64,
    groups: Vec<Group>,
}

#[derive(Clone, Copy, Debug, Default)]
struct Group {
    mixed: f64,
    square: f64,
    with_b: f64,
    change: f64,
}

impl Sums {
    fn of(groups: usize) -> Self {
        Self {
            n: 0.0,
            a: 0.0,
            b: 0.0,
            aa: 0.0,
            bb: 0.0,
            ab: 0.0,
            groups: vec![Group::default(); groups],
        }
    }

    fn add(&mut self, a: f64, b: f64, mixed: impl Iterator<Item = f64>) {
        self.n += 1.0;
        self.a += a;
        self.b += b;
        self.aa += a * a;
        self.bb += b * b;
        self.ab += a * b;
        for (group, mixed) in self.groups.iter_mut().zip(mixed) {
            group.mixed += mixed;
            group.square += mixed * mixed;
            group.with_b += b * mixed;
            group.change += (a - mixed).powi(2);
        }
    }

    /// First and total share of a group.
    fn shares(&self, group: usize) -> (f64, f64) {
        let n = self.n;
        let group = self.groups[group];
        let variance = |sum: f64, squares: f64| (squares / n - (sum / n).powi(2)).max(0.0);
        let (of_a, of_b) = (variance(self.a, self.aa), variance(self.b, self.bb));
        let pooled = 0.5 * (of_a + of_b);
        // Rounding of a result that does not vary at all is no variance.
        let scale = (self.aa + self.bb) / n;
        if n < 2.0 || pooled <= 1e-14 * scale || pooled <= 0.0 {
            return (0.0, 0.0);
        }
        let total = 0.5 * group.change / n / pooled;
        let of_mixed = variance(group.mixed, group.square);
        // The two that are compared have the same distribution: mean and variance of both together.
        let paired_mean = 0.5 * (self.b + group.mixed) / n;
        let paired = 0.5 * (self.bb + group.square) / n - paired_mean.powi(2);
        let first = if paired > 0.0 && of_mixed > 0.0 {
            (group.with_b / n - paired_mean.powi(2)) / paired
        } else {
            0.0
        };
        let accident = (self.ab / n - (self.a / n) * (self.b / n)) / pooled;
        (first - (1.0 - total) * accident, total)
    }
}

impl AddAssign<&Self> for Sums {
    fn add_assign(&mut self, other: &Self) {
        self.combine(other, 1.0);
    }
}

impl SubAssign<&Self> for Sums {
    fn sub_assign(&mut self, other: &Self) {
        self.combine(other, -1.0);
    }
}

impl Sums {
    fn combine(&mut self, other: &Self, sign: f64) {
        self.n += sign * other.n;
        self.a += sign * other.a;
        self.b += sign * other.b;
        self.aa += sign * other.aa;
        self.bb += sign * other.bb;
        self.ab += sign * other.ab;
        for (group, more) in self.groups.iter_mut().zip(&other.groups) {
            group.mixed += sign * more.mixed;
            group.square += sign * more.square;
            group.with_b += sign * more.with_b;
            group.change += sign * more.change;
        }
    }
}

/// The shares of all groups in one result.
fn table_row(blocks: &[Block], result: usize, groups: usize) -> Vec<Shares> {
    let filled: Vec<&Sums> = blocks
        .iter()
        .filter(|block| block.used > 0)
        .map(|block| &block.results[result])
        .collect();
    let mut all = Sums::of(groups);
    for sums in &filled {
        all += sums;
    }
    // All but one block, for each.
    let without: Vec<Sums> = filled
        .iter()
        .map(|sums| {
            let mut rest = all.clone();
            rest -= sums;
            rest
        })
        .collect();
    (0..groups)
        .map(|group| {
            let (first, total) = all.shares(group);
            let left: Vec<(f64, f64)> = without.iter().map(|rest| rest.shares(group)).collect();
            Shares {
                first,
                total,
                first_se: jackknife(left.iter().map(|one| one.0)),
                total_se: jackknife(left.iter().map(|one| one.1)),
            }
        })
        .collect()
}

/// The standard error from what an estimate is without each block. One block alone tells none: 0.
fn jackknife(estimates: impl Iterator<Item = f64> + Clone) -> f64 {
    let n = estimates.clone().count() as f64;
    if n < 2.0 {
        return 0.0;
    }
    let mean = estimates.clone().sum::<f64>() / n;
    let squares: f64 = estimates.map(|one| (one - mean).powi(2)).sum();
    ((n - 1.0) / n * squares).sqrt()
}
