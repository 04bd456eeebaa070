//! A flight moved and turned in plan: it is the same flight, wherever it stands.

use proptest::prelude::*;
use rakewell::job::Document;

use super::{STRAIGHT, drawn, off, run, same_setout};

/// The scene's flight as a second run far from the first, under names of its own.
fn again(off: &super::Off, past: i32, left: i32, turn: i32) -> String {
    let own = off.text("Left");
    let from = own.find("    flight: (").unwrap();
    let to = own.find("    // How the railing is anchored").unwrap();
    let mut body = own[from..to].to_owned();
    for (old, new) in [
        ("W1", "V1"),
        ("S1", "U1"),
        ("S2", "U2"),
        ("N1", "M1"),
        ("N2", "M2"),
        ("R1", "Q9"),
    ] {
        body = body.replace(&format!("\"{old}\""), &format!("\"{new}\""));
    }
    // A pack is asked for once.
    let run = format!(
        "(name: \"2\", starts: (past: \"{past}\", left: \"{left}\", turn: \"{turn}\"),\n{body})"
    );
    let first = Document::parse(STRAIGHT, "job.ron").unwrap();
    let at = STRAIGHT.find("    // How the railing is anchored").unwrap();
    drop(first);
    format!("{}    runs: [{run}],\n{}", &STRAIGHT[..at], &STRAIGHT[at..])
}

proptest! {
    #![proptest_config(drawn(8))]

    #[test]
    fn a_flight_is_the_same_wherever_it_stands(
        off in off(12), past in 40..=900_i32, left in -900..=900_i32, turn in -180..=180_i32,
    ) {
        let alone = run(&off.text("Left"));
        let moved = run(&again(&off, past, left, turn));
        let second = &moved.runs[1];
        same_setout(&alone.first().setout, &second.setout, 1.0);
        // And it does stand where it was put.
        let from_first = second.frame.turn.as_degrees() - f64::from(turn);
        prop_assert!((from_first / 360.0 - (from_first / 360.0).round()).abs() < 1e-9);
        // Its own openings are as large.
        for finding in &alone.inspection.findings {
            if finding.key.kind.word() != "opening" || finding.key.parts.iter().any(|part| part.starts_with('W')) {
                continue;
            }
            let named: Vec<String> = finding.key.parts.iter().map(|part| {
                let part = part.replace('N', "M");
                if part.starts_with('B') { format!("2.{part}") } else { part }
            }).collect();
            let there = moved.inspection.findings.iter().find(|one| {
                one.key.kind == finding.key.kind && named.iter().all(|part| one.key.parts.contains(part))
            });
            let there = there.map(|one| one.lower - finding.lower);
            prop_assert!(there.is_some_and(|off| off.abs().as_mm() < 0.1), "{:?} {:?}", finding.key.id(), there);
        }
    }
}
