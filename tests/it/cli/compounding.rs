//! `doubt --compounding`: the chart, the table and the JSON.

use std::collections::BTreeSet;

use serde_json::Value;

use super::json::{documented, paths};
use super::{SURVEYED, rakewell, write};

/// The surveyed demo's chart under a name, with more arguments.
fn charted(name: &str, more: &[&str]) -> (super::Ran, Vec<u8>) {
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "job.ron", SURVEYED);
    let to = folder.path().join(name);
    let to_text = to.to_str().unwrap();
    let mut args = vec!["doubt", &job, "--compounding", to_text];
    args.extend(more);
    let ran = rakewell(&args);
    (ran, std::fs::read(&to).unwrap_or_default())
}

#[test]
fn a_sixteenth_on_each_of_fourteen_steps_is_seven_eighths() {
    let (ran, bytes) = charted("chart.svg", &[]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(ran.err.contains("wrote "));
    let words = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("1/16\" on every rise, always the same way, is 7/8\" at the top."));
    // 1.96 times the square root of 14 thirds of a sixteenth is 0.265 in: 5/16 to a mark.
    assert!(
        words.contains("within 5/16\" nineteen times in twenty"),
        "{words}"
    );
    assert!(words.contains("step 9 throws most"), "{words}");
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80));
    let svg = String::from_utf8(bytes).unwrap();
    assert!(svg.starts_with("<svg ") && svg.trim_end().ends_with("</svg>"));
    assert!(svg.contains(">all the same way: 7/8&quot;<"));
}

#[test]
fn the_same_as_a_page_to_print() {
    let (ran, bytes) = charted("chart.pdf", &["--per-step", "1/32"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(bytes.starts_with(b"%PDF-"));
    assert!(
        ran.out
            .contains("1/32\" on every rise, always the same way, is 7/16\"")
    );
    let (_, again) = charted("chart.pdf", &["--per-step", "1/32"]);
    assert!(bytes == again, "the same chart makes the same bytes");
}

#[test]
fn every_field_is_documented_and_every_documented_field_is_there() {
    let (ran, _) = charted("chart.svg", &["--json"]);
    let answer: Value = serde_json::from_str(&ran.out).unwrap();
    let mut found = BTreeSet::new();
    paths(&answer, "", &mut found);
    let found: BTreeSet<String> = found
        .iter()
        .filter(|path| !path.ends_with("says[]"))
        .cloned()
        .chain(["flights[].sums[].says[]".to_owned()])
        .collect();
    assert_eq!(found, documented("compounding"));
    // Irwin-Hall of fourteen errors within a sixteenth (scipy 1.17.1), in mm.
    let top = &answer["flights"][0]["sums"][0]["steps"][14];
    let nearly = top["stepped_nearly_mm"].as_f64().unwrap();
    assert!((nearly - 4.221_051_324_755_739 * 25.4 / 16.0).abs() < 1e-8);
    assert!((top["same_way_mm"].as_f64().unwrap() - 0.875 * 25.4).abs() < 1e-9);
}

#[test]
fn what_will_not_do_is_told_before_anything_is_written() {
    for (name, more, told) in [
        ("chart.png", &[][..], "name it FILE.svg or FILE.pdf"),
        (
            "chart.svg",
            &["--per-step", "0"],
            "write more than zero, and 2\" at most",
        ),
        (
            "chart.svg",
            &["--per-step", "-1/16"],
            "write more than zero",
        ),
        ("chart.svg", &["--per-step", "9"], "2\" at most"),
        ("chart.svg", &["--per-step", "a hair"], "--per-step: "),
        ("no/such/folder.svg", &[], "its folder is not there"),
    ] {
        let (ran, bytes) = charted(name, more);
        assert_eq!(ran.status, 2, "{name} {more:?}");
        assert!(ran.err.contains(told), "{}", ran.err);
        assert!(ran.out.is_empty() && bytes.is_empty());
    }
}
