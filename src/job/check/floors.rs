//! Checks of floors and landings, and of their readings.

use super::copies::Seen;
use super::how::{self, Asks, How};
use super::lines::{self, Needs};
use super::{Check, Meant};
use crate::job::limits::{
    Bounds, ELEVATION, LANDING, LEVEL, LEVEL_GAP, LINE_SLACK, MOST_FLOOR_READINGS, MOST_FLOORS,
    MOST_GAP_SHARE, OFF_LINE, PLAN, RISE,
};
use crate::job::{Floor, FloorKind, FloorReading, Hand, Len, PlanPoint, Runs, Surface, Way};
use crate::measure::{Length, tolerance};

pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    if !check.few("floors", "floors", job.floors.len(), MOST_FLOORS) {
        return;
    }
    for (at, floor) in job.floors.iter().enumerate() {
        let path = format!("floors[{at}]");
        let landing = match &floor.is {
            FloorKind::Landing { from, to, height } => landing(check, &path, from, to, height),
            FloorKind::Lower | FloorKind::Upper => {
                only_one(check, &path, at, floor);
                None
            }
        };
        readings(check, &path, floor, landing);
    }
}

/// Tells a second lower or upper floor.
fn only_one(check: &mut Check<'_>, path: &str, at: usize, floor: &Floor) {
    let mut before = check.job.floors.iter().take(at);
    let Some(other) = before.position(|other| other.is == floor.is) else {
        return;
    };
    let which = match floor.is {
        FloorKind::Lower => "lower",
        _ => "upper",
    };
    check.tell_both(
        &format!("{path}.is"),
        format!("the flight has one {which} floor, and this is a second one"),
        "put the readings of both into one",
        &format!("floors[{other}].is"),
        "the first one",
    );
}

/// The sides of a landing as meant: along the flight and across it.
#[derive(Clone, Copy, Debug)]
struct Sides {
    along: Length,
    across: Length,
}

/// Checks the meant place of a landing; its sides where they are sound.
fn landing(
    check: &mut Check<'_>,
    path: &str,
    from: &PlanPoint,
    to: &PlanPoint,
    height: &Len,
) -> Option<Sides> {
    let at = |field: &str| format!("{path}.is.{field}");
    let mut good = true;
    for (field, length) in [
        ("from.x", &from.x),
        ("from.y", &from.y),
        ("to.x", &to.x),
        ("to.y", &to.y),
    ] {
        good &= check.length(&at(field), "this place", length, PLAN);
    }
    check.length(&at("height"), "the height", height, ELEVATION);
    if !good {
        return None;
    }
    // `from` is at the open end: on the left of one going up where that is the open side.
    let (across, side) = match check.job.flight.open_side {
        Hand::Left => (from.y.value - to.y.value, "left"),
        Hand::Right => (to.y.value - from.y.value, "right"),
    };
    let along = to.x.value - from.x.value;
    let corners = [
        (
            "to.x",
            along,
            "uphill of",
            "`from` is the downhill corner, `to` the uphill one".to_owned(),
        ),
        (
            "to.y",
            across,
            "on the wall side of",
            format!("the open side is on the {side}; `from` lies there, and y runs to the left"),
        ),
    ];
    for (field, long, where_to, help) in corners {
        if long <= Length::mm(tolerance::SAME_POINT_MM) {
            let problem = format!("the landing's second corner is not {where_to} its first");
            check.tell(&at(field), problem, help);
            good = false;
        } else if !LANDING.hold(long) {
            let (long, least) = (check.print(long), check.print(LANDING.least));
            let most = check.print(LANDING.most);
            let problem = format!("the landing is {long} from corner to corner this way");
            check.tell(
                &at(field),
                problem,
                format!("a side is {least} to {most} long"),
            );
            good = false;
        }
    }
    good.then_some(Sides { along, across })
}

fn readings(check: &mut Check<'_>, path: &str, floor: &Floor, sides: Option<Sides>) {
    let list = format!("{path}.readings");
    let what = format!("readings of floor `{}`", floor.name);
    if !check.few(&list, &what, floor.readings.len(), MOST_FLOOR_READINGS) {
        return;
    }
    let mut seen = Seen::default();
    for (at, reading) in floor.readings.iter().enumerate() {
        let path = format!("{list}[{at}]");
        match reading {
            FloorReading::Level { over, is, high, .. } => {
                level(check, &path, (over, is, *high), sides);
            }
            FloorReading::Under { .. } => under(check, &path, floor, reading),
            FloorReading::Edge { edge, is, .. } => {
                let meant = sides.map(|sides| match edge {
                    // An edge that lies uphill or downhill runs across.
                    Way::Uphill | Way::Downhill => sides.across,
                    Way::Open | Way::Wall => sides.along,
                });
                of_landing(check, &path, floor, reading, (is, LANDING, meant));
            }
            FloorReading::Diagonal { is, .. } => {
                let meant =
                    sides.map(|sides| Length::mm(sides.along.as_mm().hypot(sides.across.as_mm())));
                let bounds = Bounds {
                    least: LANDING.least,
                    // Of a square as large as a landing may be.
                    most: LANDING.most * std::f64::consts::SQRT_2,
                };
                of_landing(check, &path, floor, reading, (is, bounds, meant));
            }
        }
        let how = How::of(reading.by(), reading.sd(), reading.taken(), reading.note());
        how::check(check, &path, &how, asks(reading));
        seen.floor(check, &path, reading);
    }
}

const fn asks(reading: &FloorReading) -> Asks {
    match reading {
        FloorReading::Level { .. } => Asks::Level,
        FloorReading::Under { .. } => Asks::FromLine,
        FloorReading::Edge { .. } | FloorReading::Diagonal { .. } => Asks::Distance,
    }
}

fn level(
    check: &mut Check<'_>,
    path: &str,
    (over, is, high): (&Len, &Len, Way),
    sides: Option<Sides>,
) {
    let over_at = format!("{path}.over");
    let good = check.length(&over_at, "the level", over, LEVEL);
    let room = sides.map(|sides| match high {
        Way::Uphill | Way::Downhill => sides.along,
        Way::Open | Way::Wall => sides.across,
    });
    if let Some(room) = room.filter(|room| good && over.value > *room) {
        let help = format!("the landing is {} that way", check.print(room));
        check.tell(&over_at, "the level is longer than the landing", help);
    }
    let is_at = format!("{path}.is");
    if check.length(&is_at, "the gap", is, LEVEL_GAP)
        && good
        && is.value > over.value * MOST_GAP_SHARE
    {
        let problem = "the gap is more than a quarter of the level";
        check.tell(&is_at, problem, "check both");
    }
}

/// Checks a length that only a landing has.
fn of_landing(
    check: &mut Check<'_>,
    path: &str,
    floor: &Floor,
    reading: &FloorReading,
    (is, bounds, meant): (&Len, Bounds, Option<Length>),
) {
    let (what, kind) = match reading {
        FloorReading::Diagonal { .. } => ("the diagonal", "diagonal"),
        _ => ("the edge", "edge"),
    };
    if !matches!(floor.is, FloorKind::Landing { .. }) {
        let problem = format!("floor `{}` is no landing and has no {kind}", floor.name);
        let help = "only a `Landing(...)` is read so; a floor has `Level` and `Under`";
        check.tell(path, problem, help);
        return;
    }
    let meant = meant.map_or(Meant::Unsaid, Meant::Firmly);
    check.reading(&format!("{path}.is"), what, is, bounds, meant);
}

fn under(check: &mut Check<'_>, path: &str, floor: &Floor, reading: &FloorReading) {
    let landing = matches!(floor.is, FloorKind::Landing { .. });
    if landing && *reading.on() == Surface::Rough {
        check.tell(
            &format!("{path}.on"),
            "a landing's height is that of its finished surface",
            "add the floor that is yet to come and take `on` out",
        );
    }
    let FloorReading::Under { x, y, line, is, .. } = reading else {
        return;
    };
    for (field, length) in [("x", x), ("y", y)] {
        let at = format!("{path}.{field}");
        if check.length(&at, "this place", length, PLAN)
            && let FloorKind::Landing { from, to, .. } = &floor.is
        {
            on_landing(check, &at, floor, length, ends(field, from, to));
        }
    }
    let line = lines::named(check, &format!("{path}.line"), line, Needs::Level);
    let bounds = match line.map(|line| &line.runs) {
        Some(Runs::Level { height: Some(h) }) if ELEVATION.hold(h.value) => {
            let at = heights(check, floor);
            Bounds {
                least: h.value - at.most - LINE_SLACK,
                most: h.value - at.least + LINE_SLACK,
            }
        }
        _ => OFF_LINE,
    };
    let what = "the depth under the line";
    check.length(&format!("{path}.is"), what, is, bounds);
}

fn ends<'p>(field: &str, from: &'p PlanPoint, to: &'p PlanPoint) -> (&'p Len, &'p Len) {
    if field == "x" {
        (&from.x, &to.x)
    } else {
        (&from.y, &to.y)
    }
}

/// Tells a place that is not on its landing.
fn on_landing(
    check: &mut Check<'_>,
    path: &str,
    floor: &Floor,
    place: &Len,
    (one, other): (&Len, &Len),
) {
    let near = Length::mm(tolerance::SAME_POINT_MM);
    let least = one.value.min(other.value);
    let most = one.value.max(other.value);
    if place.value < least - near || place.value > most + near {
        let (least, most) = (check.print(least), check.print(most));
        let help = format!("landing `{}` goes from {least} to {most}", floor.name);
        check.tell(path, "this is off the landing", help);
    }
}

/// Where a floor can be above the datum.
fn heights(check: &Check<'_>, floor: &Floor) -> Bounds {
    let exactly = |height: Length| Bounds {
        least: height,
        most: height,
    };
    match &floor.is {
        FloorKind::Lower => exactly(Length::ZERO),
        FloorKind::Upper => RISE.times(check.job.flight.count),
        FloorKind::Landing { height, .. } => exactly(height.value),
    }
}
