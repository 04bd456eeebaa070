//! What each stage of the chain takes on 1, 2, 8 and 80 flights and on a demo, with the most memory that
//! it held; and the work itself with our answers, for `tests/reference/table.py` to time the reference
//! libraries on.
//!
//! `bash tests/benches/table.sh` prints the whole table, the libraries beside it. Alone:
//! `cargo bench --no-default-features --bench table` prints ours; `-- --work FOLDER` reads the cases
//! that `table.py` wrote there and writes what it compares; `-- --one STAGE SIZE` is what it calls
//! itself with: each stage on each stair runs in a process of its own, which has one peak of memory.

#![allow(clippy::print_stdout, reason = "a bench prints what it measured")]

mod answers;
mod doubt;
mod gauge;
mod made;
mod stages;
mod stairs;
#[path = "../tower.rs"]
mod tower;
mod work;

use std::path::PathBuf;
use std::process::Command;

use serde_json::{Value, json};

use gauge::Taken;
use stages::{Stage, all};
use stairs::Size;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let after = |flag: &str| {
        let at = words.iter().position(|word| word == flag)?;
        Some(words.get(at + 1..).unwrap_or_default())
    };
    if let Some([name, size, ..]) = after("--one") {
        println!("{}", one(name, size).told());
        return;
    }
    let work = after("--work")
        .and_then(<[String]>::first)
        .map(PathBuf::from);
    let rows: Vec<Value> = all().iter().flat_map(rows).collect();
    if let Some(folder) = work {
        let written = folder.join("stages.json");
        std::fs::write(&written, Value::from(rows).to_string())
            .expect("the folder can be written to");
        work::write(&folder);
    }
}

/// A stage on a stair, in this process.
fn one(name: &str, size: &str) -> Taken {
    let stage = all().into_iter().find(|stage| stage.name == name);
    let size = Size::ALL.into_iter().find(|known| known.word() == size);
    let (stage, size) = stage.zip(size).expect("a stage and a size of this program");
    (stage.time)(size)
}

/// A stage on every stair that it is asked on, each in a process of its own.
fn rows(stage: &Stage) -> Vec<Value> {
    let this = std::env::current_exe().expect("a running program has a path");
    let time = |size: &Size| {
        let told = Command::new(&this)
            .args(["--one", stage.name, size.word()])
            .output();
        let told = told.expect("this program can be run again");
        let text = String::from_utf8_lossy(&told.stdout);
        let taken: Value = serde_json::from_str(&text).unwrap_or_else(|error| {
            panic!(
                "{} {}: {error}: {}",
                stage.name,
                size.word(),
                String::from_utf8_lossy(&told.stderr)
            )
        });
        println!(
            "{:<44} {:>5} {:>10.3} ms best {:>10.3} median of {:>4}, peak {:>6.1} MB",
            stage.name,
            size.word(),
            taken["best_ms"].as_f64().unwrap_or(f64::NAN),
            taken["median_ms"].as_f64().unwrap_or(f64::NAN),
            taken["runs"],
            taken["peak_mb"].as_f64().unwrap_or(f64::NAN),
        );
        json!({ "stage": stage.name, "size": size.word(), "taken": taken })
    };
    stage.sizes.iter().map(time).collect()
}
