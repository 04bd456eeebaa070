//! The machine answers: valid, documented field by field, exact.

use std::collections::BTreeSet;

use rakewell::chain;
use rakewell::job::Document;
use serde_json::Value;

use super::{DEMO, demo_inspected, demo_json, rakewell, write};

fn answer(args: &[&str]) -> Value {
    let told = rakewell(args);
    assert_eq!(told.err, "");
    serde_json::from_str(&told.out).unwrap()
}

fn answer_to(command: &str) -> Value {
    match command {
        "inspect" => demo_answer(),
        command => answer(&[command, "--json"]),
    }
}

fn demo_answer() -> Value {
    serde_json::from_str(&demo_json().out).unwrap()
}

/// The demo with a newel driven into its first baluster, treads between two skirts and a base for
/// them, so that every list has something in it.
fn crowded() -> String {
    let crowded = DEMO.replacen("move_by: \"0\"", "move_by: \"4\"", 1);
    assert_ne!(crowded, DEMO);
    let boarded = crowded.replacen(
        "\n    design: (",
        "\n    boards: (open_end: Skirt, treads: [(step: 3, front: 38, back: 38, left: 89, right: 90)],\n\
         base: (height: \"5 1/4\", thickness: \"3/4\")),\n    design: (",
        1,
    );
    assert_ne!(boarded, crowded);
    // One of its troubles let stand, and one that it has not.
    let boarded = boarded.replacen(
        "\n    design: (",
        "\n    lets_stand: [(trouble: \"clash:N1+B01\", because: \"to be cut\", was: \"1 in\"), \
         (trouble: \"opening:B98+B99\", because: \"gone\")],\n    \
         notes: [(from: (part: \"N1\", on: Face, at: (1.0, 0.5, 0.5)), \
         to: (part: \"B01\", on: Face, at: (0.0, 0.5, 0.5)))],\n    design: (",
        1,
    );
    // And what it is made of.
    let wood = "wood: (species: \"red oak\", fitted: 8, driest: 6, wettest: 11),";
    let wooden = boarded.replacen("\n    design: (", &format!("\n    design: (\n{wood}"), 1);
    assert_ne!(wooden, boarded);
    wooden
}

/// The starter with everything that fills the way under a rail and that the demo has not.
fn filled() -> [(&'static str, String); 2] {
    let starter = include_str!("../../../scenes/straight.ron")
        .replacen("Displaces(step: 1, balusters: 1)", "At(x: \"-1/2\")", 1)
        .replacen("Displaces(step: 13, balusters: 0)", "At(x: \"134\")", 1);
    let shoe = "on: Shoe(is: HalfWall, above: 3, thickness: 4, cap: (width: 5, thickness: 0.75), \
                shoe: (width: 2.25, thickness: 1), plough: (width: 1.25, depth: 0.25), \
                fillet: 0.25), section: Turned(square: 1.25, profile: [(up: 6, diameter: 1)])";
    let panels = "Panels(widths: Alike(count: 2, gap: 1), thickness: 0.5, foot: 1)";
    let shod = starter
        .replacen("section: Square(\"1 1/4\")", shoe, 1)
        .replacen("PerTread(count: 2)", "AlongRail()", 1);
    let panelled = starter.replacen("PerTread(count: 2)", panels, 1);
    [("shod.ron", shod), ("panelled.ron", panelled)]
}

/// The paths of everything in an answer, as `troubles[].parts[]`.
pub(crate) fn paths(value: &Value, path: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                let dot = if path.is_empty() { "" } else { "." };
                paths(value, &format!("{path}{dot}{name}"), found);
            }
        }
        Value::Array(items) => {
            found.insert(format!("{path}[]"));
            for item in items.iter().filter(|item| item.is_object()) {
                paths(item, &format!("{path}[]"), found);
            }
        }
        _ => {
            found.insert(path.to_owned());
        }
    }
}

/// The paths that a table of `DEVELOPERS.md` names, points and other fixed lists without `[]`.
pub(crate) fn documented(section: &str) -> BTreeSet<String> {
    let text = include_str!("../../../DEVELOPERS.md");
    let (_, rest) = text.split_once(&format!("### {section}\n")).unwrap();
    let table = rest.split("\n#").next().unwrap();
    let cells = table.lines().filter_map(|line| line.split('|').nth(1));
    cells
        .flat_map(|cell| cell.split('`').skip(1).step_by(2))
        .map(|path| path.trim_end_matches('?').to_owned())
        .collect()
}

#[test]
fn every_field_is_documented_and_every_documented_field_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "crowded.ron", crowded());
    // A survey with slips in it.
    let surveyed = write(folder.path(), "surveyed.ron", super::SURVEYED);
    // Cuts and parts received.
    let fitted = include_str!("../setout/fitted.ron");
    let fitted = write(folder.path(), "fitted.ron", fitted);
    // One with parts that have been fitted.
    let ways = write(folder.path(), "ways.ron", super::compare::with_ways());
    // Rails over newels, a handrail on the wall side, a half newel; then a newel set on top.
    let railing = crate::setout::rails::RAILING;
    let on_top = railing.replacen(
        "section: Square(\"3 1/2\"),",
        "section: Square(\"3 1/2\"), foot: Box(sides: \"3/4\", block: \"5 1/2\"),",
        1,
    );
    let bears = railing.replacen("from: \"2\"", "from: \"1 1/4\"", 1);
    let railings = [("railing.ron", on_top), ("bears.ron", bears)]
        .map(|(name, text)| write(folder.path(), name, text));
    // Two flights with winders between them.
    let winders = include_str!("../../../scenes/winders.ron");
    let turning = write(folder.path(), "turning.ron", winders);
    // Under rules that know no finger recess.
    let accessible = crowded().replacen("us-residential-2021", "us-accessible-2010", 1);
    let accessible = write(folder.path(), "accessible.ron", accessible);
    // A shoe and turned balusters; panels.
    let filled = filled().map(|(name, text)| write(folder.path(), name, text));
    for command in ["inspect", "setout", "survey"] {
        let mut found = BTreeSet::new();
        if command == "setout" {
            paths(&answer(&[command, "--json", &fitted]), "", &mut found);
        }
        paths(&answer_to(command), "", &mut found);
        paths(&answer(&[command, "--json", &surveyed]), "", &mut found);
        paths(&answer(&[command, "--json", &path]), "", &mut found);
        paths(&answer(&[command, "--json", &ways]), "", &mut found);
        if command == "setout" {
            for path in railings.iter().chain(&filled) {
                paths(&answer(&[command, "--json", path]), "", &mut found);
            }
        }
        if command == "inspect" {
            paths(&answer(&[command, "--json", &accessible]), "", &mut found);
        }
        if command != "inspect" {
            // Of several runs, each with the fields that the first has at the top.
            let answer = answer(&[command, "--json", &turning]);
            let mut of_runs = BTreeSet::new();
            paths(&answer, "", &mut of_runs);
            let own = ["name", "mark", "origin_mm[]", "turn_deg"];
            found.extend(of_runs.iter().filter_map(|path| {
                let inside = path.strip_prefix("runs[].").unwrap_or(path);
                // Newels of an earlier run are told as its own are.
                let inside = inside.replace("given[].", "newels[].");
                (!own.contains(&inside.as_str())).then_some(inside)
            }));
        }
        let told = documented(command);
        for path in &found {
            let fixed = path.strip_suffix("[]").unwrap_or(path);
            assert!(
                told.contains(path) || told.contains(fixed),
                "{command}: {path} is not told of"
            );
        }
        for path in &told {
            let listed = format!("{path}[]");
            assert!(
                found.contains(path) || found.contains(&listed),
                "{command}: no {path}"
            );
        }
    }
}

/// Fields that may be `null`, as their names in `DEVELOPERS.md` end in `?`.
#[test]
fn nothing_else_is_null() {
    fn nulls(value: &Value, path: &str, found: &mut Vec<String>) {
        match value {
            Value::Object(fields) => {
                for (name, value) in fields {
                    nulls(value, &format!("{path}.{name}"), found);
                }
            }
            Value::Array(items) => {
                for item in items {
                    nulls(item, &format!("{path}[]"), found);
                }
            }
            Value::Null => found.push(path.trim_start_matches('.').to_owned()),
            _ => {}
        }
    }
    let text = include_str!("../../../DEVELOPERS.md");
    for command in ["inspect", "setout"] {
        let mut found = Vec::new();
        nulls(&answer_to(command), "", &mut found);
        for path in found {
            assert!(
                text.contains(&format!("`{path}`?")),
                "{command}: {path} is null"
            );
        }
    }
}

#[test]
fn troubles_are_the_ones_that_the_text_tells() {
    let answer = demo_answer();
    assert_eq!(answer["format"], 1);
    let troubles = answer["troubles"].as_array().unwrap();
    let text = &demo_inspected().out;
    assert!(
        text.contains(&format!("\n{:>3}  ", troubles.len())),
        "{text}"
    );
    assert!(
        !text.contains(&format!("\n{:>3}  ", troubles.len() + 1)),
        "{text}"
    );
    let ids: BTreeSet<&str> = troubles.iter().map(|t| t["id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), troubles.len(), "ids are unique");
    for trouble in troubles {
        let number = |name: &str| trouble[name].as_f64().unwrap();
        let (value, limit) = (number("value_mm"), number("limit_mm"));
        assert!(number("lower_mm") <= value && value <= number("upper_mm"));
        let past = match trouble["sense"].as_str().unwrap() {
            "at-least" => value < limit,
            "at-most" => value > limit,
            "under" => value >= limit,
            other => panic!("{other}"),
        };
        assert!(past || trouble["verdict"] == "too-close", "{trouble}");
    }
    // The worst come first.
    let rank = |t: &Value| {
        ["stop", "fix", "remark"]
            .iter()
            .position(|s| t["severity"] == *s)
    };
    assert!(troubles.is_sorted_by_key(rank));
}

#[test]
fn shares_and_remainder_make_up_the_departure_from_true() {
    let answer = demo_answer();
    let mut checked = 0;
    for trouble in answer["troubles"].as_array().unwrap() {
        let Some(when_true) = trouble["when_true_mm"].as_f64() else {
            continue;
        };
        let because = trouble["because"].as_array().unwrap();
        let shares: f64 = because
            .iter()
            .map(|b| b["share_mm"].as_f64().unwrap())
            .sum();
        let whole = shares + trouble["remainder_mm"].as_f64().unwrap();
        let departure = trouble["value_mm"].as_f64().unwrap() - when_true;
        assert!((whole - departure).abs() < 1e-6, "{trouble}");
        checked += 1;
    }
    assert!(checked > 0);
}

#[test]
fn at_least_leaves_milder_troubles_out() {
    let answer = answer(&["inspect", "--json", "--at-least", "stop"]);
    let troubles = answer["troubles"].as_array().unwrap();
    assert!(!troubles.is_empty());
    assert!(troubles.iter().all(|trouble| trouble["severity"] == "stop"));
}

/// The number that a field holds is the library's. The text holds it exactly; `serde_json` as built
/// here reads it back to within a unit in the last place.
fn same(told: &Value, ours: f64) -> bool {
    let told = told.as_f64().unwrap();
    (told - ours).abs() <= 2.0 * f64::EPSILON * ours.abs()
}

#[test]
fn numbers_are_the_librarys_own() {
    let document = Document::parse(DEMO, "demo").unwrap();
    let chain = chain::run(document.job()).unwrap();
    let setout = answer(&["setout", "--json"]);
    let gaps = setout["gaps"].as_array().unwrap();
    assert_eq!(gaps.len(), chain.first().setout.gaps.len());
    for (told, gap) in gaps.iter().zip(&chain.first().setout.gaps) {
        assert!(same(&told["clear_mm"], gap.clear.as_mm()), "{told}");
        assert_eq!(told["clear"], document.job().tape.print(gap.clear));
    }
    let balusters = setout["balusters"].as_array().unwrap();
    for (told, baluster) in balusters.iter().zip(&chain.first().setout.balusters) {
        assert_eq!(told["id"], baluster.name);
        assert!(
            same(&told["length_mm"], baluster.long_point.as_mm()),
            "{told}"
        );
    }
    let inspected = demo_answer();
    let openings = inspected["openings"].as_array().unwrap();
    assert_eq!(openings.len(), chain.inspection.openings.len());
    for (told, opening) in openings.iter().zip(&chain.inspection.openings) {
        assert!(same(&told["ball_mm"], opening.ball.as_mm()), "{told}");
        assert!(
            same(&told["ball_upper_mm"], opening.ball_upper.as_mm()),
            "{told}"
        );
    }
}
