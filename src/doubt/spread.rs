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

    /// Of both samples together (Chan, Golub and LeVeque 1979; third and fourth: Pébay 2008).
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
        if !self.has_bins_of(other) {
            self.below = self.count() + other.count();
            self.above = 0;
            self.bins.clear();
        } else {
            for (bin, more) in self.bins.iter_mut().zip(&other.bins) {
                *bin += more;
            }
            self.below += other.below;
            self.above += other.above;
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

    /// The mean. None without values.
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

    /// The least value.
    #[must_use]
    pub fn least(&self) -> Option<f64> {
        self.ends.map(|(least, _)| least)
    }

    /// The greatest value.
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
