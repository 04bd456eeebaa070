//! Alternatives side by side, one of them worked on alone, and what has been fitted beside its plan.

use std::collections::BTreeSet;

use rakewell::chain;
use rakewell::chain::compare::brought_and_cleared;
use rakewell::inspect::Finding;
use rakewell::job::Document;
use rakewell::publish::trouble_id;
use serde_json::Value;

use super::json::{documented, paths};
use super::{DEMO, rakewell, write};

/// The demo with alternatives and with some of it fitted.
pub(crate) fn with_ways() -> String {
    let end = DEMO.rfind(')').unwrap();
    format!("{}{}", &DEMO[..end], WAYS)
}

const WAYS: &str = r#"
    alternatives: [
        (name: "Metal balusters", note: "as the client asked", changes: [
            (field: "design.balusters.section", is: Round("5/8")),
            (field: "design.balusters.peg_diameter", is: "1/2"),
            (field: "design.balusters.spacing.count", is: 3),
        ]),
        (name: "Bottom rail", changes: [
            (field: "design.bottom_rail", is: (
                name: "R2", width: "2 1/4", depth: "1 1/2", above: "1",
            )),
            (field: "flight.readings[2]", remove: true),
        ]),
        (name: "From behind", changes: [
            (field: "design.rail.upper.wall", is: "W1"), // the rail runs along it
        ]),
    ],
    built: [
        Newel(name: "N1", x: "-1/2", y: "1/8"),
        Newel(name: "N1", x: "-5/8", y: "1/8", up: "40"),
        NewelTop(name: "N1", is: "48 1/4"),
        Baluster(step: 3, place: 1, x: "20 7/8", y: 0),
        Rail(name: "R1", nosing: 2, is: "36 1/4"),
    ],
)
"#;

/// Only the alternatives of it.
fn alternatives_only() -> String {
    let text = with_ways();
    let (before, _) = text.split_once("    built: [").unwrap();
    format!("{before})\n")
}

fn answer(args: &[&str], status: i32) -> Value {
    let told = rakewell(args);
    assert_eq!(told.status, status, "{}", told.err);
    serde_json::from_str(&told.out).unwrap()
}

#[test]
fn the_table_holds_what_each_chain_gives() {
    let folder = tempfile::tempdir().unwrap();
    let text = alternatives_only();
    let path = write(folder.path(), "ways.ron", &text);
    let told = answer(&["compare", "--json", &path], 1);
    let document = Document::parse(&text, "ways").unwrap();
    let ways = [
        Some(document.clone()),
        Some(document.alternative("Metal balusters").unwrap()),
        Some(document.alternative("Bottom rail").unwrap()),
        None,
    ];
    let chains = ways.map(|way| way.map(|way| chain::run(way.job()).unwrap()));
    let row = |what: &str| {
        let rows = told["rows"].as_array().unwrap().iter();
        let row = rows.clone().find(|row| row["what"] == what).unwrap();
        row["values"].as_array().unwrap().clone()
    };
    for (column, chain) in chains.iter().enumerate() {
        let near = |what: &str, ours: f64| {
            let told = row(what)[column].as_f64().unwrap();
            assert!((told - ours).abs() < 1e-9, "{what}: {told} {ours}");
        };
        let Some(chain) = chain else {
            assert!(row("balusters")[column].is_null());
            continue;
        };
        let setout = &chain.first().setout;
        near("balusters", setout.balusters.len() as f64);
        let gaps = || setout.gaps.iter().map(|gap| gap.clear.as_mm());
        near("gap-least", gaps().fold(f64::INFINITY, f64::min));
        near("gap-greatest", gaps().fold(0.0, f64::max));
        let reveals = || setout.reveals.iter().map(|one| one.value.as_mm());
        let (least, most) = (
            reveals().fold(f64::INFINITY, f64::min),
            reveals().fold(f64::NEG_INFINITY, f64::max),
        );
        // On a bottom rail no tread ends beside a baluster.
        if setout.bottom_rail.is_some() {
            assert!(row("reveal-range")[column].is_null());
        } else {
            near("reveal-range", most - least);
        }
        near("rail-length", setout.rail.long_points.as_mm());
        near("rail-lowest", setout.rail.window.lowest.0.as_mm());
        let over = |one: &&rakewell::inspect::Opening| (one.ball - one.limit).as_mm();
        let openings = chain.inspection.openings.iter();
        let worst = openings.max_by(|a, b| over(a).total_cmp(&over(b))).unwrap();
        near("ball", worst.ball.as_mm());
        near("ball-limit", worst.limit.as_mm());
        for severity in ["stop", "fix", "remark"] {
            let troubles = chain.inspection.troubles();
            let count = troubles
                .iter()
                .filter(|one| format!("{:?}", one.severity).to_lowercase() == severity);
            near(&format!("troubles-{severity}"), count.count() as f64);
        }
    }
    // The last cannot be set out, and says so at its own line.
    let last = &told["alternatives"][2];
    let line = text
        .lines()
        .position(|line| line.contains("is: \"W1\""))
        .unwrap()
        + 1;
    assert_eq!(last["cannot"][0]["line"], line);
    assert!(
        last["cannot"][0]["problem"]
            .as_str()
            .unwrap()
            .contains("from behind")
    );
    assert_eq!(
        told["alternatives"][0]["changes"][0]["is"],
        "Round(\"5/8\")"
    );
    assert!(told["alternatives"][1]["changes"][1]["is"].is_null());
}

#[test]
fn brings_and_clears_are_the_troubles_that_come_and_go() {
    let document = Document::parse(&alternatives_only(), "ways").unwrap();
    let chains = [
        document.clone(),
        document.alternative("Bottom rail").unwrap(),
    ]
    .map(|way| chain::run(way.job()).unwrap());
    let troubles = chains.each_ref().map(|chain| -> BTreeSet<String> {
        let troubles = chain.inspection.troubles();
        troubles.into_iter().map(trouble_id).collect()
    });
    let (brought, cleared) = brought_and_cleared(&chains[0], &chains[1]);
    let ids = |list: Vec<&Finding>| list.into_iter().map(trouble_id).collect::<BTreeSet<_>>();
    // It keeps the balusters' numbers, so names tell what came and went.
    assert!(!brought.is_empty());
    assert_eq!(ids(brought), &troubles[1] - &troubles[0]);
    assert_eq!(ids(cleared), &troubles[0] - &troubles[1]);
}

#[test]
fn the_text_is_a_table_of_eighty_columns() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "ways.ron", alternatives_only());
    let told = rakewell(&["compare", &path]);
    assert_eq!(told.status, 1, "{}", told.err);
    for words in [
        "as it stands",
        "A  Metal balusters",
        "as the client asked",
        "least gap",
        "cannot be set out",
        "brings  stop:",
    ] {
        assert!(told.out.contains(words), "{words}:\n{}", told.out);
    }
    assert!(
        told.out.lines().all(|line| line.chars().count() <= 80),
        "{}",
        told.out
    );
    let none = rakewell(&["compare"]);
    assert_eq!(none.status, 0, "{}", none.err);
    assert!(
        none.out.contains("No alternatives are written"),
        "{}",
        none.out
    );
}

#[test]
fn one_alternative_is_worked_on_as_if_it_were_the_job() {
    let folder = tempfile::tempdir().unwrap();
    // A flight without a trouble, whose inspection is short.
    let starter = include_str!("../../../scenes/straight.ron");
    let list = r#"    alternatives: [
        (name: "Lower rail", changes: [(field: "design.rail.height", is: "35")]),
"#;
    let text = starter.replacen("    alternatives: [\n", list, 1);
    assert_ne!(text, starter);
    let path = write(folder.path(), "ways.ron", &text);
    let made = Document::parse(&text, "ways")
        .unwrap()
        .alternative("Lower rail")
        .unwrap();
    let by_hand = write(folder.path(), "hand.ron", made.text());
    for command in ["setout", "inspect", "survey"] {
        let mut told = answer_of(&[command, "--json", &path, "--alternative", "Lower rail"]);
        let mut hand = answer_of(&[command, "--json", &by_hand]);
        assert_eq!(told["job"], "A straight flight: Lower rail");
        told["job"] = Value::Null;
        hand["job"] = Value::Null;
        assert_eq!(told, hand, "{command}");
    }
}

#[test]
fn an_alternative_that_is_not_there_or_cannot_be_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let text = alternatives_only();
    let path = write(folder.path(), "ways.ron", &text);
    let unknown = rakewell(&["setout", &path, "--alternative", "Metal baluster"]);
    assert_eq!(unknown.status, 2);
    assert!(
        unknown.err.contains("did you mean `Metal balusters`?"),
        "{}",
        unknown.err
    );
    let refused = rakewell(&["setout", &path, "--alternative", "From behind"]);
    assert_eq!(refused.status, 2);
    let line = text
        .lines()
        .position(|line| line.contains("is: \"W1\""))
        .unwrap()
        + 1;
    assert!(
        refused.err.contains(&format!("ways.ron:{line}:")),
        "{}",
        refused.err
    );
}

fn answer_of(args: &[&str]) -> Value {
    let told = rakewell(args);
    assert!(told.status < 2, "{}", told.err);
    serde_json::from_str(&told.out).unwrap()
}

#[test]
fn a_wrong_alternative_stops_every_command_at_its_line() {
    let folder = tempfile::tempdir().unwrap();
    let text = alternatives_only().replacen("Round(\"5/8\")", "Round(\"1/4\")", 1);
    let path = write(folder.path(), "ways.ron", &text);
    let line = text
        .lines()
        .position(|line| line.contains("is: \"1/2\""))
        .unwrap()
        + 1;
    for command in ["compare", "inspect", "setout"] {
        let told = rakewell(&[command, &path]);
        assert_eq!(told.status, 2);
        assert!(
            told.err.contains(&format!("ways.ron:{line}:")),
            "{}",
            told.err
        );
        assert!(
            told.err.contains("the peg is wider than the baluster"),
            "{}",
            told.err
        );
    }
}

#[test]
fn what_has_been_fitted_is_told_beside_its_plan() {
    let folder = tempfile::tempdir().unwrap();
    let text = with_ways();
    let path = write(folder.path(), "ways.ron", &text);
    let told = rakewell(&["setout", &path]);
    assert_eq!(told.status, 0, "{}", told.err);
    let (_, built) = told.out.split_once("As built\n").unwrap();
    for words in [
        "N1",
        "at its foot",
        "its top",
        "tread 3, place 1",
        "over nosing 2",
        "off by",
    ] {
        assert!(built.contains(words), "{words}:\n{built}");
    }
    assert!(told.out.lines().all(|line| line.chars().count() <= 80));
    let told = answer(&["setout", "--json", &path], 0);
    let built = told["built"].as_array().unwrap();
    assert_eq!(built.len(), 8);
    // The plan is the set-out of the same job with nothing fitted.
    let plan = answer(
        &[
            "setout",
            "--json",
            &write(folder.path(), "plan.ron", alternatives_only()),
        ],
        0,
    );
    let balusters = plan["balusters"].as_array().unwrap();
    let planned = balusters
        .iter()
        .find(|one| one["step"] == 3 && one["place"] == 1)
        .unwrap();
    let one = built
        .iter()
        .find(|one| one["field"] == "built[3]" && one["of"] == "forward")
        .unwrap();
    assert_eq!(one["part"], planned["id"]);
    let near = |told: &Value, ours: f64| assert!((told.as_f64().unwrap() - ours).abs() < 1e-9);
    let base = planned["base_mm"][0].as_f64().unwrap();
    near(&one["plan_mm"], base);
    near(&one["built_mm"], 20.875 * 25.4);
    near(&one["off_mm"], 20.875 * 25.4 - base);
    assert!(plan["built"].as_array().unwrap().is_empty());
}

#[test]
fn every_field_of_the_comparison_is_documented() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "ways.ron", alternatives_only());
    let mut found = BTreeSet::new();
    paths(&answer(&["compare", "--json", &path], 1), "", &mut found);
    let found: BTreeSet<String> = found.iter().map(|path| path.replace("[]", "")).collect();
    let told: BTreeSet<String> = documented("compare")
        .iter()
        .map(|path| path.replace("[]", ""))
        .collect();
    assert_eq!(found, told);
}
