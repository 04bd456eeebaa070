//! Checks of readings of the steps that are taken from a laser line.

use super::lines::{self, Needs};
use super::steps::meant;
use super::{Check, Meant};
use crate::job::limits::{Bounds, ELEVATION, GOING, LINE_SLACK, OFF_LINE, PLAN, RISE};
use crate::job::{Len, Runs, StepReading};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>, path: &str, reading: &StepReading) {
    let meant = |length| meant(reading, length);
    match reading {
        StepReading::Under { step, line, is, .. } => {
            under(check, path, (*step, line), is, &meant);
        }
        StepReading::Past { step, line, is, .. } => {
            past(check, path, (*step, line), is, &meant);
        }
        _ => {}
    }
}

fn under(
    check: &mut Check<'_>,
    path: &str,
    (step, name): (u32, &str),
    is: &Len,
    meant: &impl Fn(Length) -> Meant,
) {
    let good = check.step(&format!("{path}.step"), step, true);
    let line = lines::named(check, &format!("{path}.line"), name, Needs::Level);
    let at = format!("{path}.is");
    let what = "the depth under the line";
    let height = match line.map(|line| &line.runs) {
        Some(Runs::Level { height: Some(h) }) if good && ELEVATION.hold(h.value) => h.value,
        _ => {
            check.length(&at, what, is, OFF_LINE);
            return;
        }
    };
    let rise = check.job.flight.rise.value;
    let up = RISE.times(step);
    let bounds = Bounds {
        least: height - up.most - LINE_SLACK,
        most: height - up.least + LINE_SLACK,
    };
    let depth = height - rise * f64::from(step);
    // Next to the line a quarter of what is meant is less than a stair is off by.
    let meant = if depth.abs() < rise {
        Meant::Unsaid
    } else {
        meant(depth)
    };
    check.reading(&at, what, is, bounds, meant);
}

fn past(
    check: &mut Check<'_>,
    path: &str,
    (step, name): (u32, &str),
    is: &Len,
    meant: &impl Fn(Length) -> Meant,
) {
    let good = check.kick(&format!("{path}.step"), step);
    let line = lines::named(check, &format!("{path}.line"), name, Needs::Across);
    let at = format!("{path}.is");
    let what = "the distance past the line";
    let x = match line.map(|line| &line.runs) {
        Some(Runs::Across { x: Some(x) }) if good && PLAN.hold(x.value) => x.value,
        _ => {
            check.length(&at, what, is, OFF_LINE);
            return;
        }
    };
    let going = check.job.flight.going.value;
    let along = GOING.times(step - 1);
    let bounds = Bounds {
        least: along.least - x - LINE_SLACK,
        most: along.most - x + LINE_SLACK,
    };
    let distance = going * f64::from(step - 1) - x;
    let meant = if distance.abs() < going {
        Meant::Unsaid
    } else {
        meant(distance)
    };
    check.reading(&at, what, is, bounds, meant);
}
