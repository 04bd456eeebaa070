//! What a draw of the demo costs, part by part: fourteen rises and 25 balusters.
//!
//! `cargo bench --no-default-features --bench doubt`

#![allow(clippy::print_stdout, reason = "a bench prints what it measured")]

use std::time::Instant;

use rakewell::chain;
use rakewell::doubt::Model;
use rakewell::doubt::stream::stream;
use rakewell::inspect::Care;
use rakewell::job::Document;

const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

/// Draws timed for each part.
const DRAWS: u64 = 200;

fn main() {
    let document = Document::parse(DEMO, "quarry-lane.ron").expect("the demo reads");
    let chain = chain::run(document.job()).expect("the demo runs");
    let model = Model::of(&chain).expect("it ran on readings");
    println!("{} sources, {} numbers", model.sources().len(), model.size());
    let mut scratch = model.scratch();
    let mut numbers = Vec::new();
    let mut time = |what: &str, work: &mut dyn FnMut(&mut rakewell::doubt::Scratch)| {
        let began = Instant::now();
        for draw in 0..DRAWS {
            model.number(&mut stream(7, draw), &mut numbers);
            scratch.numbers.clone_from(&numbers);
            work(&mut scratch);
        }
        let ms = began.elapsed().as_secs_f64() * 1e3 / DRAWS as f64;
        println!("{what}: {ms:.3} ms a draw");
    };
    time("numbers", &mut |_| {});
    time("set-out", &mut |scratch| drop(model.lay(scratch)));
    for (what, care) in [
        ("decided", Care::Decide),
        ("gauged", Care::Gauge),
        ("measured", Care::Measure),
    ] {
        time(what, &mut |scratch| {
            if let Ok(drawn) = model.lay(scratch) {
                drop(model.findings(&drawn, care));
            }
        });
    }
    time("solids", &mut |scratch| {
        if let Ok(drawn) = model.lay(scratch) {
            drop(drawn.laid.solids(model.runs()));
        }
    });
}
