//! Alternatives: only what differs is written, it lands where a hand would write it, and what is
//! wrong with it is told at its own line.

use super::{SAMPLE, sample, with};
use proptest::prelude::*;
use rakewell::job::{Document, Section, Severity, Stands};

/// The sample with a list of alternatives behind its design.
fn with_alternatives(list: &str) -> String {
    let end = SAMPLE.rfind(')').expect("it closes");
    format!("{}    alternatives: [{list}],\n)\n", &SAMPLE[..end])
}

/// The sample with one alternative `A` of these changes, one on a line.
fn changed(changes: &[&str]) -> String {
    let lines: String = changes
        .iter()
        .map(|one| format!("\n        ({one}),"))
        .collect();
    with_alternatives(&format!("(name: \"A\", changes: [{lines}\n    ])"))
}

fn alternative(text: &str) -> Document {
    let document = Document::parse(text, "job.ron").unwrap_or_else(|faults| panic!("{faults}"));
    document
        .alternative("A")
        .unwrap_or_else(|faults| panic!("{faults}"))
}

/// Checks that alternative `A` of these changes is the file with stretches replaced by hand.
#[track_caller]
fn by_hand(changes: &[&str], edits: &[(&str, &str)]) {
    let text = changed(changes);
    let mut expected = text.clone();
    for (old, new) in edits {
        // The alternative itself stands last in the file.
        assert!(expected.find(old) < expected.find("alternatives:"), "{old}");
        expected = expected.replacen(old, new, 1);
    }
    let made = alternative(&text);
    assert_eq!(made.text(), expected);
    let (job, _) = expected
        .split_once("    alternatives:")
        .expect("it is there");
    let read = Document::parse(&format!("{job})\n"), "job.ron").expect("it reads");
    let mut own = made.job().clone();
    own.alternatives.clear();
    assert_eq!(&own, read.job());
}

#[test]
fn a_value_lands_as_a_hand_would_write_it() {
    by_hand(
        &["field: \"flight.rise\", is: \"7 1/2\""],
        &[("rise: 7.5", "rise: \"7 1/2\"")],
    );
    by_hand(
        &[
            "field: \"design.balusters.section\", is: Round(\"5/8\")",
            "field: \"design.balusters.peg_diameter\", is: 0.5",
        ],
        &[
            ("section: Square(1.25)", "section: Round(\"5/8\")"),
            ("peg_diameter: 0.75", "peg_diameter: 0.5"),
        ],
    );
    // Through a list, and into a variant.
    by_hand(
        &[
            "field: \"flight.readings[1].is\", is: 2",
            "field: \"design.newels[0].section.Square\", is: 4",
        ],
        &[("is: 1.75", "is: 2"), ("Square(3.5)", "Square(4)")],
    );
}

#[test]
fn comments_around_and_inside_stay() {
    let text = changed(&["field: \"flight.edge\", is: /* by laser */ 1.625 // again\n        "]);
    let made = alternative(&text);
    assert!(
        made.text().contains("edge: 1.625, // edge by string"),
        "{}",
        made.text()
    );
    assert!(
        made.text()
            .starts_with("// One flight, read on a Tuesday.\n")
    );
    assert!(made.text().contains("is: /* by laser */ 1.625 // again"));
    let text = changed(&[
        "field: \"design.newels[0].stands\", is: Displaces(step: 1, // low\n  balusters: 0)",
    ]);
    let made = alternative(&text);
    assert!(
        made.text()
            .contains("stands: Displaces(step: 1, // low\n  balusters: 0), height: 48")
    );
}

#[test]
fn what_is_not_written_yet_is_added_and_what_is_can_be_taken_out() {
    by_hand(
        &["field: \"design.newels[0].stands.move_by\", is: \"-1/2\""],
        &[("balusters: 1)", "balusters: 1, move_by: \"-1/2\")")],
    );
    by_hand(
        &["field: \"flight.readings[2]\", is: Edge(step: 4, is: 1.5)"],
        &[(
            "note: \"taped twice\")",
            "note: \"taped twice\"), Edge(step: 4, is: 1.5)",
        )],
    );
    by_hand(
        &["field: \"design.balusters.spacing.but[0]\", is: (step: 6, count: 1)"],
        &[("(count: 2)", "(count: 2, but: [(step: 6, count: 1)])")],
    );
    by_hand(
        &["field: \"flight.readings[0]\", remove: true"],
        &[("Going(step: 6, is: 9.75), ", "")],
    );
    // Each change is made on what those before it have left.
    by_hand(
        &[
            "field: \"flight.readings[0]\", remove: true",
            "field: \"flight.readings[0].is\", is: 1.5",
        ],
        &[("Going(step: 6, is: 9.75), ", ""), ("is: 1.75", "is: 1.5")],
    );
    by_hand(
        &[
            "field: \"design.reveal\", is: None",
            "field: \"design.fitting\", is: 0.125",
        ],
        &[(
            "edge_distance: 0.5),\n",
            "edge_distance: 0.5),\n        reveal: None,\n        fitting: 0.125,\n",
        )],
    );
}

#[test]
fn changes_that_are_wrong_one_by_one_may_be_right_together() {
    let made = alternative(&changed(&[
        "field: \"design.newels[0].name\", is: \"NX\"",
        "field: \"design.rail.lower\", is: Newel(\"NX\")",
    ]));
    assert_eq!(made.job().design.newels[0].name, "NX");
}

#[test]
fn the_job_itself_stays_as_it_stands() {
    let text = changed(&[
        "field: \"design.balusters.section\", is: Round(\"5/8\")",
        "field: \"design.balusters.peg_diameter\", is: 0.5",
    ]);
    let document = Document::parse(&text, "job.ron").expect("it reads");
    assert!(matches!(
        document.job().design.balusters.section,
        Section::Square(_)
    ));
    assert_eq!(document.alternatives().collect::<Vec<_>>(), ["A"]);
    assert_eq!(
        document.job().alternatives[0].changes[0].is.text(),
        "Round(\"5/8\")"
    );
    let saved = Document::parse(document.text(), "job.ron").expect("it reads again");
    assert_eq!(saved, document);
    let made = document.alternative("A").expect("it is there");
    assert!(matches!(
        made.job().design.balusters.section,
        Section::Round(_)
    ));
    let before = sample();
    assert!(matches!(
        before.job().design.newels[0].stands,
        Stands::Displaces { .. }
    ));
}

#[test]
fn an_unknown_name_and_a_second_step_are_refused() {
    let text = changed(&["field: \"flight.rise\", is: 7.25"]);
    let document = Document::parse(&text, "job.ron").expect("it reads");
    let faults = document.alternative("B").expect_err("no B");
    assert_eq!(faults.diagnostics[0].help, "did you mean `A`?");
    let faults = document
        .alternative("A")
        .and_then(|made| made.alternative("A"));
    assert!(
        faults
            .expect_err("they do not nest")
            .to_string()
            .contains("do not nest")
    );
}

#[test]
fn lines_are_those_of_the_file_though_lines_are_added() {
    let lines = "field: \"design.newels[0].stands\", is: Displaces(\n  step: 1,\n  balusters: 1)";
    let text = changed(&[lines, "field: \"design.rail.height\", is: 35"]);
    let document = Document::parse(&text, "job.ron").expect("it reads");
    let made = document.alternative("A").expect("it is there");
    // Behind the added lines: as in the file.
    for path in [
        "design.balusters.peg",
        "design.rail.width",
        "flight.rise",
        "walls[0].head",
    ] {
        assert_eq!(made.line_of(path), document.line_of(path), "{path}");
    }
    // What was changed: where the change is written.
    let own = |path: &str| made.line_of(path).expect("written").0;
    let line = |needle: &str| {
        text.lines()
            .position(|l| l.contains(needle))
            .expect("there")
            + 1
    };
    assert_eq!(own("design.rail.height"), line("is: 35"));
    assert_eq!(own("design.newels[0].stands.step"), line("  step: 1,"));
    let fault = made.fault("design.rail.height", "too low", "raise it");
    assert_eq!(fault.diagnostics[0].line, line("is: 35"));
    assert_eq!(fault.diagnostics[0].read, "35");
    assert_eq!(fault.text, text);
}

/// Changes that are wrong; what is read at the fault, the problem and the help.
const WRONG: &[(&[&str], &str, &str, &str)] = &[
    (
        &["field: \"flight.rise\", is: 75"],
        "75",
        "is more than",
        "write",
    ),
    (
        &["field: \"flight.rise\", is: \"7 1/0\""],
        "\"7 1/0\"",
        "",
        "",
    ),
    (
        &["field: \"flight.rise\", is: Round(1)"],
        "Round(1)",
        "a length",
        "10 1/4",
    ),
    (
        &["field: \"flight.rsie\", is: 7"],
        "\"flight.rsie\"",
        "no field `rsie`",
        "did you mean `rise`?",
    ),
    (
        &["field: \"flihgt.rise\", is: 7"],
        "\"flihgt.rise\"",
        "no field `flihgt`",
        "did you mean `flight`?",
    ),
    (
        &["field: \"flight.nonsense\", is: 7"],
        "\"flight.nonsense\"",
        "no field `nonsense`",
        "",
    ),
    (
        &["field: \"design.bottom_rail.width\", is: 2"],
        "\"design.bottom_rail.width\"",
        "no field `bottom_rail`",
        "as a whole",
    ),
    (
        &["field: \"flight.readings[7].is\", is: 2"],
        "\"flight.readings[7].is\"",
        "no item 7",
        "[2] adds one",
    ),
    (
        &["field: \"flight.readings[7]\", remove: true"],
        "\"flight.readings[7]\"",
        "no item 7",
        "the last one is [1]",
    ),
    (&["field: \"a..b\", is: 2"], "\"a..b\"", "", ""),
    (
        &["field: \"\", is: 2"],
        "\"\"",
        "not the path of a field",
        "as messages do",
    ),
    (
        &["field: \"design.newels[0].section\", is: Sqare(2)"],
        "Sqare",
        "`Sqare` is not known",
        "Square",
    ),
    (
        &["field: \"design.balusters.spacing\", is: (count: 2)"],
        "(count: 2)",
        "",
        "",
    ),
    (
        &["field: \"alternatives\", is: []"],
        "\"alternatives\"",
        "do not nest",
        "",
    ),
    (
        &["field: \"alternatives[0].name\", is: \"B\""],
        "\"alternatives[0].name\"",
        "do not nest",
        "",
    ),
    (
        &["field: \"units\", is: Millimetres"],
        "\"units\"",
        "one for the whole file",
        "with their unit",
    ),
    (
        &["field: \"format\", is: 2"],
        "\"format\"",
        "one for the whole file",
        "",
    ),
    (
        &["field: \"flight.rise\""],
        "(field: \"flight.rise\")",
        "does not say what is otherwise",
        "remove: true",
    ),
    (
        &["field: \"flight.rise\", is: 7, remove: true"],
        "(field: \"flight.rise\", is: 7, remove: true)",
        "at once",
        "",
    ),
    (
        &["field: \"flight.rise\", remove: true"],
        "\"flight.rise\"",
        "`rise` is missing",
        "add",
    ),
    (
        &[
            "field: \"flight.rise\", is: 7",
            "field: \"flight.rise\", is: 8",
        ],
        "\"flight.rise\"",
        "set twice",
        "keep one",
    ),
    // Something else in the file does not go with it.
    (
        &["field: \"design.balusters.section\", is: Round(\"1/2\")"],
        "Round(\"1/2\")",
        "with this, design.balusters.peg_diameter: the peg is wider",
        "1/2",
    ),
    (
        &["field: \"flight.count\", is: 4"],
        "4",
        "with this, flight.readings[0].step: there is no tread 6",
        "treads 1 to 3",
    ),
    (
        &[
            "field: \"flight.width\", is: 37",
            "field: \"design.newels[0].name\", is: \"NX\"",
        ],
        "\"NX\"",
        "there is no newel `N1`",
        "",
    ),
];

#[test]
fn what_is_wrong_is_told_at_the_line_of_the_change() {
    for (changes, read, problem, help) in WRONG {
        let text = changed(changes);
        let faults = Document::parse(&text, "job.ron").expect_err(changes[0]);
        assert_eq!(faults.text, text);
        let first = text
            .lines()
            .position(|line| line.contains("alternatives:"))
            .expect("there");
        let told = faults.diagnostics.iter().find(|fault| {
            fault.read == *read && fault.problem.contains(problem) && fault.help.contains(help)
        });
        assert!(told.is_some(), "{changes:?}\n{faults}");
        for fault in &faults.diagnostics {
            assert!(fault.line > first, "{changes:?}\n{faults}");
            assert!(fault.path.starts_with("alternatives[0]"), "{faults}");
            let line = text.lines().nth(fault.line - 1).expect("the line is there");
            let from: String = line.chars().skip(fault.column - 1).collect();
            let told = text.get(fault.bytes.clone()).expect("the bytes are there");
            assert!(
                from.starts_with(told.lines().next().unwrap_or("")),
                "{faults}"
            );
            assert!(
                faults
                    .render(false)
                    .contains(&format!("job.ron:{}", fault.line)),
                "{}",
                faults.render(false)
            );
        }
    }
}

#[test]
fn a_fault_beside_another_place_shows_both() {
    let text = changed(&["field: \"design.balusters.section\", is: Round(\"1/2\")"]);
    let faults = Document::parse(&text, "job.ron").expect_err("a thin baluster");
    let aside = faults.diagnostics[0].aside.as_ref().expect("two places");
    assert_eq!(&text[aside.bytes.clone()], "0.75");
    assert_eq!(aside.says, "what it does not go with");
}

#[test]
fn slips_of_an_alternative_are_told_and_those_of_the_job_only_once() {
    let slip = with("rise: 7.5", "rise: 7.5, floor_below: 0.75");
    let end = slip.rfind(')').expect("it closes");
    // A width far over a foot wide rail: a warning of the job as it stands.
    let base = slip[..end].replacen("section: Square(1.25)", "section: Square(2.5)", 1);
    let text = format!(
        "{base}    alternatives: [(name: \"A\", changes: [\n(field: \"flight.rise\", is: 7.5),\n\
         (field: \"design.balusters.peg\", is: 3)])],\n)\n"
    );
    let document = Document::parse(&text, "job.ron").expect("warnings only");
    let own: Vec<(&str, &str)> = document
        .warnings()
        .iter()
        .map(|one| (one.path.as_str(), one.problem.as_str()))
        .collect();
    assert_eq!(
        own,
        [
            (
                "design.balusters.section",
                "the baluster is wider than the rail"
            ),
            (
                "alternatives[0].changes[0].field",
                "this is so already in the job as it stands"
            ),
            (
                "alternatives[0].changes[1].is",
                "the peg comes out under the tread"
            ),
        ]
    );
    assert!(
        document
            .warnings()
            .iter()
            .all(|one| one.severity == Severity::Warning)
    );
    assert_eq!(
        document
            .alternative("A")
            .expect("it is there")
            .warnings()
            .len(),
        2
    );
}

#[test]
fn names_counts_and_emptiness() {
    let one =
        |name: &str| format!("(name: \"{name}\", changes: [(field: \"flight.rise\", is: 7)])");
    let told = |list: &str| {
        let read = Document::parse(&with_alternatives(list), "job.ron");
        read.map_or_else(
            |faults| faults.to_string(),
            |document| {
                document
                    .warnings()
                    .iter()
                    .map(|one| one.problem.clone())
                    .collect()
            },
        )
    };
    assert!(
        told(&format!("{}, {}", one("A"), one("A"))).contains("two alternatives are called `A`")
    );
    assert!(told(&one("")).contains("the name is empty"));
    assert!(told(&one(&"x".repeat(41))).contains("the name is too long"));
    let many = |count: usize| {
        let all: Vec<String> = (0..count).map(|at| one(&format!("A{at}"))).collect();
        told(&all.join(","))
    };
    assert_eq!(many(12), "");
    assert!(many(13).contains("13 alternatives are too many"));
    assert!(told("(name: \"A\", changes: [])").contains("nothing differs"));
    assert!(told("(name: \"A\")").contains("`changes` is missing"));
    assert!(told("(name: \"A\", changes: [(is: 3)])").contains("`field` is missing"));
    assert!(told("(name: \"A\", change: [])").contains("did you mean `changes`?"));
}

#[test]
fn a_value_of_any_kind_is_kept_as_written() {
    for value in [
        "1",
        "-2.5",
        "\"a \\\" b\"",
        "r#\"raw\"#",
        "Plumb",
        "Share(0.5)",
        "None",
        "Some(2)",
        "[]",
        "[1, (a: 2)]",
        "(x: 0, y: \"1/2\")",
        "Wall(wall: \"W2\", rosette: 4, blocking: (along: 1, up: 2, width: 3, height: 4))",
        "true",
        "()",
    ] {
        let text = with_alternatives(&format!(
            "(name: \"A\", changes: [(field: \"name\", is: /* c */ {value} )])"
        ));
        // Most of these are no name; what is told is told of the value and not of its form.
        match Document::parse(&text, "job.ron") {
            Ok(document) => {
                let written = &document.job().alternatives[0].changes[0].is;
                assert_eq!(written.text(), value);
            }
            Err(faults) => {
                assert_eq!(faults.diagnostics.len(), 1, "{value}: {faults}");
                assert_eq!(
                    faults.diagnostics[0].path, "alternatives[0].changes[0].is",
                    "{value}: {faults}"
                );
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Whatever a change says, it is read or refused with a place inside the alternative.
    #[test]
    fn no_change_panics_or_is_told_elsewhere(
        field in prop::sample::select(vec![
            "name", "flight", "flight.rise", "flight.readings", "flight.readings[0]", "flight.readings[2]",
            "walls[0]", "walls[0].readings[1].at", "walls", "design", "design.newels[0]", "design.rail",
            "design.rail.upper", "design.balusters.spacing", "design.bottom_rail", "tape", "built", "x", "flight[0]",
            "design.rail.upper.blocking.width", "design.newels[0].stands.Displaces.step",
        ]),
        value in prop::sample::select(vec![
            "1", "\"1/4\"", "\"x\"", "[]", "()", "None", "Round(3)", "(x: 1, y: 2)", "[1, 2]", "Plumb", "9999",
            "Edge(step: 2, is: 1)", "(count: 4)", "Newel(\"N1\")", "Wall()", "\"\u{bd}\"",
        ]),
        remove in any::<bool>(),
    ) {
        let change = if remove {
            format!("field: \"{field}\", remove: true")
        } else {
            format!("field: \"{field}\", is: {value}")
        };
        let text = changed(&[&change]);
        let first = text.find("alternatives:").expect("there");
        match Document::parse(&text, "job.ron") {
            Ok(document) => {
                let made = document.alternative("A").expect("it was checked");
                prop_assert!(remove || made.value_text(field) == Some(value));
            }
            Err(faults) => {
                for fault in &faults.diagnostics {
                    prop_assert!(fault.bytes.start > first, "{}", faults);
                    prop_assert!(text.get(fault.bytes.clone()).is_some());
                }
                prop_assert!(!faults.render(false).is_empty());
            }
        }
    }
}
