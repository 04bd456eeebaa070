//! Winders between two flights: one kick belongs to both, and the flight above stands on the last
//! tread.

use approx::assert_relative_eq;
use nalgebra::Point3;
use rakewell::job::Document;

use super::{run, with};

const WINDERS: &str = include_str!("../../../scenes/winders.ron");

// Seven rises of 195 reach the first winder, one more the second: the flight above starts at
// 8 x 195 = 1560, six goings of 250 on from the first kick, where both baluster lines cross, and
// turned a quarter. Sums of the scene's own numbers.
#[test]
fn the_flight_above_stands_on_the_last_winder() {
    let chain = run(WINDERS);
    let [_, two] = chain.runs.as_slice() else {
        panic!("two flights")
    };
    assert_relative_eq!(
        two.frame.origin,
        Point3::new(1500.0, 0.0, 1560.0),
        epsilon = 1e-6
    );
    assert_relative_eq!(two.frame.turn.as_degrees(), 90.0, epsilon = 1e-9);
    let turn = &two.turns[0];
    assert_eq!(turn.mark, "W.");
    assert_relative_eq!(turn.frame.origin.z, 1170.0, epsilon = 1e-6);
}

#[test]
fn the_kick_that_two_have_is_made_once() {
    let chain = run(WINDERS);
    let names: Vec<&str> = chain
        .solids
        .parts
        .iter()
        .map(|part| part.name.as_str())
        .collect();
    let count = |name: &str| names.iter().filter(|one| **one == name).count();
    assert_eq!(
        ["1.K7", "W.K1", "W.K2", "2.K1"].map(count),
        [1, 0, 1, 1],
        "{names:?}"
    );
    assert_eq!(["1.F1", "W.T1", "W.T2", "2.F0"].map(count), [0, 1, 1, 0]);
}

// A last rise read 5 mm high carries to the winders and to the flight above.
#[test]
fn a_high_kick_carries_through_the_turn() {
    let text = with(
        WINDERS,
        "readings: [],",
        "readings: [Rise(step: 7, is: \"200\", sd: \"0.01 mm\")],",
    );
    let (plain, high) = (run(WINDERS), run(&text));
    let up = |of: fn(&rakewell::chain::RunChain) -> f64| of(&high.runs[1]) - of(&plain.runs[1]);
    assert_relative_eq!(up(|run| run.frame.origin.z), 5.0, epsilon = 0.01);
    assert_relative_eq!(up(|run| run.turns[0].frame.origin.z), 5.0, epsilon = 0.01);
}

// Both rails run parallel to their nosings, 930 mm plumb over them, at 195 in 250. At the newel's
// near and far faces, 62.5 mm either side of the line where the kicks of both flights stand, the one
// below arrives at the seventh nosing's height less what it climbs from there, and the one above
// starts lower than over its own first nosing. The first nosing of each stands 20 mm before its kick.
#[test]
fn the_rise_at_the_newel_is_what_the_turn_climbs() {
    let chain = run(WINDERS);
    let turn = &chain.runs[0].setout.turns[0];
    assert_eq!(turn.newel, "N2");
    let slope = 195.0 / 250.0;
    // Middles of the tops at the end cuts, above the first floor.
    let comes = 7.0 * 195.0 + 930.0 + slope * (20.0 - 62.5);
    let goes_on = 1560.0 + 195.0 + 930.0 + slope * (20.0 + 62.5);
    assert_relative_eq!(turn.rise.rise.as_mm(), goes_on - comes, epsilon = 1e-6);
    assert_relative_eq!(
        turn.rise.least.unwrap().as_mm(),
        goes_on - comes - 30.0 - 70.0,
        epsilon = 1e-6
    );
    assert_relative_eq!(
        turn.rise.most.unwrap().as_mm(),
        goes_on - comes + 30.0 + 70.0,
        epsilon = 1e-6
    );
}

#[test]
fn winders_lead_to_a_flight_and_have_no_railing() {
    let start = WINDERS.find("        (\n            name: \"2\",").unwrap();
    let end = WINDERS.rfind("    ],\n)").unwrap();
    let alone = format!("{}{}", &WINDERS[..start], &WINDERS[end..]);
    let faults = Document::parse(&alone, "scene.ron").expect_err("they lead nowhere");
    let one = &faults.diagnostics[0];
    assert_eq!(one.path, "runs[0]");
    assert!(one.problem.contains("no flight goes on"), "{}", one.problem);
}
