//! A sample summed up in little space: its mean, moments and ends, and a histogram to read
//! quantiles from.
//!
//! In: numbers of any unit. Out: [`Spread`], which merges with others of the same bins. Values
//! outside the bins are counted on either side, and quantiles among them are read straight between
//! the bins and the least or greatest value: wide, but never beyond what was seen. A value that is
//! no number is counted and otherwise left out.
//! Does not: guess a distribution.

/// A sample, summed up.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    moments: Moments,
    ends: Option<(f64, f64)>,
    from: f64,
    bin: f64,
    bins: Vec<u64>,
    below: u64,
    above: u64,
    unfit: u64,
}

/// Count, mean and the sums of powers of the distances from it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Moments {
    count: f64,
    mean: f64,
    second: f64,
    third: f64,
    fourth: f64,
}

impl Moments {
    const fn of(value: f64) -> Self {
        Self {
            count: 1.0,
            mean: value,
            second: 0.0,
            third: 0.0,
            fourth: 0.0,
        }
    }

    /// Of both samples together (Chan and others 1979; third and fourth: Pébay 2008).
    fn with(self, other: Self) -> Self {
        if self.count <= 0.0 {
            return other;
        }
        if other.count <= 0.0 {
            return self;
        }
        let (a, b) = (self.count, other.count);
        let n = a + b;
        let apart = other.mean - self.mean;
        let part = apart / n;
        Self {
            count: n,
            mean: self.mean + part * b,
            second: self.second + other.second + apart * part * a * b,
            third: self.third
                + other.third
                + apart * part * part * a * b * (a - b)
                + 3.0 * part * (a * other.second - b * self.second),
            fourth: self.fourth
                + other.fourth
                + apart * part.powi(3) * a * b * (a * a - a * b + b * b)
                + 6.0 * part * part * (a * a * other.second + b * b * self.second)
                + 4.0 * part * (a * other.third - b * self.third),
        }
    }
}

impl Spread {
    /// An empty one with so many bins of a width about a middle. With a width that is not positive
    /// there are no bins, and quantiles are read between the least and the greatest value.
    #[must_use]
    pub fn about(middle: f64, bin: f64, bins: usize) -> Self {
        let fit = middle.is_finite() && bin.is_finite() && bin > 0.0;
        let from = middle - 0.5 * bin * bins as f64;
        let bins = if fit && from.is_finite() { bins } else { 0 };
        Self {
            moments: Moments::default(),
            ends: None,
            from: if bins > 0 { from } else { 0.0 },
            bin: if bins > 0 { bin } else { 0.0 },
            bins: vec![0; bins],
            below: 0,
            above: 0,
            unfit: 0,
        }
    }

    /// Adds a value. One that is no finite number is only counted ([`Spread::unfit`]).
    pub fn add(&mut self, value: f64) {
        if !value.is_finite() {
            self.unfit += 1;
            return;
        }
        self.moments = self.moments.with(Moments::of(value));
        self.ends = Some(
            self.ends
                .map_or((value, value), |(a, b)| (a.min(value), b.max(value))),
        );
        let place = (value - self.from) / self.bin;
        // Without bins everything is below: the place is then infinite or no number.
        if self.bins.is_empty() || place < 0.0 {
            self.below += 1;
        } else if let Some(bin) = self.bins.get_mut(place as usize) {
            *bin += 1;
        } else {
            self.above += 1;
        }
    }

    /// Takes in another sample, of the same bins, as those of two summaries made alike are. If they
    /// are not the same, the bins are given up: quantiles are then read between the least and the
    /// greatest value.
    pub fn merge(&mut self, other: &Self) {
        if self.has_bins_of(other) {
            for (bin, more) in self.bins.iter_mut().zip(&other.bins) {
                *bin += more;
            }
            self.below += other.below;
            self.above += other.above;
        } else {
            self.below = self.count() + other.count();
            self.above = 0;
            self.bins.clear();
        }
        self.moments = self.moments.with(other.moments);
        self.ends = match (self.ends, other.ends) {
            (Some((a, b)), Some((c, d))) => Some((a.min(c), b.max(d))),
            (one, none) => one.or(none),
        };
        self.unfit += other.unfit;
    }

    fn has_bins_of(&self, other: &Self) -> bool {
        let same = |a: f64, b: f64| a.to_bits() == b.to_bits();
        self.bins.len() == other.bins.len()
            && same(self.from, other.from)
            && same(self.bin, other.bin)
    }

    /// How many values there are.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.below + self.above + self.bins.iter().sum::<u64>()
    }

    /// How many values were no finite numbers; they are in none of the results.
    #[must_use]
    pub fn unfit(&self) -> u64 {
        self.unfit
    }

    /// The mean, in the unit of the values. None without values.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        (self.moments.count > 0.0).then_some(self.moments.mean)
    }

    /// The standard deviation, with one less than the count as divisor. None below two values.
    #[must_use]
    pub fn sd(&self) -> Option<f64> {
        let n = self.moments.count;
        (n > 1.5).then(|| (self.moments.second / (n - 1.0)).sqrt())
    }

    /// The standard error of the mean. None below two values.
    #[must_use]
    pub fn mean_error(&self) -> Option<f64> {
        Some(self.sd()? / self.moments.count.sqrt())
    }

    /// The standard error of the standard deviation, from the fourth moment of the sample: a
    /// normal sample has about `sd / sqrt(2 n)`, one of long tails more. None below four values.
    #[must_use]
    pub fn sd_error(&self) -> Option<f64> {
        let Moments {
            count: n,
            second,
            fourth,
            ..
        } = self.moments;
        if n < 3.5 {
            return None;
        }
        if second <= 0.0 {
            return Some(0.0);
        }
        let (variance, fourth) = (second / n, fourth / n);
        let of_variance = (fourth - variance * variance).max(0.0) / n;
        Some(0.5 * (of_variance / variance).sqrt())
    }

    /// The least value, in their unit.
    #[must_use]
    pub fn least(&self) -> Option<f64> {
        self.ends.map(|(least, _)| least)
    }

    /// The greatest value, in their unit.
    #[must_use]
    pub fn greatest(&self) -> Option<f64> {
        self.ends.map(|(_, greatest)| greatest)
    }

    /// The value that a share of the sample stays below, straight within a bin. None without values.
    #[must_use]
    pub fn quantile(&self, share: f64) -> Option<f64> {
        self.ends?;
        Some(at_rank(
            &self.knots(),
            share.clamp(0.0, 1.0) * self.count() as f64,
        ))
    }

    /// The middle part of the sample: as much is left out below as above. None without values.
    #[must_use]
    pub fn within(&self, share: f64) -> Option<(f64, f64)> {
        let out = 0.5 * (1.0 - share.clamp(0.0, 1.0));
        Some((self.quantile(out)?, self.quantile(1.0 - out)?))
    }

    /// The shortest interval that holds a share of the sample. None without values.
    #[must_use]
    pub fn shortest(&self, share: f64) -> Option<(f64, f64)> {
        self.ends?;
        let knots = self.knots();
        let held = share.clamp(0.0, 1.0) * self.count() as f64;
        let total = self.count() as f64;
        // One end of the shortest lies on a knot, because between them the ranks rise straight.
        let up = knots.iter().map(|knot| (knot.rank, knot.rank + held));
        let down = knots.iter().map(|knot| (knot.rank - held, knot.rank));
        let mut best: Option<(f64, f64)> = None;
        for (from, to) in up.chain(down) {
            if from < 0.0 || to > total {
                continue;
            }
            let (low, high) = (at_rank_from_above(&knots, from), at_rank(&knots, to));
            if best.is_none_or(|(a, b)| high - low < b - a) {
                best = Some((low, high));
            }
        }
        best.or(self.ends)
    }

    /// The ranks of the values that part the bins, from the least to the greatest value.
    fn knots(&self) -> Vec<Knot> {
        let Some((least, greatest)) = self.ends else {
            return Vec::new();
        };
        let mut knots = vec![Knot {
            value: least,
            rank: 0.0,
        }];
        let mut rank = 0;
        let mut push = |rank: u64, value: f64| {
            knots.push(Knot {
                value: value.clamp(least, greatest),
                rank: rank as f64,
            });
        };
        rank += self.below;
        push(
            rank,
            if self.bins.is_empty() {
                greatest
            } else {
                self.from
            },
        );
        for (at, held) in self.bins.iter().enumerate() {
            rank += held;
            push(rank, self.from + self.bin * (at + 1) as f64);
        }
        push(rank + self.above, greatest);
        knots
    }
}

/// So many values are below a value.
#[derive(Clone, Copy, Debug)]
struct Knot {
    value: f64,
    rank: f64,
}

/// The value of a rank; where a stretch is empty, its lower end.
fn at_rank(knots: &[Knot], rank: f64) -> f64 {
    between(knots, knots.partition_point(|knot| knot.rank < rank), rank)
}

/// The value of a rank; where a stretch is empty, its upper end.
fn at_rank_from_above(knots: &[Knot], rank: f64) -> f64 {
    let upper = knots.partition_point(|knot| knot.rank <= rank);
    if upper == knots.len() {
        // At the very top: the first knot that has everything below it.
        return at_rank(knots, rank);
    }
    between(knots, upper, rank)
}

/// Straight between the knot before `upper` and that.
fn between(knots: &[Knot], upper: usize, rank: f64) -> f64 {
    let upper = upper.min(knots.len() - 1);
    let (high, low) = (knots[upper], knots[upper.saturating_sub(1)]);
    let rise = high.rank - low.rank;
    if rise <= 0.0 {
        return high.value;
    }
    low.value + (high.value - low.value) * ((rank - low.rank) / rise).clamp(0.0, 1.0)
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

    fn of(values: &[f64]) -> Spread {
        let mut spread = Spread::about(0.0, 0.1, 200);
        for value in values {
            spread.add(*value);
        }
        spread
    }

    fn normals(count: u64) -> Vec<f64> {
        (0..count).map(|index| stream(21, index).normal()).collect()
    }

    #[test]
    fn moments_by_hand() {
        // 1, 2, 3, 6: mean 3; squares 4, 1, 0, 9; fourth powers 16, 1, 0, 81.
        let spread = of(&[1.0, 2.0, 3.0, 6.0]);
        assert_relative_eq!(spread.mean().unwrap(), 3.0);
        assert_relative_eq!(spread.sd().unwrap(), (14.0_f64 / 3.0).sqrt());
        assert_relative_eq!(spread.moments.third, -8.0 - 1.0 + 27.0);
        assert_relative_eq!(spread.moments.fourth, 98.0);
        assert_eq!((spread.least(), spread.greatest()), (Some(1.0), Some(6.0)));
    }

    /// A standard error of sd / sqrt(2 n) for a normal sample, sd sqrt(0.8 / 4 n) for a rectangular
    /// one (fourth moment 9/5).
    #[test]
    fn the_error_of_the_standard_deviation_knows_the_tails() {
        let normal = of(&normals(40_000));
        assert_relative_eq!(
            normal.sd_error().unwrap(),
            (0.5_f64 / 40_000.0).sqrt(),
            max_relative = 0.03
        );
        let values: Vec<f64> = (0..40_000)
            .map(|index| stream(2, index).rectangular())
            .collect();
        let rectangular = of(&values);
        assert_relative_eq!(
            rectangular.sd_error().unwrap(),
            (0.2_f64 / 40_000.0).sqrt(),
            max_relative = 0.03
        );
        assert_relative_eq!(
            rectangular.mean_error().unwrap(),
            0.005,
            max_relative = 0.01
        );
    }

    #[test]
    fn parts_merged_are_the_whole() {
        let values: Vec<f64> = normals(3000)
            .iter()
            .map(|value| 2.0 + value.exp())
            .collect();
        let whole = of(&values);
        let mut parts = of(&[]);
        for part in values.chunks(701) {
            parts.merge(&of(part));
        }
        assert_eq!(parts.bins, whole.bins);
        assert_eq!((parts.above, parts.ends), (whole.above, whole.ends));
        let both =
            [parts.moments, whole.moments].map(|m| [m.count, m.mean, m.second, m.third, m.fourth]);
        for (part, whole) in both[0].iter().zip(both[1]) {
            assert_relative_eq!(*part, whole, max_relative = 1e-11);
        }
    }

    /// Quantiles of the normal distribution: 0.674490 and 1.959964 (any table).
    #[test]
    fn quantiles_are_read_within_a_bin() {
        let spread = of(&normals(100_000));
        for (share, is) in [
            (0.25, -0.674_490),
            (0.5, 0.0),
            (0.75, 0.674_490),
            (0.975, 1.959_964),
        ] {
            // Four standard errors of the quantile at 0.975, the least sure of them.
            assert!((spread.quantile(share).unwrap() - is).abs() < 0.035);
        }
        let (low, high) = spread.within(0.95).unwrap();
        assert!((low + 1.96).abs() < 0.035 && (high - 1.96).abs() < 0.035);
        // The shortest of a sample is a little shorter than that of its distribution, 3.919928.
        let (low, high) = spread.shortest(0.95).unwrap();
        assert!(
            high - low < 3.92 + 0.02 && high - low > 3.92 - 0.05,
            "{low} {high}"
        );
    }

    /// Ranks by hand: values 0.05 to 0.95, one in the middle of each tenth.
    #[test]
    fn an_even_sample_has_even_quantiles_and_the_ends_are_its_own() {
        let values: Vec<f64> = (0..10).map(|tenth| f64::from(tenth) * 0.1 + 0.05).collect();
        let spread = of(&values);
        assert_relative_eq!(spread.quantile(0.0).unwrap(), 0.05);
        assert_relative_eq!(spread.quantile(0.35).unwrap(), 0.35, epsilon = 1e-12);
        assert_relative_eq!(spread.quantile(1.0).unwrap(), 0.95);
    }

    #[test]
    fn the_shortest_interval_lies_where_the_sample_is_thick() {
        // 90 of 100 between 1 and 2, the others thin up to 9.
        let mut values: Vec<f64> = (0..90)
            .map(|at| 1.0 + (f64::from(at) + 0.5) / 90.0)
            .collect();
        values.extend((0..10).map(|at| 2.05 + f64::from(at) * 0.7));
        let (low, high) = of(&values).shortest(0.9).unwrap();
        assert!(
            (low - 1.0).abs() < 0.06 && (high - 2.0).abs() < 0.06,
            "{low} {high}"
        );
    }

    #[test]
    fn beyond_the_bins_nothing_is_invented_and_nothing_lost() {
        let mut spread = Spread::about(0.0, 1.0, 2);
        for value in [-50.0, -0.5, 0.5, 80.0] {
            spread.add(value);
        }
        assert_eq!((spread.below, spread.above, spread.count()), (1, 1, 4));
        assert_eq!(
            (spread.quantile(0.0), spread.quantile(1.0)),
            (Some(-50.0), Some(80.0))
        );
        assert_relative_eq!(spread.quantile(0.5).unwrap(), 0.0);
        // Half way up the last quarter: half way between the last bin and the greatest.
        assert_relative_eq!(spread.quantile(0.875).unwrap(), 40.5);
        assert_eq!(spread.shortest(1.0), Some((-50.0, 80.0)));
    }

    #[test]
    fn values_all_alike_are_their_own_quantiles() {
        let spread = of(&[3.33; 20]);
        assert_eq!(spread.within(0.95), Some((3.33, 3.33)));
        assert_eq!(spread.shortest(0.95), Some((3.33, 3.33)));
        assert_eq!((spread.sd(), spread.sd_error()), (Some(0.0), Some(0.0)));
    }

    #[test]
    fn what_is_no_number_is_counted_and_an_empty_one_tells_nothing() {
        let mut spread = of(&[f64::NAN, f64::INFINITY]);
        assert_eq!((spread.unfit(), spread.count()), (2, 0));
        assert_eq!(
            (spread.mean(), spread.sd(), spread.quantile(0.5)),
            (None, None, None)
        );
        assert_eq!((spread.within(0.9), spread.shortest(0.9)), (None, None));
        spread.add(1.0);
        assert_eq!(
            (spread.mean(), spread.sd(), spread.quantile(0.5)),
            (Some(1.0), None, Some(1.0))
        );
    }

    #[test]
    fn bins_that_cannot_be_or_differ_leave_the_ends() {
        for mut spread in [
            Spread::about(0.0, 0.0, 10),
            Spread::about(f64::NAN, 1.0, 10),
            Spread::about(1e308, 1e308, 10),
        ] {
            spread.add(1.0);
            spread.add(3.0);
            assert_eq!(spread.quantile(0.5), Some(2.0));
        }
        let mut spread = of(&[1.0, 2.0]);
        let mut other = Spread::about(0.0, 5.0, 3);
        other.add(5.0);
        spread.merge(&other);
        assert_eq!(spread.count(), 3);
        assert_relative_eq!(spread.mean().unwrap(), 8.0 / 3.0);
        assert_eq!(
            (spread.quantile(0.5), spread.quantile(1.0)),
            (Some(3.0), Some(5.0))
        );
    }
}
