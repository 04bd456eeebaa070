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
        Vec::extend,
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
        // Of A and B together.
        let mean = 0.5 * (self.a + self.b) / n;
        let square = 0.5 * (self.aa + self.bb) / n;
        let pooled = square - mean * mean;
        // Rounding of a result that does not vary at all is no variance.
        if n < 2.0 || pooled <= 1e-14 * square {
            return (0.0, 0.0);
        }
        let total = 0.5 * group.change / n / pooled;
        // The two that are compared have the same distribution: mean and variance of both together.
        let paired_mean = 0.5 * (self.b + group.mixed) / n;
        let paired = 0.5 * (self.bb + group.square) / n - paired_mean.powi(2);
        let first = if paired > 0.0 {
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

#[cfg(test)]
mod tests {
    use super::super::stream::{Stream, stream};
    use super::*;
    use std::f64::consts::PI;

    /// Three inputs, each with a stream of its own in each row.
    fn inputs(seed: u64, sample: u64, pick: &Pick, kind: impl Fn(&mut Stream) -> f64) -> [f64; 3] {
        [0, 1, 2].map(|group| {
            kind(&mut stream(
                seed,
                3 * pick.draw(sample, group) + group as u64,
            ))
        })
    }

    fn goes_on(_: Progress) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }

    const A: f64 = 7.0;
    const B: f64 = 0.1;

    /// Ishigami and Homma 1990.
    fn ishigami(seed: u64, samples: u64, threads: usize) -> Table {
        let eval = |sample: u64, pick: &Pick| {
            let [x, y, z] = inputs(seed, sample, pick, |stream| {
                PI * (2.0 * stream.uniform() - 1.0)
            });
            Some(vec![
                x.sin() + A * y.sin().powi(2) + B * z.powi(4) * x.sin(),
            ])
        };
        shares(3, samples, threads, eval, &goes_on)
    }

    /// Checks estimates against the truth by their own standard errors, which must be small.
    fn check(row: &[Shares], truth: &[(f64, f64)], largest_se: f64) {
        assert_eq!(row.len(), truth.len());
        for (shares, (first, total)) in row.iter().zip(truth) {
            assert!(
                (shares.first - first).abs() <= 4.0 * shares.first_se,
                "{shares:?}, {first}"
            );
            assert!(
                (shares.total - total).abs() <= 4.0 * shares.total_se,
                "{shares:?}, {total}"
            );
            assert!(
                shares.first_se > 0.0 && shares.first_se < largest_se,
                "{shares:?}"
            );
            assert!(
                shares.total_se > 0.0 && shares.total_se < largest_se,
                "{shares:?}"
            );
        }
    }

    /// Published: 0.3139, 0.4424, 0 and 0.5576, 0.4424, 0.2437 for a = 7, b = 0.1 (Saltelli et al.,
    /// "Global Sensitivity Analysis. The Primer", 2008); the closed form gives them.
    #[test]
    fn ishigami_as_published() {
        let variance = A * A / 8.0 + B * PI.powi(4) / 5.0 + B * B * PI.powi(8) / 18.0 + 0.5;
        let first = 0.5 * (1.0 + B * PI.powi(4) / 5.0).powi(2) / variance;
        let second = A * A / 8.0 / variance;
        let mixed = 8.0 * B * B * PI.powi(8) / 225.0 / variance;
        let published = [(0.3139, 0.5576), (0.4424, 0.4424), (0.0, 0.2437)];
        let closed = [(first, first + mixed), (second, second), (0.0, mixed)];
        for (a, b) in closed.iter().zip(published) {
            assert!((a.0 - b.0).abs() < 5.1e-5 && (a.1 - b.1).abs() < 5.1e-5);
        }
        let table = ishigami(1, 16_384, 2);
        assert_eq!(
            (table.used, table.lost, table.ended),
            (16_384, 0, Ended::Most)
        );
        check(&table.results[0], &closed, 0.016);
    }

    #[test]
    fn the_same_bits_on_any_number_of_threads() {
        let bits = |threads| {
            let table = ishigami(3, 500, threads);
            let row = table.results[0].iter();
            row.map(|one| [one.first, one.total, one.first_se, one.total_se].map(f64::to_bits))
                .collect::<Vec<_>>()
        };
        assert_eq!(bits(1), bits(2));
        assert_eq!(bits(1), bits(5));
    }

    /// What the estimates scatter by from seed to seed is what they say they do.
    #[test]
    fn standard_errors_are_those_of_repetition() {
        const SEEDS: u64 = 120;
        let tables: Vec<Table> = (100..100 + SEEDS)
            .map(|seed| ishigami(seed, 400, 2))
            .collect();
        for group in 0..3 {
            for kind in [
                (|one: &Shares| (one.first, one.first_se)) as fn(&Shares) -> (f64, f64),
                |one| (one.total, one.total_se),
            ] {
                let all: Vec<(f64, f64)> = tables
                    .iter()
                    .map(|table| kind(&table.results[0][group]))
                    .collect();
                let n = SEEDS as f64;
                let mean = all.iter().map(|one| one.0).sum::<f64>() / n;
                let scatter =
                    (all.iter().map(|one| (one.0 - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
                let told = all.iter().map(|one| one.1).sum::<f64>() / n;
                // A standard deviation from 120 values is sure to 6.5 %.
                let ratio = told / scatter;
                assert!(
                    (0.75..1.35).contains(&ratio),
                    "group {group}: {told} told, {scatter} seen"
                );
            }
        }
    }

    /// Closed forms: of c . x the squares of c; of the product of (1 + c x) of unit x,
    /// c^2 over the product of (1 + c^2) less 1, and that times the others' (1 + c^2) for the total.
    #[test]
    fn sums_and_products_by_closed_form() {
        let c: [f64; 3] = [1.0, 0.5, 0.1];
        let squares = c.map(|c| c * c);
        let sum: f64 = squares.iter().sum();
        let product: f64 = squares.iter().map(|square| 1.0 + square).product();
        let eval = |sample: u64, pick: &Pick| {
            let x = inputs(6, sample, pick, Stream::rectangular);
            let added = x.iter().zip(c).map(|(x, c)| c * x).sum::<f64>();
            let multiplied = x.iter().zip(c).map(|(x, c)| 1.0 + c * x).product::<f64>();
            Some(vec![1e6 + added, multiplied, 5.0])
        };
        let table = shares(3, 8192, 2, eval, &goes_on);
        check(
            &table.results[0],
            &squares.map(|square| (square / sum, square / sum)),
            0.02,
        );
        let of_product = squares.map(|square| {
            let total = square * product / (1.0 + square);
            (square / (product - 1.0), total / (product - 1.0))
        });
        check(&table.results[1], &of_product, 0.03);
        // What does not vary has no shares to give.
        assert_eq!(table.results[2], vec![Shares::default(); 3]);
        // Of a small share the error is small too.
        assert!(
            table.results[0][2].first_se < 0.002,
            "{:?}",
            table.results[0][2]
        );
    }

    #[test]
    fn samples_without_a_result_are_counted() {
        let eval = |sample: u64, pick: &Pick| {
            let [x, y, _] = inputs(8, sample, pick, Stream::normal);
            match sample % 10 {
                0 => None,
                1 if pick.but() == Some(1) => Some(vec![f64::NAN]),
                _ => Some(vec![x + y]),
            }
        };
        let table = shares(3, 1000, 2, eval, &goes_on);
        assert_eq!((table.used, table.lost), (800, 200));
        assert!((table.results[0][0].first - 0.5).abs() < 0.1);
        let none = shares(3, 50, 2, |_, _| None, &goes_on);
        assert_eq!((none.used, none.lost, none.results.len()), (0, 50, 0));
    }

    #[test]
    fn broken_off_it_tells_what_it_has() {
        let eval = |sample: u64, pick: &Pick| {
            let [x, y, _] = inputs(8, sample, pick, Stream::normal);
            Some(vec![x + y])
        };
        let watch = |progress: Progress| {
            if progress.done < 200 {
                ControlFlow::Continue(())
            } else {
                ControlFlow::Break(())
            }
        };
        let table = shares(3, 1000, 1, eval, &watch);
        assert_eq!(
            (table.used, table.lost, table.ended),
            (200, 0, Ended::Cancelled)
        );
    }
}
