//! Steps that readings name, and where across the flight they were taken.

use super::{Item, refused, taken, warned};
/// Readings of steps past either end of the flight.
const NOT_THERE: &[Item] = &[
    (
        "Fall(step: 14, is: 0, low: Back)",
        ".step",
        "14",
        "there is no tread 14",
        "14 kicks carry treads 1 to 13",
    ),
    (
        "Overhang(step: 0, is: 1)",
        ".step",
        "0",
        "there is no tread 0",
        "treads 1 to 13",
    ),
    (
        "KickThickness(step: 15, is: 1)",
        ".step",
        "15",
        "there is no kick 15",
        "kicks 1 to 14",
    ),
    (
        "Height(step: 15, above: 0, is: 100)",
        ".step",
        "15",
        "there is no step 15",
        "treads go up from 1, and 14 is the upper floor",
    ),
    (
        "Height(step: 0, above: 3, is: -22)",
        ".step",
        "0",
        "there is no step 0",
        "treads go up from 1",
    ),
    (
        "Height(step: 3, above: 15, is: -90)",
        ".above",
        "15",
        "there is no step 15",
        "0 is the lower floor",
    ),
    (
        "Under(step: 15, line: \"LL\", is: 4)",
        ".step",
        "15",
        "there is no step 15",
        "0 is the lower floor",
    ),
    (
        "Run(step: 15, beyond: 1, is: 140)",
        ".step",
        "15",
        "there is no kick 15",
        "kicks 1 to 14",
    ),
    (
        "Run(step: 4, beyond: 0, is: 40)",
        ".beyond",
        "0",
        "there is no kick 0",
        "kicks 1 to 14",
    ),
    (
        "Past(step: 0, line: \"LA\", is: 4)",
        ".step",
        "0",
        "there is no kick 0",
        "kicks 1 to 14",
    ),
    (
        "Pitch(from: 0, to: 9, is: 37)",
        ".from",
        "0",
        "there is no step 0",
        "treads go up from 1",
    ),
    (
        "Pitch(from: 1, to: 15, is: 37)",
        ".to",
        "15",
        "there is no step 15",
        "14 is the upper floor",
    ),
    (
        "Diagonal(from: (step: 2, end: Open), to: (step: 15, end: Wall), is: 160)",
        ".to.step",
        "15",
        "there is no step 15",
        "14 is the upper floor",
    ),
];

#[test]
fn steps_that_are_not_there() {
    refused("steps", NOT_THERE);
    taken(
        "steps",
        &[
            "Height(step: 1, above: 0, is: 7.5)",
            "Under(step: 14, line: \"LF\", is: -14)",
            "Pitch(from: 1, to: 14, is: 37)",
            "Past(step: 14, line: \"LA\", is: 70)",
        ],
    );
}

#[test]
fn steps_in_the_wrong_order() {
    refused(
        "steps",
        &[
            (
                "Height(step: 3, above: 3, is: 1)",
                ".above",
                "3",
                "step 3 is read above itself",
                "name the step that it was read from",
            ),
            (
                "Height(step: 3, above: 5, is: 15)",
                ".is",
                "15",
                "step 3 cannot stand above step 5",
                "swap `step` and `above`",
            ),
            (
                "Run(step: 3, beyond: 3, is: 10)",
                ".step",
                "3",
                "kick 3 is not beyond kick 3",
                "the upper one",
            ),
            (
                "Run(step: 3, beyond: 5, is: 20)",
                ".step",
                "3",
                "kick 3 is not beyond kick 5",
                "the upper one",
            ),
            (
                "Pitch(from: 9, to: 9, is: 37)",
                ".to",
                "9",
                "nosing 9 is not above nosing 9",
                "`from` is the lower step",
            ),
            (
                "Diagonal(from: (step: 2, end: Open), to: (step: 2, end: Open), is: 36)",
                ".to",
                "(step: 2, end: Open)",
                "ends where it begins",
                "name the other end",
            ),
        ],
    );
}

#[test]
fn places_across_the_flight() {
    refused(
        "steps",
        &[
            (
                "Rise(step: 4, is: 7.5, on: Rough, side: Stringer(\"S3\"))",
                ".side.Stringer",
                "\"S3\"",
                "there is no stringer `S3`",
                "did you mean `S1`?",
            ),
            (
                "Rise(step: 4, is: 7.5, side: Stringer(\"S1\"))",
                ".side",
                "Stringer(\"S1\")",
                "a stringer's cut is bare framing",
                "write `on: Rough`",
            ),
            (
                "Rise(step: 4, is: 7.5, on: DryFitted, side: Stringer(\"S1\"))",
                ".side",
                "Stringer(\"S1\")",
                "a stringer's cut is bare framing",
                "name another side",
            ),
        ],
    );
    warned(
        "steps",
        &[
            (
                "Width(step: 4, is: 36, side: Wall)",
                ".side",
                "Wall",
                "`side` says nothing on `Width`",
                "take it out",
            ),
            (
                "Edge(step: 4, is: 1.5, side: Wall)",
                ".side",
                "Wall",
                "`side` says nothing on `Edge`",
                "take it out",
            ),
            (
                "Overhang(step: 4, is: 1, on: Rough)",
                ".on",
                "Rough",
                "bare framing has no nosings yet",
                "`on: DryFitted`",
            ),
        ],
    );
    taken("steps", &["Edge(step: 4, is: 1.5, side: Open)"]);
}
