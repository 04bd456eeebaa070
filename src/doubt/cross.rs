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

    /// The covariance of an input with the output; 0 below two rows.
    #[must_use]
    pub fn covariance(&self, input: usize) -> f64 {
        if self.count < 1.5 {
            return 0.0;
        }
        self.inputs[input].with_output / (self.count - 1.0)
    }

    /// The correlation of an input with the output; 0 where either does not vary.
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
