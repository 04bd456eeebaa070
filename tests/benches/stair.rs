//! A tall stair: two flights a storey with a level rail across the well between them.
//!
//! `cargo bench --no-default-features --bench stair` prints the time of 1 to 80 flights to be set out
//! and to be inspected, the exponents that fit them, and the time that a half-turn stair takes when its newel is moved.

#![allow(clippy::print_stdout, reason = "a bench prints what it measured")]

mod tower;

use std::sync::Arc;
use std::time::{Duration, Instant};

use rakewell::chain::{self, Laid};
use rakewell::inspect;
use rakewell::job::{Job, OneRun, Stands};
use rakewell::measure::{Length, Typed};
use rakewell::rules::{self, Pack};
use rakewell::setout::{Choices, Limits, SetOut, solve_stair};
use rakewell::site::{self, Placed};
use rakewell::survey::{self, Estimates};

use tower::{half_turn, tower};

/// Flights asked for, as an escape stair of forty storeys has them.
const FLIGHTS: [usize; 7] = [1, 2, 5, 10, 20, 40, 80];
const TRIES: u32 = 15;

/// What the set-out starts from.
struct Ready {
    runs: Vec<Arc<OneRun>>,
    placed: Vec<Placed>,
    limits: Vec<Limits>,
    estimates: Vec<Estimates>,
    pack: Arc<Pack>,
}

fn ready(job: &Job) -> Ready {
    let runs = chain::runs_of(job);
    let pack = rules::pack(&job.design.rules).expect("the scene names a known pack");
    let estimates: Vec<Estimates> = runs
        .iter()
        .map(|run| survey::survey(&run.job).estimates)
        .collect();
    let sites = runs.iter().zip(&estimates);
    let sites = sites.map(|(run, found)| site::build(&run.job, found));
    let placed = site::place(&runs, sites.collect());
    let limits = runs.iter().map(|run| inspect::limits(&pack, &run.job));
    Ready {
        limits: limits.collect(),
        runs,
        placed,
        estimates,
        pack,
    }
}

/// The best of several tries.
fn best<T>(tries: u32, mut once: impl FnMut() -> T) -> Duration {
    (0..tries)
        .map(|_| {
            let began = Instant::now();
            let done = once();
            let took = began.elapsed();
            drop(done);
            took
        })
        .min()
        .unwrap_or_default()
}

/// Slope of a straight line through the logarithms: the power that the time grows by.
fn exponent(points: &[(usize, Duration)]) -> f64 {
    let logs: Vec<(f64, f64)> = points
        .iter()
        .map(|(flights, took)| ((*flights as f64).ln(), took.as_secs_f64().ln()))
        .collect();
    let count = logs.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| logs.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(|log| log.0), mean(|log| log.1));
    let over: f64 = logs.iter().map(|log| (log.0 - x) * (log.1 - y)).sum();
    let under: f64 = logs.iter().map(|log| (log.0 - x).powi(2)).sum();
    over / under
}

fn lay_again(ready: &Ready, runs: &[Arc<OneRun>]) -> Laid {
    chain::lay(runs, &ready.estimates, &[], &ready.pack).expect("it can be set out")
}

/// What a stair of so many flights takes.
struct Taken {
    set_out: Duration,
    solids: Duration,
    clashes: Duration,
    inspection: Duration,
}

fn take(ready: &Ready) -> (Taken, usize, usize) {
    let none: [Choices; 0] = [];
    let solve = || -> Vec<SetOut> {
        solve_stair(&ready.runs, &ready.placed, &ready.limits, &none)
            .expect("the tower can be set out")
    };
    let laid = lay_again(ready, &ready.runs);
    let solids = laid.solids(&ready.runs);
    let look = || laid.inspection(&ready.runs, &[], &solids, &ready.pack);
    let taken = Taken {
        set_out: best(TRIES, solve),
        solids: best(TRIES / 3, || laid.solids(&ready.runs)),
        clashes: best(TRIES / 3, || inspect::clash::clashes(&solids)),
        inspection: best(TRIES / 3, look),
    };
    let balusters = solve().iter().map(|one| one.balusters.len()).sum();
    (taken, balusters, look().openings.len())
}

fn main() {
    println!(
        "{:>8} {:>10} {:>10} {:>10} {:>10} {:>10} {:>12}",
        "flights", "balusters", "openings", "set-out", "solids", "clashes", "inspection"
    );
    let (mut set_out, mut inspected) = (Vec::new(), Vec::new());
    for flights in FLIGHTS {
        let ready = ready(&tower(flights));
        let (taken, balusters, openings) = take(&ready);
        let ms = |took: Duration| took.as_secs_f64() * 1e3;
        println!(
            "{flights:>8} {balusters:>10} {openings:>10} {:>7.2} ms {:>7.2} ms {:>7.2} ms {:>9.2} ms",
            ms(taken.set_out),
            ms(taken.solids),
            ms(taken.clashes),
            ms(taken.inspection)
        );
        set_out.push((flights, taken.set_out));
        inspected.push((flights, taken.inspection));
    }
    println!(
        "set-out grows by the power {:.2} of the flights, inspection (clashes among it) by {:.2}",
        exponent(&set_out),
        exponent(&inspected)
    );

    let ready = ready(&half_turn());
    let mut moved = ready.runs.clone();
    let mut job = moved[0].job.clone();
    if let Stands::Displaces { move_by, .. } = &mut job.design.newels[1].stands {
        let value = Length::inches(0.25);
        let text = "1/4".to_owned();
        *move_by = Typed { value, text };
    }
    moved[0] = Arc::new(moved[0].with(job));
    let took = best(200, || lay_again(&ready, &moved));
    println!(
        "a newel moved on a half turn: placed and set out again in {:.2} ms",
        took.as_secs_f64() * 1e3
    );
}
