//! Rows of reveals on whole stairs: what they are of, and where the eye catches them.

use approx::assert_abs_diff_eq;
use rakewell::chain::{self, Chain};
use rakewell::inspect::{Family, Kind, RevealRun, Seeing};
use rakewell::job::Document;

const STRAIGHT: &str = include_str!("../../scenes/straight.ron");
const WALL_RAIL: &str = include_str!("../../scenes/wall-rail.ron");

fn run(text: &str) -> Chain {
    let document = Document::parse(text, "scene.ron").unwrap_or_else(|faults| panic!("{faults}"));
    chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"))
}

fn with(text: &str, old: &str, new: &str) -> String {
    assert!(text.contains(old), "{old} is in the scene");
    text.replacen(old, new, 1)
}

fn row(chain: &Chain, family: Family) -> &RevealRun {
    let mut rows = chain.inspection.drifts.iter();
    rows.find(|row| row.family == family).unwrap()
}

/// A bump of 1/2 in on one tread's end, read sharply on its neighbours too.
fn bumped() -> String {
    let read = |step: u32, is: &str| format!("Edge(step: {step}, is: \"{is}\", sd: \"0.01 mm\"),");
    let readings: String = (1..=13)
        .map(|step| read(step, if step == 7 { "2 3/4" } else { "2 1/4" }))
        .collect();
    with(STRAIGHT, "readings: [", &format!("readings: [{readings}"))
}

#[test]
fn a_bump_is_seen_at_its_tread_on_either_hand() {
    let left = bumped();
    let right = with(&left, "open_side: Left", "open_side: Right");
    // The wall with its room on the other hand.
    let right = right.replace(
        "from: (x: \"-36\", y: \"-35 3/4\"),\n            to: (x: \"180\", y: \"-35 3/4\"),",
        "from: (x: \"180\", y: \"35 3/4\"),\n            to: (x: \"-36\", y: \"35 3/4\"),",
    );
    for (text, outward) in [(left, 1.0), (right, -1.0)] {
        let chain = run(&text);
        let ends = row(&chain, Family::TreadEnds);
        // The line is centred on them all, so that the bump shows whole from step to step.
        let jumps: Vec<u32> = ends
            .seen
            .iter()
            .filter(|one| one.what == Seeing::Jump)
            .map(|one| one.step)
            .collect();
        assert_eq!(jumps, [7, 8]);
        assert_abs_diff_eq!(ends.changes[5].by.as_inches(), 0.5, epsilon = 0.01);
        assert_abs_diff_eq!(ends.range.as_inches(), 0.5, epsilon = 0.01);
        for one in &ends.values {
            assert!(one.at.y * outward > 0.0, "{one:?}");
        }
        let kinds: Vec<Kind> = chain
            .inspection
            .troubles()
            .iter()
            .map(|one| one.key.kind)
            .collect();
        assert!(kinds.contains(&Kind::RevealDrift) && kinds.contains(&Kind::RevealStep));
    }
}

#[test]
fn the_eye_of_the_job_decides() {
    let lax = with(
        &bumped(),
        "fitting: \"1/16\",",
        "fitting: \"1/16\", seen: (reveal: \"3/4\", step: \"5/8\", slope: \"1/8\"),",
    );
    let chain = run(&lax);
    assert!(row(&chain, Family::TreadEnds).seen.is_empty());
    assert!(chain.inspection.troubles().is_empty());
}

/// A wall that is plumb and straight, and a handrail that clears it evenly.
#[test]
fn a_rail_beside_a_straight_wall_keeps_its_gap() {
    let chain = run(WALL_RAIL);
    let gap = row(&chain, Family::RailToWall);
    let clear = &chain.runs[0]
        .setout
        .wall_rail
        .as_ref()
        .unwrap()
        .least_clear
        .0;
    assert!(gap.values.len() > 5);
    for one in &gap.values {
        assert_abs_diff_eq!(one.value.as_mm(), clear.as_mm(), epsilon = 1e-3);
    }
    assert_abs_diff_eq!(gap.slope.as_mm(), 0.0, epsilon = 1e-6);
    assert!(gap.seen.is_empty());
}
