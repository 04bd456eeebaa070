//! Edits change the bytes that they are about and no others.

use super::{SAMPLE, sample, with};
use rakewell::job::{Document, Spacing};
use rakewell::measure::Length;

/// Checks that `new` is the sample with one stretch replaced by another.
#[track_caller]
fn only(new: &Document, old: &str, by: &str) {
    assert_eq!(new.text(), with(old, by));
}

#[test]
fn a_value_changes_alone() {
    let set = |path: &str, value: &str| sample().set(path, value).expect(path);
    only(
        &set("flight.rise", "\"7 1/2\""),
        "rise: 7.5",
        "rise: \"7 1/2\"",
    );
    only(&set("flight.readings[1].is", "2"), "is: 1.75", "is: 2");
    only(&set("flight.readings[1].Edge.is", "2"), "is: 1.75", "is: 2");
    only(
        &set("design.newels[0].section", "Round(4)"),
        "Square(3.5)",
        "Round(4)",
    );
    only(
        &set("design.newels[0].section.Square", "4"),
        "Square(3.5)",
        "Square(4)",
    );
    only(
        &set("design.balusters.spacing.count", " 3 "),
        "(count: 2)",
        "(count: 3)",
    );
    assert_eq!(
        set("flight.rise", "7.25").job().flight.rise.value,
        Length::inches(7.25)
    );
}

#[test]
fn what_was_typed_stays_as_typed() {
    let document = sample()
        .set_length("flight.rise", "7.25")
        .expect("a length");
    only(&document, "rise: 7.5", "rise: \"7.25\"");
    let document = document.set_length("flight.rise", "7.5").expect("a length");
    assert_eq!(document.job().flight.rise.text, "7.5");
}

#[test]
fn marks_in_a_length_are_escaped() {
    let document = sample()
        .set_length("flight.rise", "7 1/2\"")
        .expect("a length");
    only(&document, "rise: 7.5", "rise: \"7 1/2\\\"\"");
    assert_eq!(document.job().flight.rise.text, "7 1/2\"");
}

#[test]
fn a_field_that_is_not_there_is_added_behind_its_neighbours() {
    let set = |path: &str, value: &str| sample().set(path, value).expect(path);
    only(
        &set("design.newels[0].stands.move_by", "\"-1/2\""),
        "Displaces(step: 1, balusters: 1)",
        "Displaces(step: 1, balusters: 1, move_by: \"-1/2\")",
    );
    only(
        &set("design.balusters.seat", "0.5"),
        "edge_distance: 0.5)",
        "edge_distance: 0.5, seat: 0.5)",
    );
    only(
        &set("design.reveal", "0.5"),
        "edge_distance: 0.5),\n",
        "edge_distance: 0.5),\n        reveal: 0.5,\n",
    );
    only(
        &set("tape", "ThirtySeconds"),
        "    ),\n)",
        "    ),\n    tape: ThirtySeconds,\n)",
    );
}

#[test]
fn a_remark_behind_the_last_field_stays_there() {
    let text = with("edge_distance: 0.5),\n", "edge_distance: 0.5) // beech\n");
    let document = Document::parse(&text, "job.ron").expect("valid");
    let document = document.set("design.reveal", "0.5").expect("a length");
    let expected = text.replace(
        "edge_distance: 0.5) // beech\n",
        "edge_distance: 0.5), // beech\n        reveal: 0.5\n",
    );
    assert_eq!(document.text(), expected);
    let text = with(
        "edge_distance: 0.5),\n",
        "edge_distance: 0.5), /* beech,\n or ash */\n",
    );
    let document = Document::parse(&text, "job.ron").expect("valid");
    let document = document.set("design.reveal", "0.5").expect("a length");
    assert!(document.text().contains("beech,\n or ash */"));
    assert_eq!(document.value_text("design.reveal"), Some("0.5"));
}

#[test]
fn windows_line_ends_are_kept() {
    let text = SAMPLE.replace('\n', "\r\n");
    let document = Document::parse(&text, "job.ron").expect("valid");
    let document = document.set("design.reveal", "0.5").expect("a length");
    assert_eq!(
        document.text().matches('\n').count(),
        document.text().matches("\r\n").count()
    );
    assert_eq!(
        document.text().len(),
        text.len() + "        reveal: 0.5,\r\n".len()
    );
}

#[test]
fn list_items_are_added_and_taken_out() {
    let list = "design.balusters.spacing.but";
    let one = sample()
        .append(list, "(step: 4, count: 3)")
        .expect("an item");
    only(
        &one,
        "PerTread(count: 2)",
        "PerTread(count: 2, but: [(step: 4, count: 3)])",
    );
    let two = one.append(list, "(step: 5, count: 1)").expect("an item");
    only(
        &two,
        "PerTread(count: 2)",
        "PerTread(count: 2, but: [(step: 4, count: 3), (step: 5, count: 1)])",
    );
    let Spacing::PerTread { but, .. } = &two.job().design.balusters.spacing else {
        panic!("the spacing is per tread");
    };
    assert_eq!((but[1].step, but[1].count), (5, 1));
    let back = two
        .remove("design.balusters.spacing.but[0]")
        .expect("an item");
    only(
        &back,
        "PerTread(count: 2)",
        "PerTread(count: 2, but: [(step: 5, count: 1)])",
    );
    let reading = sample()
        .append("flight.readings", "Rise(step: 2, is: 7.25)")
        .expect("an item");
    only(
        &reading,
        "twice\") ]",
        "twice\"), Rise(step: 2, is: 7.25) ]",
    );
}

#[test]
fn a_field_on_its_own_line_goes_with_its_line() {
    let one = sample().set("design.reveal", "0.5").expect("a length");
    assert_eq!(one.remove("design.reveal").expect("a field").text(), SAMPLE);
    let faults = sample().remove("flight.rise").expect_err("it is needed");
    assert!(faults.to_string().contains("`rise` is missing"), "{faults}");
}

#[test]
fn an_edit_that_breaks_the_job_is_refused() {
    for (path, value, told) in [
        ("flight.rise", "0", "flight.rise: the rise is zero"),
        ("flight.rise", "\"7 9/16 3\"", "flight.rise: "),
        ("flight.rise", "7, going: 3", "but more follows"),
        ("flight.rise", "7 // remark", "a comment cannot stand here"),
        ("flight.rise", "", "the file is empty"),
        ("flight.rise", "(", "never closed"),
        ("flight.pitch", "1", "no field `pitch`"),
        ("flight.readings[9].is", "1", "no such place"),
        ("design.bottom_rail.depth", "1", "no such place"),
        (
            "design.rail.lower.Newel",
            "\"N9\"",
            "there is no newel `N9`",
        ),
        ("flight..rise", "1", "no such place"),
        ("", "1", ""),
    ] {
        let faults = sample().set(path, value).expect_err(value);
        assert!(
            faults.to_string().contains(told),
            "{path} = {value}: {faults}"
        );
    }
    let faults = sample().append("flight.rise", "1").expect_err("no list");
    assert!(faults.to_string().contains("not a list"), "{faults}");
}

#[test]
fn everything_but_the_value_stays_byte_for_byte() {
    let document = sample();
    // Each of these is set to itself and to another value.
    for (path, value) in [
        ("name", "\"Another\""),
        ("flight.count", "13"),
        ("flight.open_side", "Right"),
        ("flight.readings[0].is", "\"9.5\""),
        ("flight.readings[1].note", "\"\""),
        ("walls[0].readings[1].at", "Bottom"),
        ("walls[0].from.x", "131"),
        ("design.rail.upper.blocking.up", "141"),
    ] {
        let bytes = document.spans().value(SAMPLE, path).expect(path);
        let same = document.set(path, &SAMPLE[bytes.clone()]).expect(path);
        assert_eq!(same.text(), SAMPLE, "{path}");
        let other = document.set(path, value).expect(path);
        assert_eq!(
            &other.text()[..bytes.start],
            &SAMPLE[..bytes.start],
            "{path}"
        );
        assert_eq!(
            &other.text()[bytes.start + value.len()..],
            &SAMPLE[bytes.end..],
            "{path}"
        );
    }
}
