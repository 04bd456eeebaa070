//! How a result goes with what it was drawn from: the correlation of each input with one output, in
//! one pass and little space.
//!
//! In: rows of inputs and an output, any units. Out: [`Cross`], which merges with others of as many
//! inputs. With independent inputs and a result that is straight in them, the squares of the
//! correlations are the inputs' shares of its variance.
//! Does not: see a dependence that is not straight (for that: [`super::sobol`]).

/// Covariances of some inputs with an output.
#[derive(Clone, Debug, PartialEq)]
pub struct Cross {
    count: f64,
    inputs: Vec<Input>,
    mean: f64,
    second: f64,
    unfit: u64,
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Input {
    mean: f64,
    second: f64,
    with_output: f64,
}

impl Cross {
    /// An empty one of so many inputs.
    #[must_use]
    pub fn of(inputs: usize) -> Self {
        Self {
            count: 0.0,
            inputs: vec![Input::default(); inputs],
            mean: 0.0,
            second: 0.0,
            unfit: 0,
        }
    }

    /// Adds a row. One with a value that is no finite number, or of another number of inputs, is
    /// only counted ([`Cross::unfit`]).
    pub fn add(&mut self, inputs: &[f64], output: f64) {
        let fit = inputs.len() == self.inputs.len()
            && output.is_finite()
            && inputs.iter().all(|value| value.is_finite());
        if !fit {
            self.unfit += 1;
            return;
        }
        self.count += 1.0;
        let n = self.count;
        let off = output - self.mean;
        let shrink = (n - 1.0) / n;
        for (input, value) in self.inputs.iter_mut().zip(inputs) {
            let apart = value - input.mean;
            input.mean += apart / n;
            input.second += apart * apart * shrink;
            input.with_output += apart * off * shrink;
        }
        self.mean += off / n;
        self.second += off * off * shrink;
    }

    /// Takes in other rows, of as many inputs.
    pub fn merge(&mut self, other: &Self) {
        debug_assert_eq!(self.inputs.len(), other.inputs.len(), "as many inputs");
        self.unfit += other.unfit;
        if other.count <= 0.0 {
            return;
        }
        let n = self.count + other.count;
        let both = self.count * other.count / n;
        let off = other.mean - self.mean;
        for (input, more) in self.inputs.iter_mut().zip(&other.inputs) {
            let apart = more.mean - input.mean;
            input.mean += apart * other.count / n;
            input.second += more.second + apart * apart * both;
            input.with_output += more.with_output + apart * off * both;
        }
        self.mean += off * other.count / n;
        self.second += other.second + off * off * both;
        self.count = n;
    }

    /// How many rows there are.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.count as u64
    }

    /// How many rows were left out because a value was no finite number.
    #[must_use]
    pub fn unfit(&self) -> u64 {
        self.unfit
    }

    /// The covariance of an input with the output, in the units of both multiplied; 0 below two rows.
    #[must_use]
    pub fn covariance(&self, input: usize) -> f64 {
        if self.count < 1.5 {
            return 0.0;
        }
        self.inputs[input].with_output / (self.count - 1.0)
    }

    /// The correlation of an input with the output, -1 to 1; 0 where either does not vary.
    #[must_use]
    pub fn correlation(&self, input: usize) -> f64 {
        let Input {
            second,
            with_output,
            ..
        } = self.inputs[input];
        let scale = second.sqrt() * self.second.sqrt();
        if scale <= 0.0 {
            return 0.0;
        }
        (with_output / scale).clamp(-1.0, 1.0)
    }

    /// The share of the output's variance that goes straight with some inputs, less what as many
    /// unrelated ones show by accident.
    #[must_use]
    pub fn share(&self, inputs: std::ops::Range<usize>) -> f64 {
        let accident = self.accident();
        inputs
            .map(|input| self.correlation(input).powi(2) - accident)
            .sum()
    }

    /// The share that an unrelated input shows by accident, on the average.
    #[must_use]
    pub fn accident(&self) -> f64 {
        1.0 / (self.count() as f64).max(1.0)
    }

    /// What the output changes by for each unit of an input, by the straight line through the rows;
    /// 0 where the input does not vary.
    #[must_use]
    pub fn slope(&self, input: usize) -> f64 {
        let Input {
            second,
            with_output,
            ..
        } = self.inputs[input];
        if second <= 0.0 {
            return 0.0;
        }
        with_output / second
    }
}

#[cfg(test)]
mod tests {
    use super::super::stream::stream;
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn by_hand() {
        let mut cross = Cross::of(2);
        // Output against the first: products -1 * -2, 0 * 0, 1 * 2.
        cross.add(&[1.0, 7.0], 10.0);
        cross.add(&[2.0, 7.0], 12.0);
        cross.add(&[3.0, 7.0], 14.0);
        assert_relative_eq!(cross.covariance(0), 2.0);
        assert_relative_eq!(cross.correlation(0), 1.0);
        assert_relative_eq!(cross.slope(0), 2.0);
        // One that does not vary tells nothing.
        assert_eq!(
            (cross.covariance(1), cross.correlation(1), cross.slope(1)),
            (0.0, 0.0, 0.0)
        );
        cross.add(&[f64::NAN, 1.0], 1.0);
        cross.add(&[1.0], 1.0);
        assert_eq!((cross.count(), cross.unfit()), (3, 2));
    }

    /// y = 2 a - b + c/2 of independent normals: variance 5.25, shares 4, 1, 0.25 of it.
    #[test]
    fn squares_of_correlations_are_the_shares_of_a_straight_result() {
        let mut whole = Cross::of(3);
        let mut parts = Cross::of(3);
        for part in 0..10 {
            let mut own = Cross::of(3);
            for index in 0..2000 {
                let mut stream = stream(9, part * 2000 + index);
                let row = [(); 3].map(|()| stream.normal());
                let output = 2.0 * row[0] - row[1] + 0.5 * row[2] + 100.0;
                own.add(&row, output);
                whole.add(&row, output);
            }
            parts.merge(&own);
        }
        for (input, share) in [4.0 / 5.25, 1.0 / 5.25, 0.25 / 5.25]
            .into_iter()
            .enumerate()
        {
            // Four standard errors of a correlation, at 20,000 rows.
            assert!((parts.correlation(input).powi(2) - share).abs() < 0.03);
            assert_relative_eq!(
                parts.correlation(input),
                whole.correlation(input),
                epsilon = 1e-12
            );
            assert_relative_eq!(
                parts.covariance(input),
                whole.covariance(input),
                epsilon = 1e-12
            );
        }
    }
}
