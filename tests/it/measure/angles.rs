//! Angles and pitches: read, refused, printed.

use approx::assert_abs_diff_eq;
use rakewell::measure::{Angle, Length, Pitch, parse_angle};

#[track_caller]
fn reads(text: &str, degrees: f64) {
    let read = parse_angle(text).unwrap_or_else(|error| panic!("{text:?}: {error}"));
    assert_eq!(read, Angle::degrees(degrees), "{text:?}");
    assert!(
        read.as_radians().is_sign_positive() || degrees < 0.0,
        "{text:?} is a negative zero"
    );
}

#[track_caller]
fn refuses(text: &str, problem: &str, at: &str) {
    let error = match parse_angle(text) {
        Err(error) => error,
        Ok(angle) => panic!("{text:?} was read as {angle}"),
    };
    assert!(error.problem.contains(problem), "{text:?}: {error}");
    assert_eq!(
        text.get(error.range.clone()),
        Some(at),
        "{text:?}: {error:?}"
    );
}

#[test]
fn degrees_in_many_hands() {
    let written = [
        "37 1/2",
        "37.5",
        "37.5°",
        "37 1/2 deg",
        "37½°",
        "37-1/2 degrees",
        "37° 30'",
        "37°30′",
        "37° 30' 0\"",
        "37 deg 30 min",
        "+37.5",
        "2250'",
        "37.5º",
    ];
    for text in written {
        reads(text, 37.5);
    }
    reads("1.5", 1.5);
    reads("-1.5", -1.5);
    reads("−1 1/2°", -1.5);
    reads("1/2", 0.5);
    reads("30'", 0.5);
    reads("1° 0' 36\"", 1.01);
    reads("-0", 0.0);
    reads("360", 360.0);
}

#[test]
fn junk() {
    refuses("", "no angle", "");
    refuses("-", "no angle", "-");
    refuses("steep", "no place", "steep");
    refuses("NaN", "no place", "NaN");
    refuses("1e3", "`e` is no unit", "e");
    refuses("37 in", "`in` is no unit", "in");
    refuses("0.6 rad", "`rad` is no unit", "rad");
    refuses("37 30'", "no place", "30'");
    refuses("37° 30", "out of order", "30");
    refuses("30' 37°", "out of order", "37");
    refuses("37° 60'", "60 or more", "60");
    refuses("37.5° 30'", "a part of a number", "30");
    refuses("7/12", "reads like a pitch", "7/12");
    refuses("3/0", "over zero", "3/0");
    refuses("361", "whole turn", "361");
    refuses("37°+", "no place", "+");
    refuses("5 - 1", "no place", "- 1");
}

#[test]
fn printed_to_a_tenth() {
    assert_eq!(Angle::degrees(37.7757).to_string(), "37.8°");
    assert_eq!(Angle::degrees(-1.5).to_string(), "-1.5°");
    assert_eq!(Angle::degrees(-0.04).to_string(), "0.0°");
    assert_eq!(format!("{:>7}", Angle::degrees(1.5)), "   1.5°");
    assert_eq!(Angle::degrees(37.7757).print_degrees(2), "37.78°");
    assert_eq!(Angle::degrees(37.7757).print_degrees(0), "38°");
    assert_eq!(Angle::degrees(-0.4).print_degrees(0), "0°");
    assert_eq!(Angle::radians(f64::NAN).print_degrees(1), "no angle");
    assert!(
        Angle::degrees(1.0)
            .print_degrees(usize::MAX)
            .starts_with("1.000")
    );
}

/// 3-4-5: the one rake whose every figure is exact.
#[test]
fn pitch_of_a_three_four_five() {
    let pitch = Pitch::from_rise_run(Length::inches(7.5), Length::inches(10.0)).expect("a run");
    assert_abs_diff_eq!(pitch.per_foot().as_inches(), 9.0, epsilon = 1e-12);
    assert_abs_diff_eq!(pitch.rake_per_foot().as_inches(), 15.0, epsilon = 1e-12);
    let rake = pitch.rake_over(Length::inches(10.0));
    assert_abs_diff_eq!(rake.as_inches(), 12.5, epsilon = 1e-12);
    assert!(Pitch::from_rise_run(Length::inches(7.5), Length::ZERO).is_none());
}
