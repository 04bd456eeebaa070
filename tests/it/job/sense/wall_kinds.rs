//! Levels and straightedges on walls, and offsets from laser lines.

use super::{SURVEY, refused, taken};
use crate::job::one_fault;

/// W1 is 200 in long and 202 in high.
#[test]
fn longer_than_the_wall_or_off_it() {
    refused(
        "W1",
        &[
            (
                "Plumb(along: 60, up: 0, level: 240, gap: 0, at: Top)",
                ".level",
                "240",
                "the level is longer than the wall is high",
                "wall `W1` goes from 0\" up to 202\"",
            ),
            (
                "Straight(along: 0, up: 50, length: 201, is: 0)",
                ".length",
                "201",
                "the straightedge is longer than the wall",
                "wall `W1` is 200\" long",
            ),
            (
                "Straight(along: 0, up: 0, length: 203, lies: Upright, is: 0)",
                ".length",
                "203",
                "the straightedge is longer than the wall is high",
                "up to 202\"",
            ),
            (
                "Straight(along: 150, up: 50, length: 96, is: 0)",
                ".along",
                "150",
                "the straightedge's far end is at 246\", off the end of the wall",
                "wall `W1` is 200\" long",
            ),
            (
                "Straight(along: 50, up: 150, length: 96, lies: Upright, is: 0)",
                ".up",
                "150",
                "the straightedge's upper end is at 246\", above the wall",
                "up to 202\"",
            ),
            (
                "Straight(along: -1, up: 50, length: 96, is: 0)",
                ".along",
                "-1",
                "off the end of the wall",
                "200\" long",
            ),
            (
                "Straight(along: 50, up: -1, length: 96, is: 0)",
                ".up",
                "-1",
                "above or below the wall",
                "from 0\"",
            ),
            (
                "Between(along: 201, up: 50, wall: \"W3\", is: 97)",
                ".along",
                "201",
                "off the end of the wall",
                "200\" long",
            ),
        ],
    );
    taken(
        "W1",
        &[
            "Straight(along: 0, up: 202, length: 200, is: 0)",
            "Straight(along: 200, up: 0, length: 202, lies: Upright, is: 0)",
        ],
    );
}

#[test]
fn gaps_and_places_of_contact() {
    refused(
        "W1",
        &[
            (
                "Straight(along: 0, up: 50, length: 3, is: 0)",
                ".length",
                "3",
                "the straightedge is less than 4\"",
                "write 4\" to 240\"",
            ),
            (
                "Straight(along: 0, up: 50, length: 24, is: 7)",
                ".is",
                "7",
                "more than a quarter of the straightedge",
                "check both",
            ),
            (
                "Straight(along: 0, up: 50, length: 96, is: -13)",
                ".is",
                "-13",
                "the gap is less than -12\"",
                "write -12\" to 12\"",
            ),
            (
                "Plumb(along: 60, up: 20, level: 48, gap: 1, at: Top, touch: 49)",
                ".touch",
                "49",
                "where it touches is more than 48\"",
                "write 0\" to 48\"",
            ),
            (
                "Plumb(along: 60, up: 20, level: 48, gap: 1, at: Top, touch: -1)",
                ".touch",
                "-1",
                "where it touches is negative",
                "write 0\" to 48\"",
            ),
            (
                "Plumb(along: 60, up: 20, level: 48, gap: 1, at: Top, touch: 48)",
                ".touch",
                "48",
                "touches at its upper end, where the gap is",
                "nearer its other end",
            ),
            (
                "Plumb(along: 60, up: 20, level: 48, gap: 1, at: Bottom, touch: 0)",
                ".touch",
                "0",
                "touches at its lower end, where the gap is",
                "nearer its other end",
            ),
        ],
    );
    taken(
        "W1",
        &[
            "Plumb(along: 60, up: 20, level: 48, gap: 1, at: Top, touch: 0)",
            "Plumb(along: 60, up: 20, level: 48, gap: 1, at: Bottom, touch: 48)",
        ],
    );
}

/// The line stands 12 in off W1, and a wall is 36 in off what was meant at most.
#[test]
fn offsets_from_a_line() {
    refused(
        "W1",
        &[
            (
                "Offset(along: 60, up: 40, is: 49, line: \"LB\")",
                ".is",
                "49",
                "the distance from the line is more than 48\"",
                "write -24\" to 48\"",
            ),
            (
                "Offset(along: 60, up: 40, is: 37)",
                ".is",
                "37",
                "the offset is more than 36\"",
                "write -36\" to 36\"",
            ),
        ],
    );
    taken("W1", &["Offset(along: 60, up: 40, is: 48, line: \"LB\")"]);
    // Of a line whose place is not given any distance in a house is taken.
    let text = SURVEY.replacen(", off: 12)", ")", 1);
    let text = text.replacen(
        "/*W1*/",
        "Offset(along: 60, up: 40, is: 277, line: \"LB\"),",
        1,
    );
    one_fault(
        &text,
        "walls[0].readings[0].is",
        "277",
        "the distance from the line is more than 276\"",
        "write -72\" to 276\"",
    );
}
