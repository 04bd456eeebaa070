//! Figures of readings between several steps and from laser lines.

use super::{Item, refused, warned};
/// Readings of what cannot be.
const CANNOT_BE: &[Item] = &[
    (
        "Fall(step: 4, is: 5, low: Front)",
        ".is",
        "5",
        "the fall is more than 4\"",
        "write 0\" to 4\"",
    ),
    (
        "Height(step: 5, above: 2, is: 49)",
        ".is",
        "49",
        "the height is more than 48\"",
        "write 3\" to 48\"",
    ),
    (
        "Height(step: 2, above: 5, is: -49)",
        ".is",
        "-49",
        "the height is less than -48\"",
        "write -48\" to -3\"",
    ),
    (
        "Run(step: 5, beyond: 2, is: 5)",
        ".is",
        "5",
        "the run is less than 6\"",
        "write 6\" to 180\"",
    ),
    (
        "TotalRise(is: 13)",
        ".is",
        "13",
        "the total rise is less than 14\"",
        "write 14\" to 224\"",
    ),
    (
        "TotalRun(is: 790)",
        ".is",
        "790",
        "the total run is more than 780\"",
        "write 26\" to 780\"",
    ),
    (
        "Under(step: 0, line: \"LL\", is: 65)",
        ".is",
        "65",
        "the depth under the line is more than 64\"",
        "write 16\" to 64\"",
    ),
    (
        "Past(step: 1, line: \"LA\", is: 60)",
        ".is",
        "60",
        "the distance past the line is more than -36\"",
        "write -84\" to -36\"",
    ),
    (
        "Pitch(from: 1, to: 9, is: 4)",
        ".is",
        "4",
        "no flight goes up at 4.0°",
        "write 5 to 70 degrees",
    ),
    (
        "Pitch(from: 1, to: 9, is: 71)",
        ".is",
        "71",
        "no flight goes up at 71.0°",
        "write 5 to 70 degrees",
    ),
    (
        "Diagonal(from: (step: 2, end: Open), to: (step: 2, end: Wall), is: 5)",
        ".is",
        "5",
        "the diagonal is less than 6\"",
        "write 6\" to 240\"",
    ),
];

/// Bounds go by the number of steps between.
#[test]
fn figures_that_cannot_be() {
    refused("steps", CANNOT_BE);
}

/// What was meant is reckoned from the design: 8 rises of 7 1/2 in, 4 goings of 10 in, and for the
/// diagonal the root of 36 + 30 + 22 1/2 squared, 51.98 in.
#[test]
fn figures_that_are_likely_slips() {
    warned(
        "steps",
        &[
            (
                "Height(step: 9, above: 1, is: 44)",
                ".is",
                "44",
                "off the 60\" that is meant",
                "read it again",
            ),
            (
                "Run(step: 5, beyond: 1, is: 29)",
                ".is",
                "29",
                "off the 40\" that is meant",
                "read it again",
            ),
            (
                "TotalRun(is: 90)",
                ".is",
                "90",
                "off the 130\" that is meant",
                "read it again",
            ),
            (
                "Diagonal(from: (step: 2, end: Open), to: (step: 5, end: Wall), is: 37.5)",
                ".is",
                "37.5",
                "off the 52\"- that is meant",
                "read it again",
            ),
            (
                "Under(step: 0, line: \"LL\", is: 29)",
                ".is",
                "29",
                "off the 40\" that is meant",
                "read it again",
            ),
            (
                "Past(step: 13, line: \"LA\", is: 20)",
                ".is",
                "20",
                "off the 60\" that is meant",
                "read it again",
            ),
            (
                "Pitch(from: 1, to: 9, is: 53.1)",
                ".is",
                "53.1",
                "off the 36.9° that is meant",
                "was it read from plumb? write `36.9`",
            ),
            (
                "Pitch(from: 1, to: 9, is: 27)",
                ".is",
                "27",
                "off the 36.9° that is meant",
                "degrees above level",
            ),
        ],
    );
}
