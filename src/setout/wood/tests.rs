//! Published worked examples.

use approx::assert_abs_diff_eq;

use super::change;
use crate::job::species::{Species, species};
use crate::measure::Length;

fn inches(dimension: f64, coefficient: f64, from: f64, to: f64) -> f64 {
    change(Length::inches(dimension), coefficient, from, to).as_inches()
}

fn wood(name: &str) -> &'static Species {
    species(name).unwrap()
}

/// A 5 in mesquite board, 0.00129, from 6 to 9 %: 0.019 in (flooringartists.com, dimensional
/// change; unrounded 0.01935).
#[test]
fn a_floor_board_swells() {
    assert_abs_diff_eq!(inches(5.0, 0.001_29, 6.0, 9.0), 0.019_35, epsilon = 1e-6);
}

/// A joist 13.25 in deep, 0.2 % for each 1 %, from 19 to 10 %: it loses 0.2385 in and is 13.01 in
/// deep (a course page at web.mst.edu).
#[test]
fn a_joist_dries() {
    let lost = inches(13.25, 0.002, 19.0, 10.0);
    assert_abs_diff_eq!(lost, -0.238_5, epsilon = 1e-9);
    assert_abs_diff_eq!(13.25 + lost, 13.01, epsilon = 0.005);
}

/// The Wood Handbook's own example, from memory: flat-sawn white fir 232 mm wide, 0.00245, from 8 to
/// 11 %: 1.705 mm.
#[test]
fn a_white_fir_board_swells() {
    let by = change(Length::mm(232.0), 0.002_45, 8.0, 11.0);
    assert_abs_diff_eq!(by.as_mm(), 1.705, epsilon = 5e-4);
}

/// Flat-sawn red oak, 5 1/4 in, from 6 to 9 % and to 12 %: 0.0581 in and 0.1162 in by the printed
/// coefficient of Table 13-5.
#[test]
fn an_oak_board_swells() {
    let oak = wood("Red Oak").tangential;
    assert_abs_diff_eq!(inches(5.25, oak, 6.0, 9.0), 0.058_1, epsilon = 5e-5);
    assert_abs_diff_eq!(inches(5.25, oak, 6.0, 12.0), 0.116_2, epsilon = 5e-5);
    assert_abs_diff_eq!(inches(5.25, oak, 9.0, 6.0), -0.058_1, epsilon = 5e-5);
}
