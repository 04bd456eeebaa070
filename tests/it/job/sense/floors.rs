//! Floors and landings. F3 is a landing of 36 in by 36 in, 105 in up; the open side is the left.

use super::{SURVEY, added, refused, taken, warned};
use crate::job::one_fault;
use rakewell::job::Document;

#[test]
fn one_lower_and_one_upper_floor() {
    for kind in ["Lower", "Upper"] {
        let text = added("floors", &format!("(name: \"F9\", is: {kind})"));
        let lower = kind.to_lowercase();
        let at = if kind == "Lower" { 1 } else { 2 };
        one_fault(
            &text,
            &format!("floors[{at}].is"),
            kind,
            &format!("the flight has one {lower} floor, and this is a second one"),
            "put the readings of both into one",
        );
    }
    taken(
        "floors",
        &["(name: \"F9\", is: Landing(from: (x: -40, y: 1), to: (x: 0, y: -35), height: 0))"],
    );
}

#[test]
fn names_are_those_of_parts() {
    for (name, other) in [
        ("F2", "floors[2].name"),
        ("W1", "floors[0].name"),
        ("S2", "stringers[1].name"),
    ] {
        let item = format!(
            "(name: \"{name}\", is: Landing(from: (x: -40, y: 1), to: (x: 0, y: -35), height: 0))"
        );
        let faults = Document::parse(&added("floors", &item), "job.ron").expect_err(name);
        assert_eq!(faults.diagnostics.len(), 1, "{faults}");
        assert_eq!(faults.diagnostics[0].path, other, "{faults}");
        let problem = format!("two parts are called `{name}`");
        assert_eq!(faults.diagnostics[0].problem, problem);
    }
}

#[test]
fn corners_of_a_landing() {
    let landing = "Landing(from: (x: 130, y: 1.5), to: (x: 166, y: -34.5), height: 105)";
    let cases = [
        (
            "Landing(from: (x: 130, y: 1.5), to: (x: 130, y: -34.5), height: 105)",
            "to.x",
            "130",
            "the landing's second corner is not uphill of its first",
            "`from` is the downhill corner",
        ),
        (
            "Landing(from: (x: 130, y: -34.5), to: (x: 166, y: 1.5), height: 105)",
            "to.y",
            "1.5",
            "the landing's second corner is not on the wall side of its first",
            "the open side is on the left",
        ),
        (
            "Landing(from: (x: 130, y: 1.5), to: (x: 135, y: -34.5), height: 105)",
            "to.x",
            "135",
            "the landing is 5\" from corner to corner this way",
            "a side is 6\" to 600\" long",
        ),
        (
            "Landing(from: (x: 130, y: 1.5), to: (x: 3601, y: -34.5), height: 105)",
            "to.x",
            "3601",
            "this place is more than 3600\"",
            "write ",
        ),
        (
            "Landing(from: (x: 130, y: 1.5), to: (x: 166, y: -34.5), height: 1201)",
            "height",
            "1201",
            "the height is more than 1200\"",
            "write ",
        ),
    ];
    // Its readings would be told as well.
    let bare = SURVEY[..SURVEY.find("readings: [ /*F3*/").expect("it is there")].to_owned()
        + &SURVEY[SURVEY.find("    stringers: [").expect("it is there")..].replacen(
            "    stringers: [",
            "), ],\n    stringers: [",
            1,
        );
    assert!(Document::parse(&bare, "job.ron").is_ok());
    for (new, field, read, problem, help) in cases {
        let path = format!("floors[2].is.{field}");
        one_fault(&bare.replacen(landing, new, 1), &path, read, problem, help);
    }
}

/// With the open side on the right `from` is the corner of the lesser y.
#[test]
fn corners_of_a_landing_open_on_the_right() {
    let right = |from: &str, to: &str| {
        let item = format!(
            "(name: \"F9\", is: Landing(from: (x: -40, y: {from}), to: (x: -4, y: {to}), height: 0))"
        );
        let text = crate::job::SAMPLE.replacen("open_side: Left", "open_side: Right", 1);
        text.replacen(
            "    design: (",
            &format!("    floors: [ {item} ],\n    design: ("),
            1,
        )
    };
    assert!(Document::parse(&right("-1", "35"), "job.ron").is_ok());
    one_fault(
        &right("35", "-1"),
        "floors[0].is.to.y",
        "-1",
        "not on the wall side of its first",
        "the open side is on the right",
    );
}

#[test]
fn levels_laid_on_them() {
    refused(
        "F1",
        &[
            (
                "Level(over: 3, is: 0, high: Open)",
                ".over",
                "3",
                "the level is less than 4\"",
                "write 4\" to 240\"",
            ),
            (
                "Level(over: 24, is: 7, high: Open)",
                ".is",
                "7",
                "the gap is more than a quarter of the level",
                "check both",
            ),
            (
                "Level(over: 24, is: -1, high: Open)",
                ".is",
                "-1",
                "the gap is negative",
                "write 0\" to ",
            ),
        ],
    );
    refused(
        "F3",
        &[(
            "Level(over: 48, is: 0, high: Uphill)",
            ".over",
            "48",
            "the level is longer than the landing",
            "the landing is 36\" that way",
        )],
    );
    taken("F1", &["Level(over: 120, is: 6, high: Downhill)"]);
}

#[test]
fn depths_under_a_line() {
    refused(
        "F3",
        &[
            (
                "Under(x: 167, y: 0, line: \"LF\", is: -66)",
                ".x",
                "167",
                "this is off the landing",
                "landing `F3` goes from 130\" to 166\"",
            ),
            (
                "Under(x: 150, y: 2, line: \"LF\", is: -66)",
                ".y",
                "2",
                "this is off the landing",
                "landing `F3` goes from -34 1/2\" to 1 1/2\"",
            ),
            (
                "Under(x: 150, y: 0, line: \"LL\", is: 66)",
                ".is",
                "66",
                "the depth under the line is more than -41\"",
                "write -89\" to -41\"",
            ),
        ],
    );
    refused(
        "F1",
        &[
            (
                "Under(x: -3601, y: 0, line: \"LF\", is: 38)",
                ".x",
                "-3601",
                "this place is less than",
                "write ",
            ),
            (
                "Under(x: -20, y: 0, line: \"LL\", is: 65)",
                ".is",
                "65",
                "the depth under the line is more than 64\"",
                "write 16\" to 64\"",
            ),
        ],
    );
    taken("F3", &["Under(x: 166, y: -34.5, line: \"LF\", is: -66)"]);
}

#[test]
fn edges_and_diagonals() {
    refused(
        "F1",
        &[
            (
                "Edge(edge: Uphill, is: 36)",
                "",
                "Edge(edge: Uphill, is: 36)",
                "floor `F1` is no landing and has no edge",
                "only a `Landing(...)`",
            ),
            (
                "Diagonal(from: Open, is: 51)",
                "",
                "Diagonal(from: Open, is: 51)",
                "floor `F1` is no landing and has no diagonal",
                "only a `Landing(...)`",
            ),
        ],
    );
    refused(
        "F3",
        &[(
            "Edge(edge: Wall, is: 5)",
            ".is",
            "5",
            "the edge is less than 6\"",
            "write 6\" to 600\"",
        )],
    );
    // The root of 36 and 36 squared is 50.91 in.
    warned(
        "F3",
        &[
            (
                "Diagonal(from: Wall, is: 38)",
                ".is",
                "38",
                "off the 50 15/16\"- that is meant",
                "read it again",
            ),
            (
                "Edge(edge: Open, is: 92)",
                ".is",
                "92",
                "off the 36\" that is meant",
                "a factor of 2.54: was it centimetres? write `92 cm`",
            ),
        ],
    );
    // Of a landing that is longer than wide each edge has its own length.
    let long = SURVEY.replacen("to: (x: 166, y: -34.5)", "to: (x: 202, y: -34.5)", 1);
    let told = Document::parse(&long, "job.ron").expect("it can be used");
    let paths: Vec<&str> = told
        .warnings()
        .iter()
        .map(|one| one.path.as_str())
        .collect();
    let expected = ["floors[2].readings[3].is", "floors[2].readings[4].is"];
    assert_eq!(
        paths, expected,
        "the open edge and the diagonal, not the uphill edge"
    );
}
