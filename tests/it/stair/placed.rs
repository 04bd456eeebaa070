//! Runs in their places: what is off low on the stair is carried to everything above it.

use approx::assert_relative_eq;
use nalgebra::{Isometry3, Point3, Vector3};
use rakewell::chain::Chain;

use super::{BOTH, HALF, QUARTER, run, with};

const IN: f64 = 25.4;

/// Where a part of a run stands in the first run's frame, by nalgebra's own motions.
fn motion(chain: &Chain, number: usize) -> Isometry3<f64> {
    let frame = &chain.runs[number].frame;
    Isometry3::new(frame.origin.coords, Vector3::z() * frame.turn.as_radians())
}

// 8 rises of 7 1/2 to the landing, 7 more to the upper floor: 60 in and 112 1/2 in. The second
// flight's baluster line crosses 1 3/4 in past the face of the eighth kick, 7 goings of 10 1/4 from
// the first: 73 1/2 in. Sums of the scene's own numbers.
#[test]
fn a_quarter_turn_goes_on_from_the_landing() {
    let chain = run(QUARTER);
    let two = &chain.runs[1];
    assert_relative_eq!(
        two.frame.origin,
        Point3::new(73.5, 0.5, 60.0) * IN,
        epsilon = 1e-9
    );
    let upper = two.site.steps.last().unwrap();
    let nosing = Point3::new(upper.nosing_x(), 0.0, upper.height);
    let there = motion(&chain, 1) * nosing;
    // Left of the first flight by its own run: half an inch, six goings, less the overhang.
    assert_relative_eq!(
        there,
        Point3::new(73.5, 0.5 + 6.0 * 10.25 - 1.0, 112.5) * IN,
        epsilon = 1e-6
    );
    assert_relative_eq!(two.frame.to_first(&nosing), there, epsilon = 1e-9);
}

#[test]
fn a_half_turn_comes_back_beside_itself() {
    let chain = run(HALF);
    let level = &chain.runs[1];
    let two = &chain.runs[2];
    assert_eq!(two.run.name, "2");
    assert_relative_eq!(two.frame.turn.as_degrees(), 180.0, epsilon = 1e-9);
    assert_relative_eq!(level.frame.turn.as_degrees(), 90.0, epsilon = 1e-9);
    // Seven inches of level rail between the two baluster lines.
    assert_relative_eq!(two.frame.origin.y, 7.0 * IN, epsilon = 1e-9);
    // Both flights climb 7 1/2 in 10 1/4, one forward and one back: their rails' directions mirror.
    let way = |run: usize| {
        let rail = &chain.runs[run].setout.rail;
        (motion(&chain, run) * (rail.upper - rail.lower)).normalize()
    };
    let (up, back) = (way(0), way(2));
    assert_relative_eq!(up.x, -back.x, epsilon = 1e-9);
    assert_relative_eq!(up.z, back.z, epsilon = 1e-9);
    assert_relative_eq!(up.z / up.x, 7.5 / 10.25, epsilon = 1e-9);
}

// A rise read 1/4 in high on the third step and nothing else: everything above it stands 1/4 in
// higher, the second flight and the level guard too, and nothing else moves.
#[test]
fn a_high_rise_carries_to_the_flight_above() {
    let plain = run(QUARTER);
    let text = with(
        QUARTER,
        "readings: [],",
        "readings: [Rise(step: 3, is: \"7 3/4\", sd: \"0.01 mm\")],",
    );
    let high = run(&text);
    for (number, name) in [(1, "2.T3"), (2, "L1.F0")] {
        let shift = high.runs[number].frame.origin - plain.runs[number].frame.origin;
        assert_relative_eq!(shift, Vector3::new(0.0, 0.0, 0.25 * IN), epsilon = 1e-3);
        let corner = |chain: &Chain| {
            let part = chain.solids.parts.iter().find(|part| part.name == name);
            part.unwrap().bounds().unwrap().high
        };
        let moved = corner(&high) - corner(&plain);
        assert_relative_eq!(moved, Vector3::new(0.0, 0.0, 0.25 * IN), epsilon = 1e-3);
    }
}

// On a stair that is the same from both sides the railing on the wall side is the mirror image of
// the other: same gaps, lengths and reveals, and its baluster line stands as far in from its edge.
#[test]
fn both_sides_of_an_even_stair_are_alike() {
    let chain = run(BOTH);
    let [open, other] = [&chain.runs[0], &chain.runs[1]];
    assert_eq!(other.run.mark, "w.");
    assert_eq!(open.setout.gaps.len(), other.setout.gaps.len());
    for (a, b) in open.setout.gaps.iter().zip(&other.setout.gaps) {
        assert_relative_eq!(a.clear.as_mm(), b.clear.as_mm(), epsilon = 1e-6);
    }
    for (a, b) in open.setout.balusters.iter().zip(&other.setout.balusters) {
        assert_relative_eq!(a.long_point.as_mm(), b.long_point.as_mm(), epsilon = 1e-6);
        let [a, b] = [(open, a), (other, b)].map(|(run, one)| run.frame.to_first(&one.foot));
        assert_relative_eq!(a.x, b.x, epsilon = 1e-6);
        assert_relative_eq!(a.z, b.z, epsilon = 1e-6);
        // The treads are 38 in long, from 2 1/4 outside one line to 2 1/4 outside the other.
        let (low, high) = (a.y.min(b.y), a.y.max(b.y));
        assert_relative_eq!(f64::midpoint(low, high), (2.25 - 19.0) * IN, epsilon = 1e-3);
    }
    for (a, b) in open.setout.reveals.iter().zip(&other.setout.reveals) {
        assert_relative_eq!(a.value.as_mm(), b.value.as_mm(), epsilon = 1e-3);
    }
}

// A tread that falls 1/2 in from the open end to the wall end lowers the balusters on the wall side
// by the distance between the two lines times the fall: 33 1/2 of 38 in.
#[test]
fn a_tread_out_of_level_shows_on_the_other_side() {
    let text = with(
        BOTH,
        "readings: [",
        "readings: [Level(step: 6, is: \"1/2\", high: Open, sd: \"0.01 mm\"),",
    );
    let (even, tilted) = (run(BOTH), run(&text));
    let drop = |number: usize| {
        let foot = |chain: &Chain| {
            let one = &chain.runs[number];
            let found = one.setout.balusters.iter().find(|one| one.step == 6);
            one.frame.to_first(&found.unwrap().foot).z
        };
        foot(&tilted) - foot(&even)
    };
    let between = 38.0 - 2.0 * 2.25;
    assert_relative_eq!(drop(0) - drop(1), 0.5 * between / 38.0 * IN, epsilon = 0.02);
}
