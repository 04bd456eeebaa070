//! The shape of `doubt --compounding --json`: how an error on each step adds up.

use serde::Serialize;

use super::{FORMAT, program, text_of};
use crate::doubt::compounding::{Compounding, Fan, FanStep, Sum};
use crate::job::Document;
use crate::measure::{Length, Tape};
use crate::publish::compounding::{fine, says};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    flights: Vec<FlightShape<'a>>,
}

#[derive(Serialize)]
struct FlightShape<'a> {
    name: &'a str,
    per_step_mm: f64,
    per_step: String,
    sums: Vec<SumShape>,
}

#[derive(Serialize)]
struct SumShape {
    of: &'static str,
    says: Vec<String>,
    throws: Option<ThrowShape>,
    steps: Vec<StepShape>,
}

#[derive(Serialize)]
struct ThrowShape {
    step: u32,
    by_mm: f64,
    by: String,
    sd_mm: f64,
    sure: bool,
}

#[derive(Serialize)]
struct StepShape {
    step: u32,
    errors: u32,
    same_way_mm: f64,
    same_way: String,
    stepped_even_mm: f64,
    stepped_nearly_mm: f64,
    one_tape_even_mm: f64,
    one_tape_nearly_mm: f64,
    found_mm: f64,
    found: String,
    sd_mm: f64,
    open_even_mm: f64,
    open_nearly_mm: f64,
}

/// How an error on each step adds up along every flight, as JSON.
#[must_use]
pub fn compounding(document: &Document, all: &[Compounding]) -> String {
    let tape = document.job().tape;
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &document.job().name,
        flights: all.iter().map(|told| flight(told, tape)).collect(),
    })
}

fn flight(told: &Compounding, tape: Tape) -> FlightShape<'_> {
    FlightShape {
        name: &told.run,
        per_step_mm: told.per_step.as_mm(),
        per_step: fine(tape, told.per_step),
        sums: told
            .fans
            .iter()
            .map(|fan| sum(fan, told.per_step, tape))
            .collect(),
    }
}

fn sum(fan: &Fan, per_step: Length, tape: Tape) -> SumShape {
    SumShape {
        of: match fan.of {
            Sum::Heights => "heights",
            Sum::Goings => "goings",
            Sum::TreadEnds => "tread-ends",
        },
        says: says(fan, per_step, tape),
        throws: fan.throws.map(|throw| ThrowShape {
            step: throw.step,
            by_mm: throw.by.as_mm(),
            by: tape.print(throw.by),
            sd_mm: throw.sd.as_mm(),
            sure: throw.is_sure(),
        }),
        steps: fan.steps.iter().map(|row| step(row, tape)).collect(),
    }
}

fn step(row: &FanStep, tape: Tape) -> StepShape {
    StepShape {
        step: row.step,
        errors: row.errors,
        same_way_mm: row.same_way.as_mm(),
        same_way: tape.print(row.same_way),
        stepped_even_mm: row.stepped.even.as_mm(),
        stepped_nearly_mm: row.stepped.nearly.as_mm(),
        one_tape_even_mm: row.one_tape.even.as_mm(),
        one_tape_nearly_mm: row.one_tape.nearly.as_mm(),
        found_mm: row.found.as_mm(),
        found: tape.print(row.found),
        sd_mm: row.sd.as_mm(),
        open_even_mm: row.open.even.as_mm(),
        open_nearly_mm: row.open.nearly.as_mm(),
    }
}
