//! Outlines of winders against elementary geometry.

use super::{INCH, area, bare, near, winders};
use proptest::prelude::*;
use rakewell::job::{WinderReading, Winders};
use rakewell::site::winders::{WinderSite, build};
use rakewell::solids::convex_rings;

fn areas(site: &WinderSite) -> Vec<f64> {
    let treads = site.treads.iter();
    treads.map(|tread| area(&tread.outline)).collect()
}

/// Three kites in a square of side w, kicks from its corner at 30 and 60 degrees: the outer two are
/// right triangles of legs w and w tan 30, and the middle one, a kite, is what is left.
#[test]
fn three_kites_share_a_square() {
    let site = bare("");
    let w = 36.0 * INCH;
    let triangle = w * w * 30_f64.to_radians().tan() / 2.0;
    let found = areas(&site);
    near(found[0], triangle, 1e-6);
    near(found[1], w * w - 2.0 * triangle, 1e-6);
    near(found[2], triangle, 1e-6);
    let corners: Vec<usize> = site.treads.iter().map(|one| one.outline.len()).collect();
    assert_eq!(corners, [3, 4, 3]);
    for (kick, degrees) in site.kicks.iter().zip([0.0, 30.0, 60.0, 90.0_f64]) {
        // From the centre out: the first kick stands square to the way up.
        near(kick.way().x, degrees.to_radians().sin(), 1e-12);
        near(kick.way().y, -degrees.to_radians().cos(), 1e-12);
    }
}

/// Four kites of 22 1/2 degrees: no kick runs into the corner but the third, at 45 degrees.
#[test]
fn four_winders_share_it_two_and_two() {
    let site = build(&with_count(winders("Kite(newel: 0)", "overhang: 0"), 4));
    let w = 36.0 * INCH;
    let outer = w * w * 22.5_f64.to_radians().tan() / 2.0;
    let found = areas(&site);
    for (area, wanted) in found
        .iter()
        .zip([outer, w * w / 2.0 - outer, w * w / 2.0 - outer, outer])
    {
        near(*area, wanted, 1e-6);
    }
}

/// Round a newel of side s the wall stands half a side further out, and the newel's quarter is gone
/// from the square.
#[test]
fn a_newel_takes_its_square_out_of_the_corner() {
    let site = build(&winders("Kite(newel: 3.5)", "overhang: 0"));
    let (a, w) = (1.75 * INCH, 37.75 * INCH);
    let outer = (w * w - a * a) * 30_f64.to_radians().tan() / 2.0;
    let found = areas(&site);
    near(found[0], outer, 1e-6);
    near(found[1], w * w - a * a - 2.0 * outer, 1e-6);
    near(found.iter().sum::<f64>(), w * w - a * a, 1e-6);
    // The middle one has the corner of the walls and that of the newel.
    assert_eq!(site.treads[1].outline.len(), 6);
}

/// A kite that runs to one face of the newel has five corners.
#[test]
fn a_kick_at_the_corner_of_the_newel_leaves_five_corners() {
    let places = "kicks: [(step: 2, narrow: 1.75, wide: 21)]";
    let site = build(&winders(
        "Kite(newel: 3.5)",
        &format!("overhang: 0, {places}"),
    ));
    assert_eq!(site.treads[1].outline.len(), 5);
    near(site.kicks[1].narrow.x, 1.75 * INCH, 1e-9);
    near(site.kicks[1].wide.x, 21.0 * INCH, 1e-9);
}

/// A tapered tread between a round string and a round wall is a ring's sector: phi/2 (R^2 - r^2),
/// drawn in chords of two degrees, which lose a 5000th of it (1 - sin 2/2).
#[test]
fn tapered_treads_are_sectors() {
    let site = build(&winders(
        "Tapered(well: Round(12), outer: Round)",
        "overhang: 0",
    ));
    let sector = 30_f64.to_radians() / 2.0 * (48.0_f64.powi(2) - 12.0_f64.powi(2)) * INCH * INCH;
    for area in areas(&site) {
        near(area / sector, 1.0, 2.1e-4);
        assert!(area < sector);
    }
}

/// A half turn fills two squares beside each other, less the newel's half.
#[test]
fn a_half_turn_fills_a_rectangle() {
    for hand in ["Left", "Right"] {
        let mut half = with_count(winders("Kite(newel: 4)", "overhang: 0, angle: 180"), 6);
        half.turns = ron::from_str(hand).unwrap();
        let site = build(&half);
        let (a, w) = (2.0 * INCH, 38.0 * INCH);
        near(
            areas(&site).iter().sum::<f64>(),
            2.0 * (w * w - a * a),
            1e-6,
        );
        let above = site.above();
        near(above.turn.as_degrees().abs(), 180.0, 1e-9);
        near(above.origin.z, 6.0 * 7.5 * INCH, 1e-9);
    }
}

/// To the right it is the mirror image, and every outline still runs anticlockwise.
#[test]
fn a_turn_to_the_right_is_the_mirror_image() {
    let left = winders("Kite(newel: 3.5)", "overhang: 1");
    let mut right = left.clone();
    right.turns = rakewell::job::Hand::Right;
    let (left, right) = (build(&left), build(&right));
    for (a, b) in left.treads.iter().zip(&right.treads) {
        assert!(area(&a.outline) > 0.0);
        near(area(&a.outline), area(&b.outline), 1e-6);
        for point in &a.outline {
            let mirrored =
                |other: &nalgebra::Point2<f64>| (other.x - point.x).hypot(other.y + point.y) < 1e-9;
            assert!(b.outline.iter().any(mirrored), "{point} has no image");
        }
    }
    near(left.above().turn.as_degrees(), 90.0, 1e-9);
    near(right.above().turn.as_degrees(), -90.0, 1e-9);
}

/// A nosing is its kick's face moved down the stair by the overhang: outlines overlap by what each
/// nosing covers of the tread below, and the first reaches over the flight below.
#[test]
fn nosings_stand_an_overhang_before_their_kicks() {
    let site = build(&winders("Kite(newel: 3.5)", "overhang: 1"));
    for (nosing, kick) in site.nosings.iter().zip(&site.kicks) {
        near(nosing.way().dot(&kick.way()), 1.0, 1e-12);
        let back = kick.narrow - nosing.narrow;
        near(back.perp(&kick.way()).abs(), INCH, 1e-9);
    }
    near(site.nosings[0].wide.x, -INCH, 1e-9);
    near(site.nosings[0].narrow.x, -INCH, 1e-9);
}

proptest! {
    /// Whatever turns about a square well to walls with corners fills what lies between them:
    /// n (W^2 - a^2) tan(A / 2n) for n corners. Kicks that cross it do not change that, and every
    /// outline in convex pieces is as large as itself.
    #[test]
    fn winders_fill_their_turn(
        angle in 15.0..180.0_f64,
        count in 1_u32..12,
        side in 1.0..40.0_f64,
        right in any::<bool>(),
        moved in -3.0..3.0_f64,
    ) {
        let more = format!("overhang: 0, angle: \"{angle}\"");
        let mut job = with_count(winders(&format!("Tapered(well: Square({side}))"), &more), count);
        if right {
            job.turns = rakewell::job::Hand::Right;
        }
        if count > 1 {
            // The middle kick as read, a little off its place.
            let step = count / 2 + 1;
            let meant = angle * f64::from(step - 1) / f64::from(count);
            let is = meant + moved / f64::from(count);
            job.readings = vec![turned(step, is)];
        }
        let site = build(&job);
        let corners = if angle > 120.0 { 2.0 } else { 1.0 };
        let (a, w) = (side / 2.0 * INCH, (side / 2.0 + 36.0) * INCH);
        let whole = corners * (w * w - a * a) * (angle / 2.0 / corners).to_radians().tan();
        let found = areas(&site);
        prop_assert!(found.iter().all(|area| *area > 0.0));
        prop_assert!((found.iter().sum::<f64>() / whole - 1.0).abs() < 1e-9);
        for tread in &site.treads {
            let pieces = convex_rings(&tread.outline);
            let split: f64 = pieces.iter().map(|piece| area(piece)).sum();
            prop_assert!((split / area(&tread.outline) - 1.0).abs() < 1e-9);
        }
    }
}

fn turned(step: u32, degrees: f64) -> WinderReading {
    WinderReading::Turn {
        step,
        is: rakewell::measure::Typed::<rakewell::measure::Angle>::degrees(degrees),
        note: String::new(),
    }
}

fn with_count(mut winders: Winders, count: u32) -> Winders {
    winders.count = count;
    winders
}
