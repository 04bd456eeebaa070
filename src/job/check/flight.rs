//! Checks of the flight and its readings.

use std::collections::BTreeMap;

use super::Check;
use crate::job::limits::{
    BOARD, BUILD_UP, Bounds, EDGE, FEWEST_KICKS, GOING, MOST_KICKS, MOST_STEP_READINGS,
    OUT_OF_LEVEL, OVERHANG, RISE, WIDTH,
};
use crate::job::{Len, StepReading, Surface};

/// A reading further than this share off what was meant is likely to be a slip.
const SLIP: f64 = 0.25;

pub(super) fn check(check: &mut Check<'_>) {
    let flight = &check.job.flight;
    check.count(
        "flight.count",
        "kicks are not a flight",
        flight.count,
        FEWEST_KICKS,
        MOST_KICKS,
    );
    let lengths: [(&str, &str, &Len, Bounds); 9] = [
        ("flight.rise", "the rise", &flight.rise, RISE),
        ("flight.going", "the going", &flight.going, GOING),
        ("flight.width", "the width", &flight.width, WIDTH),
        (
            "flight.overhang",
            "the overhang",
            &flight.overhang,
            OVERHANG,
        ),
        (
            "flight.tread_thickness",
            "the tread thickness",
            &flight.tread_thickness,
            BOARD,
        ),
        (
            "flight.kick_thickness",
            "the kick thickness",
            &flight.kick_thickness,
            BOARD,
        ),
        ("flight.edge", "the edge", &flight.edge, EDGE),
        (
            "flight.floor_below",
            "the floor below",
            &flight.floor_below,
            BUILD_UP,
        ),
        (
            "flight.floor_above",
            "the floor above",
            &flight.floor_above,
            BUILD_UP,
        ),
    ];
    for (path, what, length, bounds) in lengths {
        check.length(path, what, length, bounds);
    }
    if flight.tread_thickness.value >= flight.rise.value && RISE.hold(flight.rise.value) {
        check.tell(
            "flight.tread_thickness",
            "the tread is thicker than the rise",
            "nothing is left for the kick; check both",
        );
    }
    if flight.overhang.value >= flight.going.value && GOING.hold(flight.going.value) {
        check.tell(
            "flight.overhang",
            "the nosing reaches past the next kick",
            "the overhang is less than the going; check both",
        );
    }
    readings(check);
}

fn readings(check: &mut Check<'_>) {
    let readings = &check.job.flight.readings;
    if readings.len() > MOST_STEP_READINGS {
        check.tell(
            "flight.readings",
            format!("{} readings of the steps", readings.len()),
            format!("{MOST_STEP_READINGS} at most"),
        );
        return;
    }
    let mut former: BTreeMap<(&str, u32, u8), String> = BTreeMap::new();
    for (at, reading) in readings.iter().enumerate() {
        let path = format!("flight.readings[{at}]");
        let Some(read) = Read::of(reading) else {
            continue;
        };
        one(check, &path, &read);
        // Rough and finished are different surfaces, so each may be read once.
        let key = (read.kind, read.step, read.on as u8);
        match former.get(&key) {
            Some(first) => check.tell_both(
                &path,
                format!("the {} of step {} is read twice", read.kind, read.step),
                "keep the reading that you trust",
                first,
                "read here first",
            ),
            None => {
                former.insert(key, path);
            }
        }
    }
}

/// What the checks ask of any reading.
struct Read<'a> {
    kind: &'static str,
    step: u32,
    is: &'a Len,
    on: Surface,
    bounds: Bounds,
    /// Kicks are counted to the upper floor, treads to the last one below it.
    of_kick: bool,
}

impl<'a> Read<'a> {
    fn of(reading: &'a StepReading) -> Option<Self> {
        let (kind, step, is, on, bounds, of_kick) = match reading {
            StepReading::Rise { step, is, on, .. } => ("rise", step, is, on, RISE, true),
            StepReading::Going { step, is, on, .. } => ("going", step, is, on, GOING, false),
            StepReading::Width { step, is, on, .. } => ("width", step, is, on, WIDTH, false),
            StepReading::Overhang { step, is, on, .. } => {
                ("overhang", step, is, on, OVERHANG, false)
            }
            StepReading::TreadThickness { step, is, on, .. } => {
                ("tread thickness", step, is, on, BOARD, false)
            }
            StepReading::KickThickness { step, is, on, .. } => {
                ("kick thickness", step, is, on, BOARD, true)
            }
            StepReading::Level { step, is, on, .. } => ("level", step, is, on, OUT_OF_LEVEL, false),
            StepReading::Edge { step, is, on, .. } => ("edge", step, is, on, EDGE, false),
            _ => return None,
        };
        Some(Self {
            kind,
            step: *step,
            is,
            on: *on,
            bounds,
            of_kick,
        })
    }
}

fn one(check: &mut Check<'_>, path: &str, read: &Read<'_>) {
    let step = format!("{path}.step");
    if read.of_kick {
        let kicks = check.job.flight.count;
        if !(1..=kicks).contains(&read.step) {
            check.tell(
                &step,
                format!("there is no kick {}", read.step),
                format!("the flight has kicks 1 to {kicks}"),
            );
        }
    } else {
        check.tread(&step, read.step);
    }
    let is = format!("{path}.is");
    if check.length(&is, &format!("the {}", read.kind), read.is, read.bounds) {
        slip(check, &is, read);
    }
}

/// Warns of a reading that is far from what was meant.
fn slip(check: &mut Check<'_>, path: &str, read: &Read<'_>) {
    let flight = &check.job.flight;
    let meant = match read.kind {
        "rise" => &flight.rise,
        "going" => &flight.going,
        "width" => &flight.width,
        _ => return,
    };
    // Rough steps at either end differ by the floor and tread that are yet to come.
    if read.on == Surface::Rough || !read.bounds.hold(meant.value) {
        return;
    }
    if (read.is.value - meant.value).abs() > meant.value * SLIP {
        let meant = check.print(meant.value);
        check.warn(
            path,
            format!(
                "the {} is more than a quarter off the {meant} that is meant",
                read.kind
            ),
            "read it again; is it the right step?",
        );
    }
}
