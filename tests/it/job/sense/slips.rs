//! Slips of unit: a number written for one unit and read in another is recognised and named.

use super::{SURVEY, refused, taken, warned};
use crate::job::one_fault;
use rakewell::job::Document;

#[test]
fn out_of_bounds_the_help_names_the_unit() {
    refused(
        "steps",
        &[
            (
                "Rise(step: 2, is: 190)",
                ".is",
                "190",
                "the rise is more than 16\"",
                "190 mm would be 7 1/2\"-, a factor of 25.4: was it millimetres? write `190 mm`",
            ),
            (
                "Rise(step: 2, is: \"7.5 mm\")",
                ".is",
                "\"7.5 mm\"",
                "the rise is less than 1\"",
                "a factor of 25.4: was it inches? write `7.5 in`",
            ),
            (
                "Width(step: 2, is: 3)",
                ".is",
                "3",
                "the width is less than 6\"",
                "3 ft would be 36\", a factor of 12: was it feet? write `3 ft`",
            ),
            (
                "Width(step: 2, is: \"36'\")",
                ".is",
                "\"36'\"",
                "the width is more than 240\"",
                "a factor of 12: was it inches? write `36 in`",
            ),
            (
                "Rise(step: 2, is: 75)",
                ".is",
                "75",
                "the rise is more than 16\"",
                "a factor of 10: did the point slip? write `7.5 in`",
            ),
            (
                "Rise(step: 2, is: 19)",
                ".is",
                "19",
                "the rise is more than 16\"",
                "a factor of 2.54: was it centimetres? write `19 cm`",
            ),
        ],
    );
}

#[test]
fn within_bounds_a_warning_names_the_factor() {
    warned(
        "steps",
        &[
            (
                "Going(step: 2, is: \"7 in\")",
                ".is",
                "\"7 in\"",
                "more than a quarter off the 10\" that is meant",
                "read it again",
            ),
            (
                "Run(step: 14, beyond: 1, is: 330)",
                ".is",
                "330",
                "the run is more than a quarter off the 130\" that is meant",
                "330 cm would be 129 15/16\"-, a factor of 2.54: was it centimetres? write `330 cm`",
            ),
            (
                "Overhang(step: 4, is: \"1 mm\")",
                ".is",
                "\"1 mm\"",
                "the overhang is more than a quarter off the 1\" that is meant",
                "a factor of 25.4: was it inches? write `1 in`",
            ),
            (
                "Edge(step: 4, is: 15)",
                ".is",
                "15",
                "the edge is more than a quarter off the 1 1/2\" that is meant",
                "a factor of 10: did the point slip? write `1.5 in`",
            ),
            (
                "Width(step: 4, is: 92)",
                ".is",
                "92",
                "the width is more than a quarter off",
                "a factor of 2.54: was it centimetres? write `92 cm`",
            ),
        ],
    );
}

#[test]
fn what_is_small_or_rough_may_be_a_quarter_off() {
    taken(
        "steps",
        &[
            "Overhang(step: 4, is: \"5/8\")",
            "Edge(step: 4, is: \"7/8\")",
            "TreadThickness(step: 4, is: \"1 1/2\")",
            "Rise(step: 1, is: \"10\", on: Rough)",
        ],
    );
}

/// The same survey in millimetres: bare inches are seen there.
#[test]
fn inches_in_a_job_in_millimetres() {
    let flight = [
        ("rise: 7.5", "rise: 7.5, floor_below: 19"),
        (
            "format: 1,",
            "format: 1, units: Millimetres, tape: Millimetres,",
        ),
    ];
    let mut text = crate::job::SAMPLE.to_owned();
    for (old, new) in flight {
        text = text.replacen(old, new, 1);
    }
    let faults = Document::parse(&text, "job.ron").expect_err("inches");
    let rise = &faults.diagnostics[0];
    assert_eq!(rise.path, "flight.rise");
    assert!(
        rise.help
            .ends_with("7.5 in would be 191 mm-, a factor of 25.4: was it inches? write `7.5 in`"),
        "{faults}"
    );
}

/// A slip is seen in the design as well as in what was read.
#[test]
fn in_the_design() {
    let text = SURVEY.replacen("height: 36,", "height: 914,", 1);
    one_fault(
        &text,
        "design.rail.height",
        "914",
        "the height is more than 120\"",
        "914 mm would be 36\"-, a factor of 25.4: was it millimetres? write `914 mm`",
    );
}
