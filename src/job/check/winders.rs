//! Checks of a turn on winders.

use super::{Check, Meant};
use crate::job::limits::{
    ALONG_WINDERS, BOARD, Bounds, FALL, FEWEST_WINDERS, MOST_WINDER_READINGS, MOST_WINDERS,
    OUT_OF_LEVEL, OVERHANG, RAIL_IN, RISE, SECTION, WALK_LINE, WELL, WIDTH, WINDER_TURN_DEGREES,
};
use crate::job::{Ang, Len, Well, WinderKind, WinderReading, Winders};

/// Checks winders that stand at a path of the file.
pub(super) fn check(check: &mut Check<'_>, path: &str, winders: &Winders) {
    let at = |field: &str| format!("{path}.{field}");
    check.count(
        &at("count"),
        "treads are not a turn on winders",
        winders.count,
        FEWEST_WINDERS,
        MOST_WINDERS,
    );
    turn(check, &at("angle"), &winders.angle);
    let lengths: [(&str, &str, &Len, Bounds); 6] = [
        ("width", "the width", &winders.width, WIDTH),
        ("rise", "the rise", &winders.rise, RISE),
        ("overhang", "the overhang", &winders.overhang, OVERHANG),
        (
            "tread_thickness",
            "the tread thickness",
            &winders.tread_thickness,
            BOARD,
        ),
        (
            "kick_thickness",
            "the kick thickness",
            &winders.kick_thickness,
            BOARD,
        ),
        ("handrail", "this place", &winders.handrail, RAIL_IN),
    ];
    for (field, what, length, bounds) in lengths {
        check.length(&at(field), what, length, bounds);
    }
    if winders.tread_thickness.value >= winders.rise.value && RISE.hold(winders.rise.value) {
        check.tell(
            &at("tread_thickness"),
            "the tread is thicker than the rise",
            "nothing is left for the kick; check both",
        );
    }
    if let Some(line) = &winders.walk_line
        && check.length(&at("walk_line"), "the walk line's place", line, WALK_LINE)
        && WIDTH.hold(winders.width.value)
        && line.value >= winders.width.value
    {
        let help = format!("the winders are {} wide", check.print(winders.width.value));
        check.tell(&at("walk_line"), "the walk line lies in the wall", help);
    }
    about(check, path, winders);
    places(check, path, winders);
    readings(check, path, winders);
}

fn turn(check: &mut Check<'_>, path: &str, angle: &Ang) {
    let degrees = angle.value.as_degrees();
    // A range holds no NaN.
    if !WINDER_TURN_DEGREES.contains(&degrees) {
        let (least, most) = (WINDER_TURN_DEGREES.start(), WINDER_TURN_DEGREES.end());
        check.tell(
            path,
            format!("no winders turn by {}", angle.value.print_degrees(1)),
            format!("write {least} to {most} degrees"),
        );
    }
}

/// The newel or well: nosings that pass its centre are not a stair.
fn about(check: &mut Check<'_>, path: &str, winders: &Winders) {
    let (field, what, size, bounds, half) = match &winders.kind {
        WinderKind::Kite { newel } => ("newel", "the newel", newel, SECTION, 0.5),
        WinderKind::Tapered {
            well: Well::Round(radius),
            ..
        } => ("well", "the well's radius", radius, WELL, 1.0),
        WinderKind::Tapered {
            well: Well::Square(side),
            ..
        } => ("well", "the well", side, WELL, 0.5),
    };
    let at = format!("{path}.kind.{field}");
    if !check.length(&at, what, size, bounds) || !OVERHANG.hold(winders.overhang.value) {
        return;
    }
    if size.value * half < winders.overhang.value {
        let help = format!(
            "let it stand out from the centre by the overhang at least, {}",
            check.print(winders.overhang.value)
        );
        check.tell(&at, "the nosings pass by it on the inside", help);
    }
}

/// Kicks with places of their own: they are there, and in their order.
fn places(check: &mut Check<'_>, path: &str, winders: &Winders) {
    let count = winders.count as usize;
    if !check.few(
        &format!("{path}.kicks"),
        "places of kicks",
        winders.kicks.len(),
        count,
    ) {
        return;
    }
    for (number, place) in winders.kicks.iter().enumerate() {
        let at = |field: &str| format!("{path}.kicks[{number}].{field}");
        moved_kick(check, &at("step"), winders, place.step);
        check.length(
            &at("narrow"),
            "the place at the narrow side",
            &place.narrow,
            ALONG_WINDERS,
        );
        check.length(
            &at("wide"),
            "the place at the wall",
            &place.wide,
            ALONG_WINDERS,
        );
        let before = &winders.kicks[..number];
        let crossed = before.iter().find(|one| {
            let below = one.step < place.step;
            one.step == place.step
                || (below
                    && (one.narrow.value > place.narrow.value
                        || one.wide.value >= place.wide.value))
                || (!below
                    && (one.narrow.value < place.narrow.value
                        || one.wide.value <= place.wide.value))
        });
        if let Some(other) = crossed {
            let problem = format!("kick {} and kick {} cross", other.step, place.step);
            let help = "each kick stands further round than the one below it, at both ends";
            check.tell(&format!("{path}.kicks[{number}]"), problem, help);
        }
    }
}

/// The first kick is what the others are measured from.
fn moved_kick(check: &mut Check<'_>, path: &str, winders: &Winders, step: u32) {
    let most = winders.count.saturating_add(1);
    if !(2..=most).contains(&step) {
        let problem = format!("kick {step} has no place to give");
        let help = format!("kicks 2 to {most} are measured from the first");
        check.tell(path, problem, help);
    }
}

fn readings(check: &mut Check<'_>, path: &str, winders: &Winders) {
    let list = format!("{path}.readings");
    let read = &winders.readings;
    if !check.few(
        &list,
        "readings of winders",
        read.len(),
        MOST_WINDER_READINGS,
    ) {
        return;
    }
    for (number, reading) in read.iter().enumerate() {
        let at = |field: &str| format!("{list}[{number}].{field}");
        let step = reading.step();
        match reading {
            WinderReading::Narrow { is, .. } | WinderReading::Wide { is, .. } => {
                moved_kick(check, &at("step"), winders, step);
                check.length(&at("is"), "the place", is, ALONG_WINDERS);
            }
            WinderReading::Turn { is, .. } => {
                moved_kick(check, &at("step"), winders, step);
                within(check, &at("is"), winders, is);
            }
            WinderReading::Rise { is, .. } => {
                tread(check, &at("step"), winders, step);
                let meant = Meant::Firmly(winders.rise.value);
                check.reading(&at("is"), "the rise", is, RISE, meant);
            }
            WinderReading::Level { is, .. } => {
                tread(check, &at("step"), winders, step);
                check.length(&at("is"), "the level", is, OUT_OF_LEVEL);
            }
            WinderReading::Fall { is, .. } => {
                tread(check, &at("step"), winders, step);
                check.length(&at("is"), "the fall", is, FALL);
            }
        }
        thrice(check, &format!("{list}[{number}]"), winders, number);
    }
}

fn tread(check: &mut Check<'_>, path: &str, winders: &Winders, step: u32) {
    let count = winders.count;
    if !(1..=count).contains(&step) {
        let problem = format!("there is no winder {step}");
        check.tell(path, problem, format!("the turn has treads 1 to {count}"));
    }
}

/// An angle from the first kick lies within the turn.
fn within(check: &mut Check<'_>, path: &str, winders: &Winders, is: &Ang) {
    let (degrees, whole) = (is.value.as_degrees(), winders.angle.value.as_degrees());
    if !(0.0..=whole + SPARE_DEGREES).contains(&degrees) {
        let problem = format!("{} is not within the turn", is.value.print_degrees(1));
        let help = format!("read it from the first kick, 0 to {whole} degrees");
        check.tell(path, problem, help);
    }
}

/// The last kick may be read a little past where it was meant.
const SPARE_DEGREES: f64 = 5.0;

/// Two of its ends and angle place a kick; a third would contradict them unseen.
fn thrice(check: &mut Check<'_>, path: &str, winders: &Winders, number: usize) {
    let WinderReading::Turn { step, .. } = &winders.readings[number] else {
        return;
    };
    let has = |wanted: fn(&WinderReading) -> bool| {
        let mut all = winders.readings.iter();
        all.any(|one| one.step() == *step && wanted(one))
    };
    if has(|one| matches!(one, WinderReading::Narrow { .. }))
        && has(|one| matches!(one, WinderReading::Wide { .. }))
    {
        check.tell(
            path,
            format!("kick {step} is read at both ends and by its angle"),
            "its two ends place it: take the angle out",
        );
    }
}
