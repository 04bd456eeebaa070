//! Checks of walls: each has two ends, a head above its foot, and readings enough.

use super::copies::Seen;
use super::{Check, is_zero, wall_readings};
use crate::job::Wall;
use crate::job::limits::{
    ELEVATION, FEWEST_WALL_READINGS, MOST_WALL_READINGS, MOST_WALLS, PLAN, WALL_LENGTH,
};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    if !check.few("walls", "walls", job.walls.len(), MOST_WALLS) {
        return;
    }
    for (at, wall) in job.walls.iter().enumerate() {
        one(check, &format!("walls[{at}]"), wall);
    }
}

fn one(check: &mut Check<'_>, path: &str, wall: &Wall) {
    let ends = [
        ("from.x", &wall.from.x),
        ("from.y", &wall.from.y),
        ("to.x", &wall.to.x),
        ("to.y", &wall.to.y),
    ];
    for (end, length) in ends {
        check.length(&format!("{path}.{end}"), "this place", length, PLAN);
    }
    check.length(&format!("{path}.foot"), "the foot", &wall.foot, ELEVATION);
    check.length(&format!("{path}.head"), "the head", &wall.head, ELEVATION);
    if wall.head.value <= wall.foot.value {
        let foot = check.print(wall.foot.value);
        check.tell(
            &format!("{path}.head"),
            format!("the head is not above the foot, which is at {foot}"),
            "heights are above the datum, the finished lower floor",
        );
    }
    let extent = extent(wall);
    if is_zero(extent) {
        check.tell_both(
            &format!("{path}.to"),
            format!("wall `{}` ends where it begins", wall.name),
            "give the other end of its face",
            &format!("{path}.from"),
            "it begins here",
        );
    } else if !WALL_LENGTH.hold(extent) {
        let long = check.print(extent);
        check.tell(
            path,
            format!("wall `{}` is {long} long", wall.name),
            "check its two ends",
        );
    }
    readings(check, path, wall);
}

/// The level length of a wall's face.
pub(super) fn extent(wall: &Wall) -> Length {
    let x = (wall.to.x.value - wall.from.x.value).as_mm();
    let y = (wall.to.y.value - wall.from.y.value).as_mm();
    Length::mm(x.hypot(y))
}

fn readings(check: &mut Check<'_>, path: &str, wall: &Wall) {
    let list = format!("{path}.readings");
    let name = &wall.name;
    match wall.readings.len() {
        0 => check.tell(
            &list,
            format!("wall `{name}` has no readings"),
            "read it at two places at least, or take the wall out",
        ),
        count if count < FEWEST_WALL_READINGS => check.tell(
            &list,
            format!("wall `{name}` has one reading, which cannot say how it stands"),
            "take a second one, high or low and at the other end",
        ),
        count if count > MOST_WALL_READINGS => {
            check.tell(
                &list,
                format!("wall `{name}` has {count} readings"),
                format!("{MOST_WALL_READINGS} at most"),
            );
            return;
        }
        _ => {}
    }
    let mut seen = Seen::default();
    for (at, reading) in wall.readings.iter().enumerate() {
        let path = format!("{list}[{at}]");
        wall_readings::check(check, &path, wall, reading);
        seen.wall(check, &path, reading);
    }
}
