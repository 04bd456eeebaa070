//! Names, and references to parts that are not there.

use super::{N1, check};
use crate::job::{faults_with, one_fault, with};
use rakewell::job::Document;

#[test]
fn newels_in_one_place_or_of_one_name() {
    let n2 = N1.replace("\"N1\"", "\"N2\"");
    let text = with(N1, &format!("{N1}, {n2}"));
    let place = "Displaces(step: 1, balusters: 1)";
    one_fault(
        &text,
        "design.newels[1].stands",
        place,
        "`N1` and `N2` stand in one place",
        "move",
    );
    let at = |x: f64, name: &str| {
        format!("(name: \"{name}\", section: Square(3.5), stands: At(x: {x}), height: 48)")
    };
    let text = with(N1, &format!("{}, {}", at(2.0, "N1"), at(4.0, "N2")));
    one_fault(
        &text,
        "design.newels[1].stands",
        "At(x: 4)",
        "stand in one place",
        "move",
    );
    let text = with(N1, &format!("{}, {}", at(2.0, "N1"), at(6.0, "N2")));
    assert!(Document::parse(&text, "job.ron").is_ok());
    let text = with(N1, &format!("{N1}, {}", at(90.0, "N1")));
    one_fault(
        &text,
        "design.newels[1].name",
        "\"N1\"",
        "two parts are called `N1`",
        "name",
    );
}

#[test]
fn names_of_other_parts() {
    let text = with("name: \"R1\"", "name: \"W2\"");
    one_fault(
        &text,
        "design.rail.name",
        "\"W2\"",
        "two parts are called `W2`",
        "name",
    );
    let text = with("name: \"R1\"", "name: \"B07\"");
    one_fault(
        &text,
        "design.rail.name",
        "\"B07\"",
        "name of a baluster",
        "given by the program",
    );
    let text = with("name: \"R1\"", "name: \" \"");
    one_fault(
        &text,
        "design.rail.name",
        "\" \"",
        "the name is empty",
        "W1",
    );
}

#[test]
fn references_to_what_is_not_there() {
    check(&[
        (
            "lower: Newel(\"N1\")",
            "lower: Newel(\"N2\")",
            "design.rail.lower.Newel",
            "\"N2\"",
            "there is no newel `N2`",
            "did you mean `N1`?",
        ),
        (
            "(along: 8, up: 140",
            "(along: 17, up: 140",
            "design.rail.upper.blocking.along",
            "17",
            "off the end of the wall",
            "wall `W2` is 16\" long",
        ),
        (
            "(along: 8, up: 140",
            "(along: 8, up: 240",
            "design.rail.upper.blocking.up",
            "240",
            "above or below the wall",
            "up to 200\"",
        ),
        (
            "wall: \"W2\"",
            "wall: \"porch\"",
            "design.rail.upper.wall",
            "\"porch\"",
            "there is no wall `porch`",
            "known here: `W2`",
        ),
    ]);
    let faults = faults_with(N1, "");
    assert!(
        faults.to_string().contains("there is no newel `N1`"),
        "{faults}"
    );
    assert!(faults.to_string().contains("no newel at all"), "{faults}");
}
