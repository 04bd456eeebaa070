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

#[cfg(test)]
mod tests {
    use crate::job::{Document, HookedOn};

    const STRAIGHT: &str = include_str!("../../../scenes/straight.ron");

    fn with(field: &str) -> Result<Document, crate::job::Faults> {
        let end = STRAIGHT.trim_end().strip_suffix(')').unwrap();
        Document::parse(&format!("{end}    {field},\n)\n"), "test.ron")
    }

    /// The field and the problem of the first fault.
    fn fault(field: &str) -> (String, String) {
        let faults = with(field).unwrap_err();
        let first = &faults.diagnostics[0];
        (first.path.clone(), first.problem.clone())
    }

    #[test]
    fn a_reason_is_kept_as_it_is_typed_and_an_empty_one_is_none() {
        let field = "lets_stand: [(trouble: \"opening:B98+B99\", because: \"<b>so</b> & all\", was: \"1/2\")]";
        let document = with(field).unwrap();
        // A trouble that is not there is no fault: it may be gone.
        let one = &document.job().lets_stand[0];
        assert_eq!(one.because, "<b>so</b> & all");
        approx::assert_relative_eq!(one.was.as_ref().unwrap().mm(), 12.7);
        let again = document.set("lets_stand[0]", &one.written()).unwrap();
        assert_eq!(again.job().lets_stand, document.job().lets_stand);
        let (path, problem) = fault("lets_stand: [(trouble: \"rise\", because: \"  \")]");
        assert_eq!(path, "lets_stand[0].because");
        assert!(problem.contains("does not say why"), "{problem}");
        let (path, _) = fault("lets_stand: [(trouble: \"\", because: \"so\")]");
        assert_eq!(path, "lets_stand[0].trouble");
        let long = "x".repeat(401);
        let (path, _) = fault(&format!(
            "lets_stand: [(trouble: \"rise\", because: \"{long}\")]"
        ));
        assert_eq!(path, "lets_stand[0].because");
        let twice = "(trouble: \"rise\", because: \"so\")";
        let (path, _) = fault(&format!("lets_stand: [{twice}, {twice}]"));
        assert_eq!(path, "lets_stand[1].trouble");
    }

    #[test]
    fn a_note_holds_to_places_in_the_box_around_a_part() {
        let field =
            "notes: [(from: (part: \"N1\", on: Face, at: (1.0, 0.5, 0.5)), to: (part: \"B01\"))]";
        let document = with(field).unwrap();
        let note = &document.job().notes[0];
        assert_eq!(
            (note.from.on, note.to.on),
            (HookedOn::Face, HookedOn::Whole)
        );
        let again = document.set("notes[0]", &note.written()).unwrap();
        assert_eq!(again.job().notes, document.job().notes);
        for at in ["(1.5, 0.5, 0.5)", "(0.5, -0.1, 0.5)"] {
            let field =
                format!("notes: [(from: (part: \"N1\", on: Edge, at: {at}), to: (part: \"B01\"))]");
            assert_eq!(fault(&field).0, "notes[0].from.at", "{at}");
        }
        let (path, _) = fault("notes: [(from: (part: \"N1\"), to: (part: \"N1\"))]");
        assert_eq!(path, "notes[0]");
    }
}
