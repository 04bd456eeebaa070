//! Runs that cannot be: each fault with its field, line and what would do.

use rakewell::chain;
use rakewell::job::Document;

use super::{HALF, QUARTER, document, with};

/// The one fault of a text: its path and what it says.
fn fault(text: &str) -> (String, String, usize) {
    let faults = Document::parse(text, "scene.ron").expect_err("there is a fault");
    assert_eq!(faults.errors(), 1, "{faults}");
    let mut told = faults.diagnostics.iter();
    let one = told
        .find(|one| one.severity == rakewell::job::Severity::Error)
        .unwrap();
    (
        one.path.clone(),
        format!("{}; {}", one.problem, one.help),
        one.line,
    )
}

/// The line that a text stands in, from 1.
fn line_with(text: &str, what: &str) -> usize {
    1 + text.lines().position(|line| line.contains(what)).unwrap()
}

#[test]
fn a_run_goes_on_from_one_that_is_there() {
    let text = with(HALF, "after: \"L1\"", "after: \"L2\"");
    let (path, says, line) = fault(&text);
    assert_eq!(path, "runs[1].starts.after");
    assert!(
        says.contains("no earlier run `L2`; did you mean `L1`?"),
        "{says}"
    );
    assert_eq!(line, line_with(&text, "after: \"L2\""));
}

#[test]
fn two_runs_have_two_names() {
    let (path, says, _) = fault(&with(QUARTER, "name: \"L1\"", "name: \"2\""));
    assert_eq!(path, "runs[1].name");
    assert!(says.contains("two runs are called `2`"), "{says}");
    let (path, ..) = fault(&with(QUARTER, "name: \"L1\"", "name: \"1\""));
    assert_eq!(path, "runs[1].name");
    let (_, says, _) = fault(&with(QUARTER, "name: \"L1\"", "name: \"L.1\""));
    assert!(says.contains("letters and digits"), "{says}");
}

#[test]
fn a_run_is_a_flight_or_level() {
    let text = with(
        QUARTER,
        "level: (\n                open_side: Left,\n                length: \"76\",\n                edge: \"1 3/4\",\n                width: \"40\",\n                thickness: \"10\",\n            ),",
        "",
    );
    let faults = Document::parse(&text, "scene.ron").expect_err("there is a fault");
    let mut told = faults.diagnostics.iter();
    let neither = told.find(|one| one.path == "runs[1]").unwrap();
    assert!(
        neither
            .problem
            .contains("neither a flight, a level run nor a turn")
    );
}

#[test]
fn a_fault_in_a_further_run_is_told_where_it_stands() {
    let text = with(
        QUARTER,
        "count: 7,\n                rise: \"7 1/2\"",
        "count: 7,\n                rise: \"75\"",
    );
    let (path, _, line) = fault(&text);
    assert_eq!(path, "runs[0].flight.rise");
    assert_eq!(line, line_with(&text, "rise: \"75\""));
}

#[test]
fn a_newel_of_a_later_run_is_not_there_yet() {
    let text = with(QUARTER, "upper: Newel(\"N2\")", "upper: Newel(\"N4\")");
    let (path, says, _) = fault(&text);
    assert_eq!(path, "design.rail.upper.Newel");
    assert!(says.contains("no newel `N4`"), "{says}");
}

#[test]
fn parts_of_two_runs_have_two_names() {
    let (path, says, _) = fault(&with(QUARTER, "name: \"S3\"", "name: \"S1\""));
    assert_eq!(path, "runs[0].stringers[0].name");
    assert!(says.contains("two parts are called `S1`"), "{says}");
}

#[test]
fn a_turn_is_half_a_turn_at_most() {
    let (path, says, _) = fault(&with(QUARTER, "turn: \"90\"", "turn: \"270\""));
    assert_eq!(path, "runs[0].starts.turn");
    assert!(says.contains("-180 to 180"), "{says}");
}

#[test]
fn a_level_run_has_no_treads() {
    let text = with(
        QUARTER,
        "spacing: AlongRail(),",
        "spacing: PerTread(count: 2),",
    );
    let (path, says, _) = fault(&text);
    assert_eq!(path, "runs[1].design.balusters.spacing");
    assert!(says.contains("AlongRail()"), "{says}");
}

#[test]
fn the_run_that_places_a_newel_across_is_there_and_turns() {
    let (path, says, _) = fault(&with(QUARTER, "also: (run: \"2\"", "also: (run: \"3\""));
    assert_eq!(path, "design.newels[1].also.run");
    assert!(says.contains("no run `3`"), "{says}");
    let (path, ..) = fault(&with(
        QUARTER,
        "also: (run: \"2\", step: 1",
        "also: (run: \"2\", step: 7",
    ));
    assert_eq!(path, "design.newels[1].also.step");
    let straight = with(QUARTER, "turn: \"90\"", "turn: \"0\"");
    let error = chain::run(document(&straight).job()).expect_err("it does not turn");
    assert_eq!(error.path, "design.newels[1].also");
    assert!(error.to_string().contains("leave `also` out"), "{error}");
}

#[test]
fn a_level_run_comes_to_no_landing() {
    let (before, after) = QUARTER.split_at(QUARTER.find("name: \"R3\"").unwrap());
    let over = "upper: Newel(\"N4\"), system: OverPost(landing: \"40\"),";
    let text = format!("{before}{}", with(after, "upper: Newel(\"N4\"),", over));
    let (path, says, _) = fault(&text);
    assert_eq!(path, "runs[1].design.rail.system.landing");
    assert!(says.contains("a level run comes to no landing"), "{says}");
}

#[test]
fn a_height_that_the_rail_overrides_is_told() {
    let over = "upper: Newel(\"N2\"), system: OverPost(),";
    let document = document(&with(QUARTER, "upper: Newel(\"N2\"),", over));
    let told: Vec<&str> = document
        .warnings()
        .iter()
        .filter(|one| one.problem.contains("this height is not used"))
        .map(|one| one.path.as_str())
        .collect();
    assert_eq!(told, ["design.newels[0].height", "design.newels[1].height"]);
}
