//! Laser lines: where they run, and that a reading is taken from one of the right kind.

use super::{SURVEY, refused, warned};
use crate::job::one_fault;

#[test]
fn where_they_run() {
    let used = |line: &str| {
        // In the place of one that is used, so that nothing else is said of it.
        SURVEY.replacen("(name: \"LF\", runs: Level())", line, 1)
    };
    let cases = [
        (
            "(name: \"LF\", runs: Level(height: 1201))",
            "lines[1].runs.height",
            "1201",
            "the height is more than 1200\"",
            "write ",
        ),
        (
            "(name: \"LF\", runs: Level(), by: \"crass\")",
            "lines[1].by",
            "\"crass\"",
            "there is no instrument `crass`",
            "did you mean `cross`?",
        ),
        (
            "(name: \"LF\", runs: Level(), by: \"tape\")",
            "lines[1].by",
            "\"tape\"",
            "`tape` is a tape, which throws no line",
            "name the `Laser`",
        ),
        (
            "(name: \"LF\", runs: Level(), by: \"far\")",
            "lines[1].by",
            "\"far\"",
            "`far` is a distance laser, which throws no line",
            "name the `Laser`",
        ),
    ];
    for (line, path, read, problem, help) in cases {
        one_fault(&used(line), path, read, problem, help);
    }
    let text = SURVEY.replacen("Across(x: 60)", "Across(x: 3601)", 1);
    one_fault(
        &text,
        "lines[2].runs.x",
        "3601",
        "this place is more than",
        "write ",
    );
    let text = SURVEY.replacen("off: 12)", "off: 241)", 1);
    one_fault(
        &text,
        "lines[3].runs.off",
        "241",
        "the distance off the wall is more than 240\"",
        "write ",
    );
}

#[test]
fn beside_a_wall_that_is_not_there() {
    let text = SURVEY.replacen("Beside(wall: \"W1\"", "Beside(wall: \"W4\"", 1);
    let faults = rakewell::job::Document::parse(&text, "job.ron").expect_err("no W4");
    let told: Vec<(&str, &str)> = faults
        .diagnostics
        .iter()
        .map(|fault| (fault.path.as_str(), fault.problem.as_str()))
        .collect();
    // The reading of W1 that was taken from it is told as well.
    let expected = [
        ("lines[3].runs.wall", "there is no wall `W4`"),
        (
            "walls[0].readings[1].line",
            "laser line `LB` stands beside wall `W4`",
        ),
    ];
    assert_eq!(told, expected, "{faults}");
}

#[test]
fn one_that_nothing_is_read_from() {
    warned(
        "lines",
        &[(
            "(name: \"LX\", runs: Across())",
            "",
            "(name: \"LX\", runs: Across())",
            "no reading is taken from laser line `LX`",
            "name it in a reading as `line`",
        )],
    );
}

#[test]
fn of_the_wrong_kind_or_not_there() {
    refused(
        "steps",
        &[
            (
                "Under(step: 4, line: \"LA\", is: 10)",
                ".line",
                "\"LA\"",
                "laser line `LA` runs plumb across the flight",
                "read from a level line, `Level(...)`: `LL`, `LF`",
            ),
            (
                "Past(step: 4, line: \"LL\", is: 10)",
                ".line",
                "\"LL\"",
                "laser line `LL` runs level",
                "a plumb line across the flight, `Across(...)`: `LA`",
            ),
            (
                "Past(step: 4, line: \"LB\", is: 10)",
                ".line",
                "\"LB\"",
                "laser line `LB` stands beside wall `W1`",
                "across the flight",
            ),
            (
                "Under(step: 4, line: \"LLL\", is: 10)",
                ".line",
                "\"LLL\"",
                "there is no laser line `LLL`",
                "did you mean `LL`?",
            ),
            (
                "Under(step: 4, line: \"porch\", is: 10)",
                ".line",
                "\"porch\"",
                "there is no laser line `porch`",
                "known here: `LL`, `LF`, `LA`, `LB`",
            ),
        ],
    );
    refused(
        "W1",
        &[(
            "Offset(along: 60, up: 40, is: 12, line: \"LF\")",
            ".line",
            "\"LF\"",
            "laser line `LF` runs level",
            "a plumb line beside it, `Beside(wall: \"W1\")`: `LB`",
        )],
    );
    refused(
        "F3",
        &[(
            "Under(x: 140, y: 0, line: \"LA\", is: -60)",
            ".line",
            "\"LA\"",
            "laser line `LA` runs plumb across the flight",
            "a level line",
        )],
    );
    // W2's reading from the line that stands beside W1.
    let text = SURVEY.replacen(
        "Offset(along: 10, up: 120, is: 0), Offset(along: 60",
        "Offset(along: 10, up: 120, is: 0, line: \"LB\"), Offset(along: 60",
        1,
    );
    one_fault(
        &text,
        "walls[1].readings[0].line",
        "\"LB\"",
        "laser line `LB` stands beside wall `W1`",
        "a plumb line beside it, `Beside(wall: \"W2\")`",
    );
}
