//! Newels and rails.

use super::check;
use crate::job::{one_fault, with};

#[test]
fn newels() {
    check(&[
        (
            "Displaces(step: 1, balusters: 1)",
            "Displaces(step: 14, balusters: 1)",
            "design.newels[0].stands.step",
            "14",
            "there is no tread 14",
            "treads 1 to 13",
        ),
        (
            "Displaces(step: 1, balusters: 1)",
            "Displaces(step: 1, balusters: 3)",
            "design.newels[0].stands.balusters",
            "3",
            "takes the place of 3 balusters",
            "tread 1 has 2",
        ),
        (
            "section: Square(3.5)",
            "section: Square(0)",
            "design.newels[0].section.Square",
            "0",
            "the side is zero",
            "write ",
        ),
        (
            "height: 48)",
            "height: 48, twist: 270)",
            "design.newels[0].twist",
            "270",
            "half a turn",
            "-180 to 180",
        ),
        (
            "height: 48)",
            "height: 48, lean: (up_flight: 20, over: 40))",
            "design.newels[0].lean.over",
            "40",
            "more than one in four",
            "check the lean",
        ),
    ]);
}

#[test]
fn rails_and_balusters() {
    check(&[
        (
            "depth: 2.25",
            "depth: 0",
            "design.rail.depth",
            "0",
            "the depth is zero",
            "write ",
        ),
        (
            "depth: 2.25",
            "depth: 2.25, bevel: 1.125",
            "design.rail.bevel",
            "1.125",
            "the bevel takes all",
            "keep it under",
        ),
        (
            "edge_distance: 0.5",
            "edge_distance: 0.5, seat: 2.25",
            "design.balusters.seat",
            "2.25",
            "the seat goes through the rail",
            "deep",
        ),
        (
            "peg_diameter: 0.75",
            "peg_diameter: 1.375",
            "design.balusters.peg_diameter",
            "1.375",
            "the peg is wider than the baluster",
            "across",
        ),
    ]);
}

#[test]
fn a_rail_between_one_newel() {
    let wall = "upper: Wall(wall: \"W2\", rosette: 4.5, blocking: (along: 8, up: 140, width: 5.5, height: 11.25))";
    let text = with(wall, "upper: Newel(\"N1\")");
    one_fault(
        &text,
        "design.rail.upper",
        "Newel(\"N1\")",
        "both ends",
        "upper end meets",
    );
}
