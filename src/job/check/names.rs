//! Checks that every part has a name of its own: troubles call it by that. Instruments and laser
//! lines have names of their own kind, which no part is mistaken for.

use std::collections::BTreeMap;

use super::Check;
use crate::job::limits::LONGEST_NAME;

pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    let design = &job.design;
    let mut parts = Vec::new();
    list(&mut parts, "walls", &job.walls, |part| &part.name);
    list(&mut parts, "floors", &job.floors, |part| &part.name);
    list(&mut parts, "stringers", &job.stringers, |part| &part.name);
    list(&mut parts, "skirts", &job.skirts, |part| &part.name);
    list(&mut parts, "design.newels", &design.newels, |part| {
        &part.name
    });
    parts.push(("design.rail.name".to_owned(), &design.rail.name));
    if let Some(rail) = &design.bottom_rail {
        parts.push(("design.bottom_rail.name".to_owned(), &rail.name));
    }
    for (path, name) in &parts {
        if one(check, path, name) && is_given(name) {
            check.tell(
                path,
                format!("`{name}` is the name of a baluster, tread or kick"),
                "B, T and K with a number are given by the program; call it something else",
            );
        }
    }
    own(check, &parts, "parts");
    let mut instruments = Vec::new();
    list(&mut instruments, "instruments", &job.instruments, |one| {
        &one.name
    });
    let mut lines = Vec::new();
    list(&mut lines, "lines", &job.lines, |one| &one.name);
    for (path, name) in instruments.iter().chain(&lines) {
        one(check, path, name);
    }
    own(check, &instruments, "instruments");
    own(check, &lines, "laser lines");
}

/// Puts the names of a list's items to the others, each with its place.
fn list<'j, T>(
    named: &mut Vec<(String, &'j str)>,
    path: &str,
    items: &'j [T],
    name: impl Fn(&'j T) -> &'j String,
) {
    let names = items.iter().map(name).enumerate();
    named.extend(names.map(|(at, name)| (format!("{path}[{at}].name"), name.as_str())));
}

/// Tells a name that two have.
fn own(check: &mut Check<'_>, named: &[(String, &str)], what: &str) {
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
fn one(check: &mut Check<'_>, path: &str, name: &str) -> bool {
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

/// `B07`, `T4` and `K12` are given to balusters, treads and kicks.
fn is_given(name: &str) -> bool {
    name.strip_prefix(['B', 'T', 'K'])
        .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|byte| byte.is_ascii_digit()))
}
