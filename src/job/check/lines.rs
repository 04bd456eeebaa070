//! Checks of laser lines, and of the readings that name one.

use std::collections::BTreeSet;

use super::Check;
use super::tools;
use crate::job::limits::{BESIDE, ELEVATION, MOST_LINES, PLAN};
use crate::job::nearest::did_you_mean;
use crate::job::{FloorReading, Job, LaserLine, Runs, StepReading, Tool, WallReading};

pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    if !check.few("lines", "laser lines", job.lines.len(), MOST_LINES) {
        return;
    }
    let used = used(job);
    for (at, line) in job.lines.iter().enumerate() {
        let path = format!("lines[{at}]");
        runs(check, &format!("{path}.runs"), &line.runs);
        if let Some(by) = &line.by {
            thrown_by(check, &format!("{path}.by"), by);
        }
        if !used.contains(line.name.as_str()) {
            check.warn(
                &path,
                format!("no reading is taken from laser line `{}`", line.name),
                "name it in a reading as `line`, or take it out",
            );
        }
    }
}

fn runs(check: &mut Check<'_>, path: &str, runs: &Runs) {
    match runs {
        Runs::Level { height: None } | Runs::Across { x: None } => {}
        Runs::Level {
            height: Some(height),
        } => {
            check.length(&format!("{path}.height"), "the height", height, ELEVATION);
        }
        Runs::Across { x: Some(x) } => {
            check.length(&format!("{path}.x"), "this place", x, PLAN);
        }
        Runs::Beside { wall, off } => {
            if !check.job.walls.iter().any(|known| known.name == *wall) {
                no_wall(check, &format!("{path}.wall"), wall);
            }
            if let Some(off) = off {
                let what = "the distance off the wall";
                check.length(&format!("{path}.off"), what, off, BESIDE);
            }
        }
    }
}

/// Tells a wall that is not there.
pub(super) fn no_wall(check: &mut Check<'_>, path: &str, wall: &str) {
    let walls = &check.job.walls;
    let known: Vec<&str> = walls.iter().map(|wall| wall.name.as_str()).collect();
    let help = did_you_mean(wall, &known, "wall");
    check.tell(path, format!("there is no wall `{wall}`"), help);
}

fn thrown_by(check: &mut Check<'_>, path: &str, by: &str) {
    let job = check.job;
    let known: Vec<&str> = job
        .instruments
        .iter()
        .map(|one| one.name.as_str())
        .collect();
    match job.instruments.iter().find(|one| one.name == by) {
        None => {
            let help = did_you_mean(by, &known, "instrument");
            check.tell(path, format!("there is no instrument `{by}`"), help);
        }
        // A scanner throws none, but all its points are read from one place: its own.
        Some(instrument) if !matches!(instrument.is, Tool::Laser { .. } | Tool::Scanner { .. }) => {
            check.tell(
                path,
                format!(
                    "`{by}` is {}, which throws no line",
                    tools::words(&instrument.is)
                ),
                "name the `Laser` that throws it",
            );
        }
        Some(_) => {}
    }
}

/// The names of the lines that readings are taken from.
fn used(job: &Job) -> BTreeSet<&str> {
    let steps = job
        .flight
        .readings
        .iter()
        .filter_map(|reading| match reading {
            StepReading::Under { line, .. } | StepReading::Past { line, .. } => Some(line.as_str()),
            _ => None,
        });
    let walls = job.walls.iter().flat_map(|wall| &wall.readings);
    let walls = walls.filter_map(|reading| match reading {
        WallReading::Offset { line, .. } => line.as_deref(),
        _ => None,
    });
    let floors = job.floors.iter().flat_map(|floor| &floor.readings);
    let floors = floors.filter_map(|reading| match reading {
        FloorReading::Under { line, .. } => Some(line.as_str()),
        _ => None,
    });
    steps.chain(walls).chain(floors).collect()
}

/// The line that a reading needs.
#[derive(Clone, Copy, Debug)]
pub(super) enum Needs<'a> {
    /// A level one.
    Level,
    /// A plumb one across the flight.
    Across,
    /// A plumb one beside a wall.
    Beside(&'a str),
}

impl Needs<'_> {
    fn met_by(self, runs: &Runs) -> bool {
        match (self, runs) {
            (Self::Level, Runs::Level { .. }) | (Self::Across, Runs::Across { .. }) => true,
            (Self::Beside(wall), Runs::Beside { wall: other, .. }) => wall == other,
            _ => false,
        }
    }

    fn words(self) -> String {
        match self {
            Self::Level => "a level line, `Level(...)`".to_owned(),
            Self::Across => "a plumb line across the flight, `Across(...)`".to_owned(),
            Self::Beside(wall) => {
                format!("a plumb line beside it, `Beside(wall: \"{wall}\")`")
            }
        }
    }
}

fn where_it_runs(runs: &Runs) -> String {
    match runs {
        Runs::Level { .. } => "runs level".to_owned(),
        Runs::Across { .. } => "runs plumb across the flight".to_owned(),
        Runs::Beside { wall, .. } => format!("stands beside wall `{wall}`"),
    }
}

/// The line that a reading names; `None`, and told, where there is none or it is of another kind.
pub(super) fn named<'j>(
    check: &mut Check<'j>,
    path: &str,
    name: &str,
    needs: Needs<'_>,
) -> Option<&'j LaserLine> {
    let lines = &check.job.lines;
    let Some(line) = lines.iter().find(|line| line.name == name) else {
        let known: Vec<&str> = lines.iter().map(|line| line.name.as_str()).collect();
        let help = did_you_mean(name, &known, "laser line");
        check.tell(path, format!("there is no laser line `{name}`"), help);
        return None;
    };
    if needs.met_by(&line.runs) {
        return Some(line);
    }
    let others: Vec<String> = lines
        .iter()
        .filter(|line| needs.met_by(&line.runs))
        .map(|line| format!("`{}`", line.name))
        .collect();
    let known = if others.is_empty() {
        String::new()
    } else {
        format!(": {}", others.join(", "))
    };
    check.tell(
        path,
        format!("laser line `{name}` {}", where_it_runs(&line.runs)),
        format!("this is read from {}{known}", needs.words()),
    );
    None
}
