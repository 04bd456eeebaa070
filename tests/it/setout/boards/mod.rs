//! Treads, kicks and skirts against published tables, closed forms and plain geometry.

mod kicks;
mod skirts;
mod strips;
mod treads;

use rakewell::job::Job;
use rakewell::measure::Length;
use rakewell::setout::boards::{BoardsSet, boards};
use rakewell::site::{self, Site};
use rakewell::survey;

use super::flight::job;

/// A plumb, level, square flight of 7 1/2 in 10 1/4, its treads 38 long and 1 in thick.
const TRUE_FLIGHT: &str = include_str!("../../../../scenes/straight.ron");

/// A skirt on either side, as a file writes them.
const SKIRTS: &str = "skirts: [(name: \"Q1\", side: Open, thickness: \"3/4\", width: \"5\"),
    (name: \"Q2\", side: Wall, thickness: \"3/4\", above: \"4\", width: \"12\")],";

/// The true flight with more fields of its own.
fn with(fields: &str) -> Job {
    let text = TRUE_FLIGHT.replacen("    design: (", &format!("{fields}\n    design: ("), 1);
    assert_ne!(text, TRUE_FLIGHT);
    job(&text)
}

/// The true flight at 7 1/2 in 10, a 3-4-5 triangle, with more fields of its own.
fn three_four_five(fields: &str) -> Job {
    let mut job = with(fields);
    job.flight.going = rakewell::job::Len::read("10").unwrap();
    job
}

fn found(job: &Job) -> Site {
    site::build(job, &survey::survey(job).estimates)
}

fn cut(job: &Job) -> BoardsSet {
    boards(job, &found(job))
}

fn inches(length: Length) -> f64 {
    length.as_inches()
}
