//! Checks of the readings of the steps: the steps are there, and what was read can be.

use super::copies::Seen;
use super::how::{self, Asks, How};
use super::{Check, Meant, from_lines, several};
use crate::job::limits::{
    BOARD, Bounds, EDGE, FALL, GOING, MOST_STEP_READINGS, OUT_OF_LEVEL, OVERHANG, RISE, WIDTH,
};
use crate::job::nearest::did_you_mean;
use crate::job::{Across, Flight, Len, StepReading, Surface};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>) {
    let readings = &check.job.flight.readings;
    let what = "readings of the steps";
    if !check.few("flight.readings", what, readings.len(), MOST_STEP_READINGS) {
        return;
    }
    let mut seen = Seen::default();
    for (at, reading) in readings.iter().enumerate() {
        let path = format!("flight.readings[{at}]");
        one(check, &path, reading);
        let how = How::of(reading.by(), reading.sd(), reading.taken(), reading.note());
        how::check(check, &path, &how, asks(reading));
        place(check, &path, reading);
        seen.step(check, &path, reading);
    }
}

const fn asks(reading: &StepReading) -> Asks {
    match reading {
        StepReading::Level { .. } | StepReading::Fall { .. } => Asks::Level,
        StepReading::Under { .. } | StepReading::Past { .. } => Asks::FromLine,
        StepReading::Pitch { .. } => Asks::Pitch,
        _ => Asks::Distance,
    }
}

/// A reading of one kick or tread alone.
struct Single<'r> {
    step: u32,
    of_kick: bool,
    is: &'r Len,
    what: &'static str,
    bounds: Bounds,
    meant: Meant,
}

impl<'r> Single<'r> {
    /// `None` for a reading between several steps.
    fn of(flight: &Flight, reading: &'r StepReading) -> Option<Self> {
        let firm = |length: &Len| meant(reading, length.value);
        let loose = |length: &Len| Meant::Loosely(length.value);
        let step = reading.step()?;
        let (what, bounds, meant) = match reading {
            StepReading::Rise { .. } => ("the rise", RISE, firm(&flight.rise)),
            StepReading::Going { .. } => {
                ("the going", GOING, meant(reading, flight.going_of(step)))
            }
            StepReading::Width { .. } => {
                ("the width", WIDTH, meant(reading, flight.width_of(step)))
            }
            StepReading::Overhang { .. } => ("the overhang", OVERHANG, loose(&flight.overhang)),
            StepReading::TreadThickness { .. } => {
                let meant = loose(&flight.tread_thickness);
                ("the tread thickness", BOARD, meant)
            }
            StepReading::KickThickness { .. } => {
                let meant = loose(&flight.kick_thickness);
                ("the kick thickness", BOARD, meant)
            }
            StepReading::Level { .. } => ("the level", OUT_OF_LEVEL, Meant::Unsaid),
            StepReading::Fall { .. } => ("the fall", FALL, Meant::Unsaid),
            StepReading::Edge { .. } => {
                let meant = Meant::Loosely(flight.edge_of(step));
                ("the edge", EDGE, meant)
            }
            _ => return None,
        };
        Some(Self {
            step,
            of_kick: matches!(
                reading,
                StepReading::Rise { .. } | StepReading::KickThickness { .. }
            ),
            is: reading.is()?,
            what,
            bounds,
            meant,
        })
    }
}

fn one(check: &mut Check<'_>, path: &str, reading: &StepReading) {
    if let Some(single) = Single::of(&check.job.flight, reading) {
        let step = format!("{path}.step");
        // Kicks are counted to the upper floor, treads to the last one below it.
        if single.of_kick {
            check.kick(&step, single.step);
        } else {
            check.tread(&step, single.step);
        }
        let (is, what) = (format!("{path}.is"), single.what);
        check.reading(&is, what, single.is, single.bounds, single.meant);
    } else if let StepReading::Under { .. } | StepReading::Past { .. } = reading {
        from_lines::check(check, path, reading);
    } else {
        several::check(check, path, reading);
    }
}

/// What was meant; rough steps at either end differ by the floor and tread that are yet to come.
pub(super) const fn meant(reading: &StepReading, length: Length) -> Meant {
    match reading.on() {
        Surface::Rough => Meant::Loosely(length),
        Surface::DryFitted | Surface::Finished => Meant::Firmly(length),
    }
}

/// Checks where across the flight, and on which surface, a reading was taken.
fn place(check: &mut Check<'_>, path: &str, reading: &StepReading) {
    let side = format!("{path}.side");
    let rough = *reading.on() == Surface::Rough;
    if let Across::Stringer(name) = reading.side() {
        let stringers = &check.job.stringers;
        let known: Vec<&str> = stringers.iter().map(|one| one.name.as_str()).collect();
        if !known.contains(&name.as_str()) {
            let help = did_you_mean(name, &known, "stringer");
            let problem = format!("there is no stringer `{name}`");
            check.tell(&format!("{side}.Stringer"), problem, help);
        } else if !rough {
            check.tell(
                &side,
                "a stringer's cut is bare framing, and this was not read on that",
                "write `on: Rough`, or name another side",
            );
        }
    }
    let from_side_to_side = match reading {
        StepReading::Width { .. } | StepReading::Level { .. } | StepReading::Diagonal { .. } => {
            *reading.side() != Across::Line
        }
        // It is the open end that is read.
        StepReading::Edge { .. } => !matches!(reading.side(), Across::Line | Across::Open),
        _ => false,
    };
    if from_side_to_side {
        let problem = format!("`side` says nothing on `{}`", reading.kind());
        check.warn(&side, problem, "take it out");
    }
    let of_nosing = matches!(
        reading,
        StepReading::Overhang { .. } | StepReading::Diagonal { .. }
    );
    if of_nosing && rough {
        let problem = "bare framing has no nosings yet";
        check.warn(&format!("{path}.on"), problem, "is it `on: DryFitted`?");
    }
}
