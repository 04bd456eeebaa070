//! What drawing the demo costs, part by part and as a whole: fourteen rises and 25 balusters; and how
//! drawing what readings leave open compares with numpy's doing the same.
//!
//! `cargo bench --no-default-features --bench doubt`
//!
//! The ratio to numpy needs the virtual environment of `tests/reference/run.sh`.

#![allow(clippy::print_stdout, reason = "a bench prints what it measured")]

use std::ops::ControlFlow;
use std::path::PathBuf;
use std::process::Command;
use std::time::Instant;

use rakewell::chain::{self, Chain};
use rakewell::doubt::stream::stream;
use rakewell::doubt::{Model, Scratch, Wanted, sample_of};
use rakewell::inspect::Care;
use rakewell::job::Document;
use rakewell::survey::{Drawer, Estimates};

const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

/// Draws timed for each part.
const DRAWS: u64 = 200;
/// Draws of the whole.
const WHOLE: u64 = 10_000;

fn main() {
    let document = Document::parse(DEMO, "quarry-lane.ron").expect("the demo reads");
    let chain = chain::run(document.job()).expect("the demo runs");
    let model = Model::of(&chain).expect("it ran on readings");
    println!(
        "{} sources, {} numbers",
        model.sources().len(),
        model.size()
    );
    parts(&model);
    whole(&model, &chain);
    beside_numpy(&chain);
}

fn parts(model: &Model) {
    let mut scratch = model.scratch();
    let mut time = |what: &str, work: &mut dyn FnMut(&mut Scratch)| {
        let began = Instant::now();
        for draw in 0..DRAWS {
            model.draw(7, draw, &mut scratch);
            work(&mut scratch);
        }
        let ms = began.elapsed().as_secs_f64() * 1e3 / DRAWS as f64;
        println!("{what}: {ms:.3} ms a draw");
    };
    time("numbers", &mut |_| {});
    time("and the set-out", &mut |scratch| drop(model.lay(scratch)));
    time("and the solids", &mut |scratch| {
        if let Ok(drawn) = model.lay(scratch) {
            drop(drawn.laid.solids(model.runs()));
        }
    });
    for (what, care) in [
        ("balls decided", Care::Decide),
        ("balls gauged", Care::Gauge),
        ("balls measured", Care::Measure),
    ] {
        time(&format!("everything, {what}"), &mut |scratch| {
            if let Ok(drawn) = model.lay(scratch) {
                drop(model.findings(&drawn, care));
            }
        });
    }
}

fn whole(model: &Model, chain: &Chain) {
    for threads in [1, 2] {
        let wanted = Wanted {
            seed: 1,
            most: WHOLE,
            threads,
            narrow: 0.0,
        };
        let began = Instant::now();
        let sample = sample_of(model, chain, &wanted, &|_| ControlFlow::Continue(()));
        let took = began.elapsed().as_secs_f64();
        println!(
            "{} draws on {threads} threads: {took:.2} s, {:.3} ms each; most memory {} MiB",
            sample.draws,
            took * 1e3 / sample.draws as f64,
            most_memory().unwrap_or_default() / 1024
        );
    }
}

/// The most memory that the program has had, KiB.
fn most_memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

fn quantities(estimates: &Estimates) -> Vec<f64> {
    let steps = estimates.steps.iter();
    steps
        .flat_map(|step| {
            [
                &step.rise,
                &step.going,
                &step.overhang,
                &step.thickness,
                &step.kick_thickness,
                &step.width,
                &step.level,
                &step.fall,
                &step.skew,
                &step.edge,
            ]
            .map(|one| one.found)
        })
        .collect()
}

/// The steps alone: what is drawn is linear in its numbers, and numpy multiplies by the same matrix.
fn beside_numpy(chain: &Chain) {
    let run = chain.first();
    let survey = run.survey.clone().expect("it ran on readings");
    let drawer = Drawer::of(&run.run.job, &survey);
    let mut estimates = survey.estimates.clone();
    let planned = quantities(&survey.estimates);
    let columns: Vec<Vec<f64>> = (0..drawer.size())
        .map(|number| {
            let mut numbers = vec![0.0; drawer.size()];
            numbers[number] = 1.0;
            drawer.draw(&numbers, &mut estimates);
            let drawn = quantities(&estimates);
            drawn.iter().zip(&planned).map(|(a, b)| a - b).collect()
        })
        .collect();
    let mut numbers = vec![0.0; drawer.size()];
    let began = Instant::now();
    for draw in 0..WHOLE {
        let mut stream = stream(1, draw);
        numbers.fill_with(|| stream.normal());
        drawer.draw(&numbers, &mut estimates);
    }
    let ours = began.elapsed().as_secs_f64();
    println!("{WHOLE} draws of what readings leave open, walls too: {ours:.3} s on one thread");
    match by_numpy(&columns) {
        Some(theirs) => println!(
            "numpy, the steps alone by one matrix: {theirs:.3} s; ours takes {:.2} of that",
            ours / theirs
        ),
        None => println!("no numpy to compare with"),
    }
}

fn by_numpy(columns: &[Vec<f64>]) -> Option<f64> {
    let home = std::env::var_os("HOME").map(PathBuf::from)?;
    let venv = std::env::var_os("RAKEWELL_VENV")
        .map_or_else(|| home.join(".cache/rakewell-venv"), PathBuf::from);
    let file = std::env::temp_dir().join(format!("rakewell-map-{}.json", std::process::id()));
    std::fs::write(&file, serde_json::json!(columns).to_string()).ok()?;
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/doubt_time.py");
    let told = Command::new(venv.join("bin/python"))
        .arg(script)
        .arg(&file)
        .arg(WHOLE.to_string())
        .output();
    std::fs::remove_file(&file).ok()?;
    let told = told.ok()?;
    if !told.status.success() {
        println!("{}", String::from_utf8_lossy(&told.stderr));
        return None;
    }
    String::from_utf8(told.stdout).ok()?.trim().parse().ok()
}
