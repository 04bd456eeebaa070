//! Checks of the readings of what has been fitted: the parts are there, and where they were read
//! they can stand.

use std::collections::BTreeMap;

use super::how::{self, Asks, How};
use super::{Check, Meant};
use crate::job::limits::{
    BUILT_OFF, ELEVATION, MOST_BUILT, NEWEL_HEIGHT, NEWEL_HEIGHTS_APART, PLAN, RAIL_HEIGHT,
};
use crate::job::nearest::did_you_mean;
use crate::job::{Balusters, Built, Design, Len, Newel, Rail, RailEnd, Spacing, Stands};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>) {
    let built = &check.job.built;
    let what = "readings of what has been fitted";
    if !check.few("built", what, built.len(), MOST_BUILT) {
        return;
    }
    for (at, reading) in built.iter().enumerate() {
        let path = format!("built[{at}]");
        one(check, &path, reading);
        let how = How::of(reading.by(), reading.sd(), reading.taken(), reading.note());
        how::check(check, &path, &how, Asks::Distance);
    }
    twice(check);
    leans(check);
    in_order(check);
}

fn one(check: &mut Check<'_>, path: &str, reading: &Built) {
    let at = |field: &str| format!("{path}.{field}");
    let design = &check.job.design;
    match reading {
        Built::Newel { name, x, y, up, .. } => {
            newel(check, &at("name"), name);
            if check.length(&at("x"), "this place", x, PLAN) {
                on_the_stair(check, &at("x"), x);
            }
            check.length(&at("y"), "this place", y, PLAN);
            if let Some(up) = up {
                check.length(&at("up"), "the height", up, ELEVATION);
            }
        }
        Built::NewelTop { name, is, .. } => {
            newel(check, &at("name"), name);
            let planned = railings(design)
                .flat_map(|one| one.newels)
                .find(|newel| newel.name == *name);
            let height = planned.and_then(|one| one.height.as_ref());
            let meant = height.map_or(Meant::Unsaid, |height| Meant::Firmly(height.value));
            check.reading(&at("is"), "the height", is, NEWEL_HEIGHT, meant);
        }
        Built::Baluster {
            step,
            place,
            x,
            y,
            rail,
            ..
        } => {
            let Some(railing) = railing(check, &at("rail"), rail.as_deref()) else {
                return;
            };
            let good = check.length(&at("x"), "this place", x, PLAN);
            if let Some(y) = y {
                check.length(&at("y"), "this place", y, PLAN);
            }
            if check.step(&at("step"), *step, true)
                && stands_there(check, &at("place"), &railing, *step, *place)
                && good
            {
                on_its_tread(check, &at("x"), *step, x);
            }
        }
        Built::Rail {
            name, nosing, is, ..
        } => {
            let Some(railing) = railing(check, &at("name"), Some(name)) else {
                return;
            };
            if check.job.level.is_some() {
                let problem = "a level run has no nosings";
                check.tell(&at("nosing"), problem, "leave this reading out");
            } else {
                check.step(&at("nosing"), *nosing, false);
            }
            let meant = Meant::Firmly(railing.rail.height.value);
            check.reading(&at("is"), "the height", is, RAIL_HEIGHT, meant);
        }
    }
}

/// What a run's railing is, as far as these checks ask.
#[derive(Clone, Copy)]
struct OneRailing<'a> {
    newels: &'a [Newel],
    rail: &'a Rail,
    balusters: &'a Balusters,
}

/// The railing on the open side, and the one on the wall side if there is one.
fn railings(design: &Design) -> impl Iterator<Item = OneRailing<'_>> {
    let open = OneRailing {
        newels: &design.newels,
        rail: &design.rail,
        balusters: &design.balusters,
    };
    let other = design.other.as_ref().map(|other| OneRailing {
        newels: &other.newels,
        rail: &other.rail,
        balusters: &other.balusters,
    });
    std::iter::once(open).chain(other)
}

/// The railing with this rail; the one on the open side where none is named. One that is not there
/// is told.
fn railing<'a>(check: &mut Check<'a>, path: &str, rail: Option<&str>) -> Option<OneRailing<'a>> {
    let job = check.job;
    let found = railings(&job.design).find(|one| rail.is_none_or(|name| one.rail.name == name));
    if let (None, Some(name)) = (&found, rail) {
        let known: Vec<&str> = railings(&job.design)
            .map(|one| one.rail.name.as_str())
            .collect();
        let help = did_you_mean(name, &known, "rail");
        check.tell(path, format!("no rail here is called `{name}`"), help);
    }
    found
}

fn newel(check: &mut Check<'_>, path: &str, name: &str) {
    let newels = railings(&check.job.design).flat_map(|one| one.newels);
    let known: Vec<&str> = newels.map(|newel| newel.name.as_str()).collect();
    if !known.contains(&name) {
        let help = did_you_mean(name, &known, "newel");
        check.tell(path, format!("there is no newel `{name}`"), help);
    }
}

/// True where the job puts a baluster that no newel takes the place of.
fn stands_there(
    check: &mut Check<'_>,
    path: &str,
    railing: &OneRailing<'_>,
    step: u32,
    place: u32,
) -> bool {
    let OneRailing {
        newels,
        rail,
        balusters,
    } = railing;
    let Spacing::PerTread { count, but, .. } = &balusters.spacing else {
        // Along a rail only the set-out tells how many stand over a tread.
        return check.count(path, "is no place", place, 1, u32::MAX);
    };
    let own = but.iter().find(|tread| tread.step == step);
    let count = own.map_or(*count, |tread| tread.count);
    let treads = check.job.flight.count.saturating_sub(1);
    if count == 0 || !(1..=treads).contains(&step) {
        check.tell(
            path,
            format!("no baluster stands on step {step}"),
            "read it on the tread that it stands on",
        );
        return false;
    }
    if !check.count(path, "is no place on this tread", place, 1, count) {
        return false;
    }
    let at_end = |end: &RailEnd, name: &str| matches!(end, RailEnd::Newel(met) if met == name);
    let taken = newels.iter().find(|newel| match &newel.stands {
        Stands::Displaces {
            step: on,
            balusters,
            ..
        } if at_end(&rail.lower, &newel.name) => step < *on || step == *on && place <= *balusters,
        Stands::Displaces {
            step: on,
            balusters,
            ..
        } => step > *on || step == *on && place + *balusters > count,
        Stands::At { .. } => false,
    });
    if let Some(newel) = taken {
        check.tell(
            path,
            format!("newel `{}` takes the place of this baluster", newel.name),
            "count the places as if the newel were not there",
        );
    }
    taken.is_none()
}

/// Warns of a baluster that is far from its tread, as far as that can be seen without setting out.
fn on_its_tread(check: &mut Check<'_>, path: &str, step: u32, x: &Len) {
    if check.job.level.is_some() {
        return;
    }
    let going = check.job.flight.going.value;
    let kick = going * (f64::from(step) - 1.0);
    // Goings that differ add up over the steps below.
    let off = BUILT_OFF.max(kick * SHARE_OFF);
    if x.value < kick - off || x.value > kick + going + off {
        let help = format!(
            "its kick stands {} up the flight, as meant; read it again",
            check.print(kick)
        );
        let problem = format!(
            "this is more than {} off tread {step}",
            check.print(BUILT_OFF)
        );
        check.warn(path, problem, help);
    }
}

/// Goings as read are off what was meant by no more than this share of their sum, without a word.
const SHARE_OFF: f64 = 0.1;

/// Warns of a newel that is far beyond either end of the stair.
fn on_the_stair(check: &mut Check<'_>, path: &str, x: &Len) {
    let flight = &check.job.flight;
    let going = flight.going.value;
    // A level run's going is its length.
    let long = going * f64::from(flight.count.saturating_sub(1).max(1));
    let off = going + BUILT_OFF.max(long * SHARE_OFF);
    if x.value < Length::ZERO - off || x.value > long + off {
        let help = format!("the run is {} long, as meant", check.print(long));
        check.warn(path, "this is off the stair", help);
    }
}

/// What a reading is of: two of the same are one too many.
fn place_of<'b>(reading: &'b Built, open: &'b str) -> Option<(u8, &'b str, u32, u32)> {
    match reading {
        // A newel is read at several heights.
        Built::Newel { .. } => None,
        Built::NewelTop { name, .. } => Some((0, name, 0, 0)),
        Built::Baluster {
            step, place, rail, ..
        } => Some((1, rail.as_deref().unwrap_or(open), *step, *place)),
        Built::Rail { name, nosing, .. } => Some((2, name, *nosing, 0)),
    }
}

fn twice(check: &mut Check<'_>) {
    let mut read: BTreeMap<(u8, &str, u32, u32), usize> = BTreeMap::new();
    for (at, reading) in check.job.built.iter().enumerate() {
        let Some(place) = place_of(reading, &check.job.design.rail.name) else {
            continue;
        };
        if let Some(first) = read.get(&place) {
            check.tell_both(
                &format!("built[{at}]"),
                "this was read twice",
                "keep the reading that holds now",
                &format!("built[{first}]"),
                "the other one",
            );
        } else {
            read.insert(place, at);
        }
    }
}

/// Newels read at several heights: the heights are apart, and the newel has not fallen over.
fn leans(check: &mut Check<'_>) {
    let mut former: BTreeMap<&str, Vec<(usize, [Length; 3])>> = BTreeMap::new();
    for (at, reading) in check.job.built.iter().enumerate() {
        let Built::Newel { name, x, y, up, .. } = reading else {
            continue;
        };
        let up = up.as_ref().map_or(Length::ZERO, |up| up.value);
        let own = [x.value, y.value, up];
        let others = former.entry(name).or_default();
        for (first, other) in others.iter() {
            let apart = (up - other[2]).abs();
            let (problem, help) = if apart < NEWEL_HEIGHTS_APART {
                let apart = check.print(NEWEL_HEIGHTS_APART);
                (
                    format!("newel `{name}` was read twice at this height"),
                    format!("keep one, or read it {apart} or more apart for its lean"),
                )
            } else if (0..2).any(|axis| (own[axis] - other[axis]).abs() > apart * STEEPEST_LEAN) {
                (
                    format!("newel `{name}` leans more than one in four"),
                    "read both places again".to_owned(),
                )
            } else {
                continue;
            };
            let other = format!("built[{first}]");
            check.tell_both(
                &format!("built[{at}]"),
                problem,
                help,
                &other,
                "the other one",
            );
            break;
        }
        others.push((at, own));
    }
}

/// As of a newel's own lean: past one in four it has fallen over.
const STEEPEST_LEAN: f64 = 0.25;

/// Balusters as built stand in their order up the flight, clear of each other.
fn in_order(check: &mut Check<'_>) {
    let mut row: Vec<(&str, u32, u32, Length, usize)> = Vec::new();
    let design = &check.job.design;
    for (at, reading) in check.job.built.iter().enumerate() {
        if let Built::Baluster {
            step,
            place,
            x,
            rail,
            ..
        } = reading
            && PLAN.hold(x.value)
        {
            let rail = rail.as_deref().unwrap_or(&design.rail.name);
            row.push((rail, *step, *place, x.value, at));
        }
    }
    row.sort_by_key(|one| (one.0, one.1, one.2, one.4));
    for pair in row.windows(2) {
        let [
            (rail, step, place, x, at),
            (next_rail, next_step, next_place, next, later),
        ] = [pair[0], pair[1]];
        let width = railings(design).find(|one| one.rail.name == rail);
        let width = width.map_or(Length::ZERO, |one| one.balusters.section.along());
        let other = (step, place) != (next_step, next_place);
        if rail == next_rail && other && next - x < width {
            check.tell_both(
                &format!("built[{later}].x"),
                format!("this baluster is not clear of the one at place {place} of tread {step}"),
                "read both again; places count up the flight",
                &format!("built[{at}].x"),
                "the other one",
            );
        }
    }
}
