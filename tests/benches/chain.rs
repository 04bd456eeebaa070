//! Where the time of one run of the chain goes, on the demo: fourteen rises and 25 balusters; then
//! how our clashes compare with python-fcl's on the same pieces, and with every pair of them tried.
//!
//! `cargo bench --no-default-features --bench chain`
//!
//! The ratio to fcl needs the virtual environment of `tests/reference/run.sh`.

#![allow(clippy::print_stdout, reason = "a bench prints what it measured")]

use std::path::PathBuf;
use std::process::Command;
use std::sync::Arc;
use std::time::{Duration, Instant};

use divan::Bencher;
use rakewell::chain::{self, Chain, Laid};
use rakewell::explain::{Asked, Reasons};
use rakewell::job::{Document, Job, OneRun};
use rakewell::setout::Choices;
use rakewell::solids::{Convex, Solids};
use rakewell::{inspect, setout, site, survey};

const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

fn main() {
    divan::main();
    beside_others();
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

/// Every pair of pieces of different parts, nothing left out: how many overlap.
fn brute_force(solids: &Solids) -> usize {
    let parts = solids.parts.iter().enumerate();
    let pieces: Vec<(usize, &Convex)> = parts
        .flat_map(|(at, part)| part.pieces.iter().map(move |piece| (at, piece)))
        .collect();
    let mut met = 0;
    for (at, (part, piece)) in pieces.iter().enumerate() {
        for (other, beside) in &pieces[at + 1..] {
            let overlap = || inspect::clash::separate(piece, beside);
            met += usize::from(part != other && overlap().is_some_and(|found| found.depth > 0.0));
        }
    }
    met
}

/// Seconds that python-fcl takes, and how many pairs of parts it finds.
fn by_fcl(solids: &Solids) -> Option<(f64, usize)> {
    let home = std::env::var_os("HOME").map(PathBuf::from)?;
    let venv = std::env::var_os("RAKEWELL_VENV")
        .map_or_else(|| home.join(".cache/rakewell-venv"), PathBuf::from);
    let parts = solids.parts.iter().enumerate();
    let pieces: Vec<serde_json::Value> = parts
        .flat_map(|(at, part)| part.pieces.iter().map(move |piece| (at, piece)))
        .map(|(at, piece)| {
            let corners: Vec<[f64; 3]> =
                piece.corners().iter().map(|at| at.coords.into()).collect();
            serde_json::json!([at, corners, piece.faces()])
        })
        .collect();
    let file = std::env::temp_dir().join(format!("rakewell-pieces-{}.json", std::process::id()));
    std::fs::write(&file, serde_json::Value::from(pieces).to_string()).ok()?;
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/clash_time.py");
    let told = Command::new(venv.join("bin/python"))
        .arg(script)
        .arg(&file)
        .output();
    std::fs::remove_file(&file).ok()?;
    let told = told.ok()?;
    if !told.status.success() {
        println!("{}", String::from_utf8_lossy(&told.stderr));
        return None;
    }
    let text = String::from_utf8(told.stdout).ok()?;
    let mut words = text.split_whitespace();
    Some((words.next()?.parse().ok()?, words.next()?.parse().ok()?))
}

fn beside_others() {
    let (runs, laid, chain) = laid();
    let solids = &chain.solids;
    let ours = best(100, || inspect::clash::clashes(solids));
    let all = best(50, || laid.inspection(&runs, &[], solids, &chain.pack));
    let ms = |took: Duration| took.as_secs_f64() * 1e3;
    println!(
        "clashes of the demo {:.2} ms; all of its inspection, openings too, {:.2} ms",
        ms(ours),
        ms(all)
    );
    let brute = best(3, || brute_force(solids));
    println!(
        "every pair of pieces tried, {} of them overlap: {:.1} ms; ours takes {:.4} of that",
        brute_force(solids),
        ms(brute),
        ours.as_secs_f64() / brute.as_secs_f64()
    );
    match by_fcl(solids) {
        Some((theirs, pairs)) => println!(
            "python-fcl: {:.2} ms for {pairs} pairs of parts that touch; ours takes {:.3} of that",
            theirs * 1e3,
            ours.as_secs_f64() / theirs
        ),
        None => println!("no python-fcl to compare with"),
    }
}

fn job() -> Job {
    Document::parse(DEMO, "quarry-lane.ron")
        .expect("the demo is a valid job")
        .job()
        .clone()
}

fn chain() -> Chain {
    chain::run(&job()).expect("the demo can be set out")
}

/// The demo set out, before its solids are made.
fn laid() -> (Vec<Arc<OneRun>>, Laid, Chain) {
    let chain = chain();
    let runs = chain::again(&chain);
    let laid =
        chain::lay(&runs, &chain.estimates(), &[], &chain.pack).expect("the demo can be set out");
    (runs, laid, chain)
}

#[divan::bench]
fn read(bencher: Bencher<'_, '_>) {
    bencher.bench(job);
}

#[divan::bench]
fn survey_and_site(bencher: Bencher<'_, '_>) {
    let job = job();
    bencher.bench(|| site::build(&job, &survey::survey(&job).estimates));
}

#[divan::bench]
fn set_out(bencher: Bencher<'_, '_>) {
    let (job, chain) = (job(), chain());
    let limits = inspect::limits(&chain.pack, &job);
    bencher.bench(|| setout::solve(&job, &chain.first().site, &limits, &Choices::default()));
}

#[divan::bench]
fn make_solids(bencher: Bencher<'_, '_>) {
    let (runs, laid, _) = laid();
    bencher.bench(|| laid.solids(&runs));
}

#[divan::bench]
fn find_clashes(bencher: Bencher<'_, '_>) {
    let chain = chain();
    bencher.bench(|| inspect::clash::clashes(&chain.solids));
}

#[divan::bench]
fn inspect_all(bencher: Bencher<'_, '_>) {
    let (runs, laid, chain) = laid();
    let surveys: Vec<_> = chain
        .runs
        .iter()
        .filter_map(|run| run.survey.clone())
        .collect();
    bencher.bench(|| laid.inspection(&runs, &surveys, &chain.solids, &chain.pack));
}

#[divan::bench]
fn one_opening_again(bencher: Bencher<'_, '_>) {
    let (runs, laid, chain) = laid();
    let openings = chain.inspection.findings.iter();
    let mut openings = openings.filter(|finding| finding.key.kind == inspect::Kind::Opening);
    let key = openings.next().expect("the demo has openings").key.clone();
    bencher.bench(|| laid.finding(&runs, &chain.pack, &key));
}

#[divan::bench]
fn whole_chain(bencher: Bencher<'_, '_>) {
    let job = job();
    bencher.bench(|| chain::run(&job));
}

#[divan::bench(sample_count = 10)]
fn reasons_for_everything(bencher: Bencher<'_, '_>) {
    let chain = chain();
    bencher.bench(|| Reasons::of(&chain));
}

/// The trouble of the demo that asks most of the chain: an opening, where a ball is sought each time.
#[divan::bench(sample_count = 20)]
fn because_for_one_trouble(bencher: Bencher<'_, '_>) {
    let chain = chain();
    let asked = Asked::find(&chain, "opening:B25+W2").expect("the demo has it");
    bencher.bench(|| Reasons::of(&chain).because(&chain, &asked));
}
