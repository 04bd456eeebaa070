//! Walls and their readings.

use super::check;
use crate::job::{one_fault, with};
use rakewell::job::Document;

#[test]
fn walls() {
    let plumb = ", Plumb(along: 8, up: 105, level: 48, gap: 0.5, at: Top)";
    let offset = "Offset(along: 4, up: 110, is: 0), ";
    check(&[
        (
            plumb,
            "",
            "walls[0].readings",
            "[ Offset(along: 4, up: 110, is: 0) ]",
            "one reading, which cannot say how it stands",
            "take a second one",
        ),
        (
            "to: (x: 130, y: -8)",
            "to: (x: 130, y: 8)",
            "walls[0].to",
            "(x: 130, y: 8)",
            "ends where it begins",
            "give the other end",
        ),
        (
            "head: 200",
            "head: 0",
            "walls[0].head",
            "0",
            "the head is not above the foot",
            "datum",
        ),
    ]);
    let text = with(plumb, "").replace(offset.trim_end_matches(", "), "");
    one_fault(
        &text,
        "walls[0].readings",
        "[  ]",
        "no readings",
        "take the wall out",
    );
    let none = text.replace("readings: [  ] )", ")");
    let faults = Document::parse(&none, "job.ron").expect_err("no readings");
    assert_eq!(faults.diagnostics[0].path, "walls[0].readings");
    assert_eq!(
        faults.diagnostics[0].line, 10,
        "the wall itself is pointed at"
    );
}

#[test]
fn readings_of_walls() {
    check(&[
        (
            "Offset(along: 4",
            "Offset(along: 17",
            "walls[0].readings[0].along",
            "17",
            "off the end of the wall",
            "long",
        ),
        (
            "up: 110",
            "up: 201",
            "walls[0].readings[0].up",
            "201",
            "above or below the wall",
            "wall `W2` goes from",
        ),
        (
            "up: 105",
            "up: 160",
            "walls[0].readings[1].up",
            "160",
            "the level's upper end is at",
            "wall `W2` goes from",
        ),
        (
            "level: 48",
            "level: 0",
            "walls[0].readings[1].level",
            "0",
            "the level is zero",
            "write ",
        ),
        (
            "gap: 0.5",
            "gap: 30",
            "walls[0].readings[1].gap",
            "30",
            "more than half",
            "check both",
        ),
    ]);
}

#[test]
fn a_reading_at_the_very_end_of_a_slanting_wall_is_on_it() {
    // 3, 4, 5: the wall is 50 in long, but its length comes out of a square root.
    let text = with(
        "(x: 130, y: 8), to: (x: 130, y: -8)",
        "(x: 130, y: 8), to: (x: 160, y: -32)",
    )
    .replace("Offset(along: 4,", "Offset(along: 50,");
    assert!(Document::parse(&text, "job.ron").is_ok());
}
