//! Because and cure: the shares against games with published values and against brute force, the
//! cures against the chain run on the edited file.

mod cli;
mod columns;
mod cures;
mod games;

use rakewell::chain::{self, Chain};
use rakewell::job::Document;

const STARTER: &str = include_str!("../../../scenes/straight.ron");

fn document(text: &str) -> Document {
    Document::parse(text, "scene.ron").unwrap_or_else(|faults| panic!("{faults}"))
}

fn run(text: &str) -> Chain {
    chain::run(document(text).job()).unwrap_or_else(|error| panic!("{error}"))
}

/// A scene with one text put for another, which must be there.
fn with(text: &str, old: &str, new: &str) -> String {
    assert!(text.contains(old), "{old} is not in the scene");
    text.replacen(old, new, 1)
}

/// The starter with readings, each as sure as a reading can be, so that what is found is what was
/// read.
fn read(readings: &[(&str, &str)]) -> String {
    let lines: Vec<String> = readings
        .iter()
        .map(|(what, is)| format!("{what}, is: \"{is}\", sd: \"0.01 mm\"),"))
        .collect();
    with(
        STARTER,
        "readings: [",
        &format!("readings: [\n{}", lines.join("\n")),
    )
}
