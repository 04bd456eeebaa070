//! The packs of England, Canada and Australia, and the rules that only they have: how much
//! neighbours may differ, two rises and one going together, the pitch.
//!
//! Limits: Approved Document K (2013), Table 1.1 with note 1, 1.36, Diagram 3.1, 1.39; National
//! Building Code of Canada 2020, 9.8.4.1 to 9.8.4.4, 9.8.3.3, 9.8.7.4, 9.8.8.3, 9.8.8.5; NCC 2022
//! Housing Provisions 11.2.2, 11.3.4, each as read in public copies and accounts.

use super::{as_given, shipped};
use rakewell::inspect::{Finding, Kind, Verdict};
use rakewell::job::Document;
use rakewell::rules::Quantity;

/// Quantity, limit in millimetres.
type Row = (Quantity, f64);

const ENGLAND: [Row; 15] = [
    (Quantity::RiseMax, 220.0),
    (Quantity::RiseLeast, 150.0),
    (Quantity::TreadDepth, 220.0),
    (Quantity::TreadDepthMost, 300.0),
    (Quantity::TwoRisesAndGoingLeast, 550.0),
    (Quantity::TwoRisesAndGoingMost, 700.0),
    (Quantity::WinderWalkDepth, 220.0),
    (Quantity::WinderLeastDepth, 50.0),
    (Quantity::HandrailLow, 900.0),
    (Quantity::HandrailHigh, 1000.0),
    (Quantity::GuardLow, 900.0),
    (Quantity::GuardLevel, 900.0),
    (Quantity::OpeningStair, 100.0),
    (Quantity::OpeningTriangle, 100.0),
    (Quantity::OpeningLevel, 100.0),
];

const CANADA: [Row; 18] = [
    (Quantity::RiseMax, 200.0),
    (Quantity::RiseLeast, 125.0),
    (Quantity::RiseVariation, 10.0),
    (Quantity::RiseAdjacent, 5.0),
    (Quantity::TreadDepth, 255.0),
    (Quantity::TreadDepthMost, 355.0),
    (Quantity::TreadVariation, 10.0),
    (Quantity::GoingAdjacent, 5.0),
    (Quantity::WinderWalkDepth, 255.0),
    (Quantity::WinderLeastDepth, 150.0),
    (Quantity::FlightRise, 3700.0),
    (Quantity::HandrailLow, 865.0),
    (Quantity::HandrailHigh, 1070.0),
    (Quantity::GuardLow, 900.0),
    (Quantity::GuardLevel, 900.0),
    (Quantity::OpeningStair, 100.0),
    (Quantity::OpeningTriangle, 150.0),
    (Quantity::OpeningLevel, 100.0),
];

const AUSTRALIA: [Row; 10] = [
    (Quantity::RiseMax, 190.0),
    (Quantity::RiseLeast, 115.0),
    (Quantity::TreadDepth, 240.0),
    (Quantity::TreadDepthMost, 355.0),
    (Quantity::TwoRisesAndGoingLeast, 550.0),
    (Quantity::TwoRisesAndGoingMost, 700.0),
    (Quantity::GuardLow, 865.0),
    (Quantity::GuardLevel, 1000.0),
    (Quantity::OpeningStair, 125.0),
    (Quantity::OpeningLevel, 125.0),
];

#[test]
fn every_limit_is_the_published_one() {
    let packs: [(&str, &[Row]); 3] = [
        ("uk-private-2013", &ENGLAND),
        ("canada-housing-2020", &CANADA),
        ("australia-housing-2022", &AUSTRALIA),
    ];
    for (name, rows) in packs {
        let pack = shipped(name);
        for (quantity, limit) in rows {
            let rule = pack.rule(*quantity).unwrap();
            let found = rule.length().unwrap().as_mm();
            assert!((found - limit).abs() < 1e-9, "{name}: {quantity:?} {found}");
            assert!(rule.clause.starts_with(&pack.edition), "{}", rule.clause);
        }
    }
    // Those that are no lengths: 42 degrees and one part in 50.
    let slope = |name: &str, quantity| {
        let pack = shipped(name);
        pack.rule(quantity).unwrap().limit.slope().unwrap()
    };
    let pitch = slope("uk-private-2013", Quantity::PitchMost);
    assert!((pitch.atan().to_degrees() - 42.0).abs() < 1e-12);
    let fall = slope("canada-housing-2020", Quantity::TreadSlope);
    assert!((fall - 0.02).abs() < 1e-12);
}

/// A plumb, level flight of four kicks under a pack, in millimetres; rises where they are read.
fn findings(pack: &str, rise: f64, going: f64, rises: &[f64]) -> Vec<Finding> {
    let readings: String = (1..)
        .zip(rises)
        .map(|(step, rise)| format!("Rise(step: {step}, is: \"{rise} mm\", sd: \"0.01 mm\"),"))
        .collect();
    let mut text = include_str!("../../../scenes/straight.ron").to_owned();
    for (old, new) in [
        ("us-residential-2024", pack.to_owned()),
        ("count: 14,", "count: 4,".to_owned()),
        ("step: 13", "step: 3".to_owned()),
        ("rise: \"7 1/2\"", format!("rise: \"{rise} mm\"")),
        ("going: \"10 1/4\"", format!("going: \"{going} mm\"")),
        (
            "readings: [\n            // R",
            format!("readings: [{readings}\n// R"),
        ),
    ] {
        assert_eq!(text.matches(old).count(), 1, "{old:?}");
        text = text.replacen(old, &new, 1);
    }
    let document = Document::parse(&text, "flight").unwrap_or_else(|faults| panic!("{faults}"));
    as_given(document.job()).inspection.findings
}

/// The worst of the findings of a kind.
#[track_caller]
fn verdict(findings: &[Finding], kind: Kind) -> Verdict {
    let of_kind: Vec<&Finding> = findings.iter().filter(|one| one.key.kind == kind).collect();
    assert!(!of_kind.is_empty(), "{kind:?} was not looked at");
    let broken = of_kind.iter().find(|one| one.verdict != Verdict::Met);
    broken.map_or(Verdict::Met, |one| one.verdict)
}

/// Rises of 180, 184, 188, 192 mm: Canada's neighbours are within 5 mm and the range of 12 is over
/// 10; rises of 180, 190, 180, 190: the range is kept and neighbours differ by 10. In the American
/// code the range alone counts, and both are over its 9.5.
#[test]
fn how_even_rises_must_be_differs_by_country() {
    let creeping = [180.0, 184.0, 188.0, 192.0];
    let leaping = [180.0, 190.0, 180.0, 190.0];
    let look = |pack: &str, rises: &[f64]| findings(pack, 186.0, 280.0, rises);
    let canada = look("canada-housing-2020", &creeping);
    assert_eq!(verdict(&canada, Kind::RiseVariation), Verdict::Broken);
    assert_eq!(verdict(&canada, Kind::RiseAdjacent), Verdict::Met);
    let canada = look("canada-housing-2020", &leaping);
    assert_eq!(verdict(&canada, Kind::RiseVariation), Verdict::Met);
    assert_eq!(verdict(&canada, Kind::RiseAdjacent), Verdict::Broken);
    for rises in [creeping, leaping] {
        let american = look("us-residential-2024", &rises);
        assert_eq!(verdict(&american, Kind::RiseVariation), Verdict::Broken);
        assert!(
            american
                .iter()
                .all(|one| one.key.kind != Kind::RiseAdjacent)
        );
    }
}

/// England: 220 on 220 is 45.00 degrees, too steep though 2R + G is 660; 220 on 245 is 41.92 and
/// 685; 150 on 300 is 26.57 and 600. Australia: 190 on 240 makes 620.
#[test]
fn pitch_and_two_rises_and_a_going() {
    for (pack, rise, going, together, steep) in [
        (
            "uk-private-2013",
            220.0,
            220.0,
            660.0,
            Some(("45.00°", Verdict::Broken)),
        ),
        (
            "uk-private-2013",
            220.0,
            245.0,
            685.0,
            Some(("41.92°", Verdict::Met)),
        ),
        (
            "uk-private-2013",
            150.0,
            300.0,
            600.0,
            Some(("26.57°", Verdict::Met)),
        ),
        ("australia-housing-2022", 190.0, 240.0, 620.0, None),
    ] {
        let found = findings(pack, rise, going, &[]);
        assert_eq!(verdict(&found, Kind::TwoRisesAndGoing), Verdict::Met);
        let sums = found
            .iter()
            .filter(|one| one.key.kind == Kind::TwoRisesAndGoing);
        for sum in sums {
            assert!(
                (sum.value().as_mm() - together).abs() < 1e-6,
                "{}",
                sum.says
            );
        }
        let Some((degrees, wanted)) = steep else {
            assert!(found.iter().all(|one| one.key.kind != Kind::Pitch));
            continue;
        };
        assert_eq!(verdict(&found, Kind::Pitch), wanted);
        let pitch = found
            .iter()
            .find(|one| one.key.kind == Kind::Pitch)
            .unwrap();
        assert!(pitch.says.contains(degrees), "{}", pitch.says);
    }
}

/// 2R + G past either end: 140 on 260 makes 540, 220 on 265 makes 705.
#[test]
fn two_rises_and_a_going_have_two_ends() {
    for (rise, going) in [(140.0, 260.0), (220.0, 265.0)] {
        let found = findings("uk-private-2013", rise, going, &[]);
        assert_eq!(verdict(&found, Kind::TwoRisesAndGoing), Verdict::Broken);
    }
    let low = findings("uk-private-2013", 140.0, 260.0, &[]);
    assert_eq!(verdict(&low, Kind::Rise), Verdict::Broken);
}
