//! Where the time of one run of the chain goes, on the demo: fourteen rises and 25 balusters.
//!
//! `cargo bench --no-default-features --bench chain`

use std::sync::Arc;

use divan::Bencher;
use rakewell::chain::{self, Chain, Laid};
use rakewell::explain::{Asked, Reasons};
use rakewell::job::{Document, Job, OneRun};
use rakewell::setout::Choices;
use rakewell::{inspect, setout, site, survey};

const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

fn main() {
    divan::main();
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
    bencher.bench(|| laid.inspection(&runs, &chain.solids, &chain.pack));
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
