//! `templates` and `pole`: every field documented, files written, paper that will not do said.

use std::collections::BTreeSet;

use serde_json::Value;

use super::json::{documented, paths};
use super::{rakewell, write};

fn answer(args: &[&str]) -> Value {
    let told = rakewell(args);
    assert_eq!((told.status, told.err.as_str()), (0, ""));
    serde_json::from_str(&told.out).unwrap()
}

fn same(found: &BTreeSet<String>, section: &str) {
    let told = documented(section);
    let untold: Vec<_> = found.difference(&told).collect();
    let missing: Vec<_> = told.difference(found).collect();
    assert!(
        untold.is_empty() && missing.is_empty(),
        "{section}: {untold:?} {missing:?}"
    );
}

#[test]
fn every_field_is_documented_and_every_documented_field_is_there() {
    let mut found = BTreeSet::new();
    paths(&answer(&["templates", "--json"]), "", &mut found);
    same(&found, "templates");
    let mut found = BTreeSet::new();
    paths(&answer(&["pole", "--json"]), "", &mut found);
    same(&found, "pole");
}

#[test]
fn files_are_written_for_what_is_asked() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("full size");
    let path = to.to_str().unwrap();
    let told = rakewell(&["templates", "--to", path, "--only", "n1", "--svg"]);
    assert_eq!(told.status, 0, "{}", told.err);
    assert!(told.err.contains("100 %"), "{}", told.err);
    let mut names: Vec<String> = std::fs::read_dir(&to)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    // The notches of N1 in tread and skirt, and the rail's end against it. The kick beside it is only
    // shorter, which takes a saw and no template.
    for wanted in ["N1-Q1-step-1", "N1-T1", "R1-lower-face", "R1-lower-wrap"] {
        for ending in ["pdf", "svg"] {
            assert!(names.contains(&format!("{wanted}.{ending}")), "{names:?}");
        }
    }
    assert!(!names.iter().any(|name| name.contains("K1")), "{names:?}");
    // The same again gives the same bytes.
    let first = std::fs::read(to.join("N1-T1.pdf")).unwrap();
    rakewell(&["templates", "--to", path, "--only", "N1"]);
    assert_eq!(first, std::fs::read(to.join("N1-T1.pdf")).unwrap());
}

/// The marks of the demo's plumb pole are its rises one on the other: 7 1/2 in all but the two that
/// were read otherwise (7 7/16 and 7 5/8), as its file says.
#[test]
fn the_pole_has_the_rises_as_found() {
    let told = answer(&["pole", "--json"]);
    let marks = told["runs"][0]["plumb"].as_array().unwrap();
    let heights: Vec<f64> = marks
        .iter()
        .filter(|mark| mark["what"] == "rise")
        .map(|mark| mark["at_mm"].as_f64().unwrap() / 25.4)
        .collect();
    assert_eq!(heights.len(), 14);
    let mut sum = 0.0;
    for (at, height) in heights.iter().enumerate() {
        sum += match at + 1 {
            2 => 7.0 + 7.0 / 16.0,
            11 => 7.0 + 5.0 / 8.0,
            _ => 7.5,
        };
        // A reading is weighed against what was meant: a hair at the most.
        assert!((height - sum).abs() < 1.0 / 64.0, "{at}: {height} {sum}");
    }
}

#[test]
fn paper_that_will_not_do_is_said_with_what_would() {
    let cases: [(&[&str], &str); 5] = [
        (
            &["--paper", "140mmx250mm"],
            "too narrow for the 6 in check ruler",
        ),
        (&["--margin", "150mm"], "leave nothing"),
        (&["--margin", "35mm"], "too narrow for the 6 in check ruler"),
        (&["--paper", "200mmx100mm"], "no room for a template"),
        (
            &["--paper", "letter", "--only", "T99"],
            "there is no template T99",
        ),
    ];
    for (args, wanted) in cases {
        for command in ["templates", "pole"] {
            if command == "pole" && args.contains(&"--only") {
                continue;
            }
            let told = rakewell(&[&[command], args].concat());
            assert_eq!(told.status, 2, "{args:?}: {}", told.err);
            assert!(told.err.contains(wanted), "{args:?}: {}", told.err);
            assert!(
                told.err.contains("would do") || told.err.contains("there are"),
                "{args:?}: {}",
                told.err
            );
            assert_eq!(told.out, "");
        }
    }
    for (args, wanted) in [
        (
            &["pole", "--to", "pole.txt"][..],
            "should be called something.pdf",
        ),
        (
            &["pole", "--margin", "-5mm"],
            "write a length of nothing or more",
        ),
        (
            &["templates", "--only", ""],
            "there is no template without a name",
        ),
    ] {
        let told = rakewell(args);
        assert_eq!((told.status, told.out.as_str()), (2, ""), "{args:?}");
        assert!(told.err.contains(wanted), "{args:?}: {}", told.err);
    }
    let told = rakewell(&["templates", "--paper", "foolscap"]);
    assert!(
        told.status == 2 && told.err.contains("arch-d"),
        "{}",
        told.err
    );
}

/// Names in a job reach the names of files: none leaves the folder.
#[test]
fn no_name_leaves_the_folder() {
    let folder = tempfile::tempdir().unwrap();
    let odd = super::DEMO.replace("\"N1\"", "\"../N1 /x\"");
    let job = write(folder.path(), "odd.ron", odd);
    let to = folder.path().join("in");
    let told = rakewell(&["templates", &job, "--to", to.to_str().unwrap()]);
    // Where the job itself may not have such a name, that is said.
    assert!([0, 2].contains(&told.status), "{}", told.err);
    let beside = std::fs::read_dir(folder.path()).unwrap().count();
    assert!(beside <= 2);
}
