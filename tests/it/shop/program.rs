//! The command as a person runs it: text in eighty columns, tables, JSON as documented.

use std::collections::BTreeSet;

use serde_json::Value;

use super::{SCENES, STRAIGHT, with};
use crate::cli::json::{documented, paths};
use crate::cli::{rakewell, write};

#[test]
fn every_scene_prints_within_eighty_columns() {
    let folder = tempfile::tempdir().unwrap();
    for (scene, text) in SCENES {
        let path = write(folder.path(), &format!("{scene}.ron"), text);
        for more in [
            &["cuts", &path][..],
            &["cuts", &path, "--marks"],
            &["cuts", &path, "--tape", "mm"],
        ] {
            let told = rakewell(more);
            assert_eq!((told.status, told.err.as_str()), (0, ""), "{scene}");
            for line in told.out.lines() {
                assert!(line.chars().count() <= 80, "{scene}: {line}");
                assert!(
                    !line.contains("NaN") && !line.contains("no length"),
                    "{scene}: {line}"
                );
            }
        }
    }
}

#[test]
fn a_guard_whose_anchors_nobody_states_says_so() {
    let told = rakewell(&["cuts"]);
    assert!(
        told.out
            .contains("newel base: N1 on F0\n      anchor not shown"),
        "{}",
        told.out
    );
    assert!(told.out.contains("Saws hurt"), "{}", told.out);
}

#[test]
fn tables_have_a_cell_for_every_column_and_agree_with_the_json() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "lane.ron", SCENES[15].1);
    let tables = folder.path().join("tables");
    let told = rakewell(&["cuts", &path, "--json", "--csv", tables.to_str().unwrap()]);
    assert_eq!(told.status, 0, "{}", told.err);
    let answer: Value = serde_json::from_str(&told.out).unwrap();
    let read = |name: &str| -> Vec<csv::StringRecord> {
        // The reader refuses a row of another length than the head's.
        let mut reader = csv::Reader::from_path(tables.join(name)).unwrap();
        assert!(reader.headers().unwrap().len() > 10);
        reader.records().map(Result::unwrap).collect()
    };
    let cuts = read("cuts.csv");
    let pieces = answer["pieces"].as_array().unwrap();
    assert_eq!(cuts.len(), pieces.len());
    for (row, piece) in cuts.iter().zip(pieces) {
        let exact: f64 = row[16].parse().unwrap();
        assert!((exact - piece["long_points_mm"].as_f64().unwrap()).abs() < 1e-3);
        assert_eq!(row[15], piece["long_points"]);
    }
    let ends = pieces
        .iter()
        .flat_map(|piece| piece["ends"].as_array().unwrap());
    let saw: usize = ends.map(|end| end["cuts"].as_array().unwrap().len()).sum();
    assert_eq!(read("saw.csv").len(), saw);
    assert_eq!(
        read("fastening.csv").len(),
        answer["joints"].as_array().unwrap().len()
    );
    let rows = answer["marks"][0]["rows"].as_array().unwrap();
    let marks: usize = rows
        .iter()
        .map(|row| row["marks"].as_array().unwrap().len() + 1)
        .sum();
    assert_eq!(read("marks.csv").len(), marks);
    assert_eq!(read("treads.csv").len(), 25);
    assert!(read("newels.csv").len() >= 4 && !read("bores.csv").is_empty());
}

/// Every field of the answer over all scenes and what they lack.
fn found() -> (BTreeSet<String>, Vec<String>) {
    fn nulls(value: &Value, path: &str, found: &mut Vec<String>) {
        match value {
            Value::Object(fields) => {
                for (name, value) in fields {
                    let dot = if path.is_empty() { "" } else { "." };
                    nulls(value, &format!("{path}{dot}{name}"), found);
                }
            }
            Value::Array(items) => {
                for item in items {
                    nulls(item, &format!("{path}[]"), found);
                }
            }
            Value::Null => found.push(path.to_owned()),
            _ => {}
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let anchored = with(
        STRAIGHT,
        &[
            (
                "built: [",
                "anchors: [(what: Top, detail: \"bolts\", source: \"the engineer\", \
                 carries: \"250 lb\", at: [NewelBase])],\n    built: [",
            ),
            (
                "        newels: [\n            (",
                "fixings: [(name: \"bolt 1\", part: \"N2\", face: Wall, up: \"3\", diameter: \"1/2\", \
                 deep: \"4\", plug: (diameter: \"1\", depth: \"1/2\"))],\n        newels: [\n            (",
            ),
        ],
    );
    let delivered = with(
        STRAIGHT,
        &[(
            "built: [",
            "received: (balusters: [(mark: \"a1\")]),\n    built: [",
        )],
    );
    let all = SCENES.iter().map(|(_, text)| (*text).to_owned());
    let (mut fields, mut empty) = (BTreeSet::new(), Vec::new());
    for (at, text) in all.chain([anchored, delivered]).enumerate() {
        let path = write(folder.path(), &format!("{at}.ron"), text);
        let answer: Value =
            serde_json::from_str(&rakewell(&["cuts", "--json", &path]).out).unwrap();
        assert_eq!(answer["format"], 1);
        paths(&answer, "", &mut fields);
        nulls(&answer, "", &mut empty);
    }
    (fields, empty)
}

#[test]
fn every_field_is_documented_and_nothing_else_is_null() {
    let (fields, empty) = found();
    let told = documented("cuts");
    for path in &fields {
        let fixed = path.strip_suffix("[]").unwrap_or(path);
        assert!(
            told.contains(path) || told.contains(fixed),
            "{path} is not told of"
        );
    }
    for path in &told {
        let listed = format!("{path}[]");
        assert!(
            fields.contains(path) || fields.contains(&listed),
            "no {path}"
        );
    }
    let text = include_str!("../../../DEVELOPERS.md");
    for path in empty {
        // A joint with nothing behind it is a pair whose second is null.
        let path = path
            .strip_suffix("[][]")
            .map_or(path.clone(), |list| format!("{list}[]"));
        assert!(text.contains(&format!("`{path}`?")), "{path} is null");
    }
}
