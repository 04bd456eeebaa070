//! Instruments: their figures and names.

use super::{added, refused, taken};
use crate::job::one_fault;

#[test]
fn figures_of_instruments() {
    refused(
        "instruments",
        &[
            (
                "(name: \"x\", is: Tape(mark: 0))",
                ".is.mark",
                "0",
                "the mark is zero",
                "write more than zero, and 1\" at most",
            ),
            (
                "(name: \"x\", is: Tape(mark: -1))",
                ".is.mark",
                "-1",
                "the mark is negative",
                "more than zero",
            ),
            (
                "(name: \"x\", is: Level(off: 2))",
                ".is.off",
                "2",
                "what it may be off is more than 1\"",
                "more than zero",
            ),
            (
                "(name: \"x\", is: Level(off: \"1/2\", over: 4))",
                ".is.off",
                "\"1/2\"",
                "off by more than one in twenty",
                "check both",
            ),
            (
                "(name: \"x\", is: Laser(over: 0))",
                ".is.over",
                "0",
                "the length that the figure is given over is zero",
                "write 1\" to 12000\"",
            ),
            (
                "(name: \"x\", is: Distance(off: 0))",
                ".is.off",
                "0",
                "what it may be off is zero",
                "more than zero",
            ),
            (
                "(name: \"x\", is: Straightedge(off: \"-1/64\"))",
                ".is.off",
                "\"-1/64\"",
                "what it may be off is negative",
                "more than zero",
            ),
            (
                "(name: \"x\", is: Scanner(off: 5))",
                ".is.off",
                "5",
                "what it may be off is more than 4\"",
                "more than zero",
            ),
            (
                "(name: \"x\", is: Slope(off: 0))",
                ".is.off",
                "0",
                "what it may be off is 0.00°",
                "more than zero, and 5 degrees at most",
            ),
            (
                "(name: \"x\", is: Slope(off: 6))",
                ".is.off",
                "6",
                "what it may be off is 6.00°",
                "5 degrees at most",
            ),
        ],
    );
}

#[test]
fn names_of_instruments_and_lines() {
    for (list, what) in [("instruments", "instruments"), ("lines", "laser lines")] {
        let (item, name) = match list {
            "lines" => ("(name: \"LF\", runs: Level())", "LF"),
            _ => ("(name: \"level\", is: Level())", "level"),
        };
        one_fault(
            &added(list, item),
            &format!("{list}[2].name"),
            &format!("\"{name}\""),
            &format!("two {what} are called `{name}`"),
            "a name of its own",
        );
    }
    refused(
        "instruments",
        &[(
            "(name: \"\", is: Tape())",
            ".name",
            "\"\"",
            "the name is empty",
            "short",
        )],
    );
    // A wall, a line and an instrument of one name are not mistaken for each other.
    taken(
        "instruments",
        &["(name: \"W1\", is: Tape())", "(name: \"LL\", is: Tape())"],
    );
}
