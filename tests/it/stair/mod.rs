//! Stairs of several runs: runs in their places, newels in turns, railings on both sides.

mod bad_input;
mod cottage;
mod joined;
mod placed;
mod whole;
mod winders;

use rakewell::chain::{self, Chain};
use rakewell::job::Document;

const QUARTER: &str = include_str!("../../../scenes/quarter-turn.ron");
const HALF: &str = include_str!("../../../scenes/half-turn.ron");
const BOTH: &str = include_str!("../../../scenes/open-both-sides.ron");

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
