//! `setout --fit`: in words and in JSON, every field documented, newels that are not cut said so.

use std::collections::BTreeSet;

use serde_json::Value;

use super::json::{documented, paths};
use super::{rakewell, write};

fn answer(args: &[&str]) -> Value {
    let told = rakewell(args);
    assert_eq!(told.err, "");
    serde_json::from_str(&told.out).unwrap()
}

#[test]
fn every_field_is_documented_and_every_documented_field_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let straight = include_str!("../../../scenes/straight.ron");
    let with = |section: &str| straight.replacen("section: Square(\"3 1/2\"),", section, 1);
    let round = write(
        folder.path(),
        "round.ron",
        with("section: Round(\"3 1/2\"),"),
    );
    let turned = with("section: Square(\"3 1/2\"), twist: 3,");
    let turned = write(folder.path(), "turned.ron", turned);
    let mut found = BTreeSet::new();
    let turn = "scenes/half-turn.ron";
    for (newel, path) in [("N1", round.as_str()), ("N1", &turned), ("N3", turn)] {
        let answer = answer(&["setout", "--json", "--fit", newel, path]);
        paths(&answer, "", &mut found);
    }
    let told = documented("setout --fit");
    let untold: Vec<_> = found.difference(&told).collect();
    let missing: Vec<_> = told.difference(&found).collect();
    assert!(
        untold.is_empty() && missing.is_empty(),
        "{untold:?} {missing:?}"
    );
}

#[test]
fn a_twisted_newel_is_told_by_two_numbers() {
    // Elementary geometry: 3 1/2 in turned by 3 degrees runs 3 1/2 sin 3 = 0.183 in out of square.
    let folder = tempfile::tempdir().unwrap();
    let straight = include_str!("../../../scenes/straight.ron");
    let turned = "section: Square(\"3 1/2\"), twist: 3,";
    let turned = straight.replacen("section: Square(\"3 1/2\"),", turned, 1);
    let path = write(folder.path(), "turned.ron", turned);
    let fit = answer(&["setout", "--json", "--fit", "N1", &path]);
    let line = &fit["runs"][0]["faces"][0]["lines"];
    let uphill = line.as_array().unwrap().iter();
    let uphill = uphill.filter(|line| line["side"] == "uphill side");
    let out: Vec<f64> = uphill
        .map(|line| line["out_of_square_mm"].as_f64().unwrap())
        .collect();
    approx::assert_relative_eq!(
        out[0],
        3.5 * 25.4 * 3.0_f64.to_radians().sin(),
        epsilon = 1e-6
    );
    // 0.183 in is 3/16 in to the mark.
    let told = rakewell(&["setout", "--fit", "N1", &path]).out;
    let words: Vec<&str> = told.split_whitespace().collect();
    assert!(words.join(" ").contains("3/16\" out of square"), "{told}");
}

#[test]
fn newels_that_meet_no_board_say_so_and_a_wrong_name_says_what_there_is() {
    let told = rakewell(&["setout", "--fit", "N2", "scenes/straight.ron"]).out;
    assert!(told.contains("nothing is notched"), "{told}");
    let turn = rakewell(&["setout", "--fit", "N3", "scenes/half-turn.ron"]).out;
    assert!(turn.contains("notched into 2.T1"), "{turn}");
    let wrong = rakewell(&["setout", "--fit", "N9", "scenes/straight.ron"]);
    assert_eq!(wrong.status, 2);
    assert!(wrong.err.contains("it has N1, N2"), "{}", wrong.err);
}
