//! Checks of rail systems, newels' feet and heads, the handrail on the wall side, and of what lies
//! hidden under the treads.

use super::Check;
use crate::job::limits::{
    BEVEL, BLOCK_BELOW, BLOCKING, BOX_BLOCK, BOX_EASE, BOX_SIDES, BRACKETS, CAP, CLEARANCE, EASING,
    FASTENER, FROM_KICK, HEAD_BLOCK, INSET, LEVEL_PIECE, MOST_BLOCKS, MOST_FASTENERS, NEWEL_HEIGHT,
    RAIL, RAIL_HEIGHT, RUN_ON,
};
use crate::job::nearest::did_you_mean;
use crate::job::{CapPiece, Foot, Newel, RailEnd, RailSystem, WallRail};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>) {
    system(check);
    if let Some(rail) = &check.job.design.wall_rail {
        wall_rail(check, rail);
    }
    if check.run.has_stair() {
        blocking(check);
        fasteners(check);
    }
}

fn system(check: &mut Check<'_>) {
    let rail = &check.job.design.rail;
    let RailSystem::OverPost {
        easing,
        level,
        cap,
        landing,
    } = &rail.system
    else {
        return;
    };
    let path = |field: &str| format!("design.rail.system.{field}");
    check.length(&path("easing"), "the easing's radius", easing, EASING);
    check.length(&path("level"), "the level piece", level, LEVEL_PIECE);
    if let Some(landing) = landing {
        check.length(&path("landing"), "the height", landing, RAIL_HEIGHT);
        if *cap == CapPiece::Raked {
            check.tell(
                &path("landing"),
                "a rail that lies on its newels on the rake has no level piece",
                "take the height out, or use cap: Level",
            );
        }
    }
    if landing.is_some() && check.job.level.is_some() {
        check.tell(
            &path("landing"),
            "a level run comes to no landing: its rail is level all along",
            "take the height out; design.rail.height gives the rail's own",
        );
    }
    carried(check);
    if !matches!(rail.lower, RailEnd::Newel(_)) && !matches!(rail.upper, RailEnd::Newel(_)) {
        check.tell(
            "design.rail.system",
            "the rail passes over its newels, but neither end has one",
            "end it on a newel, or use PostToPost",
        );
    }
}

/// A newel that carries a rail is as high as the rail's underside, whatever height is written.
fn carried(check: &mut Check<'_>) {
    let design = &check.job.design;
    for (at, newel) in design.newels.iter().enumerate() {
        let meets = [&design.rail.lower, &design.rail.upper]
            .iter()
            .any(|end| matches!(end, RailEnd::Newel(name) if *name == newel.name));
        if meets && newel.height.is_some() {
            check.warn(
                &format!("design.newels[{at}].height"),
                format!(
                    "the rail lies on newel `{}`, which is made as high as carries it: this height \
                     is not used",
                    newel.name
                ),
                "take it out, or use PostToPost",
            );
        }
    }
}

/// Checks a newel's foot, head and height.
pub(super) fn newel(check: &mut Check<'_>, path: &str, newel: &Newel) {
    if let Some(height) = &newel.height {
        check.length(
            &format!("{path}.height"),
            "the height",
            height,
            NEWEL_HEIGHT,
        );
    } else {
        height_can_be_found(check, path, newel);
    }
    if let Foot::Box { sides, block, ease } = &newel.foot {
        let at = |field: &str| format!("{path}.foot.{field}");
        let good = check.length(&at("sides"), "the thickness", sides, BOX_SIDES);
        check.length(&at("block"), "the block's height", block, BOX_BLOCK);
        let eased = check.length(&at("ease"), "what is left round the block", ease, BOX_EASE);
        let least = newel.section.along().min(newel.section.across());
        if good && eased && (sides.value + ease.value) * 2.0 >= least {
            let help = format!(
                "the newel is {} thick: keep the sides under {}",
                check.print(least),
                check.print(least / 2.0 - ease.value)
            );
            check.tell(&at("sides"), "the newel's sides leave no room inside", help);
        }
    }
    if let Some(blocks) = &newel.blocks {
        for (field, length) in [("top", &blocks.top), ("above", &blocks.above)] {
            if let Some(length) = length {
                let at = format!("{path}.blocks.{field}");
                check.length(&at, "the length", length, HEAD_BLOCK);
            }
        }
        if blocks.top.is_none() && blocks.above.is_none() {
            check.tell(
                &format!("{path}.blocks"),
                "neither the block's length nor what shows above the rail is given",
                "write top, above, or both",
            );
        }
    }
    if let Some(cap) = &newel.cap {
        for (field, length) in [
            ("out", &cap.out),
            ("slab", &cap.slab),
            ("point", &cap.point),
        ] {
            check.length(&format!("{path}.cap.{field}"), "the cap", length, CAP);
        }
    }
}

/// A newel without a height needs something that it can be worked out from.
fn height_can_be_found(check: &mut Check<'_>, path: &str, newel: &Newel) {
    let rail = &check.job.design.rail;
    let meets = [&rail.lower, &rail.upper]
        .iter()
        .any(|end| matches!(end, RailEnd::Newel(name) if *name == newel.name));
    let carries = meets && rail.system != RailSystem::PostToPost;
    if !carries && (newel.blocks.is_none() || !meets) {
        check.tell(
            path,
            format!(
                "newel `{}` has no height, and nothing to work it out from",
                newel.name
            ),
            "write height, or blocks: (top: ..) on a newel that the rail meets",
        );
    }
}

fn wall_rail(check: &mut Check<'_>, rail: &WallRail) {
    let path = |field: &str| format!("design.wall_rail.{field}");
    let wide = check.length(&path("width"), "the width", &rail.width, RAIL);
    let deep = check.length(&path("depth"), "the depth", &rail.depth, RAIL);
    let most = (rail.width.value / 2.0).min(rail.depth.value);
    if check.length(&path("bevel"), "the bevel", &rail.bevel, BEVEL)
        && wide
        && deep
        && rail.bevel.value >= most
    {
        let help = format!("keep it under {}", check.print(most));
        check.tell(
            &path("bevel"),
            "the bevel takes all of the rail's top",
            help,
        );
    }
    if let Some(profile) = &rail.profile {
        let size = (&rail.width, &rail.depth);
        super::stated::profile(check, "design.wall_rail", profile, size);
    }
    check.length(&path("height"), "the height", &rail.height, RAIL_HEIGHT);
    check.length(&path("clear"), "the clearance", &rail.clear, CLEARANCE);
    for (field, length) in [
        ("brackets_every", &rail.brackets_every),
        ("first_bracket", &rail.first_bracket),
    ] {
        check.length(&path(field), "the distance", length, BRACKETS);
    }
    for (field, length) in [
        ("extend_lower", &rail.extend_lower),
        ("extend_upper", &rail.extend_upper),
    ] {
        check.length(&path(field), "what it runs on", length, RUN_ON);
    }
    let known: Vec<&str> = check
        .job
        .walls
        .iter()
        .map(|wall| wall.name.as_str())
        .collect();
    if !known.contains(&rail.wall.as_str()) {
        let help = did_you_mean(&rail.wall, &known, "wall");
        let problem = format!("there is no wall `{}`", rail.wall);
        check.tell(&path("wall"), problem, help);
    }
}

fn blocking(check: &mut Check<'_>) {
    let job = check.job;
    if !check.few("blocking", "blocks", job.blocking.len(), MOST_BLOCKS) {
        return;
    }
    for (at, block) in job.blocking.iter().enumerate() {
        let path = |field: &str| format!("blocking[{at}].{field}");
        check.step(&path("step"), block.step, false);
        check.length(&path("from"), "this place", &block.from, FROM_KICK);
        check.length(&path("inset"), "the inset", &block.inset, INSET);
        for (field, length) in [
            ("along", &block.along),
            ("across", &block.across),
            ("height", &block.height),
        ] {
            check.length(&path(field), "the block's size", length, BLOCKING);
        }
        check.length(&path("below"), "the distance", &block.below, BLOCK_BELOW);
    }
}

fn fasteners(check: &mut Check<'_>) {
    let job = check.job;
    let count = job.fasteners.len();
    if !check.few("fasteners", "fasteners", count, MOST_FASTENERS) {
        return;
    }
    for (at, one) in job.fasteners.iter().enumerate() {
        let path = |field: &str| format!("fasteners[{at}].{field}");
        check.step(&path("step"), one.step, false);
        check.length(&path("from"), "this place", &one.from, FROM_KICK);
        check.length(&path("inset"), "the inset", &one.inset, INSET);
        check.length(&path("diameter"), "the diameter", &one.diameter, FASTENER);
    }
}

/// What shows of a newel's head cannot be more than there is of it.
pub(super) fn shown(check: &mut Check<'_>, path: &str, newel: &Newel) {
    let Some(blocks) = &newel.blocks else {
        return;
    };
    if let (Some(top), Some(above)) = (&blocks.top, &blocks.above)
        && HEAD_BLOCK.hold(top.value)
        && above.value > top.value
        && top.value > Length::ZERO
    {
        check.tell(
            &format!("{path}.blocks.above"),
            "more of the block shows above the rail than there is of it",
            format!("the block is {} long", check.print(top.value)),
        );
    }
}
