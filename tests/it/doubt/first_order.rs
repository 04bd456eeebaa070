//! First-order propagation against the examples of JCGM 100:2008 (the GUM), EURACHEM and NIST.

use nalgebra::{DMatrix, DVector};
use rakewell::doubt::propagate::{
    Source, carried, combined, coverage_factor, effective_freedom, second_order_term,
};

use super::{Input, known, near, rectangular, slope_by, sources};

/// JCGM 100, H.1: an end gauge compared with a standard, nm and degrees C.
/// The length, the difference, and of the standard: its expansion, the room's deviation from 20
/// degrees, the differences of expansion and of temperature.
fn end_gauge() -> ([Input; 6], impl Fn(&[f64; 6]) -> f64) {
    let with = |is, sd, freedom| Input { is, sd, freedom };
    let inputs = [
        with(50.000_623e6, 75.0 / 3.0, 18.0),
        with(215.0, 9.7, 25.6),
        known(11.5e-6, rectangular(2e-6)),
        known(-0.1, 0.2_f64.hypot(0.5 / 2.0_f64.sqrt())),
        with(0.0, rectangular(1e-6), 50.0),
        with(0.0, rectangular(0.05), 2.0),
    ];
    let model = |[l, d, expansion, room, apart, warmer]: &[f64; 6]| {
        l + d - l * (apart * room + expansion * warmer)
    };
    (inputs, model)
}

/// Published: contributions 25, 9.7, 0, 0, 2.9, 16.6 nm; u 32 nm (31.67 unrounded); 50.000 838 mm;
/// 16.7 degrees of freedom, of which 16 give a factor of 2.92 at 99 % and an uncertainty of 93 nm
/// (92.5 unrounded); with the second-order terms 11.7 and 1.7 nm, 34 nm (33.81).
#[test]
fn gum_h1_end_gauge() {
    let (inputs, model) = end_gauge();
    near(model(&super::estimates(&inputs)), 50.000_838e6, 0.5);
    let sources = sources(&model, &inputs);
    for (source, published) in sources.iter().zip([25.0, 9.7, 0.0, 0.0, 2.9, 16.6]) {
        near(source.contribution().abs(), published, 0.05);
    }
    let u = combined(&sources);
    near(u, 31.67, 0.05);
    let freedom = effective_freedom(&sources);
    near(freedom, 16.7, 0.1);
    let factor = coverage_factor(freedom.floor(), 0.99);
    near(factor, 2.92, 0.005);
    near(factor * u, 92.5, 0.5);

    // Two pairs of inputs that only work together; each counts in both orders.
    let length = inputs[0].is;
    let pair = |a: usize, b: usize| {
        2.0 * second_order_term(-length, 0.0, 0.0, (inputs[a].sd, inputs[b].sd))
    };
    near(pair(3, 4).sqrt(), 11.7, 0.05);
    near(pair(2, 5).sqrt(), 1.7, 0.05);
    near((u * u + pair(3, 4) + pair(2, 5)).sqrt(), 33.8, 0.05);
}

/// The same example: the doubt of the difference from its own three parts, 9.7 nm (9.682) with 25.6
/// degrees of freedom.
#[test]
fn gum_h1_difference_from_its_parts() {
    let part = |sd, freedom| Source {
        slope: 1.0,
        sd,
        freedom,
    };
    let parts = [part(5.8, 24.0), part(3.9, 5.0), part(6.7, 8.0)];
    let u = combined(&parts);
    near(u, 9.682, 0.0005);
    // The publication has 9.7, rounded, in its fourth power.
    near(effective_freedom(&parts) * (9.7 / u).powi(4), 25.6, 0.05);
}

/// JCGM 100, H.2: resistance, reactance and impedance from simultaneous readings (V, A, rad).
/// Published: 127.732, 219.847, 254.260 ohm; u 0.071, 0.295 (0.2956 unrounded), 0.236; correlations
/// -0.588, -0.485, 0.993.
#[test]
fn gum_h2_correlated_inputs() {
    const READINGS: [[f64; 3]; 5] = [
        [5.007, 19.663e-3, 1.0456],
        [4.994, 19.639e-3, 1.0438],
        [5.005, 19.640e-3, 1.0468],
        [4.990, 19.685e-3, 1.0428],
        [4.999, 19.678e-3, 1.0433],
    ];
    let n = READINGS.len() as f64;
    let means: [f64; 3] =
        std::array::from_fn(|k| READINGS.iter().map(|row| row[k]).sum::<f64>() / n);
    let covariance = DMatrix::from_fn(3, 3, |a, b| {
        let products = READINGS
            .iter()
            .map(|row| (row[a] - means[a]) * (row[b] - means[b]));
        products.sum::<f64>() / (n * (n - 1.0))
    });
    let inputs: [Input; 3] = std::array::from_fn(|k| known(means[k], covariance[(k, k)].sqrt()));
    let models: [fn(&[f64; 3]) -> f64; 3] = [
        |[v, i, phase]| v / i * phase.cos(),
        |[v, i, phase]| v / i * phase.sin(),
        |[v, i, _]| v / i,
    ];
    let slopes = DMatrix::from_fn(3, 3, |row, by| slope_by(models[row], &inputs, by).central);
    let carried = carried(&slopes, &covariance);
    for (at, (is, u)) in [(127.732, 0.071), (219.847, 0.2956), (254.260, 0.236)]
        .into_iter()
        .enumerate()
    {
        near(models[at](&means), is, 0.0005);
        near(carried[(at, at)].sqrt(), u, 0.0005);
    }
    let correlation = |a, b| carried[(a, b)] / (carried[(a, a)] * carried[(b, b)]).sqrt();
    near(correlation(0, 1), -0.588, 0.0005);
    near(correlation(0, 2), -0.485, 0.0005);
    near(correlation(1, 2), 0.993, 0.0005);
}

/// JCGM 100, H.3: a thermometer's correction at 30 degrees from a line through readings at 21 to 27.
/// Published: intercept -0.1712 (u 0.0029), slope 0.002 18 (u 0.000 67), correlation -0.930; at 30
/// degrees -0.1494 (u 0.0041).
#[test]
fn gum_h3_line_prediction() {
    const AT: [f64; 11] = [
        21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511,
    ];
    const IS: [f64; 11] = [
        -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160,
    ];
    let design = DMatrix::from_fn(
        11,
        2,
        |row, column| {
            if column == 0 { 1.0 } else { AT[row] - 20.0 }
        },
    );
    let readings = DVector::from_column_slice(&IS);
    let inverse = (design.transpose() * &design).try_inverse().unwrap();
    let line = &inverse * design.transpose() * &readings;
    let variance = (&readings - &design * &line).norm_squared() / 9.0;
    let covariance = inverse * variance;
    near(line[0], -0.1712, 5e-5);
    near(line[1], 0.002_18, 5e-6);
    // Both of the line, and the correction at 30 degrees.
    let asked = DMatrix::from_row_slice(3, 2, &[1.0, 0.0, 0.0, 1.0, 1.0, 10.0]);
    let carried = carried(&asked, &covariance);
    near((&asked * &line)[2], -0.1494, 5e-5);
    near(carried[(0, 0)].sqrt(), 0.0029, 5e-5);
    near(carried[(1, 1)].sqrt(), 0.000_67, 5e-6);
    near(carried[(2, 2)].sqrt(), 0.0041, 5e-5);
    let correlation = carried[(0, 1)] / (carried[(0, 0)] * carried[(1, 1)]).sqrt();
    near(correlation, -0.930, 0.0005);
}

/// EURACHEM/CITAC, example A1: a standard solution of cadmium, 1002.70 mg/l, u 0.835.
#[test]
fn eurachem_a1_standard_solution() {
    let volume = known(
        100.0,
        (0.1_f64 / 6.0_f64.sqrt())
            .hypot(0.02)
            .hypot(rectangular(0.084)),
    );
    let inputs = [
        known(100.28, 0.05),
        known(0.9999, rectangular(0.0001)),
        volume,
    ];
    let model = |[mass, purity, volume]: &[f64; 3]| 1000.0 * mass * purity / volume;
    near(model(&super::estimates(&inputs)), 1002.70, 0.005);
    near(combined(&sources(model, &inputs)), 0.8352, 0.0001);
}

/// NIST Technical Note 1900, example E13: thermal expansion of a copper bar, 1.7266e-5 per degree,
/// u 1.76e-6.
#[test]
fn nist_tn_1900_e13_expansion() {
    let with = |is, sd| Input {
        is,
        sd,
        freedom: 3.0,
    };
    let inputs = [
        with(1.4999, 0.0001),
        with(288.15, 0.02),
        with(1.5021, 0.0002),
        with(373.10, 0.05),
    ];
    let model = |[short, cold, long, hot]: &[f64; 4]| (long - short) / (short * (hot - cold));
    near(model(&super::estimates(&inputs)), 1.7266e-5, 5e-10);
    near(combined(&sources(model, &inputs)), 1.76e-6, 5e-9);
}
