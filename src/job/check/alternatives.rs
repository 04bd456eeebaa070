//! Checks of how the alternatives are written. Whether the job is sound with one of them is told
//! once the job is sound without.

use std::collections::BTreeMap;

use super::{Check, how, names};
use crate::job::limits::{MOST_ALTERNATIVES, MOST_CHANGES};
use crate::job::{Alternative, Answer};

pub(super) fn check(check: &mut Check<'_>) {
    let alternatives = &check.job.alternatives;
    let count = alternatives.len();
    if !check.few("alternatives", "alternatives", count, MOST_ALTERNATIVES) {
        return;
    }
    let mut named = Vec::new();
    let whole = check.run;
    names::list(&mut named, whole, "alternatives", alternatives, |one| {
        &one.name
    });
    for (path, name) in &named {
        if names::one(check, path, name) && *name == Answer::AS_IT_STANDS {
            check.tell(
                path,
                format!("`{name}` is what the job without an alternative is called"),
                "call it something else",
            );
        }
    }
    names::own(check, &named, "alternatives");
    for (at, one) in alternatives.iter().enumerate() {
        changes(check, &format!("alternatives[{at}]"), one);
    }
}

fn changes(check: &mut Check<'_>, path: &str, one: &Alternative) {
    how::remark(check, &format!("{path}.note"), "the note", &one.note);
    let list = format!("{path}.changes");
    if !check.few(&list, "changes", one.changes.len(), MOST_CHANGES) {
        return;
    }
    if one.changes.is_empty() {
        let help = "write what differs: `(field: \"design.rail.height\", is: \"35\")`";
        check.warn(&list, "nothing differs in this alternative", help);
    }
    let mut set: BTreeMap<&str, usize> = BTreeMap::new();
    for (at, change) in one.changes.iter().enumerate() {
        let path = format!("{list}[{at}]");
        let (given, taken_out) = (!change.is.is_absent(), change.remove);
        if given == taken_out {
            let (problem, help) = if given {
                (
                    "it is set and taken out at once",
                    "write `is` or `remove: true`",
                )
            } else {
                (
                    "it does not say what is otherwise",
                    "add `is: ...` with the value, or `remove: true`",
                )
            };
            check.tell(&path, problem, help);
        }
        let field = format!("{path}.field");
        let first = change.field.split(['.', '[']).next().unwrap_or("");
        match first {
            "" => check.tell(
                &field,
                format!("`{}` is not the path of a field", change.field),
                "write it as messages do: `design.newels[0].height`",
            ),
            "alternatives" => check.tell(
                &field,
                "alternatives do not nest",
                "write all that differs from the job as it stands",
            ),
            "format" | "units" => check.tell(
                &field,
                format!("`{first}` is one for the whole file"),
                "write lengths with their unit, as \"260 mm\"",
            ),
            _ => {}
        }
        if given && let Some(former) = set.insert(&change.field, at) {
            check.tell_both(
                &field,
                format!("`{}` is set twice in one alternative", change.field),
                "keep one of the two",
                &format!("{list}[{former}].field"),
                "set here first",
            );
        }
    }
}
