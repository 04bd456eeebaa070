//! Checks of the balusters and of how many stand on each tread.

use std::collections::BTreeMap;

use super::Check;
use super::infill;
use crate::job::limits::{
    BOARD, EDGE_DISTANCE, GOING, MOST_ALONG_RAIL, MOST_KICKS, MOST_NEWELS, MOST_PER_TREAD, PEG,
    RAIL, SEAT, SECTION, SET_BACK,
};
use crate::job::{Align, Flight, Spacing, Stands, StepReading, Surface};
use crate::measure::Length;

pub(super) fn check(check: &mut Check<'_>) {
    let sound = infill::sections(check);
    fit(check, sound);
    align(check);
    infill::check(check, sound);
    match &check.job.design.balusters.spacing {
        Spacing::PerTread { .. } => per_tread(check, sound),
        Spacing::AlongRail { count } => {
            if let Some(count) = *count {
                let path = "design.balusters.spacing.count";
                check.count(path, "balusters", count, 0, MOST_ALONG_RAIL);
            }
        }
        // Told with what else fills the run.
        Spacing::Panels { .. } => {}
    }
    displaced(check);
}

/// Pegs, seats and the sizes they go into.
fn fit(check: &mut Check<'_>, sound: bool) {
    let job = check.job;
    let balusters = &job.design.balusters;
    let at = |field: &str| format!("design.balusters.{field}");
    check.length(
        &at("edge_distance"),
        "the distance",
        &balusters.edge_distance,
        EDGE_DISTANCE,
    );
    let thin = balusters
        .sections()
        .iter()
        .map(|section| section.along().min(section.across()))
        .fold(balusters.section.along(), Length::min);
    let path = at("peg_diameter");
    if check.length(&path, "the peg's diameter", &balusters.peg_diameter, PEG)
        && sound
        && balusters.peg_diameter.value > thin
    {
        let help = format!("the baluster is {} across", check.print(thin));
        check.tell(&path, "the peg is wider than the baluster", help);
    }
    if check.length(&at("peg"), "the peg", &balusters.peg, PEG) {
        through(check);
    }
    let depth = job.design.rail.depth.value;
    if check.length(&at("seat"), "the seat", &balusters.seat, SEAT)
        && RAIL.hold(depth)
        && balusters.seat.value >= depth
    {
        let help = format!("the rail is {} deep", check.print(depth));
        check.tell(&at("seat"), "the seat goes through the rail", help);
    }
    let width = job.design.rail.width.value;
    if sound && RAIL.hold(width) && balusters.widest_across() > width {
        let help = format!("the rail is {} wide", check.print(width));
        check.warn(&at("section"), "the baluster is wider than the rail", help);
    }
}

/// Warns of a peg that comes out under what it stands in.
fn through(check: &mut Check<'_>) {
    let job = check.job;
    let (what, thickness) = match &job.design.bottom_rail {
        Some(rail) => ("bottom rail", rail.depth.value),
        None => ("tread", job.flight.tread_thickness.value),
    };
    if BOARD.hold(thickness) && job.design.balusters.peg.value > thickness {
        let help = format!("the {what} is {} thick", check.print(thickness));
        let problem = format!("the peg comes out under the {what}");
        check.warn("design.balusters.peg", problem, help);
    }
}

fn align(check: &mut Check<'_>) {
    if let Align::Share(share) = check.job.design.balusters.align
        && !(0.0..=1.0).contains(&share)
    {
        check.tell(
            "design.balusters.align.Share",
            "the share is not between 0 and 1",
            "write 0 for plumb, 1 for an even reveal, or a number between",
        );
    }
}

const AT: &str = "design.balusters.spacing";

fn per_tread(check: &mut Check<'_>, sound: bool) {
    let job = check.job;
    let Spacing::PerTread {
        count,
        set_back,
        but,
        ..
    } = &job.design.balusters.spacing
    else {
        return;
    };
    check.length(
        &format!("{AT}.set_back"),
        "the set-back",
        set_back,
        SET_BACK,
    );
    let usual = check.count(
        &format!("{AT}.count"),
        "balusters",
        *count,
        1,
        MOST_PER_TREAD,
    );
    if but.len() > MOST_KICKS as usize {
        let problem = format!("{} treads with their own count", but.len());
        check.tell(
            &format!("{AT}.but"),
            problem,
            format!("{MOST_KICKS} at most"),
        );
        return;
    }
    let mut own: BTreeMap<u32, usize> = BTreeMap::new();
    for (at, tread) in but.iter().enumerate() {
        let path = format!("{AT}.but[{at}]");
        check.tread(&format!("{path}.step"), tread.step);
        check.count(
            &format!("{path}.count"),
            "balusters",
            tread.count,
            0,
            MOST_PER_TREAD,
        );
        if let Some(first) = own.insert(tread.step, at) {
            check.tell_both(
                &path,
                format!("tread {} has its own count twice", tread.step),
                "keep one of the two",
                &format!("{AT}.but[{first}]"),
                "counted here first",
            );
        }
    }
    if !sound || !usual {
        return;
    }
    let treads = job.flight.count.clamp(1, MOST_KICKS) - 1;
    // One fault for the usual count is enough, however many treads it does not fit.
    let mut told_usual = false;
    let mut first = 0;
    for step in 1..=treads {
        let (path, count) = match own.get(&step) {
            Some(at) => (format!("{AT}.but[{at}].count"), but[*at].count),
            None if told_usual => continue,
            None => (format!("{AT}.count"), *count),
        };
        // What is past its bounds has been told, and is not to be counted through.
        let count = count.min(MOST_PER_TREAD);
        let told = crowded(check, &path, step, (first, count));
        first += count as usize;
        told_usual |= told && !own.contains_key(&step);
    }
}

/// Tells balusters that fill their tread from kick to kick, or are wider than it.
///
/// Balusters go by their number along the run: `first` and how many from there.
fn crowded(check: &mut Check<'_>, path: &str, step: u32, (first, count): (usize, u32)) -> bool {
    let going = going(&check.job.flight, step);
    let balusters = &check.job.design.balusters;
    let each = |number: usize| balusters.section_at(number).along();
    let all: Length = (first..first + count as usize).map(each).sum();
    // A going past its own bounds has been told already.
    if count == 0 || !GOING.hold(going) || all < going {
        return false;
    }
    let width = each(first);
    let most = (going / (all / f64::from(count))).ceil() - 1.0;
    let help = format!(
        "the going of tread {step} is {}: {:.0} fit at most",
        check.print(going),
        most.max(0.0)
    );
    if width >= going {
        let help = format!("the going of tread {step} is {}", check.print(going));
        let problem = format!("a baluster is wider than tread {step}");
        check.tell("design.balusters.section", problem, help);
    } else {
        let width = check.print(width);
        let problem = format!("{count} balusters of {width} do not fit on tread {step}");
        check.tell(path, problem, help);
    }
    true
}

/// The going of a tread as read on its finished surface, or as meant.
fn going(flight: &Flight, step: u32) -> Length {
    flight
        .readings
        .iter()
        .filter_map(|reading| match reading {
            StepReading::Going {
                step: at, is, on, ..
            } if *at == step => Some((*on == Surface::Rough, is.value)),
            _ => None,
        })
        .min_by_key(|(rough, _)| *rough)
        .map_or(flight.going.value, |(_, going)| going)
}

/// Newels that take the place of balusters which are not there.
fn displaced(check: &mut Check<'_>) {
    let job = check.job;
    let Spacing::PerTread { count, but, .. } = &job.design.balusters.spacing else {
        return;
    };
    // What is past these bounds has been told, and is not to be counted through.
    if but.len() > MOST_KICKS as usize || job.design.newels.len() > MOST_NEWELS {
        return;
    }
    for (at, newel) in job.design.newels.iter().enumerate() {
        let Stands::Displaces {
            step, balusters, ..
        } = &newel.stands
        else {
            continue;
        };
        wide(check, at, *step);
        let own = but
            .iter()
            .find(|tread| tread.step == *step)
            .map(|tread| tread.count);
        let there = own.unwrap_or(*count);
        if *balusters <= there || *count == 0 {
            continue;
        }
        let path = format!("design.newels[{at}].stands.balusters");
        let name = &newel.name;
        let problem = format!("newel `{name}` takes the place of {balusters} balusters");
        let help = format!("tread {step} has {there}; for a place of its own write `At(x: ...)`");
        check.tell(&path, problem, help);
    }
}

/// Tells a newel that is wider than the tread it stands on.
fn wide(check: &mut Check<'_>, at: usize, step: u32) {
    let treads = check.job.flight.count.clamp(1, MOST_KICKS) - 1;
    if !(1..=treads).contains(&step) {
        return;
    }
    let newel = &check.job.design.newels[at];
    let (width, going) = (newel.section.along(), going(&check.job.flight, step));
    if !SECTION.hold(width) || !GOING.hold(going) || width < going {
        return;
    }
    let problem = format!("newel `{}` is wider than tread {step}", newel.name);
    let help = format!(
        "the going of tread {step} is {}: use a narrower one, or stand it at a point, At(x: ..)",
        check.print(going)
    );
    check.tell(&format!("design.newels[{at}].section"), problem, help);
}
