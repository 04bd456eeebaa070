//! `stock` as a person runs it.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::cli::json::{documented, paths};
use crate::cli::{DEMO, rakewell, write};

use super::SCENES;

const SHOP: &str = r#"
    shop: (
        kerf: "1/8", trim: "3/4", currency: "USD",
        stock: [
            (of: Rail, lengths: [(is: "12'", price: 96), (is: "16'", price: 131)]),
            (of: Balusters, wide: "1 1/4", lengths: [(is: "8'", price: 11.5), (is: "12'")]),
            (of: Treads, lengths: [(is: "8'", price: 62), (is: "10'", price: 75, count: 3),
                (is: "12'", price: 30, defects: [(from: "40", to: "42 1/2")])]),
            (of: Kicks, lengths: [(is: "8'", price: 18), (is: "12'", price: 26)]),
        ],
        matched: [["K1", "K2", "K3"]],
        spares: (bad: 0.03, sure: 0.95),
        rates: (tread: 0.5, kick: 0.25, newel: 3, baluster: 0.3, trouble: 2),
        hours: [(on: Treads, hours: 4.5), (on: Treads, hours: 3), (on: Newels, hours: 4)],
    ),
"#;

/// The demo with a shop.
fn job(shop: &str) -> String {
    let text = DEMO.replacen("\n    design: (", &format!("{shop}\n    design: ("), 1);
    assert_ne!(text, DEMO);
    text
}

fn json(args: &[&str], status: i32) -> Value {
    let told = rakewell(&[&["stock", "--json"], args].concat());
    assert_eq!(told.status, status, "{}", told.err);
    serde_json::from_str(&told.out).unwrap()
}

#[test]
fn every_field_is_documented_and_every_documented_field_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let good = write(folder.path(), "good.ron", job(SHOP));
    // Too few boards, a piece that is not there, a price list with a gap.
    let short = SHOP
        .replacen(
            "(is: \"12'\", price: 26)",
            "(is: \"12'\", price: 26, count: 1)",
            1,
        )
        .replacen(
            "(is: \"8'\", price: 18)",
            "(is: \"8'\", price: 18, count: 1)",
            1,
        )
        .replacen("\"K3\"]", "\"K3\"], [\"R1\", \"R7\"]", 1);
    // And what was delivered.
    let came = "\n    received: (balusters: [(mark: \"a1\")]),\n    design: (";
    let short = job(&short).replacen("\n    design: (", came, 1);
    let short = write(folder.path(), "short.ron", short);
    let prices =
        "item,length,price,currency\nbaluster,12',17,USD\nnewel,,,USD\nadhesive,,7.5,USD\n";
    let prices = write(folder.path(), "prices.csv", prices);
    let mut found = BTreeSet::new();
    paths(&json(&[&good], 0), "", &mut found);
    paths(&json(&[&short, "--prices", &prices], 2), "", &mut found);
    let winders = write(folder.path(), "winders.ron", SCENES[13].1);
    paths(&json(&[&winders], 0), "", &mut found);
    let plain = |all: &BTreeSet<String>| -> BTreeSet<String> {
        all.iter().map(|path| path.replace("[]", "")).collect()
    };
    assert_eq!(plain(&found), plain(&documented("stock")));
}

#[test]
fn a_job_with_a_shop_is_planned_priced_and_timed() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "good.ron", job(SHOP));
    let answer = json(&[&path], 0);
    let plans = answer["plans"].as_array().unwrap();
    let of = |of: &str| plans.iter().find(|one| one["of"] == of).unwrap();
    // The demo has 14 rises, 13 treads and 25 balusters.
    assert_eq!(of("Kicks")["pieces"], 14);
    assert_eq!(of("Treads")["pieces"], 13);
    assert!(of("Balusters")["pieces"].as_u64() > Some(25));
    assert_eq!(of("Kicks")["proven"], true);
    // One length of baluster has no price, so these are cut from the least length.
    assert_eq!(of("Balusters")["cheap_in"], "length");
    let boards = of("Kicks")["boards"].as_array().unwrap();
    let labels = |board: &Value| -> Vec<String> {
        let cuts = board["cuts"].as_array().unwrap().iter();
        cuts.map(|cut| cut["label"].as_str().unwrap().to_owned())
            .collect()
    };
    let matched = boards
        .iter()
        .map(labels)
        .find(|all| all.contains(&"K2".to_owned()));
    let matched = matched.unwrap();
    let first = matched.iter().position(|label| label == "K1").unwrap();
    assert_eq!(matched[first..first + 3], ["K1", "K2", "K3"]);
    // 13 treads at half an hour, 14 kicks at a quarter: by hand.
    let lines = answer["hours"]["lines"].as_array().unwrap();
    let line = |work: &str| lines.iter().find(|one| one["work"] == work).unwrap();
    assert_eq!(line("tread")["planned"], 6.5);
    assert_eq!(line("tread")["spent"], 7.5);
    assert_eq!(line("kick")["planned"], 3.5);
    assert!(line("notch")["planned"].is_null());
    let without = answer["hours"]["without"].as_array().unwrap();
    assert!(without.contains(&Value::from("notch")));
    let bought = answer["buy"]["lines"].as_array().unwrap();
    // Two screws of 0.164 in on each of three stringers, 2 1/2 in into 13 treads, 2 in into 14 kicks.
    for (inches, count) in [(2.5, 13 * 3 * 2), (2.0, 14 * 3 * 2)] {
        let size = |one: &Value, field: &str| one[field].as_f64().unwrap_or(0.0) / 25.4;
        let mut screws = bought.iter().filter(|one| {
            one["item"] == "screw"
                && (size(one, "length_mm") - inches).abs() < 1e-9
                && (size(one, "diameter_mm") - 0.164).abs() < 1e-9
        });
        assert_eq!(screws.next().unwrap()["buy"], count);
        assert!(screws.next().is_none());
    }
    let plugs = bought.iter().find(|one| one["item"] == "plug").unwrap();
    assert!(plugs["buy"].as_u64().unwrap() >= 13 * 3 * 2 + 14 * 3 * 2);
    assert!(plugs["cost"].is_null());
    let without = answer["buy"]["without"].as_array().unwrap();
    assert!(without.contains(&Value::from("plug")));
}

#[test]
fn what_goes_on_no_board_is_told_with_what_would_do() {
    let folder = tempfile::tempdir().unwrap();
    let shop = "\n shop: (stock: [(of: Newels, lengths: [(is: \"4'\", price: 60)])]),";
    let path = write(folder.path(), "short.ron", job(shop));
    let told = rakewell(&["stock", &path]);
    assert_eq!(told.status, 2);
    // 48 in with its cap of 1 5/8 in, 1 in longer for cutting, and up to the next mark as the finished
    // length lies between two; the board's 48 in less half an inch at either end.
    assert!(told.err.contains("N1 needs 47 7/16\""), "{}", told.err);
    assert!(told.err.contains("the longest clear stretch is 47\""));
    assert!(told.err.contains("A board 7/16\" longer would do"));
    // The rest is answered all the same.
    assert!(told.out.contains("To buy"));
    let missing = rakewell(&["stock", &path, "--prices", "no-such.csv"]);
    assert_eq!(missing.status, 2);
    assert!(missing.err.contains("cannot read no-such.csv"));
}

/// A price list alone is at fault: an item that is nothing here, and one that is lacking.
#[test]
fn a_price_list_is_answered_as_what_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let odd = write(
        folder.path(),
        "odd.csv",
        "item,length,price\r\nscrew,,0.1\r\nwidget,,1\r\n",
    );
    let told = rakewell(&["stock", "--prices", &odd]);
    assert_eq!(told.status, 2);
    assert!(told.err.contains("odd.csv:3: \"widget\""), "{}", told.err);
    let good = write(folder.path(), "good.csv", "item,length,price\nscrew,,0.1\n");
    let told = rakewell(&["stock", "--prices", &good]);
    assert_eq!(told.status, 0, "{}", told.err);
    assert!(!told.out.contains("--prices"), "{}", told.out);
    assert!(told.out.contains("the price list has no price for them"));
    for item in ["newel cap", "block"] {
        assert!(told.out.contains(item), "{item}: {}", told.out);
    }
}

#[test]
fn without_a_shop_it_says_what_to_type() {
    let told = rakewell(&["stock"]);
    assert_eq!(told.status, 0, "{}", told.err);
    for part in [
        "No boards are given for",
        "No prices are known",
        "No rates are given",
    ] {
        assert!(told.out.contains(part), "{part}");
    }
    assert!(told.out.lines().all(|line| line.chars().count() <= 88));
}

#[test]
fn boards_are_drawn_and_cuts_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "good.ron", job(SHOP));
    let boards = folder.path().join("boards");
    let csv = folder.path().join("cuts.csv");
    let args = [
        "stock",
        &path,
        "--boards",
        boards.to_str().unwrap(),
        "--csv",
        csv.to_str().unwrap(),
    ];
    let told = rakewell(&args);
    assert_eq!(told.status, 0, "{}", told.err);
    let mut drawn: Vec<_> = std::fs::read_dir(&boards).unwrap().collect();
    assert_eq!(drawn.len(), 4);
    for file in drawn.drain(..) {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        assert!(text.starts_with("<svg") && text.trim_end().ends_with("</svg>"));
        // Black and white alone.
        let colours = text.split('"').filter(|one| one.starts_with('#'));
        for colour in colours {
            assert!(["#000000", "#ffffff"].contains(&colour), "{colour}");
        }
    }
    let mut rows = csv::Reader::from_path(&csv).unwrap();
    let lines: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    // One board in the shop has a defect: it is told in the text and among the cuts.
    assert!(told.out.contains("skip 40\" to 42 1/2\""), "{}", told.out);
    assert!(told.out.contains("Mark the end of such a board"));
    assert!(lines.iter().any(|row| row.get(5) == Some("(skip)")));
    let kicks = lines.iter().filter(|row| row.get(0) == Some("kick"));
    assert_eq!(kicks.count(), 14);
    for row in &lines {
        let mm = |at: usize| row[at].parse::<f64>().unwrap();
        assert!((mm(7) - mm(6) - mm(8)).abs() < 1e-3);
        assert!(mm(7) < mm(4) + 1e-3);
    }
}
