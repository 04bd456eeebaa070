//! Closed forms of rows of reveals.

use approx::assert_abs_diff_eq;
use nalgebra::Point3;

use super::{Family, RevealAt, RevealRun, Seeing};
use crate::inspect::{Kind, Verdict};
use crate::job::{LEAN_SEEN, Len, REVEAL_DRIFT, Seen};
use crate::measure::{Length, Tape};

/// One reveal on each step from the bottom up, inches.
fn row(inches: &[f64], eye: &Seen) -> RevealRun {
    let values = (1..).zip(inches).map(|(step, value)| RevealAt {
        part: format!("B{step:02}"),
        step,
        value: Length::inches(*value),
        at: Point3::new(f64::from(step) * 254.0, 0.0, 0.0),
    });
    let named = ("the reveal".to_owned(), vec!["R1".to_owned()]);
    RevealRun::of(Family::TreadEnds, named, values.collect(), eye).unwrap()
}

#[test]
fn a_ramp_has_its_own_slope_at_every_step() {
    // 1/32 in more on each of nine steps: by construction.
    let ramp: Vec<f64> = (0..9).map(|at| 1.5 + f64::from(at) / 32.0).collect();
    let run = row(&ramp, &Seen::default());
    assert_abs_diff_eq!(run.slope.as_inches(), 1.0 / 32.0, epsilon = 1e-12);
    assert_abs_diff_eq!(run.remainder.as_inches(), 0.0, epsilon = 1e-12);
    assert_abs_diff_eq!(run.range.as_inches(), 0.25, epsilon = 1e-12);
    assert_eq!(run.changes.len(), 8);
    for change in &run.changes {
        assert_abs_diff_eq!(change.by.as_inches(), 1.0 / 32.0, epsilon = 1e-12);
    }
    // No jump reaches 1/16, but 1/4 in all and 1/32 a step are past 1/8 and 1/64.
    let seen: Vec<Seeing> = run.seen.iter().map(|one| one.what).collect();
    assert_eq!(seen, [Seeing::Range, Seeing::Range, Seeing::Drift]);
}

/// `numpy.polyfit([1..7], [1.50, 1.53, 1.49, 1.62, 1.58, 1.66, 1.61], 1)` gives the slope
/// 0.02428571428571448 and the intercept 1.472857142857142; the farthest off that line is the third,
/// by 0.05571428571428538 (numpy 2.4.6).
#[test]
fn the_slope_is_that_of_a_reference_library() {
    let values = [1.50, 1.53, 1.49, 1.62, 1.58, 1.66, 1.61];
    let run = row(&values, &Seen::default());
    assert_abs_diff_eq!(run.slope.as_inches(), POLYFIT.0, epsilon = 1e-12);
    assert_abs_diff_eq!(run.remainder.as_inches(), POLYFIT.1, epsilon = 1e-12);
}

const POLYFIT: (f64, f64) = (0.024_285_714_285_714_5, 0.055_714_285_714_285_4);

#[test]
fn a_single_bump_is_caught_at_its_step() {
    // 3/32 in on step 5 alone: a jump up to it and one down from it.
    let mut values = [1.5; 9];
    values[4] += 3.0 / 32.0;
    let run = row(&values, &Seen::default());
    let seen: Vec<(Seeing, u32)> = run.seen.iter().map(|one| (one.what, one.step)).collect();
    assert_eq!(seen, [(Seeing::Jump, 5), (Seeing::Jump, 6)]);
    assert_abs_diff_eq!(run.slope.as_mm(), 0.0, epsilon = 1e-12);
    let found = run.findings(&Seen::default(), Tape::Sixteenths);
    let verdict = |kind| {
        found
            .iter()
            .find(|one| one.key.kind == kind)
            .unwrap()
            .verdict
    };
    assert_eq!(verdict(Kind::RevealDrift), Verdict::Met);
    assert_eq!(verdict(Kind::RevealStep), Verdict::Broken);
    assert_eq!(verdict(Kind::RevealSlope), Verdict::Met);
    // A less careful eye lets it pass.
    let lax = Seen {
        step: Len::inches(0.25),
        ..Seen::default()
    };
    assert!(row(&values, &lax).seen.is_empty());
}

#[test]
fn several_reveals_of_a_step_count_as_their_mean() {
    let at = |step: u32, value: f64| RevealAt {
        part: String::new(),
        step,
        value: Length::inches(value),
        at: Point3::origin(),
    };
    let values = vec![at(1, 1.0), at(1, 2.0), at(2, 1.5), at(2, 2.5)];
    let named = (String::new(), Vec::new());
    let run = RevealRun::of(Family::TreadEnds, named.clone(), values, &Seen::default()).unwrap();
    assert_eq!(run.changes.len(), 1);
    assert_abs_diff_eq!(run.changes[0].by.as_inches(), 0.5, epsilon = 1e-12);
    assert_abs_diff_eq!(run.range.as_inches(), 1.5, epsilon = 1e-12);
    let one = vec![at(1, 1.0)];
    assert!(RevealRun::of(Family::TreadEnds, named, one, &Seen::default()).is_none());
}

/// Common practice, no source.
#[test]
fn the_usual_eye() {
    let eye = Seen::default();
    for (is, inches) in [
        (eye.reveal.value, 1.0 / 8.0),
        (REVEAL_DRIFT, 1.0 / 8.0),
        (eye.step.value, 1.0 / 16.0),
        (eye.slope.value, 1.0 / 64.0),
        (eye.lean.value, 1.0 / 8.0),
        (LEAN_SEEN, 1.0 / 8.0),
    ] {
        assert_abs_diff_eq!(is.as_inches(), inches, epsilon = 1e-12);
    }
}
