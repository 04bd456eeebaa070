//! Files that cannot be read: each a message with line, field, what was read and what would do.

use super::{SAMPLE, faults_with, one_fault, sample, with};
use rakewell::job::{Document, Faults, MAX_BYTES, Severity};

fn parse(text: &str) -> Faults {
    Document::parse(text, "job.ron").expect_err("the file is bad")
}

#[test]
fn empty() {
    for text in ["", " \n\t", "// nothing yet\n"] {
        let faults = parse(text);
        assert!(faults.to_string().contains("the file is empty"), "{faults}");
        assert!(faults.to_string().contains("rakewell new"), "{faults}");
    }
}

#[test]
fn truncated() {
    let cut = SAMPLE.find("tread_thickness").expect("it is there");
    let faults = parse(&SAMPLE[..cut]);
    let fault = &faults.diagnostics[0];
    assert_eq!(
        (fault.line, fault.column, fault.read.as_str()),
        (5, 13, "("),
        "{faults}"
    );
    assert!(fault.problem.contains("never closed"), "{faults}");
    assert_eq!(
        fault.aside.as_ref().map(|aside| aside.line),
        Some(6),
        "{faults}"
    );
}

#[test]
fn binary() {
    let nul = Document::parse("(format: 1,\n\0", "job.ron").expect_err("no text");
    assert_eq!((nul.diagnostics[0].line, nul.diagnostics[0].column), (2, 1));
    let latin = Document::parse_bytes(b"(name: \"\xBD\"", "job.ron").expect_err("not UTF-8");
    for (faults, read) in [(nul, "byte 0x00"), (latin, "byte 0xBD")] {
        assert_eq!(faults.diagnostics[0].read, read);
        assert!(faults.to_string().contains("UTF-8"), "{faults}");
        assert!(
            faults.render(false).contains("job.ron:"),
            "{}",
            faults.render(false)
        );
    }
}

#[test]
fn another_format() {
    let text = with("format: 1", "format: 2");
    one_fault(
        &text,
        "format",
        "2",
        "format 2 is not known",
        "this program reads format 1",
    );
    let text = with("format: 1", "format: 0");
    one_fault(
        &text,
        "format",
        "0",
        "format 0 is not known",
        "write `format: 1`",
    );
    let text = with("    format: 1,\n", "");
    one_fault(
        &text,
        "format",
        "(",
        "`format` is missing",
        "add `format: 1,`",
    );
}

#[test]
fn nested_deeply() {
    for bracket in ["(", "[", "{", "Some(", "(a:"] {
        let faults = parse(&bracket.repeat(100_000));
        assert!(faults.to_string().contains("more than 64 deep"), "{faults}");
    }
}

#[test]
fn large() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("large.ron");
    let file = std::fs::File::create(&path).expect("a file");
    // A sparse file: 100 MB in length, nothing on the disk.
    file.set_len(100_000_000).expect("a length");
    let faults = Document::load(&path).expect_err("too large");
    assert!(
        faults.to_string().contains("too large to be a job"),
        "{faults}"
    );
    assert!(faults.to_string().contains("8 MiB at most"), "{faults}");
    let padded = format!(
        "{SAMPLE}{}",
        " ".repeat(usize::try_from(MAX_BYTES).expect("fits"))
    );
    assert!(parse(&padded).to_string().contains("too large"));
}

#[test]
fn no_file_and_no_end() {
    let folder = tempfile::tempdir().expect("a folder");
    let missing = folder.path().join("missing.ron");
    for (path, problem) in [
        (missing.as_path(), "cannot be read: no such file"),
        (folder.path(), "this is a folder"),
        #[cfg(target_os = "linux")]
        (std::path::Path::new("/dev/zero"), "too large"),
    ] {
        let faults = Document::load(path).expect_err("no job");
        assert!(faults.to_string().contains(problem), "{faults}");
        assert!(
            faults.to_string().contains(&path.display().to_string()),
            "{faults}"
        );
        assert!(
            faults.render(false).contains(problem),
            "{}",
            faults.render(false)
        );
    }
}

#[test]
fn lengths_that_are_none() {
    for typed in [
        "\"3/0\"",
        "1e999",
        "\"1e999\"",
        "NaN",
        "\"NaN\"",
        "\"7 9/16 3\"",
        "inf",
        "\"\"",
    ] {
        let text = with("rise: 7.5", &format!("rise: {typed}"));
        one_fault(&text, "flight.rise", typed, "", "");
    }
}

#[test]
fn a_length_without_quotes() {
    let text = with("rise: 7.5", "rise: 7 9/16");
    one_fault(
        &text,
        "",
        "7 9/16",
        "stands in quotes",
        "write `\"7 9/16\"`",
    );
}

#[test]
fn what_is_no_length_at_all() {
    for typed in ["Left", "(7.5)", "[7.5]", "true"] {
        let text = with("rise: 7.5", &format!("rise: {typed}"));
        one_fault(
            &text,
            "flight.rise",
            typed,
            "a length is wanted",
            "write it as",
        );
    }
}

#[test]
fn counts_that_are_none() {
    for (typed, problem) in [
        ("14.5", "a whole number is wanted"),
        ("\"14\"", "a whole number is wanted"),
        ("-3", "out of bounds"),
        ("99999999999", "out of bounds"),
        ("Left", "a whole number is wanted"),
    ] {
        let text = with("count: 14", &format!("count: {typed}"));
        one_fault(&text, "flight.count", typed, problem, "14");
    }
}

#[test]
fn names_that_are_not_known() {
    let text = with("rise: 7.5", "ries: 7.5");
    one_fault(
        &text,
        "flight.ries",
        "ries",
        "no field `ries`",
        "did you mean `rise`?",
    );
    let text = with("rise: 7.5", "rise: 7.5, colour: 3");
    one_fault(
        &text,
        "flight.colour",
        "colour",
        "no field",
        "`floor_below`, `floor_above`",
    );
    let text = with("Edge(step", "Egde(step");
    one_fault(
        &text,
        "flight.readings[1]",
        "Egde",
        "`Egde` is not known",
        "did you mean `Edge`?",
    );
    let text = with("at: Top", "at: Middle");
    let path = "walls[0].readings[1].at";
    one_fault(
        &text,
        path,
        "Middle",
        "`Middle` is not known",
        "`Top`, `Bottom`",
    );
    let text = with("is: 1.75", "iz: 1.75");
    one_fault(
        &text,
        "flight.readings[1].iz",
        "iz",
        "no field `iz`",
        "did you mean `is`?",
    );
}

#[test]
fn fields_that_are_missing_or_twice() {
    let text = with(" rise: 7.5,", "");
    one_fault(
        &text,
        "flight.rise",
        "(",
        "`rise` is missing",
        "add `rise: ",
    );
    let text = with("is: 1.75, ", "");
    one_fault(
        &text,
        "flight.readings[1].is",
        "Edge",
        "`is` is missing",
        "add `is: ",
    );
    let text = with("rise: 7.5", "rise: 7.5, rise: 7");
    one_fault(
        &text,
        "flight.rise",
        "rise",
        "`rise` is written twice",
        "take one",
    );
}

/// Fields that only the new readings have: one fault each, with an example of what to add.
#[test]
fn fields_that_are_missing_in_readings_from_part_to_part() {
    for (reading, field, example) in [
        ("Under(step: 3, is: 4)", "line", "add `line: \"L1\",`"),
        ("Height(step: 3, is: 22.5)", "above", "add `above: 2,`"),
        ("Run(step: 3, is: 20)", "beyond", "add `beyond: 2,`"),
        (
            "Fall(step: 3, is: 0)",
            "low",
            "add `low: Front,` or `low: Back,`",
        ),
    ] {
        let text = with("Going(step: 6, is: 9.75)", reading);
        let name = reading.split('(').next().expect("a name");
        let path = format!("flight.readings[0].{field}");
        one_fault(
            &text,
            &path,
            name,
            &format!("`{field}` is missing"),
            example,
        );
    }
}

#[test]
fn shapes_that_are_other_ones() {
    let text = with("from: (x: 130, y: 8)", "from: (130, 8)");
    one_fault(
        &text,
        "walls[0].from",
        "(130, 8)",
        "need their names",
        "(field: value, ...)",
    );
    let text = with("from: (x: 130, y: 8)", "from: 8");
    one_fault(
        &text,
        "walls[0].from",
        "8",
        "round brackets are wanted",
        "(field: value, ...)",
    );
    let text = with("lower: Newel(\"N1\")", "lower: Newel(N1)");
    one_fault(
        &text,
        "design.rail.lower.Newel",
        "N1",
        "a text in quotes",
        "\"W1\"",
    );
}

#[test]
fn only_the_bytes_at_fault_in_a_length_are_underlined() {
    let faults = faults_with("rise: 7.5", "rise: \"7 9/16 x\"");
    let fault = &faults.diagnostics[0];
    assert_eq!(fault.read, "\"7 9/16 x\"");
    let told = &faults.text[fault.bytes.clone()];
    assert!("7 9/16 x".contains(told) && !told.is_empty(), "{told}");
}

#[test]
fn several_faults_are_told_at_a_time() {
    let text = SAMPLE
        .replace("rise: 7.5", "ries: \"3/0\"")
        .replace("is: 9.75", "is: \"x\"")
        .replace("Edge(step: 3", "Ege(step: 3.5")
        .replace("head: 200", "hat: 200")
        .replace("at: Top", "at: Tip")
        .replace("lower: Newel(\"N1\"),", "")
        .replace("PerTread(count: 2)", "PerTread(cuont: \"2\")");
    let faults = parse(&text);
    let told: Vec<(usize, &str)> = faults
        .diagnostics
        .iter()
        .map(|fault| (fault.line, fault.path.as_str()))
        .collect();
    let expected = [
        (6, "flight.ries"),
        (6, "flight.ries"),
        (8, "flight.readings[0].is"),
        (8, "flight.readings[1]"),
        (8, "flight.readings[1].step"),
        (10, "walls[0].head"),
        (10, "walls[0].hat"),
        (11, "walls[0].readings[1].at"),
        (15, "design.rail.lower"),
        (17, "design.balusters.spacing.cuont"),
        (17, "design.balusters.spacing.cuont"),
    ];
    assert_eq!(told, expected, "{faults}");
}

#[test]
fn no_more_than_twenty_faults_are_told() {
    let readings: String = (1..=13)
        .flat_map(|step| [format!("Going(step: {step}, is: \"x\", iz: 1),")])
        .collect();
    let faults = faults_with("Going(step: 6, is: 9.75),", &readings);
    assert_eq!(faults.errors(), 20, "{faults}");
}

#[test]
fn colours_are_asked_for() {
    let faults = faults_with("rise: 7.5", "rise: \"3/0\"");
    assert!(!faults.render(false).contains('\u{1b}'));
    assert!(faults.render(true).contains('\u{1b}'));
}

#[test]
fn a_message_moves_no_terminal() {
    let faults = faults_with("rise: 7.5", "rise: \"\u{1b}[2J\"");
    assert!(
        !faults.render(false).contains('\u{1b}'),
        "{:?}",
        faults.render(false)
    );
    assert!(!faults.diagnostics[0].read.contains('\u{1b}'));
}

#[test]
fn a_line_without_end_is_not_drawn() {
    let text = SAMPLE
        .replace('\n', " ")
        .replace("// One flight, read on a Tuesday.", "");
    let text = text
        .replace("// edge by string", "")
        .replace("rise: 7.5", "rise: \"3/0\"");
    let faults = parse(&text);
    assert!(faults.render(false).len() < 600, "{}", faults.render(false));
    assert!(
        faults.render(false).contains("job.ron:1:"),
        "{}",
        faults.render(false)
    );
    assert!(sample().text().len() > 600);
}

/// Every file of `tests/bad-input` with the line, field and problem of its first fault.
const FILES: [(&str, usize, &str, &str); 29] = [
    (
        "baluster-wider-than-tread",
        16,
        "design.balusters.section",
        "wider than tread 1",
    ),
    ("binary", 1, "", "not text"),
    ("empty", 1, "", "the file is empty"),
    (
        "feet-read-as-inches",
        7,
        "flight.readings[0].is",
        "the width is less than 6",
    ),
    ("going-negative", 5, "flight.going", "the going is negative"),
    ("going-zero", 5, "flight.going", "the going is zero"),
    (
        "landing-reading-on-floor",
        11,
        "floors[0].readings[0]",
        "no landing and has no edge",
    ),
    ("later-format", 2, "format", "format 2 is not known"),
    ("latin-1", 3, "", "not UTF-8"),
    (
        "level-longer-than-wall",
        10,
        "walls[0].readings[1].level",
        "longer than the wall is high",
    ),
    (
        "line-of-another-kind",
        8,
        "flight.readings[0].line",
        "runs plumb across the flight",
    ),
    (
        "millimetres-read-as-inches",
        7,
        "flight.readings[0].is",
        "the rise is more than 16",
    ),
    ("nested", 1, "", "more than 64 deep"),
    (
        "newels-in-one-place",
        13,
        "design.newels[1].stands",
        "`N1` and `N2` stand in one place",
    ),
    ("no-quotes", 5, "", "stands in quotes"),
    ("no-such-field", 5, "flight.ries", "no field `ries`"),
    (
        "no-such-newel",
        14,
        "design.rail.lower.Newel",
        "no newel `N2`",
    ),
    (
        "no-such-instrument",
        8,
        "flight.readings[0].by",
        "no instrument `tap`",
    ),
    ("no-such-step", 7, "flight.readings[0].step", "no tread 14"),
    ("no-such-wall", 15, "design.rail.upper.wall", "no wall `W3`"),
    ("not-a-number", 5, "flight.rise", ""),
    (
        "off-the-wall",
        10,
        "walls[0].readings[0].along",
        "off the end of the wall",
    ),
    ("only-remarks", 2, "", "the file is empty"),
    ("over-zero", 5, "flight.rise", "zero"),
    (
        "tape-for-a-pitch",
        8,
        "flight.readings[0].by",
        "cannot read a pitch",
    ),
    ("too-great", 5, "flight.rise", ""),
    ("truncated", 4, "", "never closed"),
    ("two-numbers", 5, "flight.rise", "3"),
    (
        "wall-of-one-reading",
        10,
        "walls[0].readings",
        "one reading",
    ),
];

/// Those that can be used, but are likely to be a slip.
const LIKELY_SLIPS: [(&str, usize, &str, &str); 1] = [(
    "copied-reading",
    8,
    "flight.readings[1]",
    "the same reading twice; it would count double",
)];

#[test]
fn every_likely_slip_is_taken_with_a_warning() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad-input");
    for (name, line, path, problem) in LIKELY_SLIPS {
        let document = Document::load(&folder.join(name).with_extension("ron")).expect(name);
        let [warning] = document.warnings() else {
            panic!("{name}: {:?}", document.warnings());
        };
        assert_eq!((warning.line, warning.path.as_str()), (line, path));
        assert!(warning.problem.contains(problem), "{warning:?}");
        assert_eq!(
            warning.aside.as_ref().map(|aside| aside.line),
            Some(line - 1)
        );
        assert!(!warning.help.is_empty());
    }
}

/// A unit that was mistaken is named, with what to write instead.
#[test]
fn bad_files_of_a_mistaken_unit_name_it() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad-input");
    for (name, help) in [
        (
            "millimetres-read-as-inches",
            "a factor of 25.4: was it millimetres? write `190 mm`",
        ),
        (
            "feet-read-as-inches",
            "a factor of 12: was it feet? write `3 ft`",
        ),
    ] {
        let faults = Document::load(&folder.join(name).with_extension("ron")).expect_err(name);
        assert!(faults.to_string().contains(help), "{faults}");
        assert!(faults.render(false).contains(help), "{faults}");
    }
}

#[test]
fn every_bad_file_says_what_is_wrong_with_it() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad-input");
    let entries = std::fs::read_dir(&folder).expect("the folder is there");
    assert_eq!(
        entries.count(),
        FILES.len() + LIKELY_SLIPS.len(),
        "every file stands in the list"
    );
    for (name, line, path, problem) in FILES {
        let faults = Document::load(&folder.join(name).with_extension("ron")).expect_err(name);
        let mut errors = faults
            .diagnostics
            .iter()
            .filter(|fault| fault.severity == Severity::Error);
        let fault = errors.next().expect("an error, not warnings alone");
        assert_eq!((fault.line, fault.path.as_str()), (line, path), "{faults}");
        assert!(fault.problem.contains(problem), "{faults}");
        assert!(!fault.help.is_empty(), "{faults}");
    }
}

/// A file of half a million slips on one line is refused in the time of a small one: the place of
/// a fault is looked for only where it is told.
#[test]
fn a_multitude_of_slips_is_told_in_part() {
    let readings: String = (0..2000)
        .map(|at| format!("Offset(along: {}, up: 110, is: 99),", f64::from(at) / 200.0))
        .collect();
    let faults = faults_with(
        "Offset(along: 4, up: 110, is: 0), Plumb(along: 8, up: 105, level: 48, gap: 0.5, at: Top)",
        &readings,
    );
    assert_eq!(faults.errors(), 20, "{faults}");
}
