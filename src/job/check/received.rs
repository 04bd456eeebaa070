//! Checks of the parts as they were delivered: they are parts of the design, and what was read of
//! them can be.

use super::{Check, names};
use crate::job::limits::{
    ALONG_RAIL, DIAGONALS, MOST_RAIL_BOWS, MOST_RECEIVED, MOST_WIND_DEGREES, OFF, RECEIVED,
    SECTION, UPRIGHT,
};
use crate::job::nearest::did_you_mean;
use crate::job::{FourSides, Off, ReceivedBaluster, ReceivedNewel, ReceivedRail};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>) {
    let Some(received) = &check.job.received else {
        return;
    };
    let limits = &received.limits;
    for (field, limit) in [
        ("gap", &limits.gap),
        ("reveal", &limits.reveal),
        ("lean", &limits.lean),
        ("seat", &limits.seat),
        ("cap", &limits.cap),
        ("height", &limits.height),
    ] {
        let path = format!("received.limits.{field}");
        check.length(&path, "the limit", limit, RECEIVED);
    }
    let few = |check: &mut Check<'_>, what: &str, count: usize| {
        check.few(&format!("received.{what}"), what, count, MOST_RECEIVED)
    };
    if few(check, "newels", received.newels.len()) {
        newels(check, &received.newels);
    }
    if few(check, "balusters", received.balusters.len()) {
        balusters(check, &received.balusters);
    }
    if few(check, "rails", received.rails.len()) {
        rails(check, &received.rails);
    }
}

fn newels(check: &mut Check<'_>, newels: &[ReceivedNewel]) {
    let known: Vec<&str> = check
        .job
        .design
        .newels
        .iter()
        .map(|newel| newel.name.as_str())
        .collect();
    let mut named = Vec::new();
    for (at, newel) in newels.iter().enumerate() {
        let path = |field: &str| format!("received.newels[{at}].{field}");
        known_name(check, &path("name"), &newel.name, &known, "newel");
        named.push((path("name"), newel.name.as_str()));
        if let Some(length) = &newel.length {
            check.length(&path("length"), "the length", length, UPRIGHT);
        }
        if let Some(section) = &newel.section {
            four_sides(check, &path("section"), section);
        }
        if let Some(twist) = &newel.twist {
            // A range holds no NaN.
            if !(-MOST_WIND_DEGREES..=MOST_WIND_DEGREES).contains(&twist.value.as_degrees()) {
                check.tell(
                    &path("twist"),
                    "no newel is twisted so far from foot to head",
                    format!("write -{MOST_WIND_DEGREES} to {MOST_WIND_DEGREES} degrees"),
                );
            }
        }
        if let Some(foot) = &newel.foot {
            check.length(&path("foot.uphill"), "the cut", &foot.uphill, OFF);
            check.length(&path("foot.outward"), "the cut", &foot.outward, OFF);
        }
        if let Some(block) = &newel.block {
            let from = check.length(&path("block.from"), "the block", &block.from, UPRIGHT);
            let to = check.length(&path("block.to"), "the block", &block.to, UPRIGHT);
            if from && to && block.to.value <= block.from.value {
                check.tell(
                    &path("block.to"),
                    "the block ends below its beginning",
                    "both are read from the foot up",
                );
            }
        }
    }
    names::own(check, &named, "newels");
}

/// Four sides that close, and diagonals that go with them.
fn four_sides(check: &mut Check<'_>, path: &str, section: &FourSides) {
    let fields = [
        ("right", &section.right),
        ("uphill", &section.uphill),
        ("left", &section.left),
        ("downhill", &section.downhill),
        ("from_downhill_right", &section.from_downhill_right),
        ("from_uphill_right", &section.from_uphill_right),
    ];
    let mut sound = true;
    for (field, length) in fields {
        sound &= check.length(&format!("{path}.{field}"), "this width", length, SECTION);
    }
    if !sound {
        return;
    }
    let [right, uphill, left, downhill, first, second] = fields.map(|(_, length)| length.mm());
    let other = other_diagonal([right, uphill, left, downhill], first);
    let Some(other) = other.map(Length::mm) else {
        let field = format!("{path}.from_downhill_right");
        let problem = "no section has these sides and this diagonal";
        check.tell(&field, problem, "read all six again");
        return;
    };
    if (other - Length::mm(second)).abs() > DIAGONALS {
        let field = format!("{path}.from_uphill_right");
        check.tell(
            &field,
            format!(
                "the sides and the other diagonal put this one at {}",
                check.print(other)
            ),
            "read all six again",
        );
    }
}

/// The other diagonal of a convex section with these sides (right, uphill, left, downhill) and the
/// diagonal from the downhill right corner, by the law of cosines at the uphill right corner.
fn other_diagonal([right, uphill, left, downhill]: [f64; 4], diagonal: f64) -> Option<f64> {
    // Corners: A downhill right, B uphill right, C uphill left, D downhill left.
    let angle = |a: f64, b: f64, across: f64| {
        let cosine = (a * a + b * b - across * across) / (2.0 * a * b);
        (-1.0..=1.0).contains(&cosine).then(|| cosine.acos())
    };
    let at_a = angle(diagonal, right, uphill)? + angle(diagonal, downhill, left)?;
    Some((right * right + downhill * downhill - 2.0 * right * downhill * at_a.cos()).sqrt())
}

fn balusters(check: &mut Check<'_>, balusters: &[ReceivedBaluster]) {
    let mut marked = Vec::new();
    for (at, baluster) in balusters.iter().enumerate() {
        let path = |field: &str| format!("received.balusters[{at}].{field}");
        let mark = path("mark");
        if names::one(check, &mark, &baluster.mark) && names::is_given(&baluster.mark) {
            check.tell(
                &mark,
                format!("`{}` is the name of a place or a part", baluster.mark),
                "B, T and K with a number are given by the program; mark it `a1` or `17`",
            );
        }
        marked.push((mark, baluster.mark.as_str()));
        if let Some(length) = &baluster.length {
            check.length(&path("length"), "the length", length, UPRIGHT);
        }
        if let Some(size) = &baluster.size {
            check.length(&path("size"), "the size", size, SECTION);
        }
        for (field, what, off) in [
            ("hole", "the hole off the middle", &baluster.hole),
            ("bow", "the bow", &baluster.bow),
        ] {
            if let Some(off) = off {
                one_off(check, &path(field), what, off);
            }
        }
    }
    names::own(check, &marked, "balusters");
}

fn one_off(check: &mut Check<'_>, path: &str, what: &str, off: &Off) {
    check.length(&format!("{path}.uphill"), what, &off.uphill, OFF);
    check.length(&format!("{path}.outward"), what, &off.outward, OFF);
}

fn rails(check: &mut Check<'_>, rails: &[ReceivedRail]) {
    let design = &check.job.design;
    let known = [design.rail.name.as_str()];
    let mut named = Vec::new();
    for (at, rail) in rails.iter().enumerate() {
        let name = format!("received.rails[{at}].name");
        known_name(check, &name, &rail.name, &known, "rail");
        named.push((name, rail.name.as_str()));
        let bows = format!("received.rails[{at}].bows");
        if !check.few(&bows, "readings", rail.bows.len(), MOST_RAIL_BOWS) {
            continue;
        }
        for (place, bow) in rail.bows.iter().enumerate() {
            let path = |field: &str| format!("{bows}[{place}].{field}");
            check.length(&path("along"), "this place", &bow.along, ALONG_RAIL);
            check.length(&path("up"), "the bow", &bow.up, OFF);
            check.length(&path("outward"), "the bow", &bow.outward, OFF);
            let before = place.checked_sub(1).map(|before| &rail.bows[before]);
            if before.is_some_and(|before| bow.along.value <= before.along.value) {
                check.tell(
                    &path("along"),
                    "this place is no further along than the one before it",
                    "write the readings from the lower end up",
                );
            }
        }
    }
    names::own(check, &named, "rails");
}

fn known_name(check: &mut Check<'_>, path: &str, name: &str, known: &[&str], what: &str) {
    if known.contains(&name) {
        return;
    }
    let elsewhere = check.all.iter().find(|run| {
        let design = &run.job.design;
        design.newels.iter().any(|newel| newel.name == name) || design.rail.name == name
    });
    let help = match elsewhere {
        Some(run) if run.beside.is_some() => {
            "what was received for a railing on the wall side cannot be weighed; leave it out"
                .to_owned()
        }
        Some(run) => format!("it belongs to run `{}`; tell of it there", run.name),
        None => did_you_mean(name, known, what),
    };
    check.tell(path, format!("this run has no {what} `{name}`"), help);
}
