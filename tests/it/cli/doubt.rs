//! `doubt` on the terminal and in JSON.

use std::collections::BTreeSet;

use serde_json::Value;

use super::json::{documented, paths};
use super::{DEMO, rakewell, write};

fn text(args: &[&str]) -> String {
    let mut all = vec!["doubt"];
    all.extend(args);
    let told = rakewell(&all);
    assert_eq!(told.err, "");
    told.out
}

fn json(args: &[&str]) -> Value {
    let mut all = args.to_vec();
    all.push("--json");
    serde_json::from_str(&text(&all)).unwrap()
}

#[test]
fn every_field_is_documented_and_every_documented_field_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let tight = write(folder.path(), "tight.ron", crate::doubt::stair::tight());
    let mut found = BTreeSet::new();
    for job in [None, Some(tight.as_str())] {
        let mut args = vec!["--draws", "100"];
        args.extend(job);
        paths(&json(&args), "", &mut found);
    }
    let documented = documented("doubt");
    for path in &found {
        let fixed = path.strip_suffix("[]").unwrap_or(path);
        let is_told = documented.contains(path) || documented.contains(fixed);
        assert!(is_told, "{path} is not told of");
    }
    for path in &documented {
        let listed = format!("{path}[]");
        assert!(found.contains(path) || found.contains(&listed), "no {path}");
    }
}

#[test]
fn the_text_tells_what_the_json_does() {
    let asked = ["--draws", "200", "--seed", "4"];
    let (text, json) = (text(&asked), json(&asked));
    assert_eq!(
        (json["draws"].as_u64(), json["seed"].as_u64()),
        (Some(200), Some(4))
    );
    assert!(text.contains("Drawn 200 times"), "{text}");
    let odds = json["anything"]["odds"].as_str().unwrap();
    assert!(
        text.contains("That something fails which the plan keeps"),
        "{text}"
    );
    // A line may break anywhere between words.
    let words: Vec<&str> = text.split_whitespace().collect();
    let words = words.join(" ");
    assert!(words.contains(&format!("as meant: {odds} (")), "{text}");
    let chances = json["chances"].as_array().unwrap();
    assert!(chances.len() > 5);
    for chance in chances
        .iter()
        .filter(|chance| chance["fails"].as_u64() > Some(0))
    {
        let id = chance["id"].as_str().unwrap();
        assert!(text.contains(id), "{id} in {text}");
    }
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
}

#[test]
fn the_same_seed_gives_the_same_words() {
    let once = json(&["--draws", "100", "--threads", "1"]);
    assert_eq!(once, json(&["--draws", "100", "--threads", "3"]));
    assert_ne!(
        once["chances"],
        json(&["--draws", "100", "--seed", "2"])["chances"]
    );
}

#[test]
fn what_cannot_be_asked_is_said() {
    for (args, says) in [
        (["--draws", "0"], "from 100 to 10000000"),
        (
            ["--draws", "many"],
            "write a whole number from 100 to 10000000",
        ),
        (["--chance", "12%"], "from 50% to 99.99%"),
        (["--chance", "110%"], "from 50% to 99.99%"),
        (["--threads", "0"], "from 1 to 1024"),
    ] {
        let told = rakewell(&["doubt", args[0], args[1]]);
        assert_eq!(told.status, 2, "{args:?}");
        assert!(told.err.contains(says), "{args:?}: {}", told.err);
    }
    // A stair of enormous tolerances is refused where they are written.
    let folder = tempfile::tempdir().unwrap();
    let loose = DEMO.replacen("notch: \"1/16\"", "notch: \"30\"", 1);
    assert_ne!(loose, DEMO);
    let told = rakewell(&["doubt", &write(folder.path(), "loose.ron", loose)]);
    assert_eq!(told.status, 2);
    assert!(told.err.contains("design.tolerances.notch"), "{}", told.err);
}
