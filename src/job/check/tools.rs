//! Checks of the instruments, and of what each of them can read.

use super::Check;
use super::how::Asks;
use crate::job::limits::{
    MOST_INSTRUMENTS, MOST_OFF, MOST_OFF_SHARE, MOST_SD, MOST_SLOPE_OFF_DEGREES, OFF_OVER,
};
use crate::job::{Len, Tool};

pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    let count = job.instruments.len();
    if !check.few("instruments", "instruments", count, MOST_INSTRUMENTS) {
        return;
    }
    for (at, instrument) in job.instruments.iter().enumerate() {
        figures(check, &format!("instruments[{at}].is"), &instrument.is);
    }
}

/// Checks what an instrument may be off.
fn figures(check: &mut Check<'_>, path: &str, tool: &Tool) {
    let at = |field: &str| format!("{path}.{field}");
    let off_is = "what it may be off";
    match tool {
        Tool::Tape { mark, .. } => {
            if let Some(mark) = mark {
                check.over_zero(&at("mark"), "the mark", mark, MOST_OFF);
            }
        }
        Tool::Level { off, over } | Tool::Laser { off, over } => rate(check, path, off, over),
        Tool::Distance { off } | Tool::Straightedge { off } => {
            check.over_zero(&at("off"), off_is, off, MOST_OFF);
        }
        Tool::Scanner { off } => {
            check.over_zero(&at("off"), off_is, off, MOST_SD);
        }
        Tool::Slope { off } => {
            let degrees = off.value.as_degrees();
            // A comparison with NaN is false.
            if !(degrees > 0.0 && degrees <= MOST_SLOPE_OFF_DEGREES) {
                let problem = format!("{off_is} is {}", off.value.print_degrees(2));
                let help =
                    format!("write more than zero, and {MOST_SLOPE_OFF_DEGREES} degrees at most");
                check.tell(&at("off"), problem, help);
            }
        }
    }
}

/// Checks a figure that is given over a length.
fn rate(check: &mut Check<'_>, path: &str, off: &Len, over: &Len) {
    let at = format!("{path}.off");
    let good = check.over_zero(&at, "what it may be off", off, MOST_OFF);
    let over_is = "the length that the figure is given over";
    if check.length(&format!("{path}.over"), over_is, over, OFF_OVER)
        && good
        && off.value > over.value * MOST_OFF_SHARE
    {
        let problem = "it may be off by more than one in twenty";
        check.tell(&at, problem, "no level is as bad as that; check both");
    }
}

/// How well an instrument suits a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Suits {
    /// As it is done.
    Well,
    /// Something else must have been used with it.
    Oddly,
    /// It cannot be.
    Not,
}

/// How well an instrument suits a reading: common practice, no source.
pub(super) const fn suits(tool: &Tool, asks: Asks) -> Suits {
    match (tool, asks) {
        (Tool::Tape { .. } | Tool::Distance { .. }, Asks::Distance | Asks::FromLine)
        | (Tool::Level { .. } | Tool::Slope { .. }, Asks::Level | Asks::Plumb | Asks::Straight)
        | (Tool::Slope { .. }, Asks::Pitch)
        | (Tool::Laser { .. }, Asks::FromLine | Asks::Level)
        | (Tool::Scanner { .. }, Asks::FromLine)
        | (Tool::Straightedge { .. }, Asks::Straight) => Suits::Well,
        // A pitch is an angle: only what shows degrees reads one. A straightedge knows no plumb.
        // A distance laser reads along its own beam.
        (
            Tool::Tape { .. }
            | Tool::Level { .. }
            | Tool::Laser { .. }
            | Tool::Distance { .. }
            | Tool::Straightedge { .. },
            Asks::Pitch,
        )
        | (Tool::Straightedge { .. }, Asks::Level | Asks::Plumb | Asks::FromLine)
        | (Tool::Distance { .. }, Asks::Level | Asks::Plumb | Asks::Straight)
        | (Tool::Slope { .. }, Asks::Distance | Asks::FromLine) => Suits::Not,
        // The gap under a level is taped, a laser has a rule held to it; a
        // scanner shows points, which are read against its own plane beside the wall.
        (Tool::Tape { .. }, Asks::Level | Asks::Plumb | Asks::Straight)
        | (Tool::Level { .. } | Tool::Straightedge { .. }, Asks::Distance)
        | (Tool::Level { .. }, Asks::FromLine)
        | (Tool::Laser { .. }, Asks::Distance | Asks::Plumb | Asks::Straight)
        | (
            Tool::Scanner { .. },
            Asks::Distance | Asks::Level | Asks::Plumb | Asks::Straight | Asks::Pitch,
        ) => Suits::Oddly,
    }
}

/// What an instrument is, in trade words.
pub(super) const fn words(tool: &Tool) -> &'static str {
    match tool {
        Tool::Tape { .. } => "a tape",
        Tool::Level { .. } => "a level",
        Tool::Laser { .. } => "a line laser",
        Tool::Distance { .. } => "a distance laser",
        Tool::Slope { .. } => "a level that shows degrees",
        Tool::Straightedge { .. } => "a straightedge",
        Tool::Scanner { .. } => "a scanner",
    }
}
