//! `survey`: the slips of the surveyed demo are named, with their lines, and nothing else is.

use serde_json::Value;

use super::{SURVEYED, rakewell, write};

/// The line of the file that holds a text.
fn line_with(text: &str) -> usize {
    1 + SURVEYED
        .lines()
        .position(|line| line.contains(text))
        .unwrap()
}

#[test]
fn the_slip_is_named_with_its_line_and_what_it_ought_to_be() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "surveyed.ron", SURVEYED);
    let told = rakewell(&["survey", "--json", &path]);
    assert_eq!(told.status, 1);
    let answer: Value = serde_json::from_str(&told.out).unwrap();
    let suspects = answer["suspects"].as_array().unwrap();
    assert_eq!(suspects.len(), 1, "{suspects:#?}");
    assert_eq!(suspects[0]["what"], "rise of step 9");
    assert_eq!(suspects[0]["line"], line_with("read by phone light"));
    // A quarter of an inch was added to the reading when the demo was drawn up.
    let right = 25.4 * (7.0 + 13.0 / 16.0 - 0.25);
    let predicted = suspects[0]["predicted"].as_f64().unwrap();
    let sd = suspects[0]["predicted_sd"].as_f64().unwrap();
    assert!(
        (predicted - right).abs() < 3.29 * sd.hypot(0.6),
        "{predicted} for {right}"
    );
    // No reading is lost: as many as the file writes.
    let written = SURVEYED
        .lines()
        .filter(|line| line.trim_start().starts_with(char::is_uppercase) && line.contains("is: \""))
        .count();
    let plumb = SURVEYED.matches("Plumb(").count();
    let floors = SURVEYED.matches("[Level(").count();
    assert_eq!(
        answer["readings"].as_array().unwrap().len(),
        written + plumb + floors
    );
}

#[test]
fn a_survey_without_the_slip_has_none() {
    let folder = tempfile::tempdir().unwrap();
    let good = SURVEYED
        .replacen(
            "Rise(step: 9, is: \"7 13/16\"",
            "Rise(step: 9, is: \"7 9/16\"",
            1,
        )
        .replacen(
            "is: \"6 3/16\"),\n                Offset(along: \"170\"",
            "is: \"5 13/16\"),\n                Offset(along: \"170\"",
            1,
        );
    assert_ne!(good, SURVEYED);
    let path = write(folder.path(), "good.ron", good);
    let told = rakewell(&["survey", &path]);
    assert_eq!(told.status, 0, "{}", told.out);
    assert!(told.out.contains("none looks like a slip"), "{}", told.out);
}

#[test]
fn the_inspection_warns_of_the_slip() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "surveyed.ron", SURVEYED);
    let told = rakewell(&["inspect", &path]);
    let words: Vec<&str> = told.out.split_whitespace().collect();
    let words = words.join(" ");
    assert!(words.contains("may be a slip"), "{words}");
    assert!(words.contains("rise of step 9 reads 7 13/16"), "{words}");
}

#[test]
fn every_wall_is_drawn_as_a_well_formed_picture() {
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("walls");
    let told = rakewell(&["survey", "--walls", into.to_str().unwrap()]);
    assert_eq!(told.err, "");
    for name in ["W1", "W2"] {
        let text = std::fs::read_to_string(into.join(format!("wall-{name}.svg"))).unwrap();
        assert!(
            text.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\"")
                && text.ends_with("</svg>\n")
        );
        assert!(!text.contains("NaN") && !text.contains("inf"));
        // Every element that is opened is closed.
        for tag in ["text", "g", "title", "desc"] {
            let opened = text.matches(&format!("<{tag}>")).count()
                + text.matches(&format!("<{tag} ")).count();
            assert_eq!(opened, text.matches(&format!("</{tag}>")).count(), "{tag}");
        }
        // The quotes of inches are escaped inside words and balanced in attributes.
        assert_eq!(text.matches('"').count() % 2, 0);
    }
}
