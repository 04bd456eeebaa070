//! Readings of the steps.

use super::check;
use crate::job::with;
use rakewell::job::{Document, Severity};

#[test]
fn readings_of_the_steps() {
    check(&[
        (
            "Going(step: 6",
            "Going(step: 14",
            "flight.readings[0].step",
            "14",
            "there is no tread 14",
            "14 kicks carry treads 1 to 13",
        ),
        (
            "Going(step: 6, is: 9.75)",
            "Rise(step: 15, is: 7.5)",
            "flight.readings[0].step",
            "15",
            "there is no kick 15",
            "kicks 1 to 14",
        ),
        (
            "is: 9.75",
            "is: 0",
            "flight.readings[0].is",
            "0",
            "the going is zero",
            "write ",
        ),
        (
            "Edge(step: 3, is: 1.75",
            "Level(step: 3, high: Open, is: -0.25",
            "flight.readings[1].is",
            "-0.25",
            "the level is negative",
            "write ",
        ),
    ]);
}

#[test]
fn rough_and_finished_may_both_be_read() {
    let text = with("Edge(step: 3, is: 1.75", "Going(step: 6, on: Rough, is: 10");
    assert!(Document::parse(&text, "job.ron").is_ok());
}

#[test]
fn a_likely_slip_is_a_warning() {
    let text = with("is: 9.75", "is: 6.75");
    let document = Document::parse(&text, "job.ron").expect("it can be used");
    let warning = &document.warnings()[0];
    assert_eq!((warning.severity, warning.line), (Severity::Warning, 8));
    assert_eq!(warning.path, "flight.readings[0].is");
}
