//! Checks of newels, rails, and what they refer to.

use super::{Check, is_zero};
use crate::job::limits::{
    BEVEL, BLOCKING, BOTTOM_RAIL_ABOVE, ELEVATION, FITTING, LEAN, LEAN_OVER, MOST_NEWELS,
    MOST_TWIST_DEGREES, MOVE, NEWEL_HEIGHT, PLAN, RAIL, RAIL_HEIGHT, REVEAL, ROSETTE, SECTION,
    WALL_LENGTH,
};
use crate::job::nearest::did_you_mean;
use crate::job::{Blocking, Newel, RailEnd, Section, Stands, Wall};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>) {
    let design = &check.job.design;
    check.length(
        "design.fitting",
        "the fitting allowance",
        &design.fitting,
        FITTING,
    );
    if let Some(reveal) = &design.reveal {
        check.length("design.reveal", "the reveal", reveal, REVEAL);
    }
    if design.newels.len() > MOST_NEWELS {
        let count = design.newels.len();
        let help = format!("{MOST_NEWELS} at most");
        check.tell(
            "design.newels",
            format!("{count} newels are too many"),
            help,
        );
    } else {
        for (at, newel) in design.newels.iter().enumerate() {
            one_newel(check, &format!("design.newels[{at}]"), newel);
        }
        in_one_place(check);
    }
    rail(check);
    bottom_rail(check);
}

/// Checks a section's sides.
pub(super) fn section(check: &mut Check<'_>, path: &str, section: &Section) -> bool {
    match section {
        Section::Square(side) => check.length(&format!("{path}.Square"), "the side", side, SECTION),
        Section::Round(diameter) => {
            check.length(&format!("{path}.Round"), "the diameter", diameter, SECTION)
        }
        Section::Rectangle { along, across } => {
            let first = check.length(&format!("{path}.along"), "the size", along, SECTION);
            check.length(&format!("{path}.across"), "the size", across, SECTION) && first
        }
        Section::Turned {
            square, profile, ..
        } => super::infill::turned(check, path, square, profile),
    }
}

fn one_newel(check: &mut Check<'_>, path: &str, newel: &Newel) {
    section(check, &format!("{path}.section"), &newel.section);
    if let Section::Turned { .. } = newel.section {
        check.tell(
            &format!("{path}.section"),
            "a turned section is for balusters",
            "write the newel's block: Square(..) or Round(..)",
        );
    }
    super::railing::newel(check, path, newel);
    super::railing::shown(check, path, newel);
    if let Some(twist) = &newel.twist {
        let degrees = twist.value.as_degrees();
        // A range holds no NaN.
        if !(-MOST_TWIST_DEGREES..=MOST_TWIST_DEGREES).contains(&degrees) {
            check.tell(
                &format!("{path}.twist"),
                "the twist is more than half a turn",
                format!("write -{MOST_TWIST_DEGREES} to {MOST_TWIST_DEGREES} degrees"),
            );
        }
    }
    if let Some(lean) = &newel.lean {
        check.length(
            &format!("{path}.lean.up_flight"),
            "the lean",
            &lean.up_flight,
            LEAN,
        );
        check.length(
            &format!("{path}.lean.outward"),
            "the lean",
            &lean.outward,
            LEAN,
        );
        let over = format!("{path}.lean.over");
        let good = check.length(&over, "the height of the lean", &lean.over, LEAN_OVER);
        let most = lean.up_flight.value.abs().max(lean.outward.value.abs());
        // A newel that leans one in four has fallen over.
        if good && most > lean.over.value * 0.25 {
            check.tell(
                &over,
                "the newel leans more than one in four",
                "check the lean",
            );
        }
    }
    match &newel.stands {
        Stands::Displaces { step, move_by, .. } => {
            check.tread(&format!("{path}.stands.step"), *step);
            check.length(&format!("{path}.stands.move_by"), "the move", move_by, MOVE);
        }
        Stands::At { x, y } => {
            check.length(&format!("{path}.stands.x"), "this place", x, PLAN);
            check.length(&format!("{path}.stands.y"), "this place", y, PLAN);
        }
    }
}

/// Tells newels whose footprints overlap, as far as that can be seen without setting out.
fn in_one_place(check: &mut Check<'_>) {
    let newels = &check.job.design.newels;
    for (at, newel) in newels.iter().enumerate() {
        let Some(other) = newels
            .iter()
            .take(at)
            .position(|other| overlap(newel, other))
        else {
            continue;
        };
        check.tell_both(
            &format!("design.newels[{at}].stands"),
            format!(
                "newels `{}` and `{}` stand in one place",
                newels[other].name, newel.name
            ),
            "move one of them, or take it out",
            &format!("design.newels[{other}].stands"),
            "the other one",
        );
    }
}

fn overlap(one: &Newel, other: &Newel) -> bool {
    let along = (one.section.along() + other.section.along()) / 2.0;
    let across = (one.section.across() + other.section.across()) / 2.0;
    match (&one.stands, &other.stands) {
        (Stands::At { x: x1, y: y1 }, Stands::At { x: x2, y: y2 }) => {
            (x1.value - x2.value).abs() < along && (y1.value - y2.value).abs() < across
        }
        (
            Stands::Displaces {
                step: s1,
                balusters: b1,
                move_by: m1,
            },
            Stands::Displaces {
                step: s2,
                balusters: b2,
                move_by: m2,
            },
        ) => s1 == s2 && b1 == b2 && (m1.value - m2.value).abs() < along,
        // Where a displaced baluster stands is for the set-out to say.
        _ => false,
    }
}

fn rail(check: &mut Check<'_>) {
    let rail = &check.job.design.rail;
    let wide = check.length("design.rail.width", "the width", &rail.width, RAIL);
    let deep = check.length("design.rail.depth", "the depth", &rail.depth, RAIL);
    check.length(
        "design.rail.height",
        "the height",
        &rail.height,
        RAIL_HEIGHT,
    );
    let most = (rail.width.value / 2.0).min(rail.depth.value);
    if check.length("design.rail.bevel", "the bevel", &rail.bevel, BEVEL)
        && wide
        && deep
        && rail.bevel.value >= most
    {
        let help = format!("keep it under {}", check.print(most));
        check.tell(
            "design.rail.bevel",
            "the bevel takes all of the rail's top",
            help,
        );
    }
    if let Some(profile) = &rail.profile {
        let size = (&rail.width, &rail.depth);
        super::stated::profile(check, "design.rail", profile, size);
    }
    end(check, "design.rail.lower", &rail.lower);
    end(check, "design.rail.upper", &rail.upper);
    if let (RailEnd::Newel(lower), RailEnd::Newel(upper)) = (&rail.lower, &rail.upper)
        && lower == upper
    {
        check.tell_both(
            "design.rail.upper",
            format!("both ends of the rail meet `{upper}`"),
            "name what the upper end meets",
            "design.rail.lower",
            "the lower end",
        );
    }
}

fn end(check: &mut Check<'_>, path: &str, end: &RailEnd) {
    match end {
        RailEnd::Newel(name) => {
            // A turn's newel belongs to the run that comes to it first.
            let known: Vec<&str> = check
                .so_far()
                .flat_map(|run| &run.job.design.newels)
                .map(|newel| newel.name.as_str())
                .collect();
            if !known.contains(&name.as_str()) {
                let help = did_you_mean(name, &known, "newel");
                let problem = format!("there is no newel `{name}`");
                check.tell(&format!("{path}.Newel"), problem, help);
            }
        }
        RailEnd::HalfNewel {
            wall,
            section: of,
            height,
            blocking,
        } => {
            section(check, &format!("{path}.section"), of);
            check.length(
                &format!("{path}.height"),
                "the height",
                height,
                NEWEL_HEIGHT,
            );
            if matches!(of, Section::Round(_)) {
                check.tell(
                    &format!("{path}.section"),
                    "a half newel cannot be round",
                    "write Rectangle(along: .., across: ..): out from the wall, and along it",
                );
            }
            on_wall(check, path, wall, blocking);
        }
        RailEnd::Wall {
            wall,
            rosette,
            blocking,
        } => {
            check.length(&format!("{path}.rosette"), "the rosette", rosette, ROSETTE);
            on_wall(check, path, wall, blocking);
        }
    }
}

/// Checks a wall that a rail ends on, and the blocking behind it.
fn on_wall(check: &mut Check<'_>, path: &str, wall: &str, blocking: &Blocking) {
    block(check, &format!("{path}.blocking"), blocking);
    // A rail may end on a wall of another run; its blocking is measured in that run's frame.
    let all = check.all;
    let walls = || {
        all.iter()
            .filter(|run| run.has_stair())
            .flat_map(|run| &run.job.walls)
    };
    let known: Vec<&str> = walls().map(|wall| wall.name.as_str()).collect();
    if let Some(met) = walls().find(|known| known.name == wall) {
        block_on_wall(check, &format!("{path}.blocking"), blocking, met);
    } else {
        let help = did_you_mean(wall, &known, "wall");
        let problem = format!("there is no wall `{wall}`");
        check.tell(&format!("{path}.wall"), problem, help);
    }
}

fn block(check: &mut Check<'_>, path: &str, blocking: &Blocking) {
    let field = |name: &str| format!("{path}.{name}");
    check.length(&field("along"), "this place", &blocking.along, PLAN);
    check.length(&field("up"), "this height", &blocking.up, ELEVATION);
    check.length(&field("width"), "the width", &blocking.width, BLOCKING);
    check.length(&field("height"), "the height", &blocking.height, BLOCKING);
}

/// Tells blocking whose middle is not behind its wall.
fn block_on_wall(check: &mut Check<'_>, path: &str, blocking: &Blocking, wall: &Wall) {
    let extent = super::walls::extent(wall);
    // A wall past its own bounds has been told already.
    if !WALL_LENGTH.hold(extent) || wall.head.value <= wall.foot.value {
        return;
    }
    if blocking.along.value < Length::ZERO || blocking.along.value > extent {
        let help = format!("wall `{}` is {} long", wall.name, check.print(extent));
        check.tell(
            &format!("{path}.along"),
            "the blocking is off the end of the wall",
            help,
        );
    }
    if blocking.up.value < wall.foot.value || blocking.up.value > wall.head.value {
        let (foot, head) = (check.print(wall.foot.value), check.print(wall.head.value));
        let help = format!("wall `{}` goes from {foot} up to {head}", wall.name);
        check.tell(
            &format!("{path}.up"),
            "the blocking is above or below the wall",
            help,
        );
    }
}

fn bottom_rail(check: &mut Check<'_>) {
    let Some(rail) = &check.job.design.bottom_rail else {
        return;
    };
    check.length("design.bottom_rail.width", "the width", &rail.width, RAIL);
    check.length("design.bottom_rail.depth", "the depth", &rail.depth, RAIL);
    check.length(
        "design.bottom_rail.above",
        "the height",
        &rail.above,
        BOTTOM_RAIL_ABOVE,
    );
    let gap = check.job.design.rail.height.value - rail.above.value;
    if gap <= Length::ZERO || is_zero(gap) {
        check.tell(
            "design.bottom_rail.above",
            "the bottom rail is not under the rail",
            "lower it, or raise the rail",
        );
    }
}
