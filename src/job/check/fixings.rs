//! Checks of screws, bolts and their plugs, and of the room that is asked round rails and past
//! tread ends.

use super::{Check, names};
use crate::job::limits::{
    EDGE_DISTANCE, FASTENER, FIXING_DEEP, FIXING_OFF, FIXING_UP, KNUCKLES, MOST_FIXINGS, PAST_EDGE,
    PLUG_DEPTH,
};
use crate::job::nearest::did_you_mean;
use crate::job::{Design, Fixing, FixingFace};

pub(super) fn check(check: &mut Check<'_>) {
    // A railing on the wall side has these from the run that has the stair.
    if !check.run.has_stair() {
        return;
    }
    let design = &check.job.design;
    if let Some(room) = &design.knuckles {
        check.length("design.knuckles", "the room", room, KNUCKLES);
    }
    if let Some(past) = &design.past_edge {
        check.length("design.past_edge", "the distance", past, PAST_EDGE);
    }
    let count = design.fixings.len();
    if !check.few("design.fixings", "fixings", count, MOST_FIXINGS) {
        return;
    }
    let numbered = design.fixings.iter().enumerate();
    let names: Vec<(String, &str)> = numbered
        .map(|(at, one)| (format!("design.fixings[{at}].name"), one.name.as_str()))
        .collect();
    for (path, name) in &names {
        names::one(check, path, name);
    }
    names::own(check, &names, "fixings");
    for (at, fixing) in design.fixings.iter().enumerate() {
        one(check, &format!("design.fixings[{at}]"), fixing);
    }
}

fn one(check: &mut Check<'_>, path: &str, fixing: &Fixing) {
    let at = |field: &str| format!("{path}.{field}");
    let (newels, rails) = (newels(&check.job.design), rails(&check.job.design));
    let part = fixing.part.as_str();
    if newels.contains(&part) {
        if matches!(fixing.face, FixingFace::Top | FixingFace::Under) {
            check.tell(
                &at("face"),
                format!("nothing is bored into the top or foot of newel `{part}`"),
                "write Downhill, Uphill, Open or Wall",
            );
        }
    } else if !rails.contains(&part) {
        let known: Vec<&str> = newels.into_iter().chain(rails).collect();
        let help = did_you_mean(part, &known, "newel or rail");
        check.tell(
            &at("part"),
            format!("there is no newel or rail `{part}` in this run"),
            help,
        );
    }
    check.length(&at("up"), "this place", &fixing.up, FIXING_UP);
    check.length(&at("off"), "this place", &fixing.off, FIXING_OFF);
    let bore = check.length(&at("diameter"), "the diameter", &fixing.diameter, FASTENER);
    let deep = check.length(&at("deep"), "the depth", &fixing.deep, FIXING_DEEP);
    if let Some(edge) = &fixing.edge {
        check.length(&at("edge"), "the distance", edge, EDGE_DISTANCE);
    }
    let Some(plug) = &fixing.plug else { return };
    let (wide, depth) = (at("plug.diameter"), at("plug.depth"));
    if check.length(&wide, "the diameter", &plug.diameter, FASTENER)
        && bore
        && plug.diameter.value < fixing.diameter.value
    {
        let help = format!("the bore is {}", check.print(fixing.diameter.value));
        check.tell(&wide, "the plug is narrower than its bore", help);
    }
    if check.length(&depth, "the depth", &plug.depth, PLUG_DEPTH)
        && deep
        && plug.depth.value >= fixing.deep.value
    {
        let help = format!("the bore is {} deep", check.print(fixing.deep.value));
        check.tell(&depth, "the plug takes all of the bore", help);
    }
}

/// The newels of a run, those of its wall side included.
fn newels(design: &Design) -> Vec<&str> {
    let other = design.other.iter().flat_map(|other| &other.newels);
    let newels = design.newels.iter().chain(other);
    newels.map(|newel| newel.name.as_str()).collect()
}

/// The rails of a run likewise.
fn rails(design: &Design) -> Vec<&str> {
    let other = design.other.as_ref();
    let main = [&design.rail.name].into_iter();
    let bottom = [
        design.bottom_rail.as_ref(),
        other.and_then(|other| other.bottom_rail.as_ref()),
    ];
    main.chain(other.map(|other| &other.rail.name))
        .chain(bottom.into_iter().flatten().map(|rail| &rail.name))
        .chain(design.wall_rail.iter().map(|rail| &rail.name))
        .map(String::as_str)
        .collect()
}
