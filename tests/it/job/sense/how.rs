//! What a reading says about how it was taken: with what, how surely, when.

use super::{Item, added, refused, taken, warned};
use crate::job::one_fault;
/// Readings of the steps with what cannot read them.
const OF_THE_STEPS: &[Item] = &[
    (
        "Pitch(from: 1, to: 9, is: 37, by: \"tape\")",
        ".by",
        "\"tape\"",
        "`tape` is a tape, which cannot read a pitch in degrees",
        "name a `Slope`",
    ),
    (
        "Pitch(from: 1, to: 9, is: 37, by: \"level\")",
        ".by",
        "\"level\"",
        "`level` is a level, which cannot read a pitch",
        "name a `Slope`",
    ),
    (
        "Going(step: 2, is: 10, by: \"digital\")",
        ".by",
        "\"digital\"",
        "`digital` is a level that shows degrees, which cannot read a distance",
        "name a `Tape`",
    ),
    (
        "Level(step: 2, is: 0, high: Wall, by: \"edge\")",
        ".by",
        "\"edge\"",
        "`edge` is a straightedge, which cannot read what is level",
        "name a `Level`",
    ),
    (
        "Under(step: 2, line: \"LF\", is: 10, by: \"edge\")",
        ".by",
        "\"edge\"",
        "cannot read how far it is from a laser line",
        "name the `Tape`",
    ),
    (
        "Going(step: 2, is: 10, by: \"tap\")",
        ".by",
        "\"tap\"",
        "there is no instrument `tap`",
        "did you mean `tape`?",
    ),
    (
        "Going(step: 2, is: 10, by: \"stick\")",
        ".by",
        "\"stick\"",
        "there is no instrument `stick`",
        "known here: `tape`, `level`",
    ),
];

/// Who reads what: common practice, no source.
#[test]
fn an_instrument_that_cannot_read_it() {
    refused("steps", OF_THE_STEPS);
    refused(
        "W1",
        &[
            (
                "Plumb(along: 90, up: 20, level: 48, gap: 0, at: Top, by: \"edge\")",
                ".by",
                "\"edge\"",
                "cannot read what is plumb",
                "name a `Level`",
            ),
            (
                "Straight(along: 30, up: 50, length: 48, is: 0, by: \"far\")",
                ".by",
                "\"far\"",
                "`far` is a distance laser, which cannot read what is straight",
                "name a `Straightedge`",
            ),
        ],
    );
    refused(
        "F1",
        &[(
            "Level(over: 48, is: 0, high: Wall, by: \"far\")",
            ".by",
            "\"far\"",
            "cannot read what is level",
            "name a `Level`",
        )],
    );
}

#[test]
fn an_instrument_that_is_odd_or_right() {
    warned(
        "steps",
        &[
            (
                "Going(step: 2, is: 10, by: \"level\")",
                ".by",
                "\"level\"",
                "`level` is a level, which alone does not show a distance",
                "name a `Tape`",
            ),
            (
                "Level(step: 2, is: 0, high: Wall, by: \"tape\")",
                ".by",
                "\"tape\"",
                "which alone does not show what is level",
                "name a `Level`",
            ),
            (
                "Pitch(from: 1, to: 9, is: 37, by: \"scan\")",
                ".by",
                "\"scan\"",
                "`scan` is a scanner",
                "name a `Slope`",
            ),
        ],
    );
    warned(
        "W1",
        &[(
            "Straight(along: 30, up: 50, length: 48, is: 0, by: \"cross\")",
            ".by",
            "\"cross\"",
            "`cross` is a line laser, which alone does not show what is straight",
            "name a `Straightedge`",
        )],
    );
    taken(
        "steps",
        &[
            "Height(step: 9, above: 0, is: 67.5, by: \"far\")",
            "Level(step: 2, is: 0, high: Wall, by: \"cross\")",
            "Past(step: 2, line: \"LA\", is: -50, by: \"far\")",
        ],
    );
    taken(
        "W1",
        &[
            "Straight(along: 30, up: 50, length: 48, is: 0, by: \"level\")",
            "Plumb(along: 90, up: 20, level: 48, gap: 0, at: Top, by: \"digital\")",
            "Offset(along: 90, up: 40, is: 12, line: \"LB\", by: \"cross\")",
        ],
    );
}

#[test]
fn uncertainties() {
    refused(
        "steps",
        &[
            (
                "Going(step: 2, is: 10, sd: 0)",
                ".sd",
                "0",
                "the standard uncertainty is zero",
                "write more than zero, and 4\" at most",
            ),
            (
                "Going(step: 2, is: 10, sd: \"-1/16\")",
                ".sd",
                "\"-1/16\"",
                "the standard uncertainty is negative",
                "more than zero",
            ),
            (
                "Going(step: 2, is: 10, sd: 5)",
                ".sd",
                "5",
                "the standard uncertainty is more than 4\"",
                "4\" at most",
            ),
            (
                "Going(step: 2, is: 10, sd: \"0.001 mm\")",
                ".sd",
                "\"0.001 mm\"",
                "no tool on site is surer than 0.01 mm",
                "0.01 mm or more",
            ),
            (
                "Pitch(from: 1, to: 9, is: 37, sd: \"1/16\")",
                ".sd",
                "\"1/16\"",
                "the uncertainty of a pitch is an angle",
                "name the instrument with `by`",
            ),
        ],
    );
    refused(
        "F3",
        &[(
            "Diagonal(from: Wall, is: 51, sd: 0)",
            ".sd",
            "0",
            "uncertainty is zero",
            "more than zero",
        )],
    );
    taken("steps", &["Going(step: 2, is: 10, sd: 4)"]);
}

#[test]
fn times_and_notes() {
    let long = "n".repeat(401);
    for (field, what) in [("note", "the note"), ("taken", "the time")] {
        let text = added(
            "steps",
            &format!("Going(step: 2, is: 10, {field}: \"{long}\")"),
        );
        one_fault(
            &text,
            &format!("flight.readings[0].{field}"),
            &format!("\"{}...", "n".repeat(47)),
            &format!("{what} is 401 characters long"),
            "400 at most",
        );
        let text = added(
            "W1",
            &format!("Offset(along: 9, up: 9, is: 0, {field}: \"a\\tb\")"),
        );
        one_fault(
            &text,
            &format!("walls[0].readings[0].{field}"),
            "\"a\\tb\"",
            &format!("{what} holds characters that do not print"),
            "write it on one line",
        );
        let half = "½".repeat(400);
        let item = format!("Going(step: 2, is: 10, {field}: \"{half}\")");
        taken("steps", &[item.as_str()]);
    }
}
