//! The shipped rule packs against the published clauses.
//!
//! Values: International Residential Code, 2018 numbering R311.7 and R312.1 as reprinted by
//! Jefferson County and Boulder County, Colorado, and 2024 numbering R318.7, R320 and R321; one
//! inch is 25.4 mm. Where the 2018 and 2024 texts agree, 2021 is inferred to agree.

mod amended;
mod doubt;
mod flight;
mod nations;
mod required;
mod sources;
mod stated;

use rakewell::chain::{self, Chain};
use rakewell::job::Job;
use rakewell::measure::Length;
use rakewell::rules::{self, Limit, Pack, Quantity, RuleError, Sense};

/// The chain of a job whose stair is given as its readings tell it, in no doubt: the edges that are
/// looked at are finer than any tape.
fn as_given(job: &Job) -> Chain {
    let estimates = rakewell::survey::survey(job).estimates;
    chain::run_on(&chain::runs_of(job), vec![estimates], &[])
        .unwrap_or_else(|error| panic!("{error}"))
}

/// Quantity, limit in inches, clause in the 2018/2021 numbering, clause in the 2024 numbering.
const PUBLISHED: [(Quantity, f64, &str, &str); 20] = [
    (Quantity::RiseMax, 7.75, "R311.7.5.1", "R318.7.5.1"),
    (Quantity::RiseVariation, 0.375, "R311.7.5.1", "R318.7.5.1"),
    (Quantity::TreadDepth, 10.0, "R311.7.5.2", "R318.7.5.2"),
    (Quantity::TreadVariation, 0.375, "R311.7.5.2", "R318.7.5.2"),
    (
        Quantity::WinderWalkDepth,
        10.0,
        "R311.7.5.2.1",
        "R318.7.5.2.1",
    ),
    (
        Quantity::WinderLeastDepth,
        6.0,
        "R311.7.5.2.1",
        "R318.7.5.2.1",
    ),
    (
        Quantity::WinderVariation,
        0.375,
        "R311.7.5.2.1",
        "R318.7.5.2.1",
    ),
    (Quantity::NosingLeast, 0.75, "R311.7.5.3", "R318.7.5.3"),
    (Quantity::NosingMost, 1.25, "R311.7.5.3", "R318.7.5.3"),
    (Quantity::NosingVariation, 0.375, "R311.7.5.3", "R318.7.5.3"),
    (
        Quantity::NosingExemptDepth,
        11.0,
        "R311.7.5.3",
        "R318.7.5.3",
    ),
    (Quantity::FlightRise, 151.0, "R311.7.3", "R318.7.3"),
    (Quantity::HandrailLow, 34.0, "R311.7.8.1", "R320.2"),
    (Quantity::HandrailHigh, 38.0, "R311.7.8.1", "R320.2"),
    (Quantity::WallClearance, 1.5, "R311.7.8.3", "R320.4"),
    (Quantity::GuardLow, 34.0, "R312.1.2", "R321.1.2"),
    (Quantity::GuardLevel, 36.0, "R312.1.2", "R321.1.2"),
    (Quantity::OpeningStair, 4.375, "R312.1.3", "R321.1.3"),
    (Quantity::OpeningTriangle, 6.0, "R312.1.3", "R321.1.3"),
    (Quantity::OpeningLevel, 4.0, "R312.1.3", "R321.1.3"),
];

const AMERICAN: [&str; 2] = ["us-residential-2021", "us-residential-2024"];

fn shipped(name: &str) -> std::sync::Arc<Pack> {
    rules::pack(name).unwrap_or_else(|error| panic!("{error}"))
}

fn holds(pack: &Pack, quantity: Quantity, inches: f64) -> bool {
    let rule = pack.rule(quantity).unwrap();
    rule.sense
        .holds(Length::inches(inches), rule.length().unwrap())
}

#[test]
fn every_limit_is_the_published_one_under_its_own_clause() {
    let (old, new) = (
        shipped("us-residential-2021"),
        shipped("us-residential-2024"),
    );
    for (quantity, inches, clause_2021, clause_2024) in PUBLISHED {
        for (pack, edition, clause) in [
            (&old, "IRC 2021", clause_2021),
            (&new, "IRC 2024", clause_2024),
        ] {
            let rule = pack.rule(quantity).unwrap();
            let limit = rule.length().unwrap().as_mm();
            assert!(
                (limit - inches * 25.4).abs() < 1e-9,
                "{quantity:?}: {limit} mm"
            );
            let cited = rule.clause.split(',').next().unwrap();
            assert_eq!(cited, format!("{edition} {clause}"), "{quantity:?}");
        }
    }
    // The slope is one; a rail's reach, its end and how far it juts are held below, and every rule
    // against the statements of its clause in `sources.rs`.
}

/// R311.7.8.2 and R320.3: a handrail stands into the stair by 4 1/2 in at most (Boulder County B32,
/// Minnesota Rules 1309.0311, and a text numbered as in 2024). Its reach: in the wording of 2009 to
/// 2018 from over the top riser to over the lowest, in 2024 from above the top nosing to above the
/// lowest one, with a gap of 1/4 in at most at its return (the same text). That the clause on
/// continuity is R311.7.8.4 in 2018 and 2021 is from the order of the clauses.
#[test]
fn a_rail_to_hold_reaches_over_the_flight_under_its_editions_clause() {
    let (old, new) = (
        shipped("us-residential-2021"),
        shipped("us-residential-2024"),
    );
    let held = |pack: &Pack, quantity: Quantity, inches: f64, clause: &str| {
        let rule = pack.rule(quantity).unwrap();
        let limit = rule.length().unwrap().as_inches();
        assert!((limit - inches).abs() < 1e-12, "{quantity:?}");
        assert_eq!(rule.clause, clause);
        assert_eq!(rule.sense, Sense::AtMost);
    };
    held(&old, Quantity::RailProjection, 4.5, "IRC 2021 R311.7.8.2");
    held(&new, Quantity::RailProjection, 4.5, "IRC 2024 R320.3");
    held(&old, Quantity::RailOverKicks, 0.0, "IRC 2021 R311.7.8.4");
    held(&new, Quantity::RailOverNosings, 0.0, "IRC 2024 R320.5");
    held(&new, Quantity::RailReturnGap, 0.25, "IRC 2024 R320.5");
    assert!(old.rule(Quantity::RailOverNosings).is_none());
    assert!(old.rule(Quantity::RailReturnGap).is_none());
}

#[test]
fn treads_climb_one_in_forty_eight_at_most() {
    // 1:48 is 2 % and 1.193 degrees, R311.7.7 and R318.7.7.
    for (name, clause) in [
        ("us-residential-2021", "IRC 2021 R311.7.7"),
        ("us-residential-2024", "IRC 2024 R318.7.7"),
    ] {
        let pack = shipped(name);
        let rule = pack.rule(Quantity::TreadSlope).unwrap();
        assert_eq!(rule.clause, clause);
        let slope = rule.limit.slope().unwrap();
        assert!((slope.atan().to_degrees() - 1.193).abs() < 0.0005);
        let run = Length::inches(36.0);
        let limit = rule.limit.over(run);
        assert!(rule.sense.holds(run * (1.0 / 48.0), limit));
        assert!(!rule.sense.holds(run * (1.0 / 47.0), limit));
        assert!(rule.length().is_none());
    }
}

/// The limits exactly at their edge: met on one side, broken on the other.
#[test]
fn limits_are_exact_at_the_edge() {
    for name in AMERICAN {
        let pack = shipped(name);
        for (quantity, met, broken) in [
            (Quantity::RiseMax, 7.75, 7.76),
            (Quantity::TreadDepth, 10.0, 9.99),
            (Quantity::RiseVariation, 0.375, 0.376),
            (Quantity::TreadVariation, 0.375, 0.376),
            (Quantity::NosingVariation, 0.375, 0.376),
            (Quantity::WinderWalkDepth, 10.0, 9.99),
            (Quantity::WinderLeastDepth, 6.0, 5.99),
            (Quantity::WinderVariation, 0.375, 0.376),
            (Quantity::NosingLeast, 0.75, 0.749),
            (Quantity::NosingMost, 1.25, 1.251),
            (Quantity::HandrailLow, 34.0, 33.99),
            (Quantity::HandrailHigh, 38.0, 38.01),
            (Quantity::GuardLow, 34.0, 33.99),
            (Quantity::GuardLevel, 36.0, 35.99),
            (Quantity::WallClearance, 1.5, 1.499),
            // 20 rises of 7.55 in climb 151 in, the commentary's own example on R311.7.3.
            (Quantity::FlightRise, 20.0 * 7.55, 151.1),
            // A ball test is strict: an opening of exactly the limit lets the ball pass.
            (Quantity::OpeningLevel, 3.999, 4.0),
            (Quantity::OpeningStair, 4.374, 4.375),
            (Quantity::OpeningTriangle, 5.999, 6.0),
        ] {
            assert!(holds(&pack, quantity, met), "{name}: {quantity:?} {met}");
            assert!(
                !holds(&pack, quantity, broken),
                "{name}: {quantity:?} {broken}"
            );
        }
    }
}

#[test]
fn a_difference_of_readings_at_the_limit_is_met() {
    // In binary, lengths in millimetres subtract with a last digit of noise.
    let limit = Length::inches(0.375);
    for sixteenths in 0..400 {
        let low = Length::inches(f64::from(sixteenths) / 16.0);
        assert!(Sense::AtMost.holds((low + limit) - low, limit));
        assert!(!Sense::Under.holds((low + limit) - low, limit));
        assert!(Sense::AtLeast.holds((low + limit) - low, limit));
    }
}

#[test]
fn a_pack_says_that_it_is_a_summary_and_whom_to_ask() {
    let ask = [
        "building official",
        "building official",
        "building official",
        "building official",
        "building control body",
        "building control body",
        "authority having jurisdiction",
        "building surveyor or certifier",
        "building surveyor or certifier",
        "building authority",
    ];
    assert_eq!(rules::names().len(), ask.len());
    for (name, whom) in rules::names().into_iter().zip(ask) {
        let pack = shipped(name);
        for words in ["summary", "govern", whom] {
            assert!(pack.note.contains(words), "{name} does not say {words:?}");
        }
        assert!(pack.ask.contains(whom), "{name}: {}", pack.ask);
    }
    assert!(shipped("us-residential-2021").note.contains("inferred"));
}

#[test]
fn an_unknown_pack_lists_the_known_and_the_nearest() {
    let Err(RuleError::Unknown { nearest, known, .. }) = rules::pack("us-residental-2024") else {
        panic!("found a pack that is not there");
    };
    assert_eq!(nearest, "us-residential-2024");
    assert_eq!(known, rules::names());
    assert!(rules::pack("").is_err());
}

fn one_rule(rule: &str) -> Result<Pack, RuleError> {
    Pack::read(
        "try",
        &format!(
            r#"(name: "try", title: "t", country: "c", edition: "e", units: Inches, applies: "a",
            ask: "w", note: "n", rules: [{rule}])"#
        ),
    )
}

fn text(quantity: &str, sense: &str, limit: &str) -> String {
    format!(r#"(quantity: {quantity}, sense: {sense}, limit: {limit}, clause: "c 1", says: "s"),"#)
}

#[test]
fn a_pack_that_contradicts_itself_is_refused() {
    let good = text("RiseMax", "AtMost", "Length(7.75)");
    assert_eq!(
        one_rule(&good)
            .unwrap()
            .rule(Quantity::RiseMax)
            .unwrap()
            .limit,
        Limit::Length(rakewell::measure::Typed::read("7.75").unwrap())
    );
    for (faulty, word) in [
        (good.clone() + &good, "two rules"),
        (text("RiseMax", "AtMost", "Length(0)"), "positive"),
        (text("RiseMax", "AtMost", "Length(-1)"), "positive"),
        (text("TreadSlope", "AtMost", "Slope(1, 0)"), "positive"),
        (text("TreadSlope", "AtMost", "Slope(1, inf)"), "positive"),
        (text("TreadSlope", "AtMost", "Slope(NaN, 48)"), "positive"),
        (text("TreadSlope", "AtMost", "Length(1)"), "wrong kind"),
        (text("RiseMax", "AtMost", "Slope(1, 48)"), "wrong kind"),
        (text("PitchMost", "AtMost", "Length(42)"), "wrong kind"),
        (text("RiseMax", "AtMost", "Pitch(42)"), "wrong kind"),
        (text("PitchMost", "AtMost", "Pitch(90)"), "positive"),
        (
            text("WinderWalkDepth", "AtLeast", "Length(10)"),
            "winders_at",
        ),
        (
            text("TwoRisesAndGoingLeast", "AtLeast", "Length(28)")
                + &text("TwoRisesAndGoingMost", "AtMost", "Length(27)"),
            "nothing keeps both",
        ),
        (text("RiseMax", "AtLeast", "Length(1)"), "sense"),
        (text("TreadDepth", "AtMost", "Length(1)"), "sense"),
        (text("HandrailRisers", "AtLeast", "Length(4)"), "wrong kind"),
        (text("Grip", "AtMost", "Length(2)"), "wrong kind"),
        (text("TopLoad", "AtLeast", "Length(200)"), "wrong kind"),
        (text("TopLoad", "AtLeast", "Load(force: \"200\")"), "unit"),
        (text("Climbable", "AtMost", "Count(1)"), "wrong kind"),
        (text("ExtensionBottom", "AtLeast", "Treads(0)"), "positive"),
        (text("RisersMost", "AtMost", "Count(0)"), "positive"),
        (
            text("RisersLeast", "AtLeast", "Count(19)")
                + &text("RisersMost", "AtMost", "Count(18)"),
            "nothing keeps both",
        ),
        (
            // 2 x 8 + 12 = 28 in.
            text("RiseLeast", "AtLeast", "Length(8)")
                + &text("TreadDepth", "AtLeast", "Length(12)")
                + &text("TwoRisesAndGoingMost", "AtMost", "Length(27)"),
            "nothing keeps all three",
        ),
        (
            // 2 x 5 + 10 = 20 in.
            text("RiseMax", "AtMost", "Length(5)")
                + &text("TreadDepthMost", "AtMost", "Length(10)")
                + &text("TwoRisesAndGoingLeast", "AtLeast", "Length(22)"),
            "nothing keeps all three",
        ),
        (good.replace("c 1", " "), "lacks its clause"),
        (
            text("HandrailLow", "AtLeast", "Length(39)")
                + &text("HandrailHigh", "AtMost", "Length(38)"),
            "nothing keeps both",
        ),
        (
            text("NosingLeast", "AtLeast", "Length(1.26)")
                + &text("NosingMost", "AtMost", "Length(1.25)"),
            "nothing keeps both",
        ),
        (text("RiseMaximum", "AtMost", "Length(1)"), "RiseMaximum"),
        (text("RiseMax", "AtMost", "Length(\"three\")"), "three"),
        ("(quantity: RiseMax".to_owned(), "cannot be used"),
    ] {
        match one_rule(&faulty) {
            Err(error) => assert!(error.to_string().contains(word), "{error}"),
            Ok(_) => panic!("read {faulty}"),
        }
    }
}

/// A bare number is in the pack's own unit: 900 mm is 35.43 in.
#[test]
fn a_packs_bare_numbers_are_in_its_own_unit() {
    let rule = text("GuardLow", "AtLeast", "Length(900)");
    let read = |units: &str| {
        let pack = format!(
            r#"(name: "try", title: "t", country: "c", edition: "e", units: {units}, applies: "a",
            ask: "w", note: "n", rules: [{rule}])"#
        );
        Pack::read("try", &pack)
    };
    let metric = read("Millimetres").unwrap();
    assert!((metric.length(Quantity::GuardLow).unwrap().as_mm() - 900.0).abs() < 1e-9);
    let inches = read("Inches").unwrap();
    assert!((inches.length(Quantity::GuardLow).unwrap().as_inches() - 900.0).abs() < 1e-9);
    let error = read("Furlongs").unwrap_err();
    assert!(error.to_string().contains("Furlongs"), "{error}");
    let bare = r#"(name: "try", title: "t", edition: "e", note: "n", rules: [])"#;
    let error = Pack::read("try", bare).unwrap_err();
    assert!(error.to_string().contains("country"), "{error}");
}

#[test]
fn every_pack_lists_its_rules_in_one_order() {
    for name in rules::names() {
        let pack = shipped(name);
        let listed: Vec<Quantity> = pack.rules.iter().map(|rule| rule.quantity).collect();
        // The editions measure a rail's reach from different places, and only 2024 has a gap.
        let has = |quantity: &Quantity| pack.rule(*quantity).is_some();
        let in_order: Vec<Quantity> = Quantity::ALL.into_iter().filter(has).collect();
        assert_eq!(listed, in_order, "{name}");
    }
}
