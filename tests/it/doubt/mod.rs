//! Doubt: its machinery against published examples of measurement, and the stair drawn again and again.

mod decides;
mod first_order;
mod monte_carlo;
mod safe;
pub(crate) mod stair;

use rakewell::doubt::propagate::{Slope, Source, slope};

/// An input of an example: its estimate, its standard deviation, its degrees of freedom.
#[derive(Clone, Copy)]
struct Input {
    is: f64,
    sd: f64,
    freedom: f64,
}

/// An input whose standard deviation is known.
fn known(is: f64, sd: f64) -> Input {
    Input {
        is,
        sd,
        freedom: f64::INFINITY,
    }
}

/// The standard deviation of a rectangular distribution of this half width.
fn rectangular(half: f64) -> f64 {
    half / 3.0_f64.sqrt()
}

fn estimates<const N: usize>(inputs: &[Input; N]) -> [f64; N] {
    inputs.map(|input| input.is)
}

/// The slope of a model by one of its inputs, by differences over one standard deviation.
fn slope_by<const N: usize>(
    model: impl Fn(&[f64; N]) -> f64,
    inputs: &[Input; N],
    by: usize,
) -> Slope {
    let at = estimates(inputs);
    let moved = |off: f64| {
        let mut values = at;
        values[by] += off;
        Some(model(&values))
    };
    slope(moved, model(&at), inputs[by].sd).unwrap()
}

/// The sources of a model's doubt, their slopes by differences.
fn sources<const N: usize>(model: impl Fn(&[f64; N]) -> f64, inputs: &[Input; N]) -> [Source; N] {
    std::array::from_fn(|by| Source {
        slope: slope_by(&model, inputs, by).central,
        sd: inputs[by].sd,
        freedom: inputs[by].freedom,
    })
}

fn near(found: f64, published: f64, tolerance: f64) {
    assert!(
        (found - published).abs() <= tolerance,
        "{found} found, {published} published, to {tolerance}"
    );
}
