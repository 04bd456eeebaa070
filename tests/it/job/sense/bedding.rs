//! How treads are bedded, and parts as delivered.

use crate::job::{one_fault, with};

/// The sample with a part of the job before its design.
fn before_design(text: &str) -> String {
    with("    design: (", &format!("    {text},\n    design: ("))
}

#[track_caller]
fn refused(text: &str, path: &str, read: &str, problem: &str, help: &str) {
    one_fault(&before_design(text), path, read, problem, help);
}

/// The sample with a reading on a cut, so that there is something to bed.
#[track_caller]
fn refused_with_cuts(text: &str, path: &str, read: &str, problem: &str, help: &str) {
    let text = before_design(&format!(
        "stringers: [ (name: \"S1\", inset: 3, thickness: 1.5, throat: 5) ],\n    {text}"
    ));
    let cut = "Going(step: 6, is: 9.75)";
    let rough = "Rise(step: 2, is: 7.5, on: Rough, side: Stringer(\"S1\"))";
    one_fault(&text.replacen(cut, rough, 1), path, read, problem, help);
}

#[test]
fn bedding_that_makes_no_sense() {
    refused_with_cuts(
        "bedding: (normal: \"1/32\")",
        "bedding.normal",
        "\"1/32\"",
        "the normal bead fills no more than the light bead",
        "write more than 1/16\"",
    );
    refused_with_cuts(
        "bedding: (relieve_most: -1)",
        "bedding.relieve_most",
        "-1",
        "the most that a cut is relieved is negative",
        "write 0\" to 4\"",
    );
    refused_with_cuts(
        "bedding: (relieve_cost: -4)",
        "bedding.relieve_cost",
        "-4",
        "so many times what filling costs",
        "write 0.01 to 1000",
    );
    refused_with_cuts(
        "bedding: (level_cost: 1e9)",
        "bedding.level_cost",
        "1e9",
        "so many times what filling costs",
        "write 0 to 1000",
    );
    refused_with_cuts(
        "bedding: (neighbours: 190)",
        "bedding.neighbours",
        "190",
        "the most that neighbours differ is more than 4\"",
        "write 0\" to 4\"",
    );
}

#[test]
fn bedding_on_cuts_that_nobody_read_is_warned_of() {
    let warning = super::one_warning(&before_design("bedding: ()"));
    assert_eq!(warning.path, "bedding");
    assert!(
        warning.problem.contains("no stringer's cut was read"),
        "{warning:?}"
    );
    assert!(
        warning.help.contains("on: Rough, side: Stringer"),
        "{warning:?}"
    );
}

#[test]
fn parts_that_are_not_in_the_design() {
    refused(
        "received: (newels: [ (name: \"N2\") ])",
        "received.newels[0].name",
        "\"N2\"",
        "this run has no newel `N2`",
        "did you mean `N1`?",
    );
    refused(
        "received: (rails: [ (name: \"R7\") ])",
        "received.rails[0].name",
        "\"R7\"",
        "this run has no rail `R7`",
        "did you mean `R1`?",
    );
    refused(
        "received: (balusters: [ (mark: \"a\"), (mark: \"b\"), (mark: \"a\") ])",
        "received.balusters[2].mark",
        "\"a\"",
        "two balusters are called `a`",
        "a name of its own",
    );
    refused(
        "received: (balusters: [ (mark: \"B07\") ])",
        "received.balusters[0].mark",
        "\"B07\"",
        "`B07` is the name of a place",
        "mark it `a1`",
    );
}

#[test]
fn parts_that_cannot_be() {
    let newel = |rest: &str| format!("received: (newels: [ (name: \"N1\", {rest}) ])");
    refused(
        &newel("length: 4800"),
        "received.newels[0].length",
        "4800",
        "the length is more than 240\"",
        "write 2\" to 240\"",
    );
    refused(
        &newel("twist: 90"),
        "received.newels[0].twist",
        "90",
        "no newel is twisted so far",
        "write -45 to 45 degrees",
    );
    refused(
        &newel("block: (from: 40, to: 30)"),
        "received.newels[0].block.to",
        "30",
        "the block ends below its beginning",
        "from the foot up",
    );
    let section = |first: f64, second: f64| {
        newel(&format!(
            "section: (right: 3.5, uphill: 3.5, left: 3.5, downhill: 3.5, \
             from_downhill_right: {first}, from_uphill_right: {second})"
        ))
    };
    refused(
        &section(8.0, 4.95),
        "received.newels[0].section.from_downhill_right",
        "8",
        "no section has these sides and this diagonal",
        "read all six again",
    );
    // A rhombus of sides 3 1/2 with one diagonal of 5 has another of 2 sqrt(3.5^2 - 2.5^2) = 4.899.
    refused(
        &section(5.0, 4.5),
        "received.newels[0].section.from_uphill_right",
        "4.5",
        "the sides and the other diagonal put this one at 4 7/8\"+",
        "read all six again",
    );
    refused(
        "received: (balusters: [ (mark: \"a\", hole: (uphill: 12)) ])",
        "received.balusters[0].hole.uphill",
        "12",
        "the hole off the middle is more than 4\"",
        "write -4\" to 4\"",
    );
    refused(
        "received: (rails: [ (name: \"R1\", bows: [ (along: 40, up: 1), (along: 30, up: 1) ]) ])",
        "received.rails[0].bows[1].along",
        "30",
        "no further along than the one before it",
        "from the lower end up",
    );
    refused(
        "received: (limits: (gap: -1))",
        "received.limits.gap",
        "-1",
        "the limit is negative",
        "write 0\" to 4\"",
    );
}
