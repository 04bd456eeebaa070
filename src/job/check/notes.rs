//! Checks of what was noted: reasons that are reasons, places that are places. Whether the stair has
//! such a trouble or part is told when it is inspected: it may be gone, and that is no fault.

use std::collections::BTreeMap;

use super::{Check, how};
use crate::job::Hooked;
use crate::job::limits::{LONGEST_PART, LONGEST_TROUBLE, MOST_LET_STAND, MOST_NOTES, WAS};

pub(super) fn check(check: &mut Check<'_>) {
    let_stand(check);
    notes(check);
}

fn let_stand(check: &mut Check<'_>) {
    let all = &check.job.lets_stand;
    let list = "lets_stand";
    if !check.few(
        list,
        "troubles that are let stand",
        all.len(),
        MOST_LET_STAND,
    ) {
        return;
    }
    let mut told: BTreeMap<&str, usize> = BTreeMap::new();
    for (at, one) in all.iter().enumerate() {
        let path = format!("{list}[{at}]");
        let trouble = format!("{path}.trouble");
        named(
            check,
            &trouble,
            "the trouble's id",
            &one.trouble,
            LONGEST_TROUBLE,
        );
        if let Some(former) = told.insert(&one.trouble, at) {
            check.tell_both(
                &trouble,
                format!("`{}` is let stand twice", one.trouble),
                "keep one of the two, with one reason",
                &format!("{list}[{former}].trouble"),
                "let stand here first",
            );
        }
        let because = format!("{path}.because");
        if one.because.trim().is_empty() {
            check.tell(
                &because,
                "it does not say why the trouble is let stand",
                "write the reason in a few words: it goes on the sheet",
            );
        } else {
            how::remark(check, &because, "the reason", &one.because);
        }
        if let Some(was) = &one.was {
            check.length(&format!("{path}.was"), "what it measured", was, WAS);
        }
    }
}

fn notes(check: &mut Check<'_>) {
    let all = &check.job.notes;
    if !check.few("notes", "notes", all.len(), MOST_NOTES) {
        return;
    }
    for (at, one) in all.iter().enumerate() {
        let path = format!("notes[{at}]");
        how::remark(check, &format!("{path}.says"), "the word to it", &one.says);
        hooked(check, &format!("{path}.from"), &one.from);
        hooked(check, &format!("{path}.to"), &one.to);
        if one.from == one.to {
            check.tell(
                &path,
                "both ends of the tape are held to one place",
                "hold one of them to another part, or to another place of it",
            );
        }
    }
}

fn hooked(check: &mut Check<'_>, path: &str, one: &Hooked) {
    named(
        check,
        &format!("{path}.part"),
        "the part's name",
        &one.part,
        LONGEST_PART,
    );
    let (x, y, z) = one.at;
    // Never true of NaN.
    if !([x, y, z].iter().all(|share| (0.0..=1.0).contains(share))) {
        check.tell(
            &format!("{path}.at"),
            "a place in the box around a part is three shares of it",
            "write three numbers from 0 to 1",
        );
    }
}

/// Checks a name that something is called by.
fn named(check: &mut Check<'_>, path: &str, what: &str, name: &str, most: usize) {
    if name.trim().is_empty() {
        check.tell(
            path,
            format!("{what} is empty"),
            "write it as `inspect --json` prints it",
        );
    } else if name.chars().count() > most {
        let long = name.chars().count();
        check.tell(
            path,
            format!("{what} is {long} characters long"),
            format!("{most} at most"),
        );
    } else if name.chars().any(char::is_control) {
        check.tell(
            path,
            format!("{what} holds characters that do not print"),
            "write it as `inspect --json` prints it",
        );
    }
}
