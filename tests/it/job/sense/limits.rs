//! How much a job may hold.

use super::{N1, added};
use crate::job::faults_with;
use rakewell::job::Document;

#[test]
fn limits_on_what_a_job_holds() {
    let newels: String = (0..17)
        .map(|at| {
            let x = at * 10;
            format!("(name: \"P{at}\", section: Square(3), stands: At(x: {x}), height: 48),")
        })
        .collect();
    let faults = faults_with(N1, &newels);
    assert!(
        faults.to_string().contains("17 newels are too many"),
        "{faults}"
    );
    let readings: String = (0..2001)
        .map(|at| format!("Offset(along: {}, up: 110, is: 0),", at as f64 / 200.0))
        .collect();
    let faults = faults_with("Offset(along: 4, up: 110, is: 0),", &readings);
    assert!(faults.to_string().contains("2002 readings"), "{faults}");
    let wall = |at: usize| {
        format!(
            "(name: \"V{at}\", from: (x: 0, y: 9), to: (x: 9, y: 9), head: 90, readings: [\
             Offset(along: 1, up: 1, is: 0), Offset(along: 1, up: 9, is: 0)]),"
        )
    };
    let walls: String = (0..32).map(wall).collect();
    let faults = faults_with("walls: [ (", &format!("walls: [ {walls} ("));
    assert!(
        faults.to_string().contains("33 walls are too many"),
        "{faults}"
    );
}

#[test]
fn limits_on_what_a_survey_holds() {
    let many = |item: &str, count: usize| {
        let items = (0..count).map(|at| item.replace('#', &at.to_string()));
        items.collect::<Vec<_>>().join(",")
    };
    let landing = "(name: \"P#\", is: Landing(from: (x: 0, y: 9), to: (x: 9, y: 0), height: 0))";
    let cases = [
        (
            "instruments",
            "(name: \"P#\", is: Tape())",
            26,
            "33 instruments",
        ),
        (
            "lines",
            "(name: \"P#\", runs: Level())",
            61,
            "65 laser lines",
        ),
        ("floors", landing, 14, "17 floors"),
        (
            "F1",
            "Level(over: 48, is: 0, high: Open, note: \"#\")",
            499,
            "501 readings of floor `F1`",
        ),
        (
            "steps",
            "Going(step: 4, is: 10, note: \"#\")",
            4657,
            "4681 readings of the steps",
        ),
    ];
    for (list, item, count, problem) in cases {
        let text = added(list, &many(item, count));
        let faults = Document::parse(&text, "job.ron").expect_err(list);
        let told: Vec<&str> = faults
            .diagnostics
            .iter()
            .map(|one| one.problem.as_str())
            .collect();
        let problem = format!("{problem} are too many");
        assert!(told.contains(&problem.as_str()), "{faults}");
        let fewer = added(list, &many(item, count - 1));
        assert!(Document::parse(&fewer, "job.ron").is_ok(), "{list}");
    }
}
