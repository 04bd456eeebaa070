//! The shape of `pole --json`.

use serde::Serialize;

use super::templates::PaperShape;
use super::{FORMAT, program, text_of};
use crate::measure::Tape;
use crate::publish::full_size::{Options, PrintedPole, Strip, mark_words};
use crate::shop::pole::{PoleMark, PoleWhat, StoryPole};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    paper: PaperShape,
    runs: Vec<RunShape<'a>>,
    strips: Vec<StripShape<'a>>,
}

#[derive(Serialize)]
struct RunShape<'a> {
    run: &'a str,
    pitch_deg: f64,
    plumb: Vec<MarkShape<'a>>,
    raking: Vec<MarkShape<'a>>,
}

#[derive(Serialize)]
struct MarkShape<'a> {
    what: &'static str,
    part: &'a str,
    step: Option<u32>,
    says: String,
    at_mm: f64,
    at: String,
}

#[derive(Serialize)]
struct StripShape<'a> {
    run: &'a str,
    pole: &'static str,
    strip: usize,
    page: usize,
    from_mm: f64,
    to_mm: f64,
    foot_mm: [f64; 2],
}

/// The story poles of a job as JSON, with the strips that they are printed on.
#[must_use]
pub fn pole(job: &str, poles: &[StoryPole], printed: &PrintedPole, options: &Options) -> String {
    let tape = options.tape;
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job,
        paper: PaperShape::of(options),
        runs: poles
            .iter()
            .map(|pole| RunShape {
                run: &pole.run,
                pitch_deg: pole.pitch.angle().as_degrees(),
                plumb: marks(&pole.plumb, tape),
                raking: marks(&pole.raking, tape),
            })
            .collect(),
        strips: printed.strips.iter().map(strip).collect(),
    })
}

const fn what(what: PoleWhat) -> &'static str {
    match what {
        PoleWhat::Floor => "floor",
        PoleWhat::Rise => "rise",
        PoleWhat::Rail => "rail",
        PoleWhat::Nosing => "nosing",
        PoleWhat::Start => "start",
        PoleWhat::Baluster => "baluster",
        PoleWhat::NewelDown => "newel-downhill",
        PoleWhat::NewelUp => "newel-uphill",
    }
}

fn marks(all: &[PoleMark], tape: Tape) -> Vec<MarkShape<'_>> {
    all.iter().map(|one| mark(one, tape)).collect()
}

fn mark(one: &PoleMark, tape: Tape) -> MarkShape<'_> {
    MarkShape {
        what: what(one.what),
        part: &one.part,
        step: one.step,
        says: mark_words(one),
        at_mm: one.at.as_mm(),
        at: tape.print(one.at),
    }
}

fn strip(one: &Strip) -> StripShape<'_> {
    StripShape {
        run: &one.run,
        pole: if one.raking { "raking" } else { "plumb" },
        strip: one.number,
        page: one.page,
        from_mm: one.reach.0,
        to_mm: one.reach.1,
        foot_mm: [one.foot.0, one.foot.1],
    }
}
