//! The flight as it was meant.

use super::check;
use crate::job::faults_with;

#[test]
fn the_flight() {
    check(&[
        (
            "going: 10",
            "going: 0",
            "flight.going",
            "0",
            "the going is zero",
            "write ",
        ),
        (
            "going: 10",
            "going: -10",
            "flight.going",
            "-10",
            "the going is negative",
            "write ",
        ),
        (
            "rise: 7.5",
            "rise: 0",
            "flight.rise",
            "0",
            "the rise is zero",
            "write ",
        ),
        (
            "rise: 7.5",
            "rise: 75",
            "flight.rise",
            "75",
            "the rise is more than",
            "write ",
        ),
        (
            "width: 36",
            "width: 0",
            "flight.width",
            "0",
            "the width is zero",
            "write ",
        ),
        (
            "width: 36",
            "width: 999",
            "flight.width",
            "999",
            "the width is more than",
            "write ",
        ),
        (
            "count: 14",
            "count: 61",
            "flight.count",
            "61",
            "61 kicks",
            "write 2 to 60",
        ),
        (
            "kick_thickness: 0.75",
            "kick_thickness: -0.75",
            "flight.kick_thickness",
            "-0.75",
            "the kick thickness is negative",
            "write ",
        ),
    ]);
}

#[test]
fn too_few_kicks_take_their_treads_along() {
    let faults = faults_with("count: 14", "count: 1");
    let told: Vec<&str> = faults
        .diagnostics
        .iter()
        .map(|fault| fault.path.as_str())
        .collect();
    let steps = [
        "flight.count",
        "flight.readings[0].step",
        "flight.readings[1].step",
    ];
    assert!(told.starts_with(&steps), "{faults}");
}
