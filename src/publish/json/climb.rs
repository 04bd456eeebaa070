//! The shape of a climb: up a flight step by step.

use serde::Serialize;

use super::xyz;
use crate::inspect::climb::{
    Added, Climb, ClimbLimit, ClimbStep, EndReveal, LevelGap, LevelWay, Off, RailOver, WallBeside,
};
use crate::measure::{Length, Tape};
use crate::rules::Sense;

#[derive(Serialize)]
pub(super) struct ClimbShape<'a> {
    run: usize,
    name: &'a str,
    brought: OffShape,
    steps: Vec<StepShape<'a>>,
    floors: Vec<LevelShape<'a>>,
    limits: Vec<LimitShape<'a>>,
}

#[derive(Serialize)]
struct OffShape {
    up_mm: f64,
    up: String,
    along_mm: f64,
    along: String,
    out_mm: f64,
    out: String,
}

#[derive(Serialize)]
struct StepShape<'a> {
    step: u32,
    tread: &'a str,
    at_mm: [f64; 3],
    meant_mm: [f64; 3],
    off: OffShape,
    rise: AddedShape,
    rise_ends_mm: [f64; 2],
    going: Option<AddedShape>,
    level: Vec<LevelShape<'a>>,
    end_mm: Option<f64>,
    end: Option<String>,
    end_off_string_mm: Option<f64>,
    end_off_string: Option<String>,
    reveals: Vec<RevealShape<'a>>,
    rails: Vec<RailShape<'a>>,
    walls: Vec<WallShape<'a>>,
}

#[derive(Serialize)]
struct AddedShape {
    found_mm: f64,
    found: String,
    off_mm: f64,
    off: String,
    sum_mm: f64,
    sum: String,
}

#[derive(Serialize)]
struct LevelShape<'a> {
    part: &'a str,
    way: &'static str,
    gap_mm: f64,
    gap: String,
    span_mm: f64,
    high_mm: [f64; 3],
    low_mm: [f64; 3],
}

#[derive(Serialize)]
struct RevealShape<'a> {
    part: &'a str,
    rail: &'a str,
    value_mm: f64,
    value: String,
    off_mm: f64,
    off: String,
    drift_mm: f64,
    drift: String,
}

#[derive(Serialize)]
struct RailShape<'a> {
    rail: &'a str,
    least_mm: f64,
    least: String,
    most_mm: f64,
    most: String,
}

#[derive(Serialize)]
struct WallShape<'a> {
    wall: &'a str,
    off_mm: f64,
    off: String,
    lean_mm: f64,
    lean: String,
}

#[derive(Serialize)]
struct LimitShape<'a> {
    of: &'static str,
    at_mm: f64,
    at: String,
    sense: &'static str,
    says: &'a str,
    source: &'a str,
}

pub(super) fn climb(climb: &Climb, tape: Tape) -> ClimbShape<'_> {
    ClimbShape {
        run: climb.run,
        name: &climb.name,
        brought: off(&climb.brought, tape),
        steps: climb.steps.iter().map(|one| step(one, tape)).collect(),
        floors: climb.floors.iter().map(|one| level(one, tape)).collect(),
        limits: climb.limits.iter().map(|one| limit(one, tape)).collect(),
    }
}

fn off(off: &Off, tape: Tape) -> OffShape {
    OffShape {
        up_mm: off.up.as_mm(),
        up: tape.print(off.up),
        along_mm: off.along.as_mm(),
        along: tape.print(off.along),
        out_mm: off.out.as_mm(),
        out: tape.print(off.out),
    }
}

fn step(step: &ClimbStep, tape: Tape) -> StepShape<'_> {
    let end = step.end.map(|end| end.off);
    let string = step.end.map(|end| end.off_string);
    StepShape {
        step: step.step,
        tread: &step.tread,
        at_mm: xyz(&step.at),
        meant_mm: xyz(&step.meant),
        off: off(&step.off, tape),
        rise: added(&step.rise, tape),
        rise_ends_mm: step.rise_ends.map(Length::as_mm),
        going: step.going.as_ref().map(|going| added(going, tape)),
        level: [&step.across, &step.back]
            .map(|one| level(one, tape))
            .into(),
        end_mm: end.map(Length::as_mm),
        end: end.map(|end| tape.print(end)),
        end_off_string_mm: string.map(Length::as_mm),
        end_off_string: string.map(|by| tape.print(by)),
        reveals: step.reveals.iter().map(|one| reveal(one, tape)).collect(),
        rails: step.rails.iter().map(|one| rail(one, tape)).collect(),
        walls: step.wall.iter().map(|one| wall(one, tape)).collect(),
    }
}

fn added(one: &Added, tape: Tape) -> AddedShape {
    AddedShape {
        found_mm: one.found.as_mm(),
        found: tape.print(one.found),
        off_mm: one.off.as_mm(),
        off: tape.print(one.off),
        sum_mm: one.sum.as_mm(),
        sum: tape.print(one.sum),
    }
}

fn level(one: &LevelGap, tape: Tape) -> LevelShape<'_> {
    LevelShape {
        part: &one.part,
        way: match one.way {
            LevelWay::Across => "across",
            LevelWay::Back => "back",
        },
        gap_mm: one.gap.as_mm(),
        gap: tape.print(one.gap),
        span_mm: one.span.as_mm(),
        high_mm: xyz(&one.high),
        low_mm: xyz(&one.low),
    }
}

fn reveal(one: &EndReveal, tape: Tape) -> RevealShape<'_> {
    RevealShape {
        part: &one.part,
        rail: &one.rail,
        value_mm: one.value.as_mm(),
        value: tape.print(one.value),
        off_mm: one.off.as_mm(),
        off: tape.print(one.off),
        drift_mm: one.drift.as_mm(),
        drift: tape.print(one.drift),
    }
}

fn rail(one: &RailOver, tape: Tape) -> RailShape<'_> {
    RailShape {
        rail: &one.rail,
        least_mm: one.least.as_mm(),
        least: tape.print(one.least),
        most_mm: one.most.as_mm(),
        most: tape.print(one.most),
    }
}

fn wall(one: &WallBeside, tape: Tape) -> WallShape<'_> {
    WallShape {
        wall: &one.wall,
        off_mm: one.off.as_mm(),
        off: tape.print(one.off),
        lean_mm: one.lean.as_mm(),
        lean: tape.print(one.lean),
    }
}

fn limit(one: &ClimbLimit, tape: Tape) -> LimitShape<'_> {
    LimitShape {
        of: one.of.word(),
        at_mm: one.at.as_mm(),
        at: tape.print(one.at),
        sense: match one.sense {
            Sense::AtMost => "at-most",
            Sense::AtLeast => "at-least",
            Sense::Under => "under",
        },
        says: one.says,
        source: &one.source,
    }
}
