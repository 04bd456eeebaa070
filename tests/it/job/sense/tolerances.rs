//! How true the work is cut and fitted, as a job states it.

use super::check;
use crate::job::{one_fault, sample, with};
use rakewell::job::{Document, Operation, Tolerances};
use rakewell::measure::Length;

const HERE: &str = "rules: \"us-residential-2021\",";

/// The sample with tolerances of these fields.
fn stated(fields: &str) -> String {
    format!("{HERE} tolerances: ({fields}),")
}

fn loaded(fields: &str) -> Document {
    let text = with(HERE, &stated(fields));
    let document = Document::parse(&text, "job.ron").unwrap_or_else(|faults| panic!("{faults}"));
    assert!(document.warnings().is_empty(), "{:?}", document.warnings());
    document
}

/// Common practice, no source: a sharp pencil's line, a bit and a stop block hold 1/32 in either
/// way; a notched and fitted newel 1/16.
#[test]
fn what_is_not_stated_is_as_usual() {
    let usual = [
        (Operation::Marking, 32.0),
        (Operation::Bore, 32.0),
        (Operation::Notch, 16.0),
        (Operation::Saw, 32.0),
        (Operation::Plumb, 16.0),
    ];
    assert_eq!(usual.map(|one| one.0), Operation::ALL);
    let none = sample();
    let empty = loaded("");
    for (operation, parts) in usual {
        for document in [&none, &empty] {
            let all = &document.job().design.tolerances;
            assert!(!all.is_stated(operation));
            assert!((all.of(operation).as_inches() * parts - 1.0).abs() < 1e-12);
        }
    }
}

#[test]
fn what_is_stated_is_taken_as_typed_and_zero_is_no_error_at_all() {
    let document = loaded("bore: \"1/64\", saw: 0, plumb: \"3 mm\"");
    let all = &document.job().design.tolerances;
    assert!((all.bore().as_inches() - 1.0 / 64.0).abs() < 1e-12);
    assert!(all.saw().abs() < Length::mm(1e-12) && all.is_stated(Operation::Saw));
    assert!((all.plumb().as_mm() - 3.0).abs() < 1e-12);
    assert_eq!(
        all.plumb.as_ref().map(|len| len.text.as_str()),
        Some("3 mm")
    );
    // The others stay as usual.
    assert!((all.marking().as_inches() - 1.0 / 32.0).abs() < 1e-12);
    assert!((all.notch().as_inches() - 1.0 / 16.0).abs() < 1e-12);
    let other = all.with(Operation::Notch, Length::inches(0.25));
    assert!((other.notch().as_inches() - 0.25).abs() < 1e-12);
    assert_eq!(other.bore, all.bore);
    assert_eq!(
        Tolerances {
            notch: None,
            ..other
        },
        all.clone()
    );
}

#[test]
fn tolerances_that_make_no_sense() {
    check(&[
        (
            HERE,
            &stated("bore: \"-1/32\""),
            "design.tolerances.bore",
            "\"-1/32\"",
            "what is allowed for boring is negative",
            "write 0\" to 2\"",
        ),
        (
            HERE,
            &stated("notch: \"2 1/16\""),
            "design.tolerances.notch",
            "\"2 1/16\"",
            "what is allowed for notching is more than 2\"",
            "write 0\" to 2\"",
        ),
        (
            HERE,
            &stated("saw: 4000"),
            "design.tolerances.saw",
            "4000",
            "what is allowed for sawing is more than 2\"",
            "write 0\" to 2\"",
        ),
        (
            HERE,
            &stated("marking: 1e300"),
            "design.tolerances.marking",
            "1e300",
            "powers of ten are not read in a length",
            "write the digits out",
        ),
        (
            HERE,
            &stated("saw: \"a hair\""),
            "design.tolerances.saw",
            "\"a hair\"",
            "a number should stand where",
            "write it as 10 1/4",
        ),
        (
            HERE,
            &stated("plum: \"1/16\""),
            "design.tolerances.plum",
            "plum",
            "there is no field `plum` here",
            "did you mean `plumb`?",
        ),
    ]);
}

/// A further run takes what it does not state from the first, one by one.
#[test]
fn a_further_run_takes_what_it_does_not_state_from_the_first() {
    let scene = include_str!("../../../../scenes/half-turn.ron");
    let (first, rest) = scene.split_once("runs: [").expect("it has further runs");
    let first = first.replacen(
        "fitting:",
        "tolerances: (bore: \"1/8\", saw: \"1/8\"), fitting:",
        1,
    );
    let of = |further: &str| {
        let rest = rest.replacen("design: (", &format!("design: ({further}"), 1);
        format!("{first}runs: [{rest}")
    };
    let text = of("tolerances: (saw: \"1/64\"),");
    let document = Document::parse(&text, "job.ron").unwrap_or_else(|faults| panic!("{faults}"));
    let runs = document.job().each_run();
    assert!(runs.len() > 1);
    let eighth = |length: Length| (length.as_inches() - 0.125).abs() < 1e-12;
    assert!(
        runs.iter()
            .all(|run| eighth(run.job.design.tolerances.bore()))
    );
    let saws: Vec<f64> = runs
        .iter()
        .map(|run| run.job.design.tolerances.saw().as_inches() * 64.0)
        .collect();
    assert!(
        (saws[0] - 8.0).abs() < 1e-9 && (saws[1] - 1.0).abs() < 1e-9,
        "{saws:?}"
    );
    let wrong = of("tolerances: (saw: \"-1\"),");
    let faults = Document::parse(&wrong, "job.ron").expect_err("negative");
    assert_eq!(faults.diagnostics.len(), 1, "{faults}");
    let path = &faults.diagnostics[0].path;
    assert!(
        path.starts_with("runs[") && path.ends_with("].design.tolerances.saw"),
        "{path}"
    );
}

#[test]
fn edits_keep_them_and_change_them() {
    let document = loaded("bore: \"1/64\", /* a new blade */ saw: \"0.5 mm\"");
    let lower = document
        .set_length("design.rail.height", "35 1/2")
        .expect("a length");
    assert!(
        lower
            .text()
            .contains("(bore: \"1/64\", /* a new blade */ saw: \"0.5 mm\")")
    );
    assert_eq!(
        lower.job().design.tolerances,
        document.job().design.tolerances
    );
    let other = document
        .set_length("design.tolerances.notch", "1/8")
        .expect("a length");
    assert!((other.job().design.tolerances.notch().as_inches() - 0.125).abs() < 1e-12);
    let wrong = document
        .set_length("design.tolerances.bore", "3")
        .expect_err("too much");
    assert!(wrong.to_string().contains("more than 2\""), "{wrong}");
    one_fault(
        &with(HERE, &stated("bore: \"3\"")),
        "design.tolerances.bore",
        "\"3\"",
        "more than 2\"",
        "write 0\" to 2\"",
    );
}
