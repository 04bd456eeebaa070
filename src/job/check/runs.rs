//! Checks of the runs that go on from the first flight, and of what joins them.

use std::collections::BTreeMap;

use super::{Check, winders};
use crate::job::limits::{EDGE, ELEVATION, LANDING, LONGEST_RUN_NAME, PLAN, SECTION, WIDTH};
use crate::job::nearest::did_you_mean;
use crate::job::{FIRST_RUN, FloorKind, Run, Spacing, WinderReading};

/// The most that a run turns from the one before it, degrees either way.
const MOST_TURN_DEGREES: f64 = 180.0;

/// The list of runs: names, kinds, places.
pub(super) fn check(check: &mut Check<'_>) {
    let runs = &check.job.runs;
    let mut named: BTreeMap<&str, String> = BTreeMap::new();
    named.insert(FIRST_RUN, "flight".to_owned());
    for (at, run) in runs.iter().enumerate() {
        let path = format!("runs[{at}]");
        kind(check, &path, run);
        starts(check, &path, run, &named);
        let name = format!("{path}.name");
        if !name_of(check, &name, &run.name) {
            continue;
        }
        // `2w` is what the parts of the railing on run 2's wall side are called by.
        let taken = check
            .all
            .iter()
            .find(|one| one.beside.is_some() && format!("{}w", one.name) == run.name);
        if let Some(taken) = taken {
            let owner = taken.name.clone();
            check.tell(
                &name,
                format!(
                    "`{}` stands before the parts on the wall side of run `{owner}`",
                    run.name
                ),
                "call this run something else",
            );
            continue;
        }
        if let Some(former) = named.get(run.name.as_str()) {
            let former = former.clone();
            check.tell_both(
                &name,
                format!("two runs are called `{}`", run.name),
                format!("give every run a name of its own; `{FIRST_RUN}` is the first flight"),
                &former,
                "the other one",
            );
        } else {
            named.insert(&run.name, name);
        }
    }
}

fn name_of(check: &mut Check<'_>, path: &str, name: &str) -> bool {
    let plain = |c: char| c.is_alphanumeric() || c == '-';
    let good =
        !name.is_empty() && name.chars().count() <= LONGEST_RUN_NAME && name.chars().all(plain);
    if !good {
        check.tell(
            path,
            "this name does not stand well before the names of parts",
            format!("use letters and digits, {LONGEST_RUN_NAME} at most, as `2` or `L1`"),
        );
    }
    good
}

/// A run is one thing.
fn kind(check: &mut Check<'_>, path: &str, run: &Run) {
    let kinds = [
        ("flight", run.flight.is_some()),
        ("level", run.level.is_some()),
        ("winders", run.winders.is_some()),
    ];
    let given: Vec<&str> = kinds
        .iter()
        .filter(|kind| kind.1)
        .map(|kind| kind.0)
        .collect();
    match given.as_slice() {
        [] => check.tell(
            path,
            "the run is neither a flight, a level run nor a turn on winders",
            "give it `flight: (..)`, `level: (..)` or `winders: (..)`",
        ),
        [_] => {}
        [.., last] => check.tell(
            &format!("{path}.{last}"),
            format!("the run is {} at once", given.join(" and ")),
            "leave all but one of them out, or make more runs",
        ),
    }
    if let Some(turn) = &run.winders {
        winders::check(check, &format!("{path}.winders"), turn);
        leads_on(check, path, run);
    } else if run.design.is_none() {
        check.tell(
            path,
            "nothing says what is to be built on this run",
            "give it `design: (..)`, as the first flight has",
        );
    }
}

/// A turn on winders lies between two runs, and has no railing of its own.
fn leads_on(check: &mut Check<'_>, path: &str, run: &Run) {
    if run.design.is_some() {
        check.tell(
            &format!("{path}.design"),
            "a turn on winders has no railing of its own",
            "the rails of the flights before and after it meet at its newel; take this out",
        );
    }
    let all = check.all;
    let walked: Vec<&str> = all
        .iter()
        .filter(|one| one.turns.iter().any(|turn| turn.name == run.name))
        .map(|one| one.name.as_str())
        .collect();
    match walked.as_slice() {
        [] => check.tell(
            path,
            format!("no flight goes on from the winders `{}`", run.name),
            "let a flight with at least two kicks follow it in `runs`",
        ),
        [_] => {}
        [first, second, ..] => check.tell(
            path,
            format!(
                "runs `{first}` and `{second}` both go on from the winders `{}`",
                run.name
            ),
            "one run goes on from a turn; let the other start after that one",
        ),
    }
    // The first kick of a turn after a flight is that flight's last.
    let before = all
        .iter()
        .find_map(|one| one.turns.first())
        .filter(|first| first.name == run.name);
    let twice = run
        .winders
        .iter()
        .flat_map(|winders| winders.readings.iter().enumerate())
        .find(|(_, reading)| matches!(reading, WinderReading::Rise { step: 1, .. }));
    if let (Some(_), Some((at, _))) = (before, twice) {
        check.tell(
            &format!("{path}.winders.readings[{at}]"),
            "the first kick of this turn is the last of the flight before it",
            "read its rise there, with the flight's other readings",
        );
    }
}

fn starts(check: &mut Check<'_>, path: &str, run: &Run, named: &BTreeMap<&str, String>) {
    let at = |field: &str| format!("{path}.starts.{field}");
    if let Some(after) = &run.starts.after
        && !named.contains_key(after.as_str())
    {
        let known: Vec<&str> = named.keys().copied().collect();
        let help = did_you_mean(after, &known, "earlier run");
        check.tell(
            &at("after"),
            format!("there is no earlier run `{after}`"),
            help,
        );
    }
    check.length(&at("past"), "this place", &run.starts.past, PLAN);
    check.length(&at("left"), "this place", &run.starts.left, PLAN);
    check.length(&at("up"), "this height", &run.starts.up, ELEVATION);
    if let Some(turn) = &run.starts.turn {
        let degrees = turn.value.as_degrees();
        // A range holds no NaN.
        if !(-MOST_TURN_DEGREES..=MOST_TURN_DEGREES).contains(&degrees) {
            check.tell(
                &at("turn"),
                "the run turns by more than half a turn",
                format!("write -{MOST_TURN_DEGREES} to {MOST_TURN_DEGREES} degrees"),
            );
        }
    }
}

/// A level run as it was meant.
pub(super) fn level(check: &mut Check<'_>) {
    let Some(level) = &check.job.level else {
        return;
    };
    let lengths = [
        ("level.length", "the length", &level.length, LANDING),
        ("level.edge", "the edge", &level.edge, EDGE),
        ("level.width", "the width", &level.width, WIDTH),
        (
            "level.thickness",
            "the thickness",
            &level.thickness,
            SECTION,
        ),
    ];
    for (path, what, length, bounds) in lengths {
        check.length(path, what, length, bounds);
    }
    for (at, floor) in check.job.floors.iter().enumerate() {
        if floor.is != FloorKind::Lower {
            check.tell(
                &format!("floors[{at}].is"),
                "a level run stands on one floor",
                "write `is: Lower`: its readings are of the floor along the run",
            );
        }
    }
}

/// What a run's railing has to do with the other runs, and with the stair that it shares.
pub(super) fn railing(check: &mut Check<'_>) {
    if let Some((_, edge)) = &check.run.beside {
        check.length("design.other.edge", "the edge", edge, EDGE);
    } else if check.job.level.is_some() && check.job.design.other.is_some() {
        check.tell(
            "design.other",
            "a level run has one railing",
            "give the other edge a run of its own",
        );
    }
    if check.job.level.is_some()
        && matches!(check.job.design.balusters.spacing, Spacing::PerTread { .. })
    {
        check.tell(
            "design.balusters.spacing",
            "a level run has no treads to space balusters by",
            "space them along the rail: AlongRail()",
        );
    }
    let job = check.job;
    for (at, newel) in job.design.newels.iter().enumerate() {
        let Some(also) = &newel.also else { continue };
        let path = format!("design.newels[{at}].also");
        let other = check
            .all
            .iter()
            .find(|run| run.name == also.run && run.has_stair());
        match other {
            None => {
                let known: Vec<&str> = check.all.iter().map(|run| run.name.as_str()).collect();
                let help = did_you_mean(&also.run, &known, "run");
                let problem = format!("there is no run `{}`", also.run);
                check.tell(&format!("{path}.run"), problem, help);
            }
            Some(other) if std::ptr::eq(other, check.run) => check.tell(
                &format!("{path}.run"),
                "this is the newel's own run",
                "name the run that goes on from it",
            ),
            Some(other) => {
                let treads = other.job.flight.count.saturating_sub(1);
                if !(1..=treads).contains(&also.step) {
                    check.tell(
                        &format!("{path}.step"),
                        format!("run `{}` has no tread {}", also.run, also.step),
                        format!("it has treads 1 to {treads}"),
                    );
                }
            }
        }
        check.length(
            &format!("{path}.move_by"),
            "the move",
            &also.move_by,
            crate::job::limits::MOVE,
        );
    }
}
