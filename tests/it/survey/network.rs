//! Levelling networks with published answers, fed as heights of steps. Their metres are taken as
//! millimetres: what was meant is then so wide against the readings that it weighs nothing, as in
//! a textbook's adjustment (a share of 3e-6 at most).

use rakewell::survey::{Linear, Survey, survey};
use serde_json::json;

use super::job_of;

/// A levelled difference: from and to which step, the value, its standard deviation.
type Levelled = (u32, u32, f64, f64);

/// Steps 1, 2, 3 over a fixed floor. `rise` is what is meant of each.
fn network(rise: f64, levelled: &[Levelled]) -> Survey {
    let readings: Vec<_> = levelled
        .iter()
        .map(|(from, to, is, sd)| {
            // A reading up from the floor; down to it the same with its sign turned.
            let (step, above, is) = if *to == 0 {
                (*from, 0, -is)
            } else {
                (*to, *from, *is)
            };
            json!({ "Height": { "step": step, "above": above, "is": is, "sd": sd } })
        })
        .collect();
    let flight = json!({ "count": 3, "rise": rise, "readings": readings });
    survey(&job_of(&flight, &json!({})))
}

/// Mean and standard deviation of the height of a step over the floor.
fn height(survey: &Survey, step: u32) -> (f64, f64) {
    let sum = (1..=step).fold(Linear::constant(0.0), |sum, step| {
        sum.add(&survey.adjustment.of_step(step, "rise").expect("a step"))
    });
    (
        survey.adjustment.mean(&sum),
        survey.adjustment.variance(&sum).sqrt(),
    )
}

/// Weighted square sum of the misfits.
fn square_sum(survey: &Survey) -> f64 {
    survey
        .readings
        .iter()
        .map(|one| (one.misfit() / one.sd).powi(2))
        .sum()
}

#[track_caller]
fn printed(ours: f64, published: f64, last_digit: f64) {
    // Half a digit, and a crumb for what was meant: a fifth of a digit at most.
    let most = 0.5 * last_digit + (0.2 * last_digit).min(1e-3);
    assert!(
        (ours - published).abs() < most,
        "{ours} where {published} is printed"
    );
}

/// Krumm, Geodetic Network Adjustment Examples, rev. 3.5 (Stuttgart 2020), example 2.1, after
/// Ghilani, Adjustment Computations, example 12.6 of the 5th edition (12.1 of the 4th): A is held at
/// 437.596 m. Inputs and printed answers were read in a public test suite that quotes Krumm; heights
/// also in two other suites that quote Ghilani. (The book's S0 of 0.6575 is not the root of its own
/// 1.26976 / 3; Krumm prints 0.6512.)
#[test]
fn a_textbook_level_net_comes_out_as_printed() {
    // A is the floor; D, B, C are steps 1, 2, 3.
    let (a, d, b, c) = (0, 1, 2, 3);
    let levelled = [
        (a, b, 10.509, 0.006),
        (a, c, 15.881, 0.012),
        (b, c, 5.360, 0.004),
        (b, d, -3.167, 0.004),
        (c, d, -8.523, 0.005),
        (d, a, -7.348, 0.003),
    ];
    let survey = network(5.0, &levelled);
    let square_sum = square_sum(&survey);
    printed(square_sum, 1.27212, 1e-5);
    let unit = (square_sum / 3.0).sqrt();
    printed(unit, 0.6512, 1e-4);
    for (step, published, sd) in [
        (b, 448.10871, 2.30),
        (c, 453.46847, 2.64),
        (d, 444.94361, 1.76),
    ] {
        let (mean, found) = height(&survey, step);
        printed(437.596 + mean, published, 1e-5);
        // Printed in mm, times the root of the variance factor.
        printed(1000.0 * found * unit, sd, 0.01);
    }
    // Krumm prints what was read less what was adjusted, in mm; D to A is read the other way here.
    let residuals = [-3.71, 8.53, 0.24, -1.89, 1.86, 0.39];
    for (reading, published) in survey.readings.iter().zip(residuals) {
        printed(1000.0 * reading.misfit(), published, 0.01);
    }
    assert!(survey.suspects.is_empty());
}

/// "Level network adjustment and data snooping", a tutorial of the surveying laboratory of the
/// Budapest University of Technology (`OSGeoLabBp/tutorials`, `english/data_processing/level_net.rst`):
/// input and printed answers were read there. Point 4 is held at 101.345 m; a line of so many
/// kilometres has a standard deviation of 0.7 mm times its length.
#[test]
fn a_published_data_snooping_has_the_printed_tests() {
    // Point 4 is the floor; points 3, 2, 1 are steps 1, 2, 3.
    let of_point = |point: u32| 4 - point;
    let lines = [
        (1, 2, -0.749, 1.1),
        (1, 3, -1.274, 1.8),
        (1, 4, -2.890, 1.4),
        (2, 3, -0.530, 1.5),
        (2, 4, -2.141, 1.9),
        (3, 4, -1.614, 0.9),
    ];
    let levelled: Vec<Levelled> = lines
        .iter()
        .map(|&(from, to, is, km)| (of_point(from), of_point(to), is, 0.0007 * km))
        .collect();
    let survey = network(1.0, &levelled);
    let square_sum = square_sum(&survey);
    printed(square_sum, 8.217, 1e-3);
    let unit = (square_sum / 3.0).sqrt();
    printed(unit, 1.65, 0.01);
    for (point, published, sd) in [
        (1, 104.2350, 1.13),
        (2, 103.4868, 1.19),
        (3, 102.9588, 0.91),
    ] {
        let (mean, found) = height(&survey, of_point(point));
        printed(101.345 + mean, published, 1e-4);
        printed(1000.0 * found * unit, sd, 0.01);
    }
    let corrections = [0.81, -2.18, 0.00, 2.01, -0.81, 0.18];
    let tests = [1.9, 2.1, 0.0, 2.6, 0.7, 0.6];
    let redundancies = [0.3, 0.7, 0.5, 0.5, 0.7, 0.2];
    for (at, reading) in survey.readings.iter().enumerate() {
        printed(
            1000.0 * reading.misfit().abs(),
            f64::abs(corrections[at]),
            0.01,
        );
        printed(reading.w.abs(), tests[at], 0.1);
        printed(reading.r, redundancies[at], 0.1);
    }
    // None reaches 3.29, though the variance factor is past what is likely.
    assert!(survey.suspects.is_empty());
    let redundancy: f64 = survey.readings.iter().map(|one| one.r).sum();
    // Redundancy numbers add up to readings less unknowns (Baarda 1968).
    assert!((redundancy - 3.0).abs() < 1e-5, "{redundancy}");
}
