//! Checks of readings between several steps, and of the whole flight.

use super::steps::meant;
use super::{Check, Meant, SLIP};
use crate::job::limits::{Bounds, FEWEST_KICKS, GOING, MOST_KICKS, PITCH_DEGREES, RISE, WIDTH};
use crate::job::{Ang, Len, NosingEnd, StepReading};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>, path: &str, reading: &StepReading) {
    let flight = &check.job.flight;
    let at = format!("{path}.is");
    let meant = |length| meant(reading, length);
    match reading {
        StepReading::Height {
            step, above, is, ..
        } => height(check, path, (*step, *above), is, &meant),
        StepReading::Run {
            step, beyond, is, ..
        } => run(check, path, (*step, *beyond), is, &meant),
        StepReading::TotalRise { is, .. } => {
            total(check, &at, "the total rise", is, (RISE, 0), &flight.rise);
        }
        StepReading::TotalRun { is, .. } => {
            total(check, &at, "the total run", is, (GOING, 1), &flight.going);
        }
        StepReading::Pitch { from, to, is, .. } => pitch(check, path, (*from, *to), is),
        StepReading::Diagonal { from, to, is, .. } => {
            diagonal(check, path, (*from, *to), is, &meant);
        }
        // Those of one step, or from a line, are checked where they belong.
        _ => {}
    }
}

fn height(
    check: &mut Check<'_>,
    path: &str,
    (step, above): (u32, u32),
    is: &Len,
    meant: &impl Fn(Length) -> Meant,
) {
    let good = check.step(&format!("{path}.step"), step, false);
    if !check.step(&format!("{path}.above"), above, true) || !good {
        return;
    }
    if step == above {
        let problem = format!("step {step} is read above itself");
        let help = "name the step that it was read from; 0 is the lower floor";
        check.tell(&format!("{path}.above"), problem, help);
        return;
    }
    let (bounds, rises) = (RISE.times(step.abs_diff(above)), step.abs_diff(above));
    let rise = check.job.flight.rise.value * f64::from(rises);
    let at = format!("{path}.is");
    if step > above {
        check.reading(&at, "the height", is, bounds, meant(rise));
    } else if is.value > Length::ZERO {
        let problem = format!("step {step} cannot stand above step {above}");
        check.tell(
            &at,
            problem,
            "swap `step` and `above`, or write it negative",
        );
    } else {
        let bounds = Bounds {
            least: -bounds.most,
            most: -bounds.least,
        };
        check.reading(&at, "the height", is, bounds, meant(-rise));
    }
}

fn run(
    check: &mut Check<'_>,
    path: &str,
    (step, beyond): (u32, u32),
    is: &Len,
    meant: &impl Fn(Length) -> Meant,
) {
    let at = format!("{path}.step");
    let good = check.kick(&at, step);
    if !check.kick(&format!("{path}.beyond"), beyond) || !good {
        return;
    }
    if step <= beyond {
        let problem = format!("kick {step} is not beyond kick {beyond}");
        check.tell(&at, problem, "`step` is the upper one of the two");
        return;
    }
    let goings = step - beyond;
    let going = check.job.flight.going.value * f64::from(goings);
    let bounds = GOING.times(goings);
    check.reading(&format!("{path}.is"), "the run", is, bounds, meant(going));
}

/// Checks a reading of the whole flight: so many fewer of one part than there are kicks.
fn total(
    check: &mut Check<'_>,
    path: &str,
    what: &str,
    is: &Len,
    (each, fewer): (Bounds, u32),
    meant: &Len,
) {
    let kicks = check.job.flight.count;
    if !(FEWEST_KICKS..=MOST_KICKS).contains(&kicks) {
        return;
    }
    let count = kicks - fewer;
    let meant = Meant::Firmly(meant.value * f64::from(count));
    check.reading(path, what, is, each.times(count), meant);
}

fn pitch(check: &mut Check<'_>, path: &str, (from, to): (u32, u32), is: &Ang) {
    let good = check.step(&format!("{path}.from"), from, false);
    let at = format!("{path}.to");
    if check.step(&at, to, false) && good && from >= to {
        let problem = format!("nosing {to} is not above nosing {from}");
        check.tell(&at, problem, "`from` is the lower step, `to` the upper one");
    }
    let flight = &check.job.flight;
    let degrees = is.value.as_degrees();
    let meant = flight.rise.value.as_mm().atan2(flight.going.value.as_mm());
    let meant = meant.to_degrees();
    let sound = RISE.hold(flight.rise.value) && GOING.hold(flight.going.value);
    // Some levels count from plumb.
    let from_plumb = sound && (90.0 - degrees - meant).abs() <= meant * SLIP;
    let at = format!("{path}.is");
    let (least, most) = (PITCH_DEGREES.start(), PITCH_DEGREES.end());
    let mut help = format!("write {least} to {most} degrees above level");
    if from_plumb {
        let level = 90.0 - degrees;
        help = format!("{help}; was it read from plumb? write `{level:.1}`");
    }
    if !PITCH_DEGREES.contains(&degrees) {
        let problem = format!("no flight goes up at {}", is.value.print_degrees(1));
        check.tell(&at, problem, help);
    } else if sound && (degrees - meant).abs() > meant * SLIP {
        let problem = format!("the pitch is more than a quarter off the {meant:.1}° that is meant");
        check.warn(&at, problem, help);
    }
}

fn diagonal(
    check: &mut Check<'_>,
    path: &str,
    (from, to): (NosingEnd, NosingEnd),
    is: &Len,
    meant: &impl Fn(Length) -> Meant,
) {
    let good = check.step(&format!("{path}.from.step"), from.step, false);
    if !check.step(&format!("{path}.to.step"), to.step, false) || !good {
        return;
    }
    if from == to {
        let problem = "the diagonal ends where it begins";
        check.tell(&format!("{path}.to"), problem, "name the other end");
        return;
    }
    let flight = &check.job.flight;
    let steps = f64::from(from.step.abs_diff(to.step));
    let across = f64::from(u8::from(from.end != to.end));
    let straight = |rise: Length, going: Length, width: Length| {
        let level = (going.as_mm() * steps).hypot(width.as_mm() * across);
        Length::mm(level.hypot(rise.as_mm() * steps))
    };
    let bounds = Bounds {
        least: straight(RISE.least, GOING.least, WIDTH.least),
        most: straight(RISE.most, GOING.most, WIDTH.most),
    };
    let length = straight(flight.rise.value, flight.going.value, flight.width.value);
    let is_at = format!("{path}.is");
    check.reading(&is_at, "the diagonal", is, bounds, meant(length));
}
