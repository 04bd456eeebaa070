//! What the site sheets of the largest demo take beyond its chain: reckoned and laid out, written as
//! PDF, and its troubles explained, each of which runs the chain many times over.
//!
//! `cargo bench --no-default-features --bench sheets`

use std::sync::LazyLock;

use divan::Bencher;
use rakewell::chain::{self, Chain};
use rakewell::explain::{Explanation, Reasons};
use rakewell::job::{Document, Job};
use rakewell::publish::measured::{draw, views};
use rakewell::publish::paper::PaperSize;
use rakewell::publish::site_sheets::{self, Options, SiteSheets, site_sheets};
use rakewell::publish::{Report, Told};
use rakewell::shop::prices::Prices;
use rakewell::shop::reckoning::reckon;

const DEMO: &str = include_str!("../../demo-scenes/weir-cottage.ron");

static STAIR: LazyLock<(Job, Chain)> = LazyLock::new(|| {
    let document = Document::parse(DEMO, "demo").expect("the demo reads");
    let chain = chain::run(document.job()).expect("the demo can be set out");
    (document.job().clone(), chain)
});

fn main() {
    divan::main();
}

/// Everything but the explanations.
fn sheets(paper: &str) -> SiteSheets {
    let (job, chain) = &*STAIR;
    let found = chain.inspection.troubles();
    let troubles = Told::each(&found, vec![Explanation::default(); found.len()]);
    let report = Report {
        job,
        chain,
        troubles: &troubles,
    };
    let fitted = chain::fitted(chain).expect("the demo can be bedded");
    let prices = Prices::default();
    let reckoned = reckon(chain, job, &fitted, &prices);
    let told = site_sheets::Told {
        report: &report,
        fitted: &fitted,
        reckoned: &reckoned,
        prices: &prices,
    };
    let options = Options {
        paper: PaperSize::named(paper).expect("a paper by its name"),
        margin: 10.0,
        only: Vec::new(),
    };
    site_sheets(&told, &options).expect("the paper is large enough")
}

#[divan::bench(args = ["letter", "a3"], max_time = 8)]
fn laid_out(bencher: Bencher<'_, '_>, paper: &str) {
    let _ready = STAIR.1.runs.len();
    bencher.bench_local(|| sheets(paper));
}

/// The drawings alone, in the room that letter paper leaves.
#[divan::bench(max_time = 8)]
fn drawings(bencher: Bencher<'_, '_>) {
    let (job, chain) = &*STAIR;
    bencher.bench_local(|| {
        let all = views(chain).into_iter();
        all.filter_map(|view| draw(chain, &view, (250.0, 165.0), job.tape))
            .count()
    });
}

#[divan::bench(max_time = 8)]
fn written(bencher: Bencher<'_, '_>) {
    let made = sheets("letter");
    bencher.bench_local(|| made.pdf());
}

#[divan::bench(max_time = 8)]
fn explained(bencher: Bencher<'_, '_>) {
    let (_, chain) = &*STAIR;
    bencher.bench_local(|| {
        let reasons = Reasons::of(chain);
        let troubles = chain.inspection.troubles();
        let all = troubles.iter().map(|one| reasons.explain(chain, &one.key));
        all.map(|one| one.cures.len()).sum::<usize>()
    });
}
