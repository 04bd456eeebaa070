//! Whether a guard or a handrail is asked at all, what is not asked, and what an anchor detail shows.
//!
//! Guards: R312.1.1 and R321.1.1 ask one where one falls more than 30 in; Approved Document K 1.41
//! more than 600 mm; the Housing Provisions 11.3.3 from 1000 mm on. Handrails: R311.7.8 from four
//! risers on; Approved Document K 1.34 on both sides from 1000 mm of width. Loads: 200 lb on the top
//! and 50 lb on a square foot of infill (Table R301.5).

use rakewell::chain::{self, Chain};
use rakewell::inspect::{Finding, Kind, Severity, Verdict};
use rakewell::job::Document;
use rakewell::publish::{Report, RuleLine, rule_lines};
use rakewell::rules::Quantity;

const STRAIGHT: &str = include_str!("../../../scenes/straight.ron");

/// The straight flight with some of its text changed.
pub(super) fn changed(changes: &[(&str, &str)]) -> Document {
    let mut text = STRAIGHT.to_owned();
    for (old, new) in changes {
        assert!(text.contains(old), "{old:?}");
        text = text.replace(old, new);
    }
    Document::parse(&text, "flight").unwrap_or_else(|faults| panic!("{faults}"))
}

/// Where the starter's readings begin.
pub(super) const READ: &str = "readings: [\n            // Rise";

/// Every rise and going read, each as much: what nobody read is not shown to be met.
pub(super) fn all_read(rise: &str, going: &str) -> String {
    let read = (1..=14).map(|step| {
        let going = (step < 14).then(|| format!("Going(step: {step}, is: \"{going}\"), "));
        format!(
            "Rise(step: {step}, is: \"{rise}\"), {}",
            going.unwrap_or_default()
        )
    });
    format!(
        "readings: [\n{}\n            // Rise",
        read.collect::<String>()
    )
}

pub(super) fn run(document: &Document) -> Chain {
    chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"))
}

/// A flight of so many kicks under a pack.
fn flight(pack: &str, count: u32, rise: &str, more: &[(&str, &str)]) -> Document {
    let (kicks, last) = (format!("count: {count},"), format!("step: {}", count - 1));
    let rise = format!("rise: \"{rise}\"");
    let mut changes = vec![
        ("us-residential-2024", pack),
        ("count: 14,", kicks.as_str()),
        ("step: 13", last.as_str()),
        ("rise: \"7 1/2\"", rise.as_str()),
    ];
    changes.extend_from_slice(more);
    changed(&changes)
}

pub(super) fn line<R>(
    document: &Document,
    quantity: Quantity,
    told: impl FnOnce(&RuleLine<'_>) -> R,
) -> R {
    let chain = run(document);
    let report = Report {
        job: document.job(),
        chain: &chain,
        troubles: &[],
    };
    let lines = rule_lines(&report);
    let line = lines.iter().find(|one| one.rule.quantity == quantity);
    told(line.unwrap_or_else(|| panic!("no line for {quantity:?}")))
}

fn missing(document: &Document) -> Vec<Finding> {
    let mut found = run(document).inspection.findings;
    found.retain(|one| one.key.kind == Kind::Missing && one.is_trouble());
    found
}

#[test]
fn a_guard_is_asked_by_the_drop_beside_the_highest_tread() {
    // Four treads of 7 1/2 in: 30 in is not more than 30; of 7 9/16, 30 1/4 is. Three of 200 mm: 600
    // is not more than 600. Five of 200 mm fall 1000, from where Australia asks.
    for (pack, count, rise, asked) in [
        ("us-residential-2024", 5, "7 1/2", false),
        ("us-residential-2024", 5, "7 9/16", true),
        ("us-residential-2021", 14, "7 1/2", true),
        ("uk-private-2013", 4, "200 mm", false),
        ("uk-private-2013", 4, "201 mm", true),
        ("australia-housing-2022", 6, "199 mm", false),
        ("australia-housing-2022", 6, "200 mm", true),
    ] {
        // A rail that is there to hold guards nothing; one that guards keeps its rules anyhow.
        let document = flight(pack, count, rise, &[("duty: Both,", "duty: Handrail,")]);
        for quantity in [
            Quantity::GuardDrop,
            Quantity::GuardLow,
            Quantity::OpeningStair,
        ] {
            line(&document, quantity, |line| {
                let unasked = line.not_asked.is_some();
                assert_eq!(unasked, !asked, "{pack} {rise}: {line:?}");
                if unasked {
                    assert_eq!((line.verdict, line.findings), (Verdict::NotShown, 0));
                    assert!(line.measure.is_none());
                }
            });
        }
        let inspection = run(&document).inspection;
        assert_eq!(inspection.openings.is_empty(), !asked, "{pack} {rise}");
        line(&document, Quantity::GuardDrop, |line| {
            assert_eq!(line.verdict == Verdict::Broken, asked, "{line:?}");
        });
        let guarded = run(&flight(pack, count, rise, &[])).inspection;
        assert!(!guarded.openings.is_empty(), "{pack} {rise}");
    }
}

#[test]
fn a_rail_to_hold_only_is_no_guard() {
    let document = changed(&[("duty: Both,", "duty: Handrail,")]);
    let found = missing(&document);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].severity, Severity::Stop);
    assert_eq!(found[0].source, "IRC 2024 R321.1.1");
    // Thirteen treads of 7 1/2 in.
    assert!((found[0].value().as_inches() - 97.5).abs() < 1e-9);
    line(&document, Quantity::GuardDrop, |line| {
        assert_eq!(line.verdict, Verdict::Broken);
        let remark = line.remark.as_ref().unwrap();
        assert!(remark.contains("97 1/2"), "{remark}");
    });
}

#[test]
fn a_handrail_is_asked_from_four_rises_on() {
    let guard = ("duty: Both,", "duty: Guard,");
    for (count, asked) in [(3, false), (4, true), (14, true)] {
        let document = flight("us-residential-2024", count, "7 1/2", &[guard]);
        let handrails: Vec<Finding> = missing(&document)
            .into_iter()
            .filter(|one| one.key.parts.last().is_some_and(|what| what == "handrail"))
            .collect();
        assert_eq!(handrails.len(), usize::from(asked), "{count}");
        line(&document, Quantity::HandrailRisers, |line| {
            assert_eq!(line.not_asked.is_none(), asked, "{line:?}");
            assert_eq!(line.verdict == Verdict::Broken, asked, "{line:?}");
        });
        line(&document, Quantity::HandrailHigh, |line| {
            assert_eq!(line.not_asked.is_none(), asked, "{line:?}");
            assert_ne!(line.verdict, Verdict::Met);
        });
    }
}

#[test]
fn a_wide_stair_asks_for_a_rail_on_both_sides() {
    let wide = |width| [("width: \"38\"", width), ("-35 3/4", "-60")];
    for (width, asked) in [("width: \"999 mm\"", false), ("width: \"1000 mm\"", true)] {
        let document = flight("uk-private-2013", 14, "190 mm", &wide(width));
        let found = missing(&document);
        assert_eq!(found.len(), usize::from(asked), "{width}: {found:?}");
        line(&document, Quantity::HandrailBothWidth, |line| {
            assert_eq!(line.not_asked.is_none(), asked, "{line:?}");
            assert_eq!(line.verdict == Verdict::Broken, asked);
        });
    }
}

#[test]
fn what_a_stair_has_not_is_not_asked_of_it() {
    let document = changed(&[]);
    for (quantity, why) in [
        (Quantity::WinderWalkDepth, "no winders"),
        (Quantity::GuardLevel, "no level run"),
        (Quantity::OpeningLevel, "no level run"),
        (Quantity::OpeningTriangle, "stand on the treads"),
        (Quantity::RailProjection, "no handrail on a wall"),
        (Quantity::WidthTwoRails, "one side only"),
    ] {
        line(&document, quantity, |line| {
            let told = line.not_asked.as_ref().unwrap();
            assert!(told.contains(why), "{quantity:?}: {told}");
            assert_eq!(line.verdict, Verdict::NotShown);
            assert!(line.worst.is_none() && line.margin.is_none());
        });
    }
}

/// Rises of 7 1/2 in under a limit of 7 3/4 keep 1/4 in, and treads of 10 1/4 over 10 as much.
#[test]
fn a_met_rule_tells_its_value_and_its_margin() {
    let read = all_read("7 1/2", "10 1/4");
    let document = changed(&[(READ, &read)]);
    for (quantity, value) in [(Quantity::RiseMax, 7.5), (Quantity::TreadDepth, 10.25)] {
        line(&document, quantity, |line| {
            assert_eq!(line.verdict, Verdict::Met);
            let (worst, _) = line.worst.unwrap();
            assert!((worst.as_inches() - value).abs() < 1e-9);
            assert!((line.margin.unwrap().as_inches() - 0.25).abs() < 1e-9);
        });
    }
}

/// Two rails: the guard of 42 in is higher than a handrail of 38 may be, so one rail that is to be
/// both breaks a limit, whatever its height.
#[test]
fn one_rail_is_not_both_where_a_guard_is_higher_than_a_hand_reaches() {
    for height in ["36", "43"] {
        let height = format!("height: \"{height}\",           // of its top");
        let document = changed(&[
            ("us-residential-2024", "us-commercial-2021"),
            ("height: \"36\",           // of its top", &height),
        ]);
        let found = run(&document).inspection.findings;
        let heights = found.iter().filter(|one| one.key.kind == Kind::RailHeight);
        let broken = heights.filter(|one| one.verdict == Verdict::Broken);
        assert!(broken.count() > 0, "{height}");
    }
}

fn with_anchor(anchor: &str) -> Document {
    let anchors = format!("anchors: [{anchor}],\n    built: [");
    changed(&[("built: [", &anchors)])
}

#[test]
fn loads_are_not_shown_without_a_detail_that_somebody_states() {
    let document = changed(&[]);
    for quantity in [Quantity::TopLoad, Quantity::InfillLoad] {
        line(&document, quantity, |line| {
            assert_eq!(line.verdict, Verdict::NotShown);
            assert!(line.not_asked.is_none());
            assert!(line.measure.unwrap().contains("anchors"));
        });
    }
}

/// 200 lb is 889.64 N, so that 890 N is enough and 889 N is not.
#[test]
fn a_load_is_judged_by_what_the_detail_states() {
    for (carries, verdict) in [
        ("250 lb", Verdict::Met),
        ("200 lb", Verdict::Met),
        ("890 N", Verdict::Met),
        ("889 N", Verdict::Broken),
        ("150 lb", Verdict::Broken),
    ] {
        let document = with_anchor(&format!(
            r#"(what: Top, detail: "bolts, sheet 4", source: "J. Marsh, engineer", carries: "{carries}")"#
        ));
        line(&document, Quantity::TopLoad, |line| {
            assert_eq!(line.verdict, verdict, "{carries}");
            let remark = line.remark.as_ref().unwrap();
            for words in ["J. Marsh, engineer", "sheet 4", "not checked here", carries] {
                assert!(remark.contains(words), "{remark}");
            }
            assert!(line.worst.is_none() && line.margin.is_none());
        });
        line(&document, Quantity::InfillLoad, |line| {
            assert_eq!(line.verdict, Verdict::NotShown);
        });
    }
}

#[test]
fn a_load_on_a_greater_patch_shows_nothing() {
    for (on, verdict) in [
        ("", Verdict::Met),
        (", on: Some((12, 12))", Verdict::Met),
        (", on: Some((24, 12))", Verdict::NotShown),
    ] {
        let document = with_anchor(&format!(
            r#"(what: Infill, detail: "pegs", source: "test 17", carries: "60 lb"{on})"#
        ));
        line(&document, Quantity::InfillLoad, |line| {
            assert_eq!(line.verdict, verdict, "{on}");
        });
    }
    // Over an area it is not what the rule asks.
    let document =
        with_anchor(r#"(what: Infill, detail: "pegs", source: "test 17", carries: "1 kPa")"#);
    line(&document, Quantity::InfillLoad, |line| {
        assert_eq!(line.verdict, Verdict::NotShown);
        assert!(
            line.remark
                .as_ref()
                .unwrap()
                .contains("not as the rule asks")
        );
    });
}

#[test]
fn a_detail_without_its_source_or_unit_is_refused_at_its_field() {
    for (anchor, path, word) in [
        (
            r#"(what: Top, detail: "bolts", source: " ", carries: "200 lb")"#,
            "anchors[0].source",
            "empty",
        ),
        (
            r#"(what: Top, detail: "bolts", source: "s", carries: "200")"#,
            "anchors[0].carries",
            "unit",
        ),
        (
            r#"(what: Top, detail: "bolts", source: "s", carries: "50 lb/ft")"#,
            "anchors[0].carries",
            "along a length",
        ),
        (
            r#"(what: TopLine, detail: "bolts", source: "s", carries: "50 lb")"#,
            "anchors[0].carries",
            "at a point",
        ),
        (
            r#"(what: Infill, detail: "", source: "s", carries: "50 lb")"#,
            "anchors[0].detail",
            "empty",
        ),
        (
            r#"(what: Infill, detail: "d", source: "s", carries: "50 lb", on: Some((0, 12)))"#,
            "anchors[0].on",
            "zero",
        ),
    ] {
        let text = STRAIGHT.replace("built: [", &format!("anchors: [{anchor}],\n    built: ["));
        let faults = Document::parse(&text, "bad").unwrap_err();
        let fault = &faults.diagnostics[0];
        assert_eq!(fault.path, path, "{faults}");
        assert!(faults.to_string().contains(word), "{faults}");
    }
}
