//! How treads, kicks and skirts are scribed and cut.

use rakewell::job::{Document, Leaning, Meets};

use super::one_warning;
use crate::job::{one_fault, with};

/// The sample with boards of its own.
fn boards(fields: &str) -> String {
    with(
        "    design: (",
        &format!("    boards: ({fields}),\n    design: ("),
    )
}

#[track_caller]
fn refused(fields: &str, path: &str, read: &str, problem: &str, help: &str) {
    one_fault(&boards(fields), path, read, problem, help);
}

#[test]
fn what_is_not_written_is_as_is_usual() {
    let document = Document::parse(&boards(""), "job.ron").expect("nothing has to be written");
    let boards = document.job().boards.clone().expect("it is there");
    // Common practice, no source.
    let undercut = &boards.undercut;
    for (angle, degrees) in [
        (&undercut.tread_back, 5.0),
        (&undercut.tread_ends, 1.5),
        (&undercut.relief, 5.0),
        (&undercut.kick_ends, 5.0),
        (&undercut.kick_top, 5.0),
    ] {
        assert!((angle.value.as_degrees() - degrees).abs() < 1e-12);
    }
    assert!((boards.mitred.level_cut.value.as_inches() - 9.0 / 16.0).abs() < 1e-12);
    assert_eq!(boards.mitred.kicks, Leaning::Plumb);
    assert!(boards.base.is_none() && boards.open_end.is_none());
}

#[test]
fn what_is_written_is_kept() {
    let text = boards(
        "wall_end: Wall, treads: [(step: 2, front: \"36 1/16\", right: 89.5)], \
         kick_leans: [(step: 14, over: 6, by: \"-1/8\")], \
         mitred: (kicks: Split, level_cut: \"5/8\"), base: (height: 5.25, thickness: 0.75)",
    );
    let document = Document::parse(&text, "job.ron").expect("it is sound");
    assert!(document.warnings().is_empty(), "{:?}", document.warnings());
    let boards = document.job().boards.clone().expect("it is there");
    assert_eq!(boards.wall_end, Some(Meets::Wall));
    let front = boards.treads[0].front.as_ref().expect("it was read");
    assert_eq!(front.text, "36 1/16");
    assert_eq!(boards.mitred.kicks, Leaning::Split);
}

#[test]
fn treads_read_with_a_template() {
    refused(
        "treads: [(step: 14)]",
        "boards.treads[0].step",
        "14",
        "there is no tread 14",
        "treads 1 to 13",
    );
    refused(
        "treads: [(step: 2, left: 190)]",
        "boards.treads[0].left",
        "190",
        "no tread has such an end",
        "45 to 135 degrees; 90 is square",
    );
    refused(
        "treads: [(step: 2, front: 36, back: 40)]",
        "boards.treads[0].back",
        "40",
        "more than 3\" wider at one edge",
        "read both again",
    );
    refused(
        "treads: [(step: 2), (step: 2)]",
        "boards.treads[1].step",
        "2",
        "tread 2 is told of twice",
        "keep one of the two",
    );
    refused(
        "treads: [(step: 2, front: \"0\")]",
        "boards.treads[0].front",
        "\"0\"",
        "the width at the nosing is zero",
        "write 6\" to",
    );
    // It can stand, but is likely to be a slip.
    let warning = one_warning(&boards("treads: [(step: 2, back: 26)]"));
    assert_eq!(warning.path, "boards.treads[0].back");
    assert!(warning.problem.contains("more than a quarter off the 36\""));
}

#[test]
fn kicks_that_lean() {
    refused(
        "kick_leans: [(step: 15, over: 7, by: 0)]",
        "boards.kick_leans[0].step",
        "15",
        "there is no kick 15",
        "kicks 1 to 14",
    );
    refused(
        "kick_leans: [(step: 3, over: 7, by: 2)]",
        "boards.kick_leans[0].by",
        "2",
        "the kick leans more than one in four",
        "check the lean",
    );
    refused(
        "kick_leans: [(step: 3, over: 0, by: 0)]",
        "boards.kick_leans[0].over",
        "0",
        "the height is zero",
        "write 1\" to 16\"",
    );
    refused(
        "kick_leans: [(step: 3, over: 7, by: 0), (step: 3, over: 7, by: 0)]",
        "boards.kick_leans[1].step",
        "3",
        "kick 3 is told of twice",
        "keep one of the two",
    );
}

#[test]
fn cuts_and_sizes() {
    refused(
        "undercut: (kick_top: 45)",
        "boards.undercut.kick_top",
        "45",
        "no board is undercut by that",
        "0 to 30 degrees",
    );
    refused(
        "undercut: (tread_back: -1)",
        "boards.undercut.tread_back",
        "-1",
        "no board is undercut by that",
        "0 to 30 degrees",
    );
    refused(
        "undercut: (relief: 1)",
        "boards.undercut.relief",
        "1",
        "the relief is less than the undercut",
        "undercut by 1.5",
    );
    refused(
        "mitred: (level_cut: 4)",
        "boards.mitred.level_cut",
        "4",
        "the height is more than 3\"",
        "write 0\" to 3\"",
    );
    refused(
        "returns: (width: -1)",
        "boards.returns.width",
        "-1",
        "the width is negative",
        "write 0\" to 6\"",
    );
    refused(
        "blank: (depth: 13)",
        "boards.blank.depth",
        "13",
        "more than 12\"",
        "write 0\" to 12\"",
    );
    refused(
        "base: (height: 0, thickness: 0.75)",
        "boards.base.height",
        "0",
        "the height is zero",
        "write 1/2\" to",
    );
}

#[test]
fn a_skirt_that_is_met_is_there() {
    refused(
        "wall_end: Skirt",
        "boards.wall_end",
        "Skirt",
        "there is no skirt on the wall side",
        "write one under `skirts`",
    );
    refused(
        "open_end: Skirt",
        "boards.open_end",
        "Skirt",
        "there is no skirt on the open side",
        "`Wall` or `Return`",
    );
    // A word that is no end, and a field that is none.
    let faults = Document::parse(&boards("wall_end: Skrit"), "job.ron").expect_err("a slip");
    assert!(
        faults.to_string().contains("did you mean `Skirt`?"),
        "{faults}"
    );
    let faults = Document::parse(&boards("undercuts: ()"), "job.ron").expect_err("a slip");
    assert!(
        faults.to_string().contains("did you mean `undercut`?"),
        "{faults}"
    );
}
