//! Nosings' edges, kicks' slope, and how many rises a flight has.

use rakewell::inspect::{Kind, Verdict};

use super::{STRAIGHT, WINDERS, edited, found, is, length, one, rule};

fn stated(field: &str) -> String {
    edited(
        STRAIGHT,
        &[("overhang: \"1\",", &format!("overhang: \"1\", {field},"))],
    )
}

/// IRC R311.7.5.3 (R318.7.5.3): radius 9/16 in at most, or bevel 1/2 in at most.
#[test]
fn a_nosing_is_rounded_or_bevelled_no_more_than_the_code_has() {
    let rules =
        length("NosingRadius", "AtMost", "9/16 in") + &length("NosingBevel", "AtMost", "1/2 in");
    let broken = |field: &str| -> Vec<String> {
        let all = found(&stated(field), &rules, Kind::NosingShape);
        assert_eq!(all.len(), 2, "{field}");
        let past = all.into_iter().filter(|one| one.verdict == Verdict::Broken);
        past.map(|one| one.source).collect()
    };
    assert!(broken("nosing_edge: Round(\"9/16\")").is_empty());
    assert_eq!(broken("nosing_edge: Round(\"0.563\")"), ["NosingRadius"]);
    assert!(broken("nosing_edge: Bevel(\"1/2\")").is_empty());
    assert_eq!(broken("nosing_edge: Bevel(\"0.501\")"), ["NosingBevel"]);
    assert!(broken("nosing_edge: Square").is_empty());
    assert!(found(STRAIGHT, &rules, Kind::NosingShape).is_empty());
}

/// IRC R311.7.5.1 (R318.7.5.1): 30 degrees from plumb at most; over a rise of 7 1/2 in that is
/// 7.5 tan 30 = 4.330 in.
#[test]
fn kicks_slope_no_more_than_thirty_degrees() {
    let rules = rule("KickSlope", "AtMost", "Pitch(\"30\")");
    let edge = one(&stated("kick_slope: \"30\""), &rules, Kind::KickSlope);
    is(&edge, Verdict::Met, 4.330_127, 1e-5);
    let past = one(&stated("kick_slope: \"30.1\""), &rules, Kind::KickSlope);
    assert_eq!(past.verdict, Verdict::Broken);
    assert!(found(STRAIGHT, &rules, Kind::KickSlope).is_empty());
    // As read on a kick: 1 in over 7 in leans 8.13 degrees.
    let leans = "boards: (kick_leans: [(step: 3, by: \"1\", over: \"7\")]),\n    design: (";
    let read = edited(STRAIGHT, &[("design: (", leans)]);
    let read = one(&read, &rules, Kind::KickSlope);
    is(&read, Verdict::Met, 7.5 / 7.0, 1e-6);
    assert!(read.says.contains("8.1°"), "{}", read.says);
}

/// NCC 2022 D3D14: 2 to 18 risers in a flight, as listed in a public extract of D2.13 of 2008.
#[test]
fn a_flight_has_no_more_and_no_fewer_rises_than_asked() {
    let rules =
        rule("RisersMost", "AtMost", "Count(18)") + &rule("RisersLeast", "AtLeast", "Count(2)");
    let of = |count: u32| {
        let kicks = format!("count: {count},");
        let last = format!("step: {}", count - 1);
        let job = edited(STRAIGHT, &[("count: 14,", &kicks), ("step: 13", &last)]);
        let all = found(&job, &rules, Kind::Risers);
        assert_eq!(all.len(), 2);
        all.into_iter().map(|one| one.verdict).collect::<Vec<_>>()
    };
    assert_eq!(of(18), [Verdict::Met, Verdict::Met]);
    assert_eq!(of(19), [Verdict::Broken, Verdict::Met]);
    let most = one(
        STRAIGHT,
        &rule("RisersMost", "AtMost", "Count(13)"),
        Kind::Risers,
    );
    assert_eq!(most.verdict, Verdict::Broken);
    assert!(most.says.contains("14 rises"), "{}", most.says);
}

/// Seven kicks, of which the last reaches the first winder; two winders; six kicks more. One climbs
/// the second winder's kick, the flight above and no landing: 7 + 1 + 6.
#[test]
fn winders_count_with_the_flight() {
    let all = found(
        WINDERS,
        &rule("RisersMost", "AtMost", "Count(14)"),
        Kind::Risers,
    );
    assert_eq!(all.len(), 1);
    assert!(all[0].says.contains("14 rises"), "{}", all[0].says);
    assert_eq!(all[0].verdict, Verdict::Met);
    let one_less = found(
        WINDERS,
        &rule("RisersMost", "AtMost", "Count(13)"),
        Kind::Risers,
    );
    assert_eq!(one_less[0].verdict, Verdict::Broken);
}
