//! How long an adjustment takes, and the same by numpy and scikit-learn.
//!
//! `cargo bench --no-default-features --bench survey`
//!
//! The ratio needs the virtual environment of `tests/reference/run.sh`; without it our times are
//! printed alone.

#![expect(clippy::print_stdout, reason = "a bench tells what it measured")]

use std::path::PathBuf;
use std::process::Command;
use std::time::{Duration, Instant};

use rakewell::job::{
    Across, Job, NosingEnd, PlanPoint, Side, StepReading, Surface, Wall, WallReading,
};
use rakewell::measure::{Length, Typed};
use rakewell::survey::survey;

const STARTER: &str = include_str!("../../scenes/straight.ron");

fn mm(value: f64) -> Typed<Length> {
    Typed::millimetres(value)
}

macro_rules! step {
    ($kind:ident { $($field:ident: $value:expr),* }) => {
        StepReading::$kind {
            $($field: $value,)*
            on: Surface::Finished,
            side: Across::Line,
            by: None,
            sd: None,
            taken: String::new(),
            note: String::new(),
        }
    };
}

/// Differences that repeat themselves from run to run, within 3 mm of nothing.
fn wander(seed: usize) -> f64 {
    3.0 * (seed as f64 * 1.618).sin()
}

fn wall(name: &str, y: f64, count: usize) -> Wall {
    let readings = (0..count).map(|at| {
        let part = at as f64;
        WallReading::Offset {
            along: mm(4500.0 * (part * 0.618_034).fract()),
            up: mm(2400.0 * (part * 0.754_878).fract()),
            is: mm(wander(at)),
            line: None,
            by: None,
            sd: None,
            taken: String::new(),
            note: String::new(),
        }
    });
    let point = |x: f64| PlanPoint { x: mm(x), y: mm(y) };
    Wall {
        name: name.to_owned(),
        from: point(0.0),
        to: point(4500.0),
        foot: mm(0.0),
        head: mm(2400.0),
        readings: readings.collect(),
    }
}

fn bare() -> Job {
    let document = rakewell::job::Document::parse(STARTER, "straight.ron");
    let mut job = document.expect("the starter is a valid job").job().clone();
    job.flight.readings.clear();
    job.walls.clear();
    job
}

/// Sixteen steps, three walls, two hundred readings.
fn flight() -> Job {
    let mut job = bare();
    let flight = &mut job.flight;
    flight.count = 16;
    let (rise, going) = (flight.rise.mm(), flight.going.mm());
    let mut all = Vec::new();
    for step in 1..=16_u32 {
        let seed = step as usize;
        let up = f64::from(step);
        all.push(step!(Rise {
            step: step,
            is: mm(rise + wander(seed))
        }));
        all.push(step!(Height {
            step: step,
            above: 0,
            is: mm(rise * up + wander(seed + 20))
        }));
        if step == 16 {
            continue;
        }
        all.push(step!(Going {
            step: step,
            is: mm(going + wander(seed + 40))
        }));
        all.push(step!(Run {
            step: step + 1,
            beyond: 1,
            is: mm(going * up + wander(seed + 60))
        }));
        all.push(step!(Edge {
            step: step,
            is: mm(flight.edge.mm() + wander(seed + 80))
        }));
        all.push(step!(Width {
            step: step,
            is: mm(flight.width.mm() + wander(seed + 90))
        }));
        all.push(step!(Level {
            step: step,
            is: mm(1.0),
            high: Side::Open
        }));
        all.push(step!(Overhang {
            step: step,
            is: mm(flight.overhang.mm())
        }));
    }
    all.push(step!(Diagonal {
        from: NosingEnd {
            step: 1,
            end: Side::Open
        },
        to: NosingEnd {
            step: 15,
            end: Side::Wall
        },
        is: mm((14.0 * going).hypot(14.0 * rise).hypot(flight.width.mm()))
    }));
    flight.readings = all;
    let left = 200 - flight.readings.len();
    job.walls = vec![
        wall("A", -1000.0, left / 3),
        wall("B", 1500.0, left / 3),
        wall("C", 2500.0, left - 2 * (left / 3)),
    ];
    job
}

fn one_wall() -> Job {
    let mut job = bare();
    job.walls = vec![wall("A", -1000.0, 2000)];
    job
}

/// The best of several runs.
fn best(runs: u32, job: &Job) -> Duration {
    let once = |_| {
        let began = Instant::now();
        let found = survey(job);
        let took = began.elapsed();
        assert!(found.adjustment.settled());
        took
    };
    (0..runs).map(once).min().unwrap_or_default()
}

/// The same two cases by numpy and scikit-learn, seconds.
fn python() -> Option<Vec<f64>> {
    let home = std::env::var_os("HOME").map(PathBuf::from)?;
    let venv = std::env::var_os("RAKEWELL_VENV")
        .map_or_else(|| home.join(".cache/rakewell-venv"), PathBuf::from);
    let script = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/reference/survey_time.py"
    );
    let told = Command::new(venv.join("bin/python"))
        .arg(script)
        .output()
        .ok()?;
    if !told.status.success() {
        println!("{}", String::from_utf8_lossy(&told.stderr));
        return None;
    }
    let text = String::from_utf8(told.stdout).ok()?;
    text.split_whitespace()
        .map(|word| word.parse().ok())
        .collect()
}

fn main() {
    let cases = [
        ("16 steps, 3 walls, 200 readings", best(50, &flight())),
        ("one wall, 2000 readings", best(3, &one_wall())),
    ];
    let others = python();
    for (at, (what, took)) in cases.iter().enumerate() {
        let ours = took.as_secs_f64();
        let ratio = others.as_ref().and_then(|all| all.get(at)).map_or_else(
            || "no numpy to compare with".to_owned(),
            |theirs| {
                format!(
                    "numpy/scikit-learn {:.2} ms, ours {:.2} of it",
                    theirs * 1e3,
                    ours / theirs
                )
            },
        );
        println!("{what}: {:.2} ms ({ratio})", ours * 1e3);
    }
}
