//! Winders against the packs: at the edge of each limit the verdict turns, and the clause is cited
//! as its edition numbers it.
//!
//! Limits: IRC R311.7.5.2.1 (2018 numbering) and R318.7.5.2.1 (2024): 10 in on the walk line, 12 in
//! from the narrow side, 6 in anywhere within the clear width, 3/8 in between the winders of a turn.

use super::winders;
use rakewell::inspect::{Finding, Kind, Verdict, winder_findings};
use rakewell::measure::{Length, Tape};
use rakewell::rules;
use rakewell::site::winders::build;

fn findings(pack: &str, kind: &str, more: &str) -> Vec<Finding> {
    let site = build(&winders(kind, more));
    let pack = rules::pack(pack).unwrap_or_else(|error| panic!("{error}"));
    winder_findings(&site, "2.", &pack, Tape::Sixteenths)
}

fn of(findings: &[Finding], kind: Kind) -> Vec<&Finding> {
    findings.iter().filter(|one| one.key.kind == kind).collect()
}

#[track_caller]
fn all(findings: &[Finding], kind: Kind, verdict: Verdict, clause: &str) {
    let found = of(findings, kind);
    assert!(!found.is_empty(), "{kind:?} was not looked at");
    for finding in found {
        assert_eq!(finding.verdict, verdict, "{}", finding.says);
        assert_eq!(finding.source, clause);
    }
}

/// Between crossings at 30 degrees the straight depth is 2 r sin 15: 10 in at r = 19.3185 in, which
/// is 7.3185 in of well and 12 of walk line. At a well of 11.5911 in the narrow ends stand 6 in
/// apart.
#[test]
fn the_depths_turn_at_the_clause_s_limits() {
    for (pack, clause) in [
        ("us-residential-2021", "IRC 2021 R311.7.5.2.1"),
        ("us-residential-2024", "IRC 2024 R318.7.5.2.1"),
    ] {
        let of_well = |radius: f64| {
            findings(
                pack,
                &format!("Tapered(well: Round({radius}))"),
                "overhang: 0",
            )
        };
        let walk = Kind::WinderWalkDepth;
        all(&of_well(7.3186), walk, Verdict::Met, clause);
        all(&of_well(7.3184), walk, Verdict::Broken, clause);
        let least = Kind::WinderLeastDepth;
        all(&of_well(11.5912), least, Verdict::Met, clause);
        all(&of_well(11.5910), least, Verdict::Broken, clause);
    }
}

#[test]
fn kites_round_a_slender_newel_are_too_narrow_for_the_american_codes() {
    let found = findings("us-residential-2024", "Kite(newel: 3.5)", "overhang: 1");
    let clause = "IRC 2024 R318.7.5.2.1";
    all(&found, Kind::WinderWalkDepth, Verdict::Broken, clause);
    all(&found, Kind::WinderLeastDepth, Verdict::Broken, clause);
    let first = of(&found, Kind::WinderWalkDepth)[0];
    assert_eq!(first.key.parts, ["2.T1"]);
    assert!(first.says.contains("2.1"), "{}", first.says);
}

/// Turned by a degree, two neighbours differ on a circle of 20 in by 20 (sin) of half the angles:
/// 2 r (sin 15 1/2 - sin 14 1/2) = 0.674 in, over 3/8 in; by half a degree 0.337 in, under it.
#[test]
fn winders_differ_by_three_eighths_at_most() {
    for (degrees, verdict) in [(30.5, Verdict::Met), (31.0, Verdict::Broken)] {
        // Through the centre, so that the angle is the crossing's own.
        let turned = degrees * std::f64::consts::PI / 180.0;
        let place = |off: f64| off * turned.tan();
        let moved = format!(
            "overhang: 0, kicks: [(step: 2, narrow: {}, wide: {})]",
            place(8.0),
            place(44.0)
        );
        let found = findings("us-residential-2024", "Tapered(well: Square(16))", &moved);
        let variation = of(&found, Kind::WinderVariation);
        assert_eq!(variation.len(), 1);
        assert_eq!(variation[0].verdict, verdict, "{}", variation[0].says);
        let half = |angle: f64| (angle / 2.0).to_radians().sin();
        let wanted = 2.0 * 20.0 * (half(degrees) - half(60.0 - degrees));
        assert!((variation[0].value().as_inches() - wanted).abs() < 1e-9);
    }
}

/// Approved Document K: 900 mm wide, so in the middle: (newel half 50 + 450) x 2 sin 15 = 258.8 mm,
/// over 220. NBC 9.8.4.3: 300 mm from the rail's centre line, where it is 204.5 mm, under 255.
#[test]
fn other_countries_measure_where_their_codes_say() {
    let metric = "overhang: 0, handrail: \"45 mm\"";
    let mut job = winders("Kite(newel: \"100 mm\")", metric);
    job.width = rakewell::measure::Typed::<Length>::millimetres(900.0);
    let site = build(&job);
    let look = |pack: &str| {
        let pack = rules::pack(pack).unwrap_or_else(|error| panic!("{error}"));
        winder_findings(&site, "", &pack, Tape::Millimetres)
    };
    let sine = 15_f64.to_radians().sin();
    let england = look("uk-private-2013");
    let clause = "Approved Document K 2013 1.25 with Table 1.1";
    all(&england, Kind::WinderWalkDepth, Verdict::Met, clause);
    let middle = of(&england, Kind::WinderWalkDepth)[1].value().as_mm();
    assert!((middle - 1000.0 * sine).abs() < 1e-9, "{middle}");
    let canada = look("canada-housing-2020");
    let at = of(&canada, Kind::WinderWalkDepth)[1];
    assert!((at.value().as_mm() - 2.0 * (50.0 + 45.0 + 300.0) * sine).abs() < 1e-9);
    assert_eq!(at.verdict, Verdict::Broken, "{}", at.says);
    assert!(of(&look("australia-housing-2022"), Kind::WinderWalkDepth).is_empty());
}

/// A line that the job gives is judged on instead of the pack's.
#[test]
fn the_job_s_own_walk_line_counts() {
    let found = findings(
        "us-residential-2024",
        "Tapered(well: Round(8))",
        "overhang: 0, walk_line: Some(10)",
    );
    let depth = of(&found, Kind::WinderWalkDepth)[0].value().as_inches();
    assert!((depth - 2.0 * 18.0 * 15_f64.to_radians().sin()).abs() < 1e-9);
}

#[test]
fn each_kick_of_the_turn_is_held_against_the_rise() {
    let found = findings(
        "us-residential-2024",
        "Tapered(well: Round(12))",
        "overhang: 0, readings: [Rise(step: 2, is: 7.76)]",
    );
    let rises = of(&found, Kind::Rise);
    let verdicts: Vec<Verdict> = rises.iter().map(|one| one.verdict).collect();
    assert_eq!(verdicts, [Verdict::Met, Verdict::Broken, Verdict::Met]);
    assert_eq!(rises[1].key.parts, ["2.K2", "at most"]);
}

/// 36 in at 1 in 48 is 3/4 in: IRC R318.7.7.
#[test]
fn a_winder_out_of_level_turns_at_one_in_forty_eight() {
    for (by, verdict) in [(0.75, Verdict::Met), (0.76, Verdict::Broken)] {
        let read = format!("overhang: 0, readings: [Level(step: 2, is: {by}, high: Narrow)]");
        let found = findings("us-residential-2024", "Tapered(well: Round(12))", &read);
        let slopes = of(&found, Kind::TreadSlope);
        assert_eq!(slopes[1].verdict, verdict, "{}", slopes[1].says);
        assert_eq!(slopes[1].source, "IRC 2024 R318.7.7");
        assert_eq!(slopes[0].verdict, Verdict::Met);
    }
}
