//! What fills the way under the rail: patterns, uneven goings, shoes, turned balusters, panels.

mod level;
mod panels;
mod patterns;
mod shoe;
mod trade;
mod turned;
mod uneven;

use rakewell::chain::{self, Chain};
use rakewell::job::{Document, Job};
use rakewell::measure::Length;

const STARTER: &str = include_str!("../../../../scenes/straight.ron");

/// The starter scene with stretches of its text replaced.
fn starter(changes: &[(&str, &str)]) -> Job {
    let mut text = STARTER.to_owned();
    for (old, new) in changes {
        assert_eq!(text.matches(old).count(), 1, "{old} stands in it once");
        text = text.replacen(old, new, 1);
    }
    Document::parse(&text, "test").unwrap().job().clone()
}

/// Changes that make the starter 7 1/2 in 10: a 3-4-5 triangle, so that cos pitch is 0.8.
const THREE_FOUR_FIVE: (&str, &str) = ("going: \"10 1/4\"", "going: \"10\"");
/// Its newels at points, which balusters along the rail and panels need.
const LOWER_AT: (&str, &str) = (
    "stands: Displaces(step: 1, balusters: 1)",
    "stands: At(x: \"-1/2\")",
);
const UPPER_AT: (&str, &str) = (
    "stands: Displaces(step: 13, balusters: 0)",
    "stands: At(x: \"134\")",
);
const SPACING: &str = "PerTread(count: 2),    // or AlongRail()";
const SECTION: &str = "section: Square(\"1 1/4\")";

fn run(job: &Job) -> Chain {
    chain::run(job).unwrap()
}

fn inches(length: Length) -> f64 {
    length.as_inches()
}

/// What the inspection has against it, in words.
fn troubles(chain: &Chain) -> Vec<String> {
    let troubles = chain.inspection.troubles();
    troubles.iter().map(|one| one.says.clone()).collect()
}
