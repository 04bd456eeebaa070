//! Lists of a job: as many as there may be, and one more.

use super::{demo_with_value, fault_at};
use rakewell::job::Document;
use rakewell::job::limits as most;

use crate::cli::DEMO;

/// A list, an item of it (`#` stands for its number), and how many there may be.
type List = (&'static str, &'static str, usize);

const LISTS: [List; 30] = [
    (
        "instruments",
        "(name: \"I#\", is: Scanner())",
        most::MOST_INSTRUMENTS,
    ),
    (
        "lines",
        "(name: \"L#\", runs: Beside(wall: \"W1\", off: \"0\"))",
        most::MOST_LINES,
    ),
    (
        "walls",
        "(name: \"X#\", from: (x: \"0\", y: \"-40\"), to: (x: \"99\", y: \"-40\"), head: \"99\")",
        most::MOST_WALLS,
    ),
    (
        "walls[0].readings",
        "Offset(along: \"40\", up: \"40\", is: \"0\")",
        most::MOST_WALL_READINGS,
    ),
    (
        "flight.readings",
        "Rise(step: 2, is: \"7 1/2\")",
        most::MOST_STEP_READINGS,
    ),
    (
        "flight.bottom",
        "(step: 1, beyond: \"1\")",
        most::MOST_BOTTOM_STEPS as usize,
    ),
    ("floors", "(name: \"G#\", is: Lower)", most::MOST_FLOORS),
    (
        "overheads",
        "(name: \"O#\", from: \"0\", to: \"9\", low: \"99\", high: \"99\")",
        most::MOST_OVERHEADS,
    ),
    (
        "stringers",
        "(name: \"Z#\", inset: \"2\", thickness: \"1\", throat: \"5\")",
        most::MOST_STRINGERS,
    ),
    (
        "blocking",
        "(name: \"D#\", step: 1, from: \"2\", inset: \"1\", along: \"1\", across: \"3\", height: \"6\")",
        most::MOST_BLOCKS,
    ),
    (
        "fasteners",
        "(name: \"Y#\", step: 1, from: \"1\", inset: \"1\", diameter: \"3/8\")",
        most::MOST_FASTENERS,
    ),
    (
        "built",
        "Newel(name: \"N1\", x: \"0\", y: \"0\")",
        most::MOST_BUILT,
    ),
    (
        "lets_stand",
        "(trouble: \"clash:A#\", because: \"seen\")",
        most::MOST_LET_STAND,
    ),
    (
        "notes",
        "(from: (part: \"N1\", on: Face, at: (1, 0, 0)), to: (part: \"N2\", on: Face, at: (1, 0, 0)))",
        most::MOST_NOTES,
    ),
    (
        "alternatives",
        "(name: \"A#\", changes: [(field: \"name\", is: \"b\")])",
        most::MOST_ALTERNATIVES,
    ),
    ("client.looks", "(name: \"A#\")", most::MOST_LOOKS),
    (
        "client.asks",
        "(name: \"A#\", question: \"q\", choices: [\"a\", \"b\"])",
        most::MOST_ASKS,
    ),
    (
        "client.answers",
        "(note: \"n\", by: \"b\", on: \"o\")",
        most::MOST_ANSWERS,
    ),
    (
        "shop.stock",
        "(of: Rail, lengths: [(is: \"8'\")])",
        most::MOST_STOCK,
    ),
    ("shop.matched", "[\"R1\"]", most::MOST_MATCHED),
    ("shop.hours", "(on: Treads, hours: 1)", most::MOST_SPENT),
    (
        "design.newels",
        "(name: \"V#\", section: Square(\"3\"), stands: Displaces(step: 1, balusters: 1), height: \"50\")",
        most::MOST_NEWELS,
    ),
    (
        "design.fixings",
        "(name: \"V#\", part: \"N1\", face: Open, up: \"9\", diameter: \"1/2\", deep: \"1\")",
        most::MOST_FIXINGS,
    ),
    ("design.rail.profile", "(\"1\", \"0\")", most::MOST_PROFILE),
    (
        "received.newels",
        "(name: \"N1\", twist: 1)",
        most::MOST_RECEIVED,
    ),
    (
        "received.balusters",
        "(mark: \"a#\", length: \"38\")",
        most::MOST_RECEIVED,
    ),
    ("received.rails", "(name: \"R1\")", most::MOST_RECEIVED),
    (
        "anchors",
        "(what: Top, detail: \"d\", source: \"s\", carries: \"250 lb\")",
        most::MOST_ANCHORS,
    ),
    (
        "design.local.amends",
        "(rule: \"RiseMax\", limit: Length(\"8\"), clause: \"s. 4.2\")",
        most::MOST_AMENDMENTS,
    ),
    (
        "boards.treads",
        "(step: 2, front: \"38\")",
        most::MOST_KICKS as usize,
    ),
];

/// What holds some of them, where the demo has none.
fn whole(path: &str, list: &str) -> (String, String) {
    match path.split_once('.') {
        Some(("design", "rail.profile")) => (path.to_owned(), format!("Outline({list})")),
        Some(("design", "local.amends")) => {
            let local = format!("(name: \"Town\", edition: \"2025\", amends: {list})");
            ("design.local".to_owned(), local)
        }
        Some((group @ ("client" | "shop" | "received" | "boards"), field)) => {
            (group.to_owned(), format!("({field}: {list})"))
        }
        _ => (path.to_owned(), list.to_owned()),
    }
}

fn of(item: &str, count: usize) -> String {
    let items: Vec<String> = (0..count)
        .map(|at| item.replace('#', &at.to_string()))
        .collect();
    format!("[{}]", items.join(", "))
}

#[test]
fn one_more_than_a_list_may_hold_is_told_with_the_most() {
    for (path, item, most) in LISTS {
        let says = format!("{most} at most");
        let (at, value) = whole(path, &of(item, most + 1));
        let faults = demo_with_value(&at, &value).unwrap_err();
        let told = faults
            .diagnostics
            .iter()
            .find(|fault| fault.help.starts_with(&says));
        let told = told.unwrap_or_else(|| panic!("{path}: {faults}"));
        assert!(told.path.starts_with(&at), "{path}: told at {}", told.path);
        assert!(
            told.problem.contains(&(most + 1).to_string()),
            "{path}: {}",
            told.problem
        );
        assert!(told.line > 0, "{path}");
        // As many as there may be are not too many, whatever else is wrong with them.
        let (at, value) = whole(path, &of(item, most));
        if let Err(faults) = demo_with_value(&at, &value) {
            let many = faults
                .diagnostics
                .iter()
                .find(|fault| fault.help.starts_with(&says));
            assert!(many.is_none(), "{path}: {faults}");
            assert!(fault_at(&faults, "").is_none(), "{path}: {faults}");
        }
    }
}

#[test]
fn one_run_more_than_there_may_be_is_told() {
    let demo = Document::parse(DEMO, "job.ron").unwrap();
    let level =
        "level: (open_side: Left, length: \"76\", edge: \"1\", width: \"40\", thickness: \"10\")";
    let item = format!(
        "(name: \"Q#\", starts: (past: \"1\", left: \"0\", turn: \"0\"), {level}, design: {})",
        demo.value_text("design").unwrap()
    );
    let faults = |count: usize| demo.set("runs", &of(&item, count)).unwrap_err().to_string();
    let most = most::MOST_RUNS;
    let told = faults(most + 1);
    assert!(
        told.contains(&format!("{} runs are too many", most + 1)),
        "{told}"
    );
    assert!(told.contains(&format!("{most} at most")), "{told}");
    assert!(!faults(most).contains("are too many"));
}
