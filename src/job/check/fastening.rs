//! Checks of what rough pieces are longer by, and of how boards and strips are said to be fastened.

use super::Check;
use crate::job::limits::{
    DRIVEN, DRIVEN_EVERY, FASTENER, MOST_DRIVEN, PLUG_DEPTH, ROUGH_OVER, SHANK,
};
use crate::job::{Driven, Fastened};

pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    for (field, stated) in job.cutting.stated() {
        if let Some(length) = stated {
            let path = format!("cutting.{field}");
            check.length(
                &path,
                "what the rough piece is longer by",
                length,
                ROUGH_OVER,
            );
        }
    }
    for joint in Fastened::ALL {
        if let Some(driven) = job.fastening.stated(joint) {
            one(check, &format!("fastening.{}", joint.field()), driven);
        }
    }
}

fn one(check: &mut Check<'_>, path: &str, driven: &Driven) {
    let at = |field: &str| format!("{path}.{field}");
    let shank = check.length(&at("diameter"), "the shank", &driven.diameter, SHANK);
    let long = check.length(&at("length"), "the length", &driven.length, DRIVEN);
    for (field, what, bore) in [
        ("clear", "the bore", &driven.clear),
        ("pilot", "the pilot", &driven.pilot),
    ] {
        if let Some(bore) = bore {
            check.length(&at(field), what, bore, SHANK);
        }
    }
    if let Some(clear) = &driven.clear
        && shank
        && clear.value < driven.diameter.value
    {
        let help = format!("the shank is {}", check.print(driven.diameter.value));
        check.tell(&at("clear"), "the shank does not go through its bore", help);
    }
    if let Some(pilot) = &driven.pilot
        && shank
        && pilot.value >= driven.diameter.value
    {
        let help = format!("the shank is {}", check.print(driven.diameter.value));
        check.tell(&at("pilot"), "the thread finds no wood in its pilot", help);
    }
    if let Some(number) = driven.number {
        check.count(&at("number"), "of them in a joint", number, 1, MOST_DRIVEN);
    }
    if let Some(every) = &driven.every {
        check.length(&at("every"), "the distance", every, DRIVEN_EVERY);
    }
    let Some(plug) = &driven.plug else { return };
    let (wide, depth) = (at("plug.diameter"), at("plug.depth"));
    if check.length(&wide, "the diameter", &plug.diameter, FASTENER)
        && shank
        && plug.diameter.value < driven.diameter.value
    {
        let help = format!("the shank is {}", check.print(driven.diameter.value));
        check.tell(&wide, "the plug is narrower than the shank under it", help);
    }
    if check.length(&depth, "the depth", &plug.depth, PLUG_DEPTH)
        && long
        && plug.depth.value >= driven.length.value
    {
        let help = format!("it is {} long", check.print(driven.length.value));
        check.tell(&depth, "the plug is as deep as the screw is long", help);
    }
}
