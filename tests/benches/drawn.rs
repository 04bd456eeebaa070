//! The large sweep of simulated surveys: sixteen steps, three walls. Prints what it showed, and
//! fails where it is not what is stated.
//!
//! `cargo bench --no-default-features --bench drawn -- [SURVEYS]` (10,000 if not given)

#![allow(
    clippy::print_stdout,
    reason = "it is a command that tells what it found"
)]

#[path = "../it/survey/simulated.rs"]
mod simulated;
#[path = "../it/survey/stairs.rs"]
mod stairs;
#[path = "../it/survey/unchecked.rs"]
mod unchecked;

use simulated::{Named, Simulation, as_chance_has_it, clean, slips};
use std::time::Instant;

/// Named before anything is drawn.
const NAMED: [Named; 8] = [
    Named::Height(13),
    Named::Kick(13),
    Named::TreadEnd(9),
    Named::TreadEnd(10),
    Named::Width(9),
    Named::Wall(0, 500.0, 500.0),
    Named::Wall(1, 1100.0, 1900.0),
    Named::Wall(2, 3400.0, 1200.0),
];

fn main() {
    let asked = std::env::args().find_map(|word| word.parse().ok());
    let surveys: usize = asked.unwrap_or(10_000);
    let job = stairs::stair(unchecked::job_of, 16, 3, 5);
    let started = Instant::now();
    let mut simulation = Simulation::new(job.clone(), NAMED.to_vec(), 16);
    let found = clean(&mut simulation, surveys);
    let each = started.elapsed().as_secs_f64() * 1000.0 / surveys as f64;
    println!(
        "{} surveys of {} readings, {each:.2} ms each",
        found.surveys,
        found.flagged.len()
    );
    let mut well = true;
    for (named, held) in NAMED.iter().zip(&found.held) {
        let share = *held as f64 / surveys as f64;
        well &= (0.93..=0.97).contains(&share);
        println!(
            "{named:?}: the stated 95 % interval holds the truth in {:.2} %",
            100.0 * share
        );
    }
    let all: usize = found.flagged.iter().sum();
    let share = all as f64 / (surveys * found.flagged.len()) as f64;
    let strays = found.flagged.iter();
    let strays = strays
        .filter(|one| !as_chance_has_it(**one, surveys, 0.001))
        .count();
    well &= strays == 0;
    println!(
        "clean readings flagged: {:.4} %, {strays} readings further off 0.1 % than chance has it",
        100.0 * share
    );
    let mut simulation = Simulation::new(job, NAMED.to_vec(), 17);
    let found = slips(&mut simulation, surveys, 10.0);
    let share = found.first as f64 / found.fair.max(1) as f64;
    well &= share >= 0.95;
    println!(
        "slips of ten standard uncertainties, r of 0.3 or more: {} of {} named first, {:.2} %",
        found.first,
        found.fair,
        100.0 * share
    );
    assert!(well, "not what is stated");
}
