//! Checks of what is stated about a stair and not read: nosings' edges, kicks, what hangs over the
//! flight, the extent of its upper floor, sections of rails.

use super::{Check, Meant};
use crate::job::limits::{
    ELEVATION, KICK_SLOPE_DEGREES, MOST_OVERHEADS, MOST_PROFILE, NOSING_EDGE, PLAN, PROFILE, RAIL,
    REACHES_ON, REACHES_OUT,
};
use crate::job::{Kicks, Len, NosingEdge, Overhead, Profile};
use crate::measure::Length;

/// What is stated of the flight itself.
pub(super) fn flight(check: &mut Check<'_>) {
    let flight = &check.job.flight;
    match &flight.nosing_edge {
        Some(NosingEdge::Round(radius)) => {
            let path = "flight.nosing_edge.Round";
            check.length(path, "the radius", radius, NOSING_EDGE);
        }
        Some(NosingEdge::Bevel(bevel)) => {
            let path = "flight.nosing_edge.Bevel";
            check.length(path, "the bevel", bevel, NOSING_EDGE);
        }
        Some(NosingEdge::Square) | None => {}
    }
    if let Some(slope) = &flight.kick_slope {
        let degrees = slope.value.as_degrees();
        // A range holds no NaN.
        if !KICK_SLOPE_DEGREES.contains(&degrees) {
            let (least, most) = (KICK_SLOPE_DEGREES.start(), KICK_SLOPE_DEGREES.end());
            check.tell(
                "flight.kick_slope",
                "no kick slopes like that",
                format!("write {least} to {most} degrees from plumb"),
            );
        } else if flight.kicks == Kicks::Open {
            check.tell_both(
                "flight.kick_slope",
                "a stair without kicks has none that slopes",
                "take one of the two out",
                "flight.kicks",
                "the stair has no kicks",
            );
        }
    }
    if let Some(on) = &flight.reaches.on {
        check.length("flight.reaches.on", "how far it goes on", on, REACHES_ON);
    }
    let out = &flight.reaches.out;
    check.length(
        "flight.reaches.out",
        "how far it goes out",
        out,
        REACHES_OUT,
    );
}

/// What hangs over a run.
pub(super) fn overheads(check: &mut Check<'_>) {
    let overheads = &check.job.overheads;
    if !check.few("overheads", "overheads", overheads.len(), MOST_OVERHEADS) {
        return;
    }
    for (at, one) in overheads.iter().enumerate() {
        overhead(check, &format!("overheads[{at}]"), one);
    }
}

fn overhead(check: &mut Check<'_>, path: &str, one: &Overhead) {
    let at = |field: &str| format!("{path}.{field}");
    let mut good = true;
    for (field, length) in [("from", &one.from), ("to", &one.to)] {
        good &= check.length(&at(field), "this place", length, PLAN);
    }
    for (field, length) in [("low", &one.low), ("high", &one.high)] {
        check.length(&at(field), "this height", length, ELEVATION);
    }
    if good && one.to.value < one.from.value {
        check.tell(
            &at("to"),
            format!("`{}` ends before it begins", one.name),
            "`from` is the lower place up the flight, `to` the upper one",
        );
    }
}

/// The section of a rail that is said to be so wide and so deep.
pub(super) fn profile(
    check: &mut Check<'_>,
    path: &str,
    of: &Profile,
    (width, depth): (&Len, &Len),
) {
    let field = format!("{path}.profile");
    let good = match of {
        Profile::Round(diameter) => {
            check.length(&format!("{field}.Round"), "the diameter", diameter, RAIL)
        }
        Profile::Outline(corners) => outline(check, &field, of, corners),
    };
    let Some((wide, deep)) = of.size().filter(|_| good) else {
        return;
    };
    for (name, said, found, what) in [
        ("width", width, wide, "wide"),
        ("depth", depth, deep, "deep"),
    ] {
        if RAIL.hold(said.value) && (said.value - found).abs() > OFF_SIZE {
            let problem = format!(
                "the section is {} {what}, and the rail {}",
                check.print(found),
                check.print(said.value)
            );
            let other = format!("{path}.{name}");
            check.warn_both(&field, problem, "make them agree", &other, "the rail's own");
        }
    }
}

/// A section may be off the size of its rail by as much as a rule shows.
const OFF_SIZE: Length = Length::inches(1.0 / 16.0);

/// Whether an outline bounds less than a rail's section could: by the shoelace formula, under a
/// hundredth of a square inch.
fn has_no_area(corners: &[(Len, Len)]) -> bool {
    let next = corners.iter().cycle().skip(1);
    let twice: f64 = corners
        .iter()
        .zip(next)
        .map(|(a, b)| a.0.mm() * b.1.mm() - b.0.mm() * a.1.mm())
        .sum();
    twice.abs() / 2.0 < 0.01 * 25.4 * 25.4
}

fn outline(check: &mut Check<'_>, path: &str, of: &Profile, corners: &[(Len, Len)]) -> bool {
    if !check.few(path, "corners of a section", corners.len(), MOST_PROFILE) {
        return false;
    }
    if corners.len() < 3 {
        check.tell(
            path,
            format!("{} corners bound no section", corners.len()),
            "give three at least, in their order round the section",
        );
        return false;
    }
    let mut good = true;
    for (at, (across, up)) in corners.iter().enumerate() {
        let path = format!("{path}.Outline[{at}]");
        for length in [across, up] {
            good &= check.reading(&path, "this place", length, PROFILE, Meant::Unsaid);
        }
    }
    if good && of.crosses_itself() {
        check.tell(
            path,
            "the section's outline crosses itself",
            "give its corners in their order round the section, each once",
        );
        return false;
    }
    if good && has_no_area(corners) {
        check.tell(
            path,
            "the section's outline bounds no area",
            "give its corners in their order round the section, each once",
        );
        return false;
    }
    good
}
