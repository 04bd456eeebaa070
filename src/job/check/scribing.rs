//! Checks of how treads, kicks and skirts are scribed, cut and mitred.

use std::collections::BTreeMap;

use super::{Check, Meant};
use crate::job::limits::{
    BASE_HEIGHT, BLANK_OVER, BOARD, KICK_LEAN, KICK_LEAN_OVER, LEVEL_CUT, MOST_KICKS,
    MOST_LEAN_SHARE, MOST_UNDERCUT_DEGREES, RELIEF_SHORT, RETURN_PAST, RETURN_WIDTH, SKIRT_END,
    TREAD_END_DEGREES, TREAD_TAPER, WIDTH,
};
use crate::job::{Ang, Boards, KickLean, LevelBase, Meets, Side, TreadRead};

pub(super) fn check(check: &mut Check<'_>) {
    let Some(boards) = &check.job.boards else {
        return;
    };
    meets(check, boards);
    if check.few(
        "boards.treads",
        "treads read with a template",
        boards.treads.len(),
        MOST_KICKS as usize,
    ) {
        treads(check, &boards.treads);
    }
    if check.few(
        "boards.kick_leans",
        "kicks that lean",
        boards.kick_leans.len(),
        MOST_KICKS as usize,
    ) {
        kick_leans(check, &boards.kick_leans);
    }
    undercuts(check, boards);
    sizes(check, boards);
    if let Some(base) = &boards.base {
        level_base(check, base);
    }
}

/// A skirt that is met must be there.
fn meets(check: &mut Check<'_>, boards: &Boards) {
    let ends = [
        ("boards.open_end", boards.open_end, Side::Open, "open"),
        ("boards.wall_end", boards.wall_end, Side::Wall, "wall"),
    ];
    for (path, met, side, word) in ends {
        let there = check.job.skirts.iter().any(|skirt| skirt.side == side);
        if met == Some(Meets::Skirt) && !there {
            let problem = format!("there is no skirt on the {word} side");
            let help = format!(
                "write one under `skirts`, or `Wall` or `Return` for what the {word} ends meet"
            );
            check.tell(path, problem, help);
        }
    }
}

fn treads(check: &mut Check<'_>, treads: &[TreadRead]) {
    let width = check.job.flight.width.value;
    let mut seen: BTreeMap<u32, usize> = BTreeMap::new();
    for (at, tread) in treads.iter().enumerate() {
        let path = |field: &str| format!("boards.treads[{at}].{field}");
        check.tread(&path("step"), tread.step);
        twice(check, "boards.treads", "tread", &mut seen, at, tread.step);
        let mut sound = true;
        for (field, what, read) in [
            ("front", "the width at the nosing", &tread.front),
            ("back", "the width at the back", &tread.back),
        ] {
            if let Some(read) = read {
                sound &= check.reading(&path(field), what, read, WIDTH, Meant::Firmly(width));
            }
        }
        if let (true, Some(front), Some(back)) = (sound, &tread.front, &tread.back)
            && (front.value - back.value).abs() > TREAD_TAPER
        {
            let most = check.print(TREAD_TAPER);
            check.tell_both(
                &path("back"),
                format!("tread {} is more than {most} wider at one edge", tread.step),
                "read both again, net between what the ends meet",
                &path("front"),
                "the other edge",
            );
        }
        for (field, read) in [("left", &tread.left), ("right", &tread.right)] {
            if let Some(read) = read {
                end_angle(check, &path(field), read);
            }
        }
    }
}

fn end_angle(check: &mut Check<'_>, path: &str, read: &Ang) {
    // A range holds no NaN.
    if !TREAD_END_DEGREES.contains(&read.value.as_degrees()) {
        check.tell(
            path,
            "no tread has such an end",
            format!(
                "write the inside angle from the nosing, {} to {} degrees; 90 is square",
                TREAD_END_DEGREES.start(),
                TREAD_END_DEGREES.end()
            ),
        );
    }
}

/// Tells a step that a list names for the second time.
fn twice(
    check: &mut Check<'_>,
    list: &str,
    what: &str,
    seen: &mut BTreeMap<u32, usize>,
    at: usize,
    step: u32,
) {
    if let Some(first) = seen.insert(step, at) {
        check.tell_both(
            &format!("{list}[{at}].step"),
            format!("{what} {step} is told of twice"),
            "keep one of the two",
            &format!("{list}[{first}].step"),
            "told of here first",
        );
    }
}

fn kick_leans(check: &mut Check<'_>, leans: &[KickLean]) {
    let mut seen: BTreeMap<u32, usize> = BTreeMap::new();
    for (at, lean) in leans.iter().enumerate() {
        let path = |field: &str| format!("boards.kick_leans[{at}].{field}");
        check.kick(&path("step"), lean.step);
        twice(check, "boards.kick_leans", "kick", &mut seen, at, lean.step);
        let over = check.length(&path("over"), "the height", &lean.over, KICK_LEAN_OVER);
        let by = check.length(&path("by"), "the lean", &lean.by, KICK_LEAN);
        if over && by && lean.by.value.abs() > lean.over.value * MOST_LEAN_SHARE {
            check.tell_both(
                &path("by"),
                "the kick leans more than one in four",
                "check the lean, and the height it was read over",
                &path("over"),
                "read over this height",
            );
        }
    }
}

fn undercuts(check: &mut Check<'_>, boards: &Boards) {
    let undercut = &boards.undercut;
    let path = |field: &str| format!("boards.undercut.{field}");
    let mut sound = true;
    for (field, angle) in [
        ("tread_back", &undercut.tread_back),
        ("tread_ends", &undercut.tread_ends),
        ("relief", &undercut.relief),
        ("kick_ends", &undercut.kick_ends),
        ("kick_top", &undercut.kick_top),
    ] {
        if !(0.0..=MOST_UNDERCUT_DEGREES).contains(&angle.value.as_degrees()) {
            sound = false;
            check.tell(
                &path(field),
                "no board is undercut by that",
                format!("write 0 to {MOST_UNDERCUT_DEGREES} degrees from square"),
            );
        }
    }
    if sound && undercut.relief.value < undercut.tread_ends.value {
        let help = format!("the ends are undercut by {}", undercut.tread_ends.value);
        check.tell(
            &path("relief"),
            "the relief is less than the undercut that it adds to",
            help,
        );
    }
    check.length(
        &path("relief_short"),
        "the distance",
        &undercut.relief_short,
        RELIEF_SHORT,
    );
}

fn sizes(check: &mut Check<'_>, boards: &Boards) {
    let width = &boards.returns.width;
    check.length("boards.returns.width", "the width", width, RETURN_WIDTH);
    if let Some(past) = &boards.returns.past {
        check.length("boards.returns.past", "the distance", past, RETURN_PAST);
    }
    for (field, over) in [
        ("length", &boards.blank.length),
        ("depth", &boards.blank.depth),
    ] {
        let path = format!("boards.blank.{field}");
        check.length(&path, "what the blank has over", over, BLANK_OVER);
    }
    check.length(
        "boards.mitred.level_cut",
        "the height",
        &boards.mitred.level_cut,
        LEVEL_CUT,
    );
}

fn level_base(check: &mut Check<'_>, base: &LevelBase) {
    let path = |field: &str| format!("boards.base.{field}");
    check.length(&path("height"), "the height", &base.height, BASE_HEIGHT);
    if let Some(upper) = &base.upper_height {
        check.length(&path("upper_height"), "the height", upper, BASE_HEIGHT);
    }
    check.length(&path("thickness"), "the thickness", &base.thickness, BOARD);
    for (field, at) in [("bottom_at", &base.bottom_at), ("top_at", &base.top_at)] {
        if let Some(at) = at {
            check.length(&path(field), "the distance", at, SKIRT_END);
        }
    }
}
