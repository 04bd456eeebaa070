//! A place that is read again is welcome; a copy of a reading is a likely slip.

use super::{added, one_warning, taken};
use rakewell::job::Document;

#[test]
fn a_place_may_be_read_again() {
    taken(
        "steps",
        &[
            // Another value, surface, side, instrument or time of what the survey has.
            "Going(step: 4, is: 10, side: Wall)",
            "Going(step: 4, is: \"10 1/16\")",
            "Going(step: 4, is: \"10 1/16\", side: Wall, on: DryFitted)",
            "Going(step: 4, is: \"10 1/16\", side: Wall, by: \"tape\")",
            "Going(step: 4, is: \"10 1/16\", side: Wall, taken: \"again\")",
            "Going(step: 5, is: \"10 1/16\", side: Wall)",
            "Rise(step: 4, is: \"7 9/16\")",
            "Level(step: 4, is: \"1/8\", high: Open, by: \"level\")",
            "Fall(step: 4, is: \"1/16\", low: Back, by: \"digital\")",
            "Height(step: 14, above: 1, is: \"97 5/8\")",
            "Under(step: 8, line: \"LL\", is: -20)",
            "Run(step: 14, beyond: 2, is: 120)",
            "Pitch(from: 2, to: 13, is: 36.9, by: \"digital\")",
            "Diagonal(from: (step: 2, end: Wall), to: (step: 5, end: Open), is: \"51 7/8\")",
            "Rise(step: 5, is: \"7 1/2\", on: Rough)",
        ],
    );
    taken(
        "W1",
        &[
            "Offset(along: 60, up: 30, is: \"1/8\")",
            "Offset(along: 60, up: 31, is: \"3/16\")",
            "Plumb(along: 60, up: 20, level: 48, gap: \"1/8\", at: Top)",
            "Plumb(along: 60, up: 20, level: 24, gap: \"1/8\", at: Bottom)",
            "Straight(along: 20, up: 50, length: 96, lies: Upright, is: \"-1/16\")",
            "Between(along: 100, up: 50, wall: \"W3\", is: \"97 1/4\")",
            "Corner(wall: \"W2\", up: 120, leg: 36, other_leg: 48, is: \"60\")",
        ],
    );
    taken(
        "F3",
        &[
            "Level(over: 24, is: \"1/16\", high: Open)",
            "Edge(edge: Downhill, is: \"36 1/8\")",
            "Diagonal(from: Wall, is: \"51\", by: \"tape\")",
        ],
    );
}

/// Copies of readings of the survey, written otherwise or with another remark.
#[test]
fn a_copy_is_a_warning_with_both_places() {
    let copies = [
        (
            "steps",
            "Rise(step: 3, is: 7.5625, by: \"tape\", taken: \"Tuesday 8:10\")",
            "flight.readings[1]",
        ),
        (
            "steps",
            "Rise(step: 5, is: 7.5, on: Rough, side: Stringer(\"S2\"), note: \"again?\")",
            "flight.readings[24]",
        ),
        (
            "steps",
            "Under(step: 8, line: \"LF\", is: 31)",
            "flight.readings[15]",
        ),
        (
            "W1",
            "Offset(along: \"5 ft\", up: 30, is: \"3/16\", sd: \"1/8\")",
            "walls[0].readings[1]",
        ),
        (
            "F3",
            "Edge(edge: Open, is: \"3'\")",
            "floors[2].readings[4]",
        ),
    ];
    for (list, item, first) in copies {
        let text = added(list, item);
        let warning = one_warning(&text);
        let aside = warning.aside.as_ref().expect("the other place is shown");
        assert!(warning.problem.contains("the same reading twice"), "{item}");
        assert!(warning.problem.contains("count double"), "{item}");
        assert!(warning.help.contains("`taken`"), "{item}");
        let document = Document::parse(&text, "job.ron").expect("it can be used");
        // The copy stands in front, so that the survey's own reading is the later one.
        assert_eq!(warning.path, first, "{item}");
        let at = document.spans().value(&text, first).expect(first);
        assert_eq!(warning.bytes, at, "{item}");
        assert_eq!(text[aside.bytes.clone()].trim_end_matches(','), item);
        assert_eq!(aside.says, "read here first");
    }
}
