//! Checks of walls, stringers and skirts.

use std::collections::BTreeMap;

use super::{Check, is_zero};
use crate::job::limits::{
    BOARD, ELEVATION, FEWEST_WALL_READINGS, INSET, LEVEL, LEVEL_GAP, MOST_SKIRTS, MOST_STRINGERS,
    MOST_WALL_READINGS, MOST_WALLS, PLAN, SKIRT_ABOVE, SKIRT_WIDTH, THROAT, WALL_LENGTH,
    WALL_OFFSET,
};
use crate::job::{Len, Wall, WallReading};
use crate::measure::{Length, tolerance};

pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    if too_many(check, "walls", job.walls.len(), MOST_WALLS) {
        return;
    }
    for (at, wall) in job.walls.iter().enumerate() {
        one(check, &format!("walls[{at}]"), wall);
    }
    stringers(check);
    skirts(check);
}

fn too_many(check: &mut Check<'_>, path: &str, count: usize, most: usize) -> bool {
    if count > most {
        check.tell(
            path,
            format!("{count} {path} are too many"),
            format!("{most} at most"),
        );
    }
    count > most
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
    readings(check, path, wall, extent);
}

/// The level length of a wall's face.
pub(super) fn extent(wall: &Wall) -> Length {
    let x = (wall.to.x.value - wall.from.x.value).as_mm();
    let y = (wall.to.y.value - wall.from.y.value).as_mm();
    Length::mm(x.hypot(y))
}

fn readings(check: &mut Check<'_>, path: &str, wall: &Wall, extent: Length) {
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
    let mut former: BTreeMap<(u8, i64, i64), String> = BTreeMap::new();
    for (at, reading) in wall.readings.iter().enumerate() {
        let path = format!("{list}[{at}]");
        let (kind, along, up) = reading_of(check, &path, wall, extent, reading);
        let key = (kind, microns(along), microns(up));
        match former.get(&key) {
            Some(first) => check.tell_both(
                &path,
                format!("wall `{name}` is read twice at one place"),
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

fn reading_of<'r>(
    check: &mut Check<'_>,
    path: &str,
    wall: &Wall,
    extent: Length,
    reading: &'r WallReading,
) -> (u8, &'r Len, &'r Len) {
    match reading {
        WallReading::Offset { along, up, is, .. } => {
            on_wall(check, path, wall, extent, (along, up, Length::ZERO));
            check.length(&format!("{path}.is"), "the offset", is, WALL_OFFSET);
            (0, along, up)
        }
        WallReading::Plumb {
            along,
            up,
            level,
            gap,
            ..
        } => {
            let good = check.length(&format!("{path}.level"), "the level", level, LEVEL);
            let tall = if good { level.value } else { Length::ZERO };
            on_wall(check, path, wall, extent, (along, up, tall));
            let at = format!("{path}.gap");
            // A wall that leans one in two is no wall.
            if check.length(&at, "the gap", gap, LEVEL_GAP) && good && gap.value > tall * 0.5 {
                check.tell(&at, "the gap is more than half the level", "check both");
            }
            (1, along, up)
        }
        other => (2, other.is(), other.up()),
    }
}

/// Tells a reading that does not lie on its wall; `tall` is what it takes up above its height.
fn on_wall(
    check: &mut Check<'_>,
    path: &str,
    wall: &Wall,
    extent: Length,
    (along, up, tall): (&Len, &Len, Length),
) {
    // The extent comes out of a square root.
    let near = Length::mm(tolerance::SAME_POINT_MM);
    let inside = Length::ZERO - near <= along.value && along.value <= extent + near;
    if !inside && !is_zero(extent) {
        let help = format!("wall `{}` is {} long", wall.name, check.print(extent));
        check.tell(
            &format!("{path}.along"),
            "this is off the end of the wall",
            help,
        );
    }
    let top = up.value + tall;
    let inside = wall.foot.value - near <= up.value && top <= wall.head.value + near;
    if !inside && wall.foot.value < wall.head.value {
        let (foot, head) = (check.print(wall.foot.value), check.print(wall.head.value));
        let problem = if up.value <= wall.head.value && up.value >= wall.foot.value {
            format!(
                "the level's upper end is at {}, above the wall",
                check.print(top)
            )
        } else {
            "this is above or below the wall".to_owned()
        };
        let help = format!("wall `{}` goes from {foot} up to {head}", wall.name);
        check.tell(&format!("{path}.up"), problem, help);
    }
}

/// Thousandths of a millimetre, so that places can be compared without `==` of lengths.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast saturates, and bounds are checked"
)]
fn microns(length: &Len) -> i64 {
    (length.mm() * 1e3).round() as i64
}

fn stringers(check: &mut Check<'_>) {
    let job = check.job;
    if too_many(check, "stringers", job.stringers.len(), MOST_STRINGERS) {
        return;
    }
    for (at, stringer) in job.stringers.iter().enumerate() {
        let path = |field: &str| format!("stringers[{at}].{field}");
        check.length(&path("inset"), "the inset", &stringer.inset, INSET);
        check.length(
            &path("thickness"),
            "the thickness",
            &stringer.thickness,
            BOARD,
        );
        check.length(&path("throat"), "the throat", &stringer.throat, THROAT);
    }
}

fn skirts(check: &mut Check<'_>) {
    let job = check.job;
    if too_many(check, "skirts", job.skirts.len(), MOST_SKIRTS) {
        return;
    }
    for (at, skirt) in job.skirts.iter().enumerate() {
        let path = |field: &str| format!("skirts[{at}].{field}");
        check.length(&path("thickness"), "the thickness", &skirt.thickness, BOARD);
        check.length(
            &path("above"),
            "the height above",
            &skirt.above,
            SKIRT_ABOVE,
        );
        check.length(&path("width"), "the width", &skirt.width, SKIRT_WIDTH);
    }
}
