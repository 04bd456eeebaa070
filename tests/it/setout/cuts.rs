//! Saw settings from planes against published mitre and bevel tables.

use approx::assert_relative_eq;
use nalgebra::{Rotation3, Vector3};
use rakewell::measure::{Angle, Length};
use rakewell::setout::cut::saw;
use rakewell::setout::skirt::seam;

/// Mitre and bevel, degrees, of a board that runs along a side of a plan corner, leaning back from
/// level by `pitch`, with its face on the saw's table; both from the corner's plumb bisecting
/// plane alone, not from the textbook formula.
fn corner(pitch: f64, plan_corner: f64) -> (f64, f64) {
    let along = Vector3::x();
    // The board's face, level, tipped up about its length.
    let face = Rotation3::from_axis_angle(&Vector3::x_axis(), pitch.to_radians()) * Vector3::z();
    // Two boards meet at the plan corner: the cut lies in the plumb plane that halves it.
    let half = (plan_corner / 2.0).to_radians();
    let bisector = Vector3::new(half.sin(), half.cos(), 0.0);
    let (mitre, bevel) = saw(&bisector, &along, &face);
    (mitre.as_degrees().abs(), bevel.as_degrees().abs())
}

#[test]
fn compound_cuts_of_a_sprung_moulding() {
    // Spring angle from the wall and plan corner: geocities.ws/xpf51 crown_examples (5 decimals)
    // and issi1.com/corwin/angles.txt. The pitch from level is 90 less the spring.
    let table = [
        (38.0, 90.0, 31.61901, 33.86291),
        (38.0, 135.0, 14.30638, 17.55124),
        (45.0, 90.0, 35.26439, 30.00000),
        (45.0, 135.0, 16.32495, 15.69986),
    ];
    for (spring, plan, mitre, bevel) in table {
        let found = corner(90.0 - spring, plan);
        assert_relative_eq!(found.0, mitre, epsilon = 1e-5);
        assert_relative_eq!(found.1, bevel, epsilon = 1e-5);
    }
}

#[test]
fn compound_cuts_of_a_box_with_sloping_sides() {
    // The compound-angle chart printed in several power-saw manuals, to 0.01 degree:
    // pitch of the sides from level, number of sides, mitre, bevel.
    let chart = [
        (15.0, 4.0, 44.01, 10.55),
        (30.0, 4.0, 40.89, 20.70),
        (45.0, 4.0, 35.26, 30.00),
        (60.0, 4.0, 26.57, 37.76),
        (75.0, 4.0, 14.51, 43.08),
        (15.0, 6.0, 29.15, 7.44),
        (30.0, 6.0, 26.57, 14.48),
        (45.0, 6.0, 22.21, 20.70),
        (60.0, 6.0, 16.10, 25.66),
        (15.0, 8.0, 21.81, 5.68),
        (45.0, 8.0, 16.32, 15.70),
    ];
    for (pitch, sides, mitre, bevel) in chart {
        let found = corner(pitch, 180.0 - 360.0 / sides);
        assert!(
            (found.0 - mitre).abs() < 0.006,
            "{pitch} {sides}: mitre {}",
            found.0
        );
        assert!(
            (found.1 - bevel).abs() < 0.006,
            "{pitch} {sides}: bevel {}",
            found.1
        );
    }
}

#[test]
fn level_base_to_rake_is_cut_at_half_the_turn() {
    // bobvila.com forum 7132: a level base to a 36 degree rake, 18 each; plumb to the same, a turn
    // of 54, 27 each. The 7 1/2 in 10 stair is a 3-4-5 triangle: its half angle runs 1 in 3.
    let width = Length::inches(3.5);
    let steep = 0.75_f64.atan().to_degrees();
    for (turn, half) in [(36.0, 18.0), (54.0, 27.0), (steep, 18.434_948_8)] {
        let (first, second) = seam(width, width, Angle::degrees(180.0 - turn));
        assert_relative_eq!(90.0 - first.as_degrees(), half, epsilon = 1e-6);
        assert_relative_eq!(90.0 - second.as_degrees(), half, epsilon = 1e-6);
    }
    let (first, _) = seam(width, width, Angle::degrees(180.0 - steep));
    assert_relative_eq!(
        (90.0_f64.to_radians() - first.as_radians()).tan(),
        1.0 / 3.0,
        epsilon = 1e-12
    );
}

#[test]
fn unequal_boards_share_one_seam() {
    // Elementary geometry: seen along the seam, each board's width is seam length times the sine of
    // its angle, so both give one seam length.
    let (wide, narrow) = (Length::inches(5.5), Length::inches(3.5));
    let (first, second) = seam(wide, narrow, Angle::degrees(143.13));
    let by_first = wide / first.as_radians().sin();
    let by_second = narrow / second.as_radians().sin();
    assert_relative_eq!(by_first.as_mm(), by_second.as_mm(), epsilon = 1e-9);
}
