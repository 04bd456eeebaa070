//! Checks of turned sections, patterns, shoes, ploughs and panels.

use super::Check;
use super::design::section;
use crate::job::limits::{
    BOARD, EDGE_DISTANCE, FROM_SKIRT, MOST_PANELS, MOST_PATTERN, MOST_TURNINGS, PANEL_EDGE,
    PANEL_GAP, PANEL_WIDTH, PLOUGH_DEPTH, PLOUGH_WIDTH, RAIL, RAIL_HEIGHT, SECTION, SHOE_ABOVE,
    STRING_DEPTH, TURNED_UP,
};
use crate::job::{Body, Ground, Hold, Len, Plough, Side, Skirt, Spacing, Strip, Turning, Widths};
use crate::measure::Length;

const AT: &str = "design.balusters";

/// Checks all sections of the balusters: true where they can be reckoned with.
pub(super) fn sections(check: &mut Check<'_>) -> bool {
    let balusters = &check.job.design.balusters;
    let mut sound = section(check, &format!("{AT}.section"), &balusters.section);
    let pattern = &balusters.pattern;
    let path = format!("{AT}.pattern");
    if !check.few(&path, "sections", pattern.len(), MOST_PATTERN) {
        return false;
    }
    for (at, one) in pattern.iter().enumerate() {
        sound &= section(check, &format!("{path}[{at}]"), one);
    }
    sound
}

/// Checks a turned section.
pub(super) fn turned(check: &mut Check<'_>, path: &str, square: &Len, profile: &[Turning]) -> bool {
    let sound = check.length(&format!("{path}.square"), "the block", square, SECTION);
    let list = format!("{path}.profile");
    if profile.is_empty() {
        check.tell(
            &list,
            "the profile is empty",
            "write at least one (up: .., diameter: ..), or a plain section",
        );
        return false;
    }
    if !check.few(&list, "places", profile.len(), MOST_TURNINGS) {
        return false;
    }
    let mut before: Option<Length> = None;
    for (at, one) in profile.iter().enumerate() {
        let field = |name: &str| format!("{list}[{at}].{name}");
        let up = one.up.value;
        if check.length(&field("up"), "this height", &one.up, TURNED_UP)
            && before.is_some_and(|before| up <= before)
        {
            check.tell(
                &field("up"),
                "the profile does not go up",
                "write its places from the foot up, each higher than the one before",
            );
        }
        before = Some(up);
        let thick = check.length(&field("diameter"), "the diameter", &one.diameter, SECTION);
        if sound && thick && one.diameter.value > square.value {
            let help = format!("the block is {}", check.print(square.value));
            check.tell(
                &field("diameter"),
                "the turning is wider than its block",
                help,
            );
        }
    }
    let height = check.job.design.rail.height.value;
    if let (Some(last), true) = (before, RAIL_HEIGHT.hold(height))
        && last >= height
    {
        let help = format!("the rail stands {} above the nosings", check.print(height));
        let at = profile.len() - 1;
        let path = format!("{list}[{at}].up");
        check.tell(&path, "the profile is longer than the baluster", help);
    }
    sound
}

/// Checks what the balusters stand in and on, and what keeps the line.
pub(super) fn check(check: &mut Check<'_>, sound: bool) {
    let design = &check.job.design;
    let balusters = &design.balusters;
    if let Some(joint) = &balusters.return_joint {
        let path = format!("{AT}.return_joint");
        check.length(&path, "the joint", joint, EDGE_DISTANCE);
    }
    if let Some(clear) = &balusters.from_skirt {
        let path = format!("{AT}.from_skirt");
        let open = |skirt: &Skirt| skirt.side == Side::Open;
        if check.length(&path, "the distance", clear, FROM_SKIRT)
            && !check.job.skirts.iter().any(open)
        {
            let help = "put the skirt into skirts, or take this out";
            check.tell(&path, "there is no skirt on the open side", help);
        }
    }
    if let Spacing::PerTread {
        hold: Hold::Share(share),
        ..
    } = balusters.spacing
        && !(0.0..=1.0).contains(&share)
    {
        check.tell(
            &format!("{AT}.spacing.hold.Share"),
            "the share is not between 0 and 1",
            "write 0 for the kick line, 1 for equal gaps, or a number between",
        );
    }
    ground(check, sound);
    if let Some(plough) = &design.rail.plough {
        let (width, depth) = (design.rail.width.value, design.rail.depth.value);
        groove(
            check,
            "design.rail.plough",
            plough,
            ("rail", width, depth),
            sound,
        );
    }
    panels(check);
}

fn ground(check: &mut Check<'_>, sound: bool) {
    let design = &check.job.design;
    let Ground::Shoe {
        is,
        above,
        thickness,
        depth,
        cap,
        shoe,
        plough,
        fillet,
    } = &design.balusters.on
    else {
        return;
    };
    let at = |field: &str| format!("{AT}.on.{field}");
    if design.bottom_rail.is_some() {
        check.tell_both(
            &format!("{AT}.on"),
            "the balusters stand on a shoe and on a bottom rail",
            "take one of the two out",
            "design.bottom_rail",
            "the bottom rail",
        );
    }
    check.length(&at("thickness"), "the thickness", thickness, BOARD);
    let mut top = Length::ZERO;
    if check.length(&at("above"), "the height", above, SHOE_ABOVE) {
        top = above.value;
    }
    if let Some(depth) = depth {
        if check.length(&at("depth"), "the depth", depth, STRING_DEPTH)
            && depth.value <= above.value
        {
            let help = format!("it begins {} above them", check.print(above.value));
            check.tell(&at("depth"), "it ends above the nosings", help);
        }
    } else if *is == Body::ClosedString {
        check.tell(
            &format!("{AT}.on"),
            "the string has no depth",
            "write how far it reaches down from its top, plumb: depth: ..",
        );
    }
    if let Some(cap) = cap {
        strip(check, &at("cap"), cap);
        top += cap.thickness.value;
    }
    strip(check, &at("shoe"), shoe);
    let (width, thick) = (shoe.width.value, shoe.thickness.value);
    groove(check, &at("plough"), plough, ("shoe", width, thick), sound);
    check.length(&at("fillet"), "the fillet", fillet, PLOUGH_DEPTH);
    let rail = design.rail.height.value - design.rail.depth.value;
    if RAIL_HEIGHT.hold(design.rail.height.value) && top + thick >= rail {
        check.tell(
            &at("above"),
            "the shoe is not under the rail",
            "lower it, or raise the rail",
        );
    }
}

fn strip(check: &mut Check<'_>, path: &str, strip: &Strip) {
    check.length(&format!("{path}.width"), "the width", &strip.width, RAIL);
    check.length(
        &format!("{path}.thickness"),
        "the thickness",
        &strip.thickness,
        BOARD,
    );
}

/// A plough in a piece of a width and depth.
fn groove(
    check: &mut Check<'_>,
    path: &str,
    plough: &Plough,
    (piece, width, depth): (&str, Length, Length),
    sound: bool,
) {
    let field = format!("{path}.width");
    if check.length(&field, "the width", &plough.width, PLOUGH_WIDTH) {
        let widest = check.job.design.balusters.widest_across();
        if RAIL.hold(width) && plough.width.value >= width {
            let help = format!("the {piece} is {} wide", check.print(width));
            check.tell(
                &field,
                format!("the plough is as wide as the {piece}"),
                help,
            );
        } else if sound && plough.width.value < widest {
            let help = format!("the widest baluster is {} across", check.print(widest));
            check.tell(&field, "the balusters do not go into the plough", help);
        }
    }
    let field = format!("{path}.depth");
    if check.length(&field, "the depth", &plough.depth, PLOUGH_DEPTH)
        && BOARD.hold(depth)
        && plough.depth.value >= depth
    {
        let help = format!("the {piece} is {} deep", check.print(depth));
        check.tell(&field, format!("the plough goes through the {piece}"), help);
    }
}

fn panels(check: &mut Check<'_>) {
    let Spacing::Panels {
        widths,
        thickness,
        foot,
        head,
        ..
    } = &check.job.design.balusters.spacing
    else {
        return;
    };
    let at = |field: &str| format!("{AT}.spacing.{field}");
    check.length(&at("thickness"), "the thickness", thickness, BOARD);
    check.length(&at("foot"), "the height", foot, PANEL_EDGE);
    check.length(&at("head"), "the distance", head, PANEL_EDGE);
    match widths {
        Widths::Alike { count, gap } => {
            check.count(&at("widths.count"), "panels", *count, 1, MOST_PANELS);
            check.length(&at("widths.gap"), "the gap", gap, PANEL_GAP);
        }
        Widths::Given(widths) => {
            let path = at("widths");
            if widths.is_empty() {
                check.tell(&path, "no panel has a width", "write at least one");
            } else if check.few(&path, "panels", widths.len(), MOST_PANELS as usize) {
                for (number, width) in widths.iter().enumerate() {
                    let path = format!("{path}.Given[{number}]");
                    check.length(&path, "the width", width, PANEL_WIDTH);
                }
            }
        }
    }
}
