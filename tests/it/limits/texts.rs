//! Texts and files: as long as they may be, and one more.

use super::demo_with_value;
use rakewell::job::limits as most;
use rakewell::job::spans::{MAX_DEPTH, MAX_VALUES};
use rakewell::job::{Document, MAX_BYTES};
use rakewell::measure::{Unit, parse_angle, parse_force, parse_length};
use rakewell::rules::Pack;
use rakewell::shop::prices;
use rakewell::survey::points::read::{HowToRead, PointUnit, read};

use crate::cli::DEMO;

/// A text's field, how it is written with the text in the place of `#`, and its most.
const TEXTS: [(&str, &str, usize); 8] = [
    ("name", "\"#\"", most::LONGEST_JOB),
    ("walls[0].name", "\"#\"", most::LONGEST_NAME),
    ("walls[0].readings[0].note", "\"#\"", most::LONGEST_REMARK),
    (
        "lets_stand",
        "[(trouble: \"clash:A\", because: \"#\")]",
        most::LONGEST_REMARK,
    ),
    (
        "lets_stand",
        "[(trouble: \"#\", because: \"b\")]",
        most::LONGEST_TROUBLE,
    ),
    (
        "client",
        "(asks: [(name: \"a\", question: \"#\", choices: [\"a\", \"b\"])])",
        most::LONGEST_REMARK,
    ),
    (
        "client",
        "(looks: [(name: \"a\", note: \"#\")])",
        most::LONGEST_REMARK,
    ),
    (
        "anchors",
        "[(what: Top, detail: \"#\", source: \"s\", carries: \"250 lb\")]",
        most::LONGEST_CITATION,
    ),
];

#[test]
fn a_text_that_is_too_long_is_told_with_the_most() {
    for (path, shape, most) in TEXTS {
        let long = demo_with_value(path, &shape.replace('#', &"x".repeat(most + 1)));
        let faults = long.unwrap_err();
        let told = faults.diagnostics.iter().find(|fault| {
            let says = format!("{} {}", fault.problem, fault.help);
            says.contains(&most.to_string()) || says.contains("too long")
        });
        let told = told.unwrap_or_else(|| panic!("{path} {shape}: {faults}"));
        assert!(told.path.starts_with(path), "{path}: told at {}", told.path);
        // What is read there is not told in full.
        assert!(
            faults.to_string().len() < 4 * most + 2000,
            "{path}: {faults}"
        );
        if let Err(faults) = demo_with_value(path, &shape.replace('#', &"x".repeat(most))) {
            let says = faults.to_string();
            assert!(
                !says.contains("at most") && !says.contains("too long"),
                "{path}: {says}"
            );
        }
    }
}

#[test]
fn a_job_of_as_many_bytes_as_there_may_be_is_read_and_one_more_is_told() {
    let most = usize::try_from(MAX_BYTES).unwrap();
    let padded = |bytes: usize| format!("{DEMO}{}", " ".repeat(bytes - DEMO.len()));
    assert!(Document::parse(&padded(most), "job.ron").is_ok());
    let faults = Document::parse(&padded(most + 1), "job.ron").unwrap_err();
    assert!(faults.to_string().contains("8 MiB at most"), "{faults}");
}

#[test]
fn brackets_as_deep_as_they_may_be_are_no_fault_of_depth_and_one_more_is() {
    let nested = |deep: usize| format!("{}{}", "[".repeat(deep), "]".repeat(deep));
    let says = |deep: usize| {
        let faults = Document::parse(&nested(deep), "job.ron").unwrap_err();
        faults.to_string().contains("deep")
    };
    assert!(!says(MAX_DEPTH));
    assert!(says(MAX_DEPTH + 1));
}

#[test]
fn more_values_than_any_job_has_are_told_before_they_are_kept() {
    let text = format!("[{}]", "0,".repeat(MAX_VALUES + 1));
    let faults = Document::parse(&text, "job.ron").unwrap_err();
    assert!(
        faults.to_string().contains(&MAX_VALUES.to_string()),
        "{faults}"
    );
}

#[test]
fn a_length_an_angle_and_a_force_are_of_a_line_at_most() {
    let zeros = |count: usize| format!("{}1", "0".repeat(count - 1));
    assert!(parse_length(&zeros(80), Unit::Inches).is_ok());
    assert!(parse_length(&zeros(81), Unit::Inches).is_err());
    assert!(parse_angle(&zeros(80)).is_ok());
    assert!(parse_angle(&zeros(81)).is_err());
    let pounds = |count: usize| format!("{} lb", zeros(count - 3));
    assert!(parse_force(&pounds(80)).is_ok());
    assert!(parse_force(&pounds(81)).is_err());
    // A kilometre is longer than any stair.
    assert!(parse_length("1000000 mm", Unit::Inches).is_ok());
    let error = parse_length("1000001 mm", Unit::Inches).unwrap_err();
    assert!(error.to_string().len() < 400, "{error}");
}

#[test]
fn a_rule_pack_is_as_large_as_it_may_be_and_no_larger() {
    let pack = include_str!("../../../assets/rules/us-residential-2024.ron");
    let padded = |bytes: usize| format!("{pack}{}", " ".repeat(bytes - pack.len()));
    assert!(Pack::read("p", &padded(most::MOST_PACK_BYTES)).is_ok());
    let error = Pack::read("p", &padded(most::MOST_PACK_BYTES + 1)).unwrap_err();
    assert!(error.to_string().contains("larger than 256 KiB"), "{error}");
    let titled = |letters: usize| {
        let (before, after) = pack.split_once("title: \"").unwrap();
        let (_, after) = after.split_once('"').unwrap();
        format!("{before}title: \"{}\"{after}", "x".repeat(letters))
    };
    assert!(Pack::read("p", &titled(most::LONGEST_PACK_TEXT)).is_ok());
    let error = Pack::read("p", &titled(most::LONGEST_PACK_TEXT + 1)).unwrap_err();
    assert!(error.to_string().contains("title is longer"), "{error}");
    // And no deeper than RON itself goes.
    assert!(Pack::read("p", &"[".repeat(100_000)).is_err());
}

#[test]
fn a_price_list_is_of_so_many_lines_and_reads_in_no_time() {
    let list = |lines: usize| {
        let line = |at: usize| format!("rail,{} mm,10\n", at % 9000 + 1);
        let lines: String = (0..lines).map(line).collect();
        format!("item,length,price\n{lines}")
    };
    let began = std::time::Instant::now();
    let full = prices::read(&list(prices::MOST_LINES), Unit::Inches, "USD");
    assert!(full.faults.iter().all(|fault| fault.remark));
    assert_eq!(full.prices.len(), prices::MOST_LINES);
    assert_eq!(full.faults.len(), prices::MOST_LINES - 9000);
    // Every line against every other took a minute in this profile.
    assert!(began.elapsed().as_secs() < 10, "{:?}", began.elapsed());
    let more = prices::read(&list(prices::MOST_LINES + 1), Unit::Inches, "USD");
    let told = more.faults.iter().find(|fault| !fault.remark).unwrap();
    assert!(
        told.problem.contains("20000 lines at most"),
        "{}",
        told.problem
    );
    assert_eq!(told.line, 20_002);
}

#[test]
fn what_a_price_list_says_is_not_told_in_full() {
    let long = "x".repeat(100_000);
    for row in [
        format!("rail,8',10,{long}"),
        format!("rail,8',{long},USD"),
        format!("rail,{long},10,USD"),
        format!("{long},8',10,USD"),
    ] {
        let read = prices::read(
            &format!("item,length,price,currency\n{row}\n"),
            Unit::Inches,
            "",
        );
        assert!(read.prices.is_empty() && read.faults.len() == 1);
        let fault = &read.faults[0];
        assert!(
            fault.problem.len() + fault.help.len() < 600,
            "{}",
            fault.problem
        );
        assert!(read.currency.is_none_or(|currency| currency.len() < 9));
    }
}

#[test]
fn a_line_of_points_is_of_64_kib_at_most() {
    let how = HowToRead {
        columns: None,
        unit: PointUnit::Millimetres,
    };
    let line = |bytes: usize| format!("1 2 3{}\n4 5 6\n7 8 9\n", " ".repeat(bytes - 5));
    assert!(read(line(60 * 1024).as_bytes(), &how).is_ok());
    let error = read(line(70 * 1024).as_bytes(), &how).unwrap_err();
    assert!(error.to_string().contains("line 1"), "{error}");
}
