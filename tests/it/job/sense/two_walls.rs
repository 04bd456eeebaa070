//! Readings from one wall to another. W1 and W3 face each other 97 in apart; W2 closes the room at
//! their upper end, square to both.

use super::{SURVEY, refused, taken, warned};
use crate::job::one_fault;

#[test]
fn the_other_wall() {
    refused(
        "W1",
        &[
            (
                "Between(along: 60, up: 50, wall: \"W1\", is: 97)",
                ".wall",
                "\"W1\"",
                "wall `W1` is read against itself",
                "name the other wall",
            ),
            (
                "Between(along: 60, up: 50, wall: \"W4\", is: 97)",
                ".wall",
                "\"W4\"",
                "there is no wall `W4`",
                "did you mean `W1`?",
            ),
            (
                "Between(along: 60, up: 50, wall: \"W2\", is: 97)",
                ".wall",
                "\"W2\"",
                "walls `W1` and `W2` do not face each other",
                "the room lies on the left hand",
            ),
            (
                "Corner(wall: \"W1\", up: 50, leg: 36, other_leg: 48, is: 60)",
                ".wall",
                "\"W1\"",
                "wall `W1` is read against itself",
                "name the other wall",
            ),
            (
                "Corner(wall: \"porch\", up: 50, leg: 36, other_leg: 48, is: 60)",
                ".wall",
                "\"porch\"",
                "there is no wall `porch`",
                "known here: `W1`, `W2`, `W3`",
            ),
            (
                "Corner(wall: \"W3\", up: 50, leg: 36, other_leg: 48, is: 60)",
                ".wall",
                "\"W3\"",
                "walls `W1` and `W3` make no corner",
                "name the wall that it meets",
            ),
        ],
    );
}

#[test]
fn across_the_room() {
    refused(
        "W1",
        &[(
            "Between(along: 60, up: 50, wall: \"W3\", is: 0)",
            ".is",
            "0",
            "the distance between the walls is zero",
            "write 1\" to 3600\"",
        )],
    );
    warned(
        "W1",
        &[(
            "Between(along: 60, up: 50, wall: \"W3\", is: \"8 in\")",
            ".is",
            "\"8 in\"",
            "off the 97\" that is meant",
            "8 ft would be 96\", a factor of 12: was it feet? write `8 ft`",
        )],
    );
    // W3 ends 100 in short: what stands square off 60 in along W1 is no longer on it.
    let short = |along: &str| {
        let text = SURVEY.replacen(
            "from: (x: 170, y: 60), to: (x: -30, y: 60)",
            "from: (x: 170, y: 60), to: (x: 70, y: 60)",
            1,
        );
        text.replacen(
            "Between(along: 100,",
            &format!("Between(along: {along},"),
            1,
        )
    };
    one_fault(
        &short("60"),
        "walls[0].readings[6].along",
        "60",
        "square off here it is past the end of wall `W3`",
        "wall `W3` is 100\" long",
    );
    assert!(rakewell::job::Document::parse(&short("100"), "job.ron").is_ok());
    // W3 stands behind W1, with its face to it.
    let behind = SURVEY.replacen(
        "from: (x: 170, y: 60), to: (x: -30, y: 60)",
        "from: (x: 170, y: -60), to: (x: -30, y: -60)",
        1,
    );
    one_fault(
        &behind,
        "walls[0].readings[6].wall",
        "\"W3\"",
        "wall `W3` stands behind wall `W1`",
        "check where both were meant",
    );
    // W3 is lower than the place that it is read at.
    let low = SURVEY.replacen("y: 60), head: 202, readings: [\n            Offset(along: 10, up: 120, is: 0), Offset(along: 60, up: 120, is: 0),\n        ]),\n    ],", "y: 60), head: 48, readings: [\n            Offset(along: 10, up: 20, is: 0), Offset(along: 60, up: 20, is: 0),\n        ]),\n    ],", 1);
    one_fault(
        &low,
        "walls[0].readings[6].up",
        "50",
        "above or below the wall",
        "wall `W3` goes from 0\" up to 48\"",
    );
}

#[test]
fn at_a_corner() {
    refused(
        "W1",
        &[
            (
                "Corner(wall: \"W2\", up: 50, leg: 201, other_leg: 48, is: 200)",
                ".leg",
                "201",
                "the leg is longer than the wall",
                "wall `W1` is 200\" long",
            ),
            (
                "Corner(wall: \"W2\", up: 50, leg: 36, other_leg: 98, is: 100)",
                ".other_leg",
                "98",
                "the leg is longer than the wall",
                "wall `W2` is 97\" long",
            ),
            (
                "Corner(wall: \"W2\", up: 50, leg: 0, other_leg: 48, is: 60)",
                ".leg",
                "0",
                "the leg is zero",
                "write 1\" to 600\"",
            ),
            (
                "Corner(wall: \"W2\", up: 50, leg: 36, other_leg: 48, is: 85)",
                ".is",
                "85",
                "the diagonal is more than 84\"",
                "write 12\" to 84\"",
            ),
            (
                "Corner(wall: \"W2\", up: 50, leg: 36, other_leg: 48, is: 11)",
                ".is",
                "11",
                "the diagonal is less than 12\"",
                "write 12\" to 84\"",
            ),
        ],
    );
    // 3, 4, 5; and on W2 the legs are the other way about.
    warned(
        "W1",
        &[(
            "Corner(wall: \"W2\", up: 50, leg: 36, other_leg: 48, is: 80)",
            ".is",
            "80",
            "off the 60\" that is meant",
            "read it again",
        )],
    );
    taken(
        "W1",
        &["Corner(wall: \"W2\", up: 50, leg: 48, other_leg: 36, is: 60)"],
    );
}

/// A corner of 135 degrees: legs of 36 and 48 in are 77.74 in across, by the law of cosines.
#[test]
fn at_an_obtuse_corner() {
    let text = SURVEY
        .replacen(
            "to: (x: 170, y: 60), head: 202",
            "to: (x: 230, y: 23), head: 202",
            1,
        )
        .replacen(
            "from: (x: 170, y: 60), to:",
            "from: (x: 230, y: 60), to:",
            1,
        )
        .replacen("is: \"60 1/16\"", "is: \"58\"", 1);
    let warning = super::one_warning(&text);
    assert_eq!(warning.path, "walls[0].readings[7].is");
    assert!(
        warning.problem.contains("off the 77 3/4\" that is meant"),
        "{warning:?}"
    );
}
