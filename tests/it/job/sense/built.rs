//! What has been fitted: parts that are there, places where they can stand.

use rakewell::job::Document;

use super::{one_fault, with};

/// The sample with readings of what has been fitted.
fn built(readings: &str) -> String {
    with(
        "    design: (",
        &format!("    built: [{readings}],\n    design: ("),
    )
}

/// Readings that cannot be; the field, what is read there, the problem and the help.
const CASES: &[(&str, &str, &str, &str, &str)] = &[
    (
        "Newel(name: \"N2\", x: 0, y: 0)",
        "[0].name",
        "\"N2\"",
        "there is no newel `N2`",
        "did you mean `N1`?",
    ),
    (
        "Newel(name: \"N1\", x: 4000, y: 0)",
        "[0].x",
        "4000",
        "this place is more than",
        "write",
    ),
    (
        "Newel(name: \"N1\", x: 0, y: -4000)",
        "[0].y",
        "-4000",
        "this place is less than",
        "write",
    ),
    (
        "Newel(name: \"N1\", x: 0, y: 0, up: 9000)",
        "[0].up",
        "9000",
        "the height is more than",
        "write",
    ),
    (
        "Newel(name: \"N1\", x: 0, y: 0), Newel(name: \"N1\", x: 1, y: 0, up: 1)",
        "[1]",
        "Newel(name: \"N1\", x: 1, y: 0, up: 1)",
        "read twice at this height",
        "more apart for its lean",
    ),
    (
        "Newel(name: \"N1\", x: 0, y: 0), Newel(name: \"N1\", x: 11, y: 0, up: 40)",
        "[1]",
        "Newel(name: \"N1\", x: 11, y: 0, up: 40)",
        "leans more than one in four",
        "again",
    ),
    (
        "NewelTop(name: \"N1\", is: 400)",
        "[0].is",
        "400",
        "the height is more than",
        "write",
    ),
    (
        "NewelTop(name: \"N1\", is: 48), NewelTop(name: \"N1\", is: 49)",
        "[1]",
        "NewelTop(name: \"N1\", is: 49)",
        "read twice",
        "keep",
    ),
    (
        "Baluster(step: 15, place: 1, x: 40)",
        "[0].step",
        "15",
        "there is no step 15",
        "",
    ),
    (
        "Baluster(step: 14, place: 1, x: 130)",
        "[0].place",
        "1",
        "no baluster stands on step 14",
        "",
    ),
    (
        "Baluster(step: 3, place: 3, x: 25)",
        "[0].place",
        "3",
        "3 is no place on this tread",
        "write 1 to 2",
    ),
    (
        "Baluster(step: 3, place: 0, x: 25)",
        "[0].place",
        "0",
        "0 is no place on this tread",
        "write 1 to 2",
    ),
    (
        "Baluster(step: 1, place: 1, x: 0)",
        "[0].place",
        "1",
        "newel `N1` takes the place of this baluster",
        "as if the newel were not there",
    ),
    (
        "Baluster(step: 3, place: 1, x: 20.5), Baluster(step: 3, place: 1, x: 20.5)",
        "[1]",
        "Baluster(step: 3, place: 1, x: 20.5)",
        "read twice",
        "keep",
    ),
    (
        "Baluster(step: 3, place: 1, x: 25), Baluster(step: 3, place: 2, x: 24)",
        "[1].x",
        "24",
        "not clear of the one at place 1 of tread 3",
        "again",
    ),
    (
        "Baluster(step: 3, place: 1, x: \"1/0\")",
        "[0].x",
        "\"1/0\"",
        "",
        "",
    ),
    (
        "Rail(name: \"R2\", nosing: 1, is: 36)",
        "[0].name",
        "\"R2\"",
        "no rail here is called `R2`",
        "did you mean `R1`?",
    ),
    (
        "Rail(name: \"R1\", nosing: 0, is: 36)",
        "[0].nosing",
        "0",
        "there is no step 0",
        "",
    ),
    (
        "Rail(name: \"R1\", nosing: 1, is: 200)",
        "[0].is",
        "200",
        "the height is more than",
        "write",
    ),
    (
        "Rail(name: \"R1\", nosing: 1, is: 36), Rail(name: \"R1\", nosing: 1, is: 37)",
        "[1]",
        "Rail(name: \"R1\", nosing: 1, is: 37)",
        "read twice",
        "keep",
    ),
    (
        "Rail(name: \"R1\", nosing: 1, is: 36, by: \"laser\")",
        "[0].by",
        "\"laser\"",
        "there is no instrument `laser`",
        "",
    ),
    (
        "Rail(name: \"R1\", nosing: 1, is: 36, sd: 0)",
        "[0].sd",
        "0",
        "the standard uncertainty is zero",
        "",
    ),
    (
        "Rial(name: \"R1\", nosing: 1, is: 36)",
        "[0]",
        "Rial",
        "`Rial` is not known here",
        "did you mean `Rail`?",
    ),
    (
        "Baluster(step: 3, x: 20)",
        "[0].place",
        "Baluster",
        "`place` is missing",
        "add",
    ),
];

#[test]
fn what_cannot_have_been_built() {
    for (readings, field, read, problem, help) in CASES {
        one_fault(
            &built(readings),
            &format!("built{field}"),
            read,
            problem,
            help,
        );
    }
}

#[test]
fn what_is_likely_to_be_a_slip() {
    for (reading, problem) in [
        // Millimetres for inches, and a tread miscounted by two.
        (
            "Baluster(step: 3, place: 1, x: 520)",
            "more than 12\" off tread 3",
        ),
        (
            "Baluster(step: 9, place: 1, x: 60)",
            "more than 12\" off tread 9",
        ),
        ("Newel(name: \"N1\", x: -40, y: 0)", "off the stair"),
        ("NewelTop(name: \"N1\", is: 30)", "more than a quarter off"),
        (
            "Rail(name: \"R1\", nosing: 3, is: 24)",
            "more than a quarter off",
        ),
    ] {
        let document = Document::parse(&built(reading), "job.ron").expect(reading);
        let told: Vec<_> = document.warnings().iter().map(|one| &one.problem).collect();
        assert_eq!(told.len(), 1, "{reading}: {told:?}");
        assert!(told[0].contains(problem), "{reading}: {told:?}");
    }
}

#[test]
fn what_can_have_been_built_is_taken_without_a_word() {
    let readings = "Newel(name: \"N1\", x: \"-1/2\", y: 0, taken: \"Monday\"), \
                    Newel(name: \"N1\", x: \"-5/8\", y: \"1/16\", up: 40, sd: \"1/32\"), \
                    NewelTop(name: \"N1\", is: \"48 1/8\"), Baluster(step: 1, place: 2, x: \"5 5/8\"), \
                    Baluster(step: 6, place: 1, x: 51, y: 0, note: \"pegged\"), \
                    Rail(name: \"R1\", nosing: 14, is: 36)";
    let document = Document::parse(&built(readings), "job.ron").expect("it reads");
    assert_eq!(document.warnings(), []);
    assert_eq!(document.job().built.len(), 6);
    assert_eq!(document.job().built[3].kind(), "Baluster");
    assert_eq!(document.text(), built(readings));
}
