//! Every limit of every pack against what public statements of its clause print.
//!
//! The table `statements.ron` says for each rule who states the limit, and how. It was written from
//! the statements themselves, each read; a rule without two of them must be listed here by name, and
//! its pack must tell its reader so.

use std::collections::{BTreeMap, BTreeSet};

use super::shipped;
use rakewell::measure::{Length, Typed, Unit, parse_angle, parse_force, parse_length};
use rakewell::rules::{self, GripSizes, Limit, Pack, Quantity, Rule};
use serde::Deserialize;

/// The limits that were read in one text only.
const IN_ONE_TEXT: [(&str, Quantity); 26] = [
    ("us-residential-2024", Quantity::RailOverNosings),
    ("us-residential-2024", Quantity::RailReturnGap),
    ("us-commercial-2021", Quantity::WallClearance),
    ("us-commercial-2021", Quantity::HandrailRisers),
    ("us-commercial-2021", Quantity::HandrailBothWidth),
    ("us-commercial-2021", Quantity::Grip),
    ("us-commercial-2021", Quantity::ExtensionTop),
    ("us-commercial-2021", Quantity::ExtensionBottom),
    ("us-commercial-2021", Quantity::TopLoad),
    ("us-commercial-2021", Quantity::TopLineLoad),
    ("us-accessible-2010", Quantity::HandrailRisers),
    ("us-accessible-2010", Quantity::ExtensionBottom),
    ("uk-private-2013", Quantity::WinderLeastDepth),
    ("uk-private-2013", Quantity::HandrailRisers),
    ("uk-common-2013", Quantity::LandingDepth),
    ("canada-housing-2020", Quantity::FlightRise),
    ("canada-housing-2020", Quantity::OpeningTriangle),
    ("canada-housing-2020", Quantity::GuardDrop),
    ("australia-housing-2022", Quantity::RiseVariation),
    ("australia-housing-2022", Quantity::TreadVariation),
    ("australia-housing-2022", Quantity::GoingAdjacent),
    ("australia-housing-2022", Quantity::HandrailLow),
    ("australia-public-2022", Quantity::WidthClear),
    ("germany-dwelling-2020", Quantity::LandingNarrower),
    ("germany-dwelling-2020", Quantity::HandrailBothWidth),
    // The last sizes of the finger recess; the others have two.
    ("us-residential-2021", Quantity::Grip),
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    sources: BTreeMap<String, String>,
    statements: Vec<Statement>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Statement {
    pack: String,
    quantity: Quantity,
    /// Who states it, and the limit as they print it.
    read: Vec<(String, String)>,
    /// Known from memory too, where it was read in one text.
    #[serde(default)]
    memory: bool,
}

fn table() -> Table {
    ron::from_str(include_str!("statements.ron")).unwrap_or_else(|error| panic!("{error}"))
}

fn millimetres(text: &str) -> f64 {
    // No statement prints a bare number as a length.
    assert!(text.parse::<f64>().is_err(), "{text}");
    parse_length(text, Unit::Inches).unwrap().as_mm()
}

/// The sizes of a grip in the order in which statements list them.
fn sizes(grip: &GripSizes) -> Vec<f64> {
    let mut all = vec![
        &grip.round_least,
        &grip.round_most,
        &grip.perimeter_least,
        &grip.perimeter_most,
        &grip.section_most,
    ];
    if let Some(recess) = &grip.recess {
        all.extend([
            &recess.begins_within,
            &recess.depth,
            &recess.depth_within,
            &recess.continues,
            &recess.down_to,
            &recess.width_least,
            &recess.width_most,
        ]);
    }
    all.into_iter().map(Typed::mm).collect()
}

/// How many numbers of a rule a statement prints, all of which must be the rule's.
fn agrees(rule: &Rule, prints: &str) -> usize {
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-6, "{prints}: {a} {b} {rule:?}");
    match &rule.limit {
        Limit::Length(length) => near(length.mm(), millimetres(prints)),
        Limit::Slope(climb, run) => {
            let (a, b) = prints.split_once(':').unwrap();
            near(
                climb / run,
                a.parse::<f64>().unwrap() / b.parse::<f64>().unwrap(),
            );
        }
        Limit::Pitch(angle) => {
            let printed = parse_angle(prints.trim_end_matches(" degrees")).unwrap();
            near(angle.value.as_degrees(), printed.as_degrees());
        }
        Limit::Count(count) => assert_eq!(count.to_string(), prints),
        Limit::Treads(treads) => near(*treads, prints.parse().unwrap()),
        Limit::Load { force, .. } => {
            let printed = parse_force(prints).unwrap();
            assert_eq!(force.value.spread(), printed.spread(), "{prints}");
            near(force.value.as_newtons(), printed.as_newtons());
        }
        Limit::Grip(grip) => {
            let printed: Vec<f64> = prints.split(", ").map(millimetres).collect();
            let own = sizes(grip);
            assert!(printed.len() >= 5, "{prints}");
            for (a, b) in own.iter().zip(&printed) {
                near(*a, *b);
            }
            return printed.len();
        }
        Limit::ByEye => assert_eq!(prints, "look"),
    }
    1
}

/// True where two statements print every number of the rule.
fn is_in_two(rule: &Rule, statement: &Statement) -> bool {
    let needed = match &rule.limit {
        Limit::Grip(grip) => sizes(grip).len(),
        _ => 1,
    };
    let whole = statement
        .read
        .iter()
        .filter(|(_, prints)| agrees(rule, prints) >= needed);
    whole.count() >= 2
}

#[test]
fn every_limit_is_what_two_public_statements_print() {
    let table = table();
    let mut in_one: BTreeSet<(String, Quantity)> = BTreeSet::new();
    for name in rules::names() {
        let pack = shipped(name);
        let of_pack = table.statements.iter().filter(|one| one.pack == name);
        assert_eq!(of_pack.count(), pack.rules.len(), "{name}");
        for rule in &pack.rules {
            let statement = table
                .statements
                .iter()
                .find(|one| one.pack == name && one.quantity == rule.quantity)
                .unwrap_or_else(|| panic!("{name}: nobody states {:?}", rule.quantity));
            let mut who: Vec<&String> = statement.read.iter().map(|(who, _)| who).collect();
            assert!(who.iter().all(|who| table.sources.contains_key(*who)));
            who.sort();
            who.dedup();
            assert_eq!(
                who.len(),
                statement.read.len(),
                "{name}: {:?}",
                rule.quantity
            );
            if is_in_two(rule, statement) {
                assert!(!statement.memory, "{name}: {:?}", rule.quantity);
            } else {
                in_one.insert((name.to_owned(), rule.quantity));
            }
        }
    }
    let mut listed: BTreeSet<(String, Quantity)> = IN_ONE_TEXT
        .iter()
        .map(|(name, quantity)| ((*name).to_owned(), *quantity))
        .collect();
    listed.insert(("us-residential-2024".to_owned(), Quantity::Grip));
    assert_eq!(in_one, listed);
    for (name, _) in &listed {
        let note = &shipped(name).note;
        assert!(
            note.contains("one text only"),
            "{name} does not tell: {note}"
        );
    }
}

#[test]
fn every_pack_tells_its_country_units_use_and_when_it_was_read() {
    for name in rules::names() {
        let pack = shipped(name);
        assert_eq!(pack.name, name);
        for words in ["summary", "govern", "Read on 2026-11-28", "Ask "] {
            assert!(pack.note.contains(words), "{name}: {words}");
        }
        let metric = pack.rules.iter().any(is_metric);
        assert_eq!(pack.units == Unit::Millimetres, metric, "{name}");
        for rule in &pack.rules {
            let edition = rule.edition.as_ref().unwrap_or(&pack.edition);
            assert!(rule.clause.starts_with(edition), "{name}: {}", rule.clause);
            assert!(!rule.quantity.shown_by().is_empty());
        }
    }
    let countries: BTreeSet<String> = rules::names()
        .into_iter()
        .map(|name| shipped(name).country.clone())
        .collect();
    assert_eq!(countries.len(), 5, "{countries:?}");
}

fn is_metric(rule: &Rule) -> bool {
    matches!(&rule.limit, Limit::Length(length) if length.text.ends_with("mm"))
}

/// Commercial and accessible limits as their texts print them beside each other: risers 4 to 7 in,
/// treads 11 in, rails 34 to 38 in (IBC 1009.3, 1009.11.1 and ADA 504.2, 505.4 in the Access Board's
/// comparison); they must agree in the two packs.
#[test]
fn the_american_packs_agree_where_their_texts_do() {
    let (commercial, accessible) = (shipped("us-commercial-2021"), shipped("us-accessible-2010"));
    for quantity in [
        Quantity::RiseMax,
        Quantity::RiseLeast,
        Quantity::TreadDepth,
        Quantity::HandrailLow,
        Quantity::HandrailHigh,
        Quantity::WallClearance,
        Quantity::ExtensionTop,
    ] {
        let length = |pack: &Pack| pack.length(quantity).map(Length::as_mm);
        assert_eq!(length(&commercial), length(&accessible), "{quantity:?}");
        assert!(length(&commercial).is_some());
    }
}

/// Each rule that is not shown says what to do, and only the infill's words are the infill's.
#[test]
fn what_shows_a_rule_is_told_for_each_quantity() {
    for quantity in Quantity::ALL {
        let told = quantity.shown_by();
        assert!(told.len() > 20, "{quantity:?}: {told}");
        let of_infill = told.contains("what: Infill");
        assert_eq!(of_infill, quantity == Quantity::InfillLoad, "{quantity:?}");
    }
}
