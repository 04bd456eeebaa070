//! Site sheets: what stands on them, that nothing lies over another or past the frame, and the command
//! that writes them.

mod command;

use std::collections::BTreeSet;

use rakewell::chain::{self, Chain};
use rakewell::job::{Document, Job};
use rakewell::measure::Tape;
use rakewell::publish::paper::{PAPERS, PaperError, PaperSize};
use rakewell::publish::pdf::{Mark, Page, Spot};
use rakewell::publish::site_sheets::{Chapter, Options, SiteSheets, Told, site_sheets};
use rakewell::publish::{Report, Told as Trouble, rule_lines};
use rakewell::shop::prices::Prices;
use rakewell::shop::reckoning::reckon;

use crate::sheet::explanation;
use crate::shop::SCENES;

const MARGIN: f64 = 10.0;
/// Tables that sheets tell in sentences and pictures.
const ONLY_FILES: [&str; 3] = ["saw.csv", "bores.csv", "board-cuts.csv"];

/// A scene by its name.
fn scene(name: &str) -> &'static str {
    let found = SCENES.iter().find(|(known, _)| *known == name);
    found.unwrap_or_else(|| panic!("no scene {name}")).1
}

fn job_of(text: &str) -> Job {
    let document =
        Document::parse(text, "test").unwrap_or_else(|faults| panic!("{}", faults.render(false)));
    document.job().clone()
}

fn options(paper: &str) -> Options {
    Options {
        paper: PaperSize::named(paper).unwrap(),
        margin: MARGIN,
        only: Vec::new(),
    }
}

/// The sheets of a job, with its report for whoever looks at both.
fn with_report<T>(
    (job, chain): (&Job, &Chain),
    (options, words): (&Options, &str),
    look: impl FnOnce(Result<SiteSheets, PaperError>, &Report<'_>) -> T,
) -> T {
    let found = chain.inspection.troubles();
    let troubles = Trouble::each(&found, vec![explanation(words); found.len()]);
    let report = Report {
        job,
        chain,
        troubles: &troubles,
    };
    let fitted = chain::fitted(chain).unwrap();
    let prices = Prices::default();
    let reckoned = reckon(chain, job, &fitted, &prices);
    let told = Told {
        report: &report,
        fitted: &fitted,
        reckoned: &reckoned,
        prices: &prices,
    };
    look(site_sheets(&told, options), &report)
}

fn made(job: &Job, chain: &Chain, options: &Options) -> SiteSheets {
    with_report((job, chain), (options, "lean"), |made, _| made.unwrap())
}

/// The texts of a page, in their order.
fn texts(page: &Page) -> Vec<(&str, (Spot, Spot))> {
    let marks = page.marks.iter();
    marks
        .filter_map(|mark| match mark {
            Mark::Text { text, .. } | Mark::Rising { text, .. } => {
                Some((text.as_str(), mark.bounds()))
            }
            _ => None,
        })
        .filter(|(text, _)| !text.trim().is_empty())
        .collect()
}

/// All texts of a set, broken lines joined, words apart by one space.
fn words(made: &SiteSheets) -> String {
    let texts = made.pages.iter().flat_map(texts);
    let all: Vec<&str> = texts
        .flat_map(|(text, _)| text.split_whitespace())
        .collect();
    all.join(" ")
}

/// A hair, mm: bounds of text are those of its face, not of its letters.
const HAIR: f64 = 0.15;

/// Nothing lies past the frame, and no text over another.
fn keeps_its_places(name: &str, page: &Page) {
    let (right, below) = (page.width - MARGIN, page.height - MARGIN);
    for mark in &page.marks {
        let (low, high) = mark.bounds();
        assert!(
            low.x >= MARGIN - HAIR
                && low.y >= MARGIN - HAIR
                && high.x <= right + HAIR
                && high.y <= below + HAIR,
            "{name}: past the frame: {mark:?}"
        );
    }
    let texts = texts(page);
    for (at, (text, (low, high))) in texts.iter().enumerate() {
        for (other, (from, to)) in &texts[at + 1..] {
            let across = high.x.min(to.x) - low.x.max(from.x);
            let down = high.y.min(to.y) - low.y.max(from.y);
            // Capitals over descenders of the line above may touch.
            assert!(
                across < 3.0 * HAIR || down < 4.0 * HAIR,
                "{name}: {text:?} over {other:?}, {across:.2} by {down:.2} mm at {low:?}"
            );
        }
    }
}

/// Every sheet by its number, on the paper that was asked for, with all that belongs on it.
fn holds_together(name: &str, made: &SiteSheets, paper: &str) {
    let size = PaperSize::named(paper).unwrap().turned();
    assert_eq!(made.pages.len(), made.sheets.len(), "{name}");
    for (at, (page, sheet)) in made.pages.iter().zip(&made.sheets).enumerate() {
        let name = format!("{name}, {paper}, sheet {}", at + 1);
        assert_eq!(
            (page.width, page.height),
            (size.width, size.height),
            "{name}"
        );
        assert_eq!(sheet.number, at + 1);
        keeps_its_places(&name, page);
        let block = texts(page);
        // Beside ten in the title block: no sheet is all but empty.
        assert!(block.len() >= 20, "{name}: {} texts", block.len());
        let of = format!("{} of {}", at + 1, made.pages.len());
        assert!(
            block.iter().any(|(text, _)| *text == of),
            "{name} is not {of}"
        );
        let smallest = page.marks.iter().filter_map(|mark| match mark {
            Mark::Text { style, text, .. } if !text.is_empty() => Some(style.size),
            _ => None,
        });
        let least = if sheet.drawings.is_empty() { 5.6 } else { 5.4 };
        for size in smallest {
            assert!(size >= least - 1e-9, "{name}: {size:.1} points");
        }
    }
    assert!(made.not_drawn.is_empty(), "{name}: {:?}", made.not_drawn);
    for (at, drawing) in made.drawings.iter().enumerate() {
        let on = made
            .sheets
            .iter()
            .filter(|sheet| sheet.drawings.contains(&at));
        assert_eq!(on.count(), 1, "{name}: {} is drawn once", drawing.name);
    }
    let names: BTreeSet<&str> = made.drawings.iter().map(|one| one.name.as_str()).collect();
    assert_eq!(
        names.len(),
        made.drawings.len(),
        "{name}: two files of a name"
    );
    let round = made.tables.iter().any(|table| {
        let newels = table.table.name == "newels.csv";
        newels && table.table.rows.iter().any(|row| row[3] == "round side")
    });
    for table in &made.tables {
        let table_name = table.table.name;
        let rows = if ONLY_FILES.contains(&table_name) {
            0
        } else {
            table.table.rows.len()
        };
        if table_name == "newels.csv" && round {
            // A round is one row on the sheet: its centre and its size.
            continue;
        }
        assert_eq!(table.printed, rows, "{name}: {table_name}");
        assert_eq!(table.sheets.is_empty(), rows == 0, "{name}: {table_name}");
        for row in &table.table.rows {
            assert_eq!(row.len(), table.table.heads.len(), "{name}: {table_name}");
        }
    }
}

#[test]
fn every_scene_keeps_to_its_sheets() {
    for (name, text) in SCENES {
        let job = job_of(text);
        let chain = chain::run(&job).unwrap();
        for paper in ["letter", "a3"] {
            holds_together(name, &made(&job, &chain, &options(paper)), paper);
        }
    }
}

#[test]
fn the_demos_keep_to_sheets_of_any_size() {
    for name in ["quarry-lane", "weir-cottage", "mill-row"] {
        let job = job_of(scene(name));
        let chain = chain::run(&job).unwrap();
        for paper in ["a4", "tabloid", "ansi-d"] {
            holds_together(name, &made(&job, &chain, &options(paper)), paper);
        }
    }
}

/// Every name and figure of every table that has its rows on the sheets, and every trouble and rule.
#[test]
fn what_the_tables_hold_stands_on_the_sheets() {
    let job = job_of(scene("quarry-lane"));
    let chain = chain::run(&job).unwrap();
    with_report(
        (&job, &chain),
        (&options("letter"), "lean"),
        |made, report| {
            let made = made.unwrap();
            let words = words(&made).replace('\u{a0}', " ");
            let holds = |text: &str| {
                let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
                // Sentences begin with a capital.
                let rest: String = text.chars().skip(1).collect();
                assert!(words.contains(&rest), "the sheets lack {text:?}");
            };
            let cells = [
                ("cuts.csv", &["long_points", "short_points"][..]),
                ("marks.csv", &["mark", "level"]),
                ("treads.csv", &["on", "mark", "first", "second"]),
                ("reveals.csv", &["part", "reveal"]),
                ("gaps.csv", &["below", "above", "clear"]),
                ("openings.csv", &["ball", "under"]),
                ("buying.csv", &["item", "buy"]),
                ("figures.csv", &["what", "least"]),
            ];
            for (name, columns) in cells {
                let mut tables = made.tables.iter();
                let table = tables.find(|one| one.table.name == name).unwrap();
                assert!(!table.table.rows.is_empty(), "{name}");
                for column in columns {
                    let mut heads = table.table.heads.iter();
                    let at = heads.position(|head| head == column).unwrap();
                    // Treads and kicks are told by their widths, not by their points.
                    let by_points = |row: &&Vec<String>| {
                        name != "cuts.csv" || !["tread", "kick"].contains(&row[3].as_str())
                    };
                    for row in table.table.rows.iter().filter(by_points) {
                        holds(&row[at]);
                    }
                }
            }
            assert!(report.troubles.len() >= 4);
            for trouble in report.troubles {
                holds(&trouble.finding.source);
            }
            assert_eq!(rule_lines(report).len(), {
                let mut tables = made.tables.iter();
                let rules = tables.find(|one| one.table.name == "rules.csv").unwrap();
                rules.table.rows.len()
            });
            for text in [
                "anchor not shown",
                "Saws hurt",
                "As found; check on site",
                "certifies",
            ] {
                holds(text);
            }
            // The list on the first sheet has every sheet.
            for sheet in &made.sheets {
                holds(&sheet.title);
            }
        },
    );
}

#[test]
fn the_same_job_makes_the_same_bytes() {
    let job = job_of(scene("quarry-lane"));
    let chain = chain::run(&job).unwrap();
    let bytes = || made(&job, &chain, &options("letter")).pdf().unwrap();
    let first = bytes();
    assert_eq!(first, bytes());
    let text = String::from_utf8_lossy(&first);
    for word in ["CreationDate", "ModDate"] {
        assert!(!text.contains(word), "{word}");
    }
}

#[test]
fn long_names_and_words_keep_their_places_and_markup_stays_text() {
    let attack = "</title><script>alert(1)</script> & \"quoted\" \u{202e}txt";
    let mut job = job_of(scene("quarry-lane"));
    let chain = chain::run(&job).unwrap();
    for name in [
        attack,
        &"a very long name of a house ".repeat(9),
        &"x".repeat(200),
    ] {
        name.clone_into(&mut job.name);
        for words in [attack, &"and leans and bows ".repeat(20), &"y".repeat(300)] {
            with_report((&job, &chain), (&options("letter"), words), |made, _| {
                let made = made.unwrap();
                holds_together("long", &made, "letter");
                for drawing in &made.drawings {
                    let svg = rakewell::publish::drawing::svg_plain(&drawing.drawing);
                    assert!(!svg.contains("<script"));
                }
            });
        }
    }
}

#[test]
fn a_few_chapters_come_without_the_first_sheet() {
    let job = job_of(scene("quarry-lane"));
    let chain = chain::run(&job).unwrap();
    let some = Options {
        only: vec![Chapter::Cuts, Chapter::Marks],
        ..options("a4")
    };
    let made = made(&job, &chain, &some);
    let names: Vec<&str> = made.tables.iter().map(|one| one.table.name).collect();
    assert_eq!(
        names,
        [
            "cuts.csv",
            "saw.csv",
            "bores.csv",
            "marks.csv",
            "treads.csv",
            "newels.csv"
        ]
    );
    assert!(made.drawings.is_empty());
    assert!(
        made.sheets[0].title.starts_with("Cut list"),
        "{:?}",
        made.sheets[0]
    );
}

#[test]
fn paper_that_is_too_small_is_said_with_what_would_do() {
    let job = job_of(scene("straight"));
    let chain = chain::run(&job).unwrap();
    let small = [
        (PaperSize::of(148.0, 210.0), 10.0, "letter"),
        (PaperSize::named("letter").unwrap(), 25.0, "a4"),
        (PaperSize::named("a4").unwrap(), 400.0, "a smaller margin"),
    ];
    for (paper, margin, would) in small {
        let options = Options {
            paper,
            margin,
            only: Vec::new(),
        };
        with_report((&job, &chain), (&options, "lean"), |made, _| {
            let error = made.unwrap_err().to_string();
            assert!(error.contains("would do"), "{error}");
            if would == "a4" {
                // Which of the papers by name is the first that does is not the point.
                let named = PAPERS
                    .iter()
                    .any(|paper| error.contains(&format!("paper {paper}")));
                assert!(named, "{error}");
            } else {
                assert!(error.contains(would), "{error}");
            }
        });
    }
}

/// Marks of a level run stand on a floor, and no reveal is told where nothing stands on a tread.
#[test]
fn a_level_run_is_told_of_its_floor() {
    let job = job_of(scene("level-guard"));
    let chain = chain::run(&job).unwrap();
    let told = words(&made(&job, &chain, &options("letter")));
    assert!(told.contains("On the floor"));
    let job = job_of(scene("closed-string"));
    let chain = chain::run(&job).unwrap();
    assert!(chain.runs.iter().all(|run| !run.setout.on_treads()));
    let told = words(&made(&job, &chain, &options("letter")));
    assert!(!told.contains("Reveals at tread ends"));
}

/// A tape of millimetres prints no inch.
#[test]
fn lengths_are_on_the_job_s_tape() {
    let mut job = job_of(scene("straight"));
    job.tape = Tape::Millimetres;
    let chain = chain::run(&job).unwrap();
    let words = words(&made(&job, &chain, &options("a4")));
    assert!(words.contains("to 1 mm") && !words.contains("to 1/16 in"));
}
