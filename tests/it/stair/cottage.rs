//! The demo of a half turn that wants mending: its troubles by hand arithmetic from its own readings.

use approx::assert_relative_eq;
use rakewell::inspect::{Finding, Kind};

use super::{document, run};
use crate::cli::{rakewell, write};

const COTTAGE: &str = include_str!("../../../demo-scenes/weir-cottage.ron");
const IN: f64 = 25.4;

#[test]
fn the_landing_carries_the_flight_above_down_with_it() {
    let chain = run(COTTAGE);
    // Five rises of 7 1/2, one a sixteenth over and one a sixteenth under: 52 1/2 in to the landing at
    // the first baluster line. It falls 1/2 in 36 towards the well, 12 of them to the second flight.
    let frame = &chain.runs[2].frame;
    assert_relative_eq!(
        frame.origin.z,
        (52.5 - 12.0 * 0.5 / 36.0) * IN,
        epsilon = 0.01 * IN
    );
    // And it stands as much higher at the wall, where the last kick is 35 3/4 from that line; on the
    // other side of the well it lies as much lower, where the first kick of the flight above is.
    let rises = broken(&chain.inspection.findings, Kind::Rise);
    let kicks: Vec<&str> = rises.iter().map(|one| one.key.parts[0].as_str()).collect();
    assert_eq!(kicks, ["1.K7", "2.K1"]);
    let high = 7.5 + 35.75 * 0.5 / 36.0;
    for rise in rises {
        assert_relative_eq!(rise.value().as_inches(), high, epsilon = 0.01);
    }
}

#[test]
fn the_short_going_and_the_low_block_are_told() {
    let chain = run(COTTAGE);
    let deep = broken(&chain.inspection.findings, Kind::TreadDepth);
    assert_eq!(deep.len(), 1);
    assert_eq!(deep[0].key.parts[0], "2.T1");
    // Nosings alike: the depth is the going, 9 5/8 as read.
    assert_relative_eq!(deep[0].value().as_inches(), 9.625, epsilon = 0.01);
    // The middle of a level rail 2 3/8 deep with its top at 36 1/2 is 35 5/16 up, 2 5/16 over the
    // middle of its block. A rosette of 4 1/2 on a block of 5 1/2 has 1/2 to spare.
    let landing = broken(&chain.inspection.findings, Kind::Landing);
    assert_eq!(landing.len(), 1);
    assert_relative_eq!(landing[0].value().as_inches(), 1.8125, epsilon = 0.02);
    assert!(
        landing[0].says.starts_with("rail R4 lands"),
        "{}",
        landing[0].says
    );
}

fn broken(findings: &[Finding], kind: Kind) -> Vec<&Finding> {
    use rakewell::inspect::Verdict;
    let of_kind = findings.iter().filter(|one| one.key.kind == kind);
    of_kind
        .filter(|one| one.verdict == Verdict::Broken)
        .collect()
}

/// Every command answers: trouble found by `inspect`, and what the others tell.
#[test]
fn every_command_works_on_it() {
    assert_eq!(document(COTTAGE).job().alternatives.len(), 2);
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "cottage.ron", COTTAGE);
    let told = rakewell(&["inspect", &path]);
    assert_eq!((told.status, told.err.as_str()), (1, ""));
    assert!(
        told.out.contains("7 to stop for, 1 to remark on"),
        "{}",
        told.out
    );
    let told = rakewell(&["setout", &path]);
    assert_eq!(told.status, 0, "{}", told.err);
    // Drilled 3/16 off, where a gap may change by 1/16; one that is short goes where it is long enough.
    for (mark, word) in [("a7", "send back"), ("a4", "shuffle"), ("a1", "accept")] {
        let row = told.out.lines().find(|line| {
            let mut words = line.split_whitespace();
            words.next() == Some(mark)
        });
        assert!(row.unwrap().contains(word), "{row:?}");
    }
    // The landing is so far off that the survey asks for it to be read again.
    let told = rakewell(&["survey", &path]);
    assert_eq!((told.status, told.err.as_str()), (1, ""));
    assert!(
        told.out.contains("level of floor F1 across the flight"),
        "{}",
        told.out
    );
    // A half newel as long as the rail is high reaches the block that the rosette misses.
    let told = rakewell(&["compare", &path]);
    assert_eq!(told.status, 0, "{}", told.err);
    assert!(
        told.out.contains("clears  stop: rail R4 lands on wall W3"),
        "{}",
        told.out
    );
}
