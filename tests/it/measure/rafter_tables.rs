//! Rake lengths and slopes against printed carpentry tables and worked examples.

use approx::assert_abs_diff_eq;
use rakewell::measure::{Length, Pitch, Tape};

use super::inches;

/// Published framing-square table, "length of common rafters per foot run", as stamped on the
/// blade: rise in inches per foot, length in inches. The 7 in line (13.89) is also in US Navy
/// NAVEDTRA 14044, fig. 2-17; the 13 in line (17.69) in US Army EN5156; the 6 in line (13.42) in
/// Griffith, Carpentry, 1916, s.17.
const LENGTH_PER_FOOT: [(f64, f64); 17] = [
    (2.0, 12.17),
    (3.0, 12.37),
    (4.0, 12.65),
    (5.0, 13.00),
    (6.0, 13.42),
    (7.0, 13.89),
    (8.0, 14.42),
    (9.0, 15.00),
    (10.0, 15.62),
    (11.0, 16.28),
    (12.0, 16.97),
    (13.0, 17.69),
    (14.0, 18.44),
    (15.0, 19.21),
    (16.0, 20.00),
    (17.0, 20.81),
    (18.0, 21.63),
];

/// Slope angles in degrees. Rises 3 to 12 as printed in published rafter tables; the others from
/// atan(rise / 12), worked out apart from this program.
const SLOPE_DEGREES: [(f64, f64); 17] = [
    (2.0, 9.462),
    (3.0, 14.036),
    (4.0, 18.435),
    (5.0, 22.620),
    (6.0, 26.565),
    (7.0, 30.256),
    (8.0, 33.690),
    (9.0, 36.870),
    (10.0, 39.806),
    (11.0, 42.510),
    (12.0, 45.000),
    (13.0, 47.291),
    (14.0, 49.399),
    (15.0, 51.340),
    (16.0, 53.130),
    (17.0, 54.782),
    (18.0, 56.310),
];

fn rise_in_twelve(rise: f64) -> Pitch {
    Pitch::from_rise_run(Length::inches(rise), inches("12")).expect("a run of a foot")
}

#[test]
fn length_per_foot_of_run() {
    for (rise, published) in LENGTH_PER_FOOT {
        let length = rise_in_twelve(rise).rake_per_foot().as_inches();
        assert_abs_diff_eq!(length, published, epsilon = 0.005);
    }
}

#[test]
fn slope_angles() {
    for (rise, published) in SLOPE_DEGREES {
        let pitch = rise_in_twelve(rise);
        assert_abs_diff_eq!(pitch.angle().as_degrees(), published, epsilon = 0.0005);
        assert_abs_diff_eq!(pitch.per_foot().as_inches(), rise, epsilon = 1e-12);
    }
}

/// US Army EN5156, 3-13: rise 13 in 12, run 10 ft 4 in, worked as 17.69 x 10 1/3 = 182.79 in. The
/// table's two decimals carry up to 0.005 in per foot into the book's product.
#[test]
fn army_rafter() {
    let run = inches("10 ft 4 in");
    assert_abs_diff_eq!(run.as_inches(), 124.0, epsilon = 1e-12);
    let rake = rise_in_twelve(13.0).rake_over(run).as_inches();
    assert_abs_diff_eq!(rake, 182.79, epsilon = 0.005 * 10.34 + 0.005);
    assert_abs_diff_eq!(rake, 182.8153, epsilon = 5e-5);
}

/// US Navy NAVEDTRA 14044, fig. 2-17: rise 7 in 12, run 8 ft, 13.89 x 8 = 111.12 in, taken as
/// 111 1/8 in, which is 9 ft 3 1/8 in.
#[test]
fn navy_rafter() {
    let rake = rise_in_twelve(7.0).rake_over(inches("8 ft"));
    assert_abs_diff_eq!(rake.as_inches(), 111.12, epsilon = 0.005 * 8.0 + 0.005);
    assert_abs_diff_eq!(rake.as_inches(), 111.1396, epsilon = 5e-5);
    assert_eq!(Tape::Sixteenths.print(rake), "111 1/8\"");
    assert_eq!(Tape::Sixteenths.print_feet(rake), "9' 3 1/8\"");
}

/// Griffith, Carpentry, 1916, s.17: quarter pitch (6 in 12), run 12 ft 6 in, 13.42 x 12 1/2 =
/// 167.75 in.
#[test]
fn griffith_rafter() {
    let rake = rise_in_twelve(6.0)
        .rake_over(inches("12 ft 6 in"))
        .as_inches();
    assert_abs_diff_eq!(rake, 167.75, epsilon = 0.005 * 12.5 + 0.005);
    assert_abs_diff_eq!(rake, 167.7051, epsilon = 5e-5);
}
