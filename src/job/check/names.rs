//! Checks that every part has a name of its own: troubles call it by that. Instruments and laser
//! lines have names of their own kind, which no part is mistaken for.

use std::collections::BTreeMap;

use super::Check;
use crate::job::limits::LONGEST_NAME;
use crate::job::{Balusters, Ground, OneRun, Spacing};

pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    let mut parts = Vec::new();
    for run in check.all {
        if run.has_stair() {
            list(&mut parts, run, "walls", &run.job.walls, |part| &part.name);
            list(&mut parts, run, "floors", &run.job.floors, |part| {
                &part.name
            });
            list(&mut parts, run, "stringers", &run.job.stringers, |part| {
                &part.name
            });
            list(&mut parts, run, "overheads", &run.job.overheads, |one| {
                &one.name
            });
            list(&mut parts, run, "skirts", &run.job.skirts, |part| {
                &part.name
            });
            list(&mut parts, run, "blocking", &run.job.blocking, |part| {
                &part.name
            });
            list(&mut parts, run, "fasteners", &run.job.fasteners, |part| {
                &part.name
            });
        }
        let design = &run.job.design;
        list(&mut parts, run, "design.newels", &design.newels, |part| {
            &part.name
        });
        parts.push((run.path("design.rail.name"), &design.rail.name));
        if let Some(rail) = &design.bottom_rail {
            parts.push((run.path("design.bottom_rail.name"), &rail.name));
        }
        if let Some(rail) = &design.wall_rail {
            parts.push((run.path("design.wall_rail.name"), &rail.name));
        }
    }
    let all = check.all;
    for (path, name) in &parts {
        if !one(check, path, name) {
            continue;
        }
        if is_given(name) {
            check.tell(
                path,
                format!("`{name}` is the name of a baluster, tread or kick"),
                "B, T and K with a number are given by the program; call it something else",
            );
        } else if all
            .iter()
            .any(|run| is_of_infill(&run.job.design.balusters, name))
        {
            check.tell(
                path,
                format!("`{name}` is the name of a panel, or of a part of the shoe"),
                "it is given by the program here; call this something else",
            );
        }
    }
    own(check, &parts, "parts");
    let mut instruments = Vec::new();
    let first = check.run;
    list(
        &mut instruments,
        first,
        "instruments",
        &job.instruments,
        |one| &one.name,
    );
    let mut lines = Vec::new();
    for run in check.all.iter().filter(|run| run.has_stair()) {
        list(&mut lines, run, "lines", &run.job.lines, |one| &one.name);
    }
    for (path, name) in instruments.iter().chain(&lines) {
        one(check, path, name);
    }
    own(check, &instruments, "instruments");
    own(check, &lines, "laser lines");
}

/// Puts the names of a list's items to the others, each with its place.
pub(super) fn list<'j, T>(
    named: &mut Vec<(String, &'j str)>,
    run: &OneRun,
    path: &str,
    items: &'j [T],
    name: impl Fn(&'j T) -> &'j String,
) {
    let names = items.iter().map(name).enumerate();
    let named_in =
        |(at, name): (usize, &'j String)| (run.path(&format!("{path}[{at}].name")), name.as_str());
    named.extend(names.map(named_in));
}

/// Tells a name that two have.
pub(super) fn own(check: &mut Check<'_>, named: &[(String, &str)], what: &str) {
    let mut former: BTreeMap<&str, &str> = BTreeMap::new();
    for (path, name) in named {
        if let Some(first) = former.get(name) {
            let what_one = what.trim_end_matches('s');
            check.tell_both(
                path,
                format!("two {what} are called `{name}`"),
                format!("give every {what_one} a name of its own"),
                first,
                "the other one",
            );
        } else {
            former.insert(name, path);
        }
    }
}

/// True for a name that can be printed in a line; else it is told.
pub(super) fn one(check: &mut Check<'_>, path: &str, name: &str) -> bool {
    let (problem, help) = if name.trim().is_empty() {
        (
            "the name is empty",
            "call it something short, as `W1`".to_owned(),
        )
    } else if name.chars().count() > LONGEST_NAME {
        (
            "the name is too long",
            format!("{LONGEST_NAME} characters at most"),
        )
    } else if name.chars().any(char::is_control) {
        (
            "the name holds characters that do not print",
            "use letters and digits".to_owned(),
        )
    } else {
        return true;
    };
    check.tell(path, problem, help);
    false
}

/// Names that are given where the job has panels or a shoe, and are anybody's where it has not.
fn is_of_infill(balusters: &Balusters, name: &str) -> bool {
    let panels = matches!(balusters.spacing, Spacing::Panels { .. });
    let shoe = matches!(balusters.on, Ground::Shoe { .. });
    let own = name.rsplit('.').next().unwrap_or(name);
    panels && numbered(own, 'P')
        || shoe && ["shoe", "cap", "half wall", "closed string"].contains(&own)
}

fn numbered(name: &str, letter: char) -> bool {
    name.strip_prefix(letter)
        .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|byte| byte.is_ascii_digit()))
}

/// `B07`, `T4` and `K12` are given to balusters, treads and kicks; with a run's name and a point
/// before it where there are several runs.
pub(super) fn is_given(name: &str) -> bool {
    let own = name.rsplit('.').next().unwrap_or(name);
    ['B', 'T', 'K'].iter().any(|&letter| numbered(own, letter))
}
