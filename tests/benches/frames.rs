//! What a frame costs: the window drawn offscreen with a newel dragged in it, on the demo of
//! fourteen steps and on a stair of forty storeys.
//!
//! `cargo bench --bench frames` prints for each the first complete frame, the median and the 95th
//! percentile of the frames of a drag, and the peak of memory. `-- --size 1280x720` draws another
//! size, `--apart` tells what each step of a frame took, `--frames 200` so many, `--only demo|tower` one of them, `--pictures FOLDER` keeps the last
//! frame of each, and some of the demo in every look. Both stairs run in a process of their own.

#![allow(clippy::print_stdout, reason = "a bench prints what it measured")]

mod tower;

use std::process::Command;
use std::time::Duration;

use rakewell::job::Document;
use rakewell::viewer::{self, FramesRequest, Ground, Mood, PictureRequest, Viewpoint};

const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");
/// Two flights a storey, forty storeys.
const FLIGHTS: usize = 80;

/// The tall stair as a file.
fn tall() -> Document {
    let job = tower::tower(FLIGHTS);
    let text = ron::ser::to_string_pretty(&job, ron::ser::PrettyConfig::new())
        .expect("a job can be written");
    Document::parse(&text, "tower.ron").expect("what was written can be read")
}

/// The most memory that this process held, MB; Linux tells it.
fn peak() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    let kib: u64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kib * 1024 / 1_000_000)
}

fn ms(took: Duration) -> f64 {
    took.as_secs_f64() * 1e3
}

fn measure(name: &str, document: Document, asked: &Asked) {
    let request = FramesRequest {
        document,
        newel: "N1".to_owned(),
        size: asked.size,
        mood: Mood::Work,
        ground: Ground::Paper,
        frames: (asked.frames / 3 + 10, asked.frames),
        apart: asked.apart,
    };
    match viewer::frames(&request) {
        Ok(frames) => {
            let sorted = |each: &[Duration]| {
                let mut sorted = each.to_vec();
                sorted.sort_unstable();
                move |share: f64| ms(sorted[((sorted.len() - 1) as f64 * share).round() as usize])
            };
            let (at, still) = (sorted(&frames.each), sorted(&frames.still));
            println!(
                "{name:>6} {:>6} parts, {}x{}: first {:.2} s, median {:.1} ms, 95th {:.1} ms, \
                 most {:.1} ms; nothing pulled {:.1} and {:.1} ms; set out {} times in {} frames, shed {}, peak {} MB ({})",
                frames.parts,
                asked.size.0,
                asked.size.1,
                frames.first.as_secs_f64(),
                at(0.5),
                at(0.95),
                at(1.0),
                still(0.5),
                still(0.95),
                frames.results,
                frames.each.len(),
                frames.shed,
                peak().unwrap_or(0),
                frames.drawn_by
            );
            for (step, spent) in &frames.spent {
                println!("    {:>7.3} ms  {step}", ms(*spent));
            }
            asked.keep(&format!("{name}-dragged"), &frames.picture);
        }
        Err(error) => println!("{name}: {error}"),
    }
}

/// The demo in every look, to be looked at.
fn looks(asked: &Asked) {
    if asked.pictures.is_none() {
        return;
    }
    let document = Document::parse(DEMO, "quarry-lane.ron").expect("the demo is a valid job");
    for (mood, called) in [(Mood::Work, "work"), (Mood::Show, "show")] {
        for (ground, on) in [(Ground::Paper, "paper"), (Ground::Slate, "slate")] {
            let plain = PictureRequest::plain(document.job().clone(), Viewpoint::Front, asked.size);
            let request = PictureRequest {
                mood,
                ground,
                ..plain
            };
            let began = std::time::Instant::now();
            match viewer::picture(&request) {
                Ok(png) => {
                    println!(
                        "picture {called} on {on}: {:.2} s",
                        began.elapsed().as_secs_f64()
                    );
                    asked.keep(&format!("demo-{called}-{on}"), &png);
                }
                Err(error) => println!("picture: {error}"),
            }
        }
    }
}

struct Asked {
    size: (u32, u32),
    frames: usize,
    apart: bool,
    only: Option<String>,
    pictures: Option<String>,
}

impl Asked {
    fn read() -> Self {
        let args: Vec<String> = std::env::args().collect();
        let after = |name: &str| {
            let at = args.iter().position(|arg| arg == name)?;
            args.get(at + 1).cloned()
        };
        let size = after("--size").and_then(|size| {
            let (wide, high) = size.split_once('x')?;
            Some((wide.parse().ok()?, high.parse().ok()?))
        });
        Self {
            size: size.unwrap_or((1920, 1080)),
            frames: after("--frames")
                .and_then(|n| n.parse().ok())
                .unwrap_or(240),
            apart: args.iter().any(|arg| arg == "--apart"),
            only: after("--only"),
            pictures: after("--pictures"),
        }
    }

    fn keep(&self, name: &str, png: &[u8]) {
        let Some(folder) = &self.pictures else { return };
        if let Err(error) = std::fs::write(format!("{folder}/{name}.png"), png) {
            println!("{folder}/{name}.png: {error}");
        }
    }
}

fn main() {
    let asked = Asked::read();
    match asked.only.as_deref() {
        Some("demo") => {
            let demo = Document::parse(DEMO, "quarry-lane.ron").expect("the demo is a valid job");
            measure("demo", demo, &asked);
            looks(&asked);
        }
        Some("tower") => measure("tower", tall(), &asked),
        Some(other) => println!("--only demo or tower, not {other}"),
        None => {
            // A process has one peak of memory, so each stair gets one of its own.
            let this = std::env::current_exe().expect("a running program has a path");
            for only in ["demo", "tower"] {
                let args = std::env::args()
                    .skip(1)
                    .chain(["--only".to_owned(), only.to_owned()]);
                let done = Command::new(&this).args(args).status();
                if let Err(error) = done {
                    println!("{only}: {error}");
                }
            }
        }
    }
}
