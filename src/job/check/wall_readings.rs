//! Checks of the readings of a wall: each lies on the wall, and what it is read against is there.

use super::how::{self, Asks, How};
use super::lines::{self, Needs};
use super::two_walls;
use super::{Check, is_zero, walls};
use crate::job::limits::{
    BESIDE, Bounds, LEVEL, LEVEL_GAP, LINE_TO_WALL, MOST_GAP_SHARE, STRAIGHT_GAP, WALL_OFFSET,
};
use crate::job::{Len, LevelEnd, Lies, Runs, Wall, WallReading};
use crate::measure::{Length, tolerance};

pub(super) fn check(check: &mut Check<'_>, path: &str, wall: &Wall, reading: &WallReading) {
    match reading {
        WallReading::Offset {
            along,
            up,
            is,
            line,
            ..
        } => {
            on_wall(check, path, wall, &Place::point(along, up));
            let at = format!("{path}.is");
            match line {
                None => {
                    check.length(&at, "the offset", is, WALL_OFFSET);
                }
                Some(line) => from_line(check, path, wall, line, is),
            }
        }
        WallReading::Plumb { .. } => plumb(check, path, wall, reading),
        WallReading::Straight {
            along,
            up,
            length,
            lies,
            is,
            ..
        } => {
            let at = format!("{path}.length");
            if check.length(&at, "the straightedge", length, LEVEL) {
                let place = Place {
                    tool: "the straightedge",
                    field: "length",
                    ..Place::laid(along, up, length.value, *lies)
                };
                on_wall(check, path, wall, &place);
            } else {
                on_wall(check, path, wall, &Place::point(along, up));
            }
            let at = format!("{path}.is");
            let good = check.length(&at, "the gap", is, STRAIGHT_GAP);
            if good && is.value.abs() > length.value * MOST_GAP_SHARE {
                let problem = "the gap is more than a quarter of the straightedge";
                check.tell(&at, problem, "check both");
            }
        }
        WallReading::Between {
            along,
            up,
            wall: other,
            is,
            ..
        } => {
            on_wall(check, path, wall, &Place::point(along, up));
            two_walls::between(check, path, wall, other, (along, up, is));
        }
        WallReading::Corner {
            wall: other,
            up,
            leg,
            other_leg,
            is,
            ..
        } => two_walls::corner(check, path, wall, other, (up, leg, other_leg, is)),
    }
    let how = How::of(reading.by(), reading.sd(), reading.taken(), reading.note());
    how::check(check, path, &how, asks(reading));
}

const fn asks(reading: &WallReading) -> Asks {
    match reading {
        WallReading::Offset { line: Some(_), .. } => Asks::FromLine,
        WallReading::Plumb { .. } => Asks::Plumb,
        WallReading::Straight { .. } => Asks::Straight,
        WallReading::Offset { .. } | WallReading::Between { .. } | WallReading::Corner { .. } => {
            Asks::Distance
        }
    }
}

/// Checks the distance from a laser line to the face.
fn from_line(check: &mut Check<'_>, path: &str, wall: &Wall, line: &str, is: &Len) {
    let needs = Needs::Beside(&wall.name);
    let line = lines::named(check, &format!("{path}.line"), line, needs);
    let bounds = match line.map(|line| &line.runs) {
        // The face is where the line is, less what is read.
        Some(Runs::Beside { off: Some(off), .. }) if BESIDE.hold(off.value) => Bounds {
            least: off.value - WALL_OFFSET.most,
            most: off.value - WALL_OFFSET.least,
        },
        _ => LINE_TO_WALL,
    };
    let what = "the distance from the line";
    check.length(&format!("{path}.is"), what, is, bounds);
}

fn plumb(check: &mut Check<'_>, path: &str, wall: &Wall, reading: &WallReading) {
    let WallReading::Plumb {
        along,
        up,
        level,
        gap,
        at: end,
        touch,
        ..
    } = reading
    else {
        return;
    };
    let good = check.length(&format!("{path}.level"), "the level", level, LEVEL);
    let tall = if good { level.value } else { Length::ZERO };
    let place = Place {
        tool: "the level",
        field: "level",
        ..Place::laid(along, up, tall, Lies::Upright)
    };
    on_wall(check, path, wall, &place);
    let at = format!("{path}.gap");
    // A wall that leans one in two is no wall.
    if check.length(&at, "the gap", gap, LEVEL_GAP) && good && gap.value > tall * 0.5 {
        check.tell(&at, "the gap is more than half the level", "check both");
    }
    let Some(touch) = touch.as_ref().filter(|_| good) else {
        return;
    };
    let at = format!("{path}.touch");
    let along_level = Bounds {
        least: Length::ZERO,
        most: tall,
    };
    if !check.length(&at, "where it touches", touch, along_level) {
        return;
    }
    let (end, there) = match end {
        LevelEnd::Top => ("upper", tall),
        LevelEnd::Bottom => ("lower", Length::ZERO),
    };
    if is_zero(touch.value - there) {
        let problem = format!("the level touches at its {end} end, where the gap is");
        check.tell(&at, problem, "it touches nearer its other end");
    }
}

/// The stretch of a wall that a reading takes up.
pub(super) struct Place<'a> {
    along: &'a Len,
    up: &'a Len,
    /// What it takes up further along, and further up.
    wide: Length,
    tall: Length,
    /// What lies on the wall, and the field that says how long it is.
    tool: &'static str,
    field: &'static str,
}

impl<'a> Place<'a> {
    pub(super) const fn point(along: &'a Len, up: &'a Len) -> Self {
        Self::laid(along, up, Length::ZERO, Lies::Level)
    }

    const fn laid(along: &'a Len, up: &'a Len, long: Length, lies: Lies) -> Self {
        let (wide, tall) = match lies {
            Lies::Level => (long, Length::ZERO),
            Lies::Upright => (Length::ZERO, long),
        };
        Self {
            along,
            up,
            wide,
            tall,
            tool: "this",
            field: "is",
        }
    }
}

/// Extents come out of square roots and sums.
const NEAR: Length = Length::mm(tolerance::SAME_POINT_MM);

/// Tells a reading that does not lie on its wall.
pub(super) fn on_wall(check: &mut Check<'_>, path: &str, wall: &Wall, place: &Place<'_>) {
    let extent = walls::extent(wall);
    let Place { tool, field, .. } = place;
    if !is_zero(extent) {
        let help = format!("wall `{}` is {} long", wall.name, check.print(extent));
        let (along, end) = (place.along.value, place.along.value + place.wide);
        if place.wide > extent + NEAR {
            let problem = format!("{tool} is longer than the wall");
            check.tell(&format!("{path}.{field}"), problem, help);
        } else if !(-NEAR <= along && along <= extent + NEAR) {
            let problem = "this is off the end of the wall";
            check.tell(&format!("{path}.along"), problem, help);
        } else if end > extent + NEAR {
            let far = check.print(end);
            let problem = format!("{tool}'s far end is at {far}, off the end of the wall");
            check.tell(&format!("{path}.along"), problem, help);
        }
    }
    height_on_wall(check, path, wall, place);
}

/// Tells a reading that lies above or below its wall.
pub(super) fn height_on_wall(check: &mut Check<'_>, path: &str, wall: &Wall, place: &Place<'_>) {
    let (foot, head) = (wall.foot.value, wall.head.value);
    if foot >= head {
        return;
    }
    let (foot_is, head_is) = (check.print(foot), check.print(head));
    let help = format!("wall `{}` goes from {foot_is} up to {head_is}", wall.name);
    let (up, top) = (place.up.value, place.up.value + place.tall);
    let Place { tool, field, .. } = place;
    if place.tall > head - foot + NEAR {
        let problem = format!("{tool} is longer than the wall is high");
        check.tell(&format!("{path}.{field}"), problem, help);
    } else if !(foot - NEAR <= up && up <= head + NEAR) {
        let problem = "this is above or below the wall";
        check.tell(&format!("{path}.up"), problem, help);
    } else if top > head + NEAR {
        let top = check.print(top);
        let problem = format!("{tool}'s upper end is at {top}, above the wall");
        check.tell(&format!("{path}.up"), problem, help);
    }
}
