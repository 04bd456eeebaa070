//! `inspect --why` and `inspect --apply` as a person types them.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::cli::json::{documented, paths};
use crate::cli::{DEMO, rakewell, write};

#[test]
fn one_number_is_told_in_eighty_columns() {
    for id in ["gap:B25+W2", "reveal-drift:R1", "rail-length:R1"] {
        let told = rakewell(&["inspect", "--why", id]);
        assert_eq!(told.status, 0, "{}", told.err);
        let words = told.out.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in [id, "Because", "alone", "adding up", "true"] {
            assert!(words.contains(part), "{id}: no {part} in\n{}", told.out);
        }
        assert!(
            told.out.lines().all(|line| line.chars().count() <= 80),
            "{}",
            told.out
        );
    }
}

#[test]
fn a_name_that_is_not_known_is_told_with_those_near_it() {
    let told = rakewell(&["inspect", "--why", "gap:N1+B1"]);
    assert_eq!(told.status, 2);
    assert!(told.out.is_empty());
    assert!(told.err.contains("gap:N1+B01"), "{}", told.err);
}

#[test]
fn the_machine_answer_is_documented() {
    let mut found = BTreeSet::new();
    for id in ["reveal-drift:R1", "stringer-cut:N1+S1", "gap:N1+B01"] {
        let told = rakewell(&["inspect", "--json", "--why", id]);
        assert_eq!(told.status, 0, "{}", told.err);
        let answer: Value = serde_json::from_str(&told.out).unwrap();
        assert_eq!(answer["id"], id);
        let because = answer["because"].as_array().unwrap();
        let sum: f64 = because
            .iter()
            .map(|one| one["shapley_mm"].as_f64().unwrap())
            .sum();
        let whole = answer["value_mm"].as_f64().unwrap() - answer["when_true_mm"].as_f64().unwrap();
        assert!((sum - whole).abs() < 1e-6, "{answer}");
        paths(&answer, "", &mut found);
    }
    let told = documented("why");
    let plain = |path: &String| path.trim_end_matches("[]").to_owned();
    let (found, told): (BTreeSet<_>, BTreeSet<_>) = (
        found.iter().map(plain).collect(),
        told.iter().map(plain).collect(),
    );
    assert_eq!(found, told);
}

#[test]
fn a_cure_is_written_and_can_be_taken_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "job.ron", DEMO);
    let told = rakewell(&["inspect", &path, "--apply", "stringer-cut:N1+S1"]);
    assert_eq!(told.status, 0, "{}", told.err);
    assert!(
        told.out
            .contains("undo  design.newels[0].stands.Displaces.move_by: \"0\""),
        "{}",
        told.out
    );
    let text = std::fs::read_to_string(&path).unwrap();
    assert_eq!(
        text.replacen("move_by: \"-1/2\"", "move_by: \"0\"", 1),
        DEMO
    );
    let cut = |text: &str| text.contains("\"stringer-cut:N1+S1\"");
    assert!(!cut(&rakewell(&["inspect", &path, "--json"]).out));
}

/// The list numbers its troubles; each number does what the trouble's id does.
#[test]
fn a_trouble_goes_by_its_number_too() {
    let folder = tempfile::tempdir().unwrap();
    let listed = rakewell(&["inspect"]).out;
    assert!(listed.contains("--apply 1 "), "{listed}");
    let told = |why: &str| rakewell(&["inspect", "--why", why]).out;
    assert!(told("1").contains("\nstringer-cut:N1+S1\n"));
    assert_eq!(told("1"), told("stringer-cut:N1+S1"));
    let written = |name: &str, args: [&str; 4]| {
        let path = write(folder.path(), name, DEMO);
        let mut all = vec!["inspect", &path];
        all.extend(args.into_iter().filter(|one| !one.is_empty()));
        let told = rakewell(&all);
        assert_eq!(told.status, 0, "{}", told.err);
        (told.out, std::fs::read_to_string(&path).unwrap())
    };
    let by_number = written("a.ron", ["--apply", "2:2", "", ""]);
    assert_eq!(
        by_number,
        written("b.ron", ["--apply", "opening:B25+W2:2", "", ""])
    );
    assert!(
        by_number.0.starts_with("for   A ball of "),
        "{}",
        by_number.0
    );
    let because = ["--because", "as agreed"];
    assert_eq!(
        written("c.ron", ["--let-stand", "2", because[0], because[1]]),
        written(
            "d.ron",
            ["--let-stand", "opening:B25+W2", because[0], because[1]]
        )
    );
    for number in ["0", "99"] {
        let told = rakewell(&["inspect", "--why", number]);
        assert_eq!(told.status, 2);
        assert!(told.err.contains("no trouble"), "{}", told.err);
    }
}

#[test]
fn what_cannot_be_applied_leaves_the_file_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "job.ron", DEMO);
    for id in [
        "stringer-cut:N1+S9",
        "stringer-cut:N1+S1:99",
        "stringer-cut:N1+S1:0",
    ] {
        let told = rakewell(&["inspect", &path, "--apply", id]);
        assert_eq!(told.status, 2, "{id}");
        assert!(told.out.is_empty());
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), DEMO);
    // The shipped demo has no file to write to.
    assert_eq!(
        rakewell(&["inspect", "--apply", "stringer-cut:N1+S1"]).status,
        2
    );
}
