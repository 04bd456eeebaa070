//! Robust statistics against SciPy 1.17.1 on published data.

use rakewell::survey::points::robust::{centre_and_spread, huber, median};

/// 24 determinations of copper in wholemeal flour, parts per million: Analytical Methods
/// Committee, The Analyst 114 (1989) 1693; the data set `chem` of R's MASS.
const COPPER: [f64; 24] = [
    2.9, 3.1, 3.4, 3.4, 3.7, 3.7, 2.8, 2.5, 2.4, 2.4, 2.7, 2.2, 5.28, 3.37, 3.03, 3.03, 28.95,
    3.77, 3.4, 2.2, 3.5, 3.6, 3.7, 3.7,
];

#[test]
fn median_spread_and_location_are_scipys() {
    let (centre, spread) = centre_and_spread(&mut COPPER.to_vec()).unwrap();
    // numpy.median and scipy.stats.median_abs_deviation(scale="normal").
    assert!((centre - 3.385).abs() < 1e-12);
    assert!((spread - 0.526_323_787_569_488_6).abs() < 1e-12, "{spread}");
    // The zero of the sum of Huber's psi with that spread, by scipy.optimize.brentq.
    let at = huber(&mut COPPER.to_vec()).unwrap();
    assert!((at - 3.216_251_971_597_473).abs() < 1e-8, "{at}");
}

#[test]
fn a_median_is_a_middle() {
    assert_eq!(median(&mut []), None);
    for (mut values, middle) in [
        (vec![3.0], 3.0),
        (vec![4.0, 1.0], 2.5),
        (vec![9.0, 1.0, 2.0], 2.0),
        (vec![9.0, -1.0, 2.0, 1.0], 1.5),
    ] {
        assert!((median(&mut values).unwrap() - middle).abs() < 1e-15);
    }
}
