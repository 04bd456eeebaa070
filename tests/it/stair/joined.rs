//! Newels in turns: one newel, two rails, the same gap on either side.

use approx::assert_relative_eq;
use rakewell::chain::{self, Chain};
use rakewell::inspect::{Severity, Verdict};

use super::{HALF, QUARTER, document, run, with};

const IN: f64 = 25.4;

/// The clear gap of a run beside a newel, mm.
fn gap_beside(chain: &Chain, run: usize, newel: &str) -> f64 {
    let gaps = &chain.runs[run].setout.gaps;
    let found = gaps
        .iter()
        .find(|gap| gap.below == newel || gap.above == newel);
    found.unwrap().clear.as_mm()
}

/// How far the baluster line of a run passes from the middle of a newel, in plan, mm.
fn line_off(chain: &Chain, number: usize, newel: &str) -> f64 {
    let run = &chain.runs[number];
    let set = run.setout.newel(newel).unwrap();
    run.setout.line.at(set.foot.x) - run.site.outward * set.foot.y
}

// Two 1 1/4 in balusters in a going of 10 1/4 leave gaps of 3 7/8: (10.25 - 2 * 1.25) / 2, common
// practice. The newel of the turn keeps it to both flights, and both rails meet it in the middle.
#[test]
fn gaps_match_on_both_sides_of_a_turn() {
    let chain = run(QUARTER);
    for number in [0, 1] {
        assert_relative_eq!(gap_beside(&chain, number, "N2"), 3.875 * IN, epsilon = 1e-3);
        assert!(line_off(&chain, number, "N2").abs() < 0.01, "run {number}");
    }
}

// The same on a stair that is off: the first tread of the flight above is 3/8 in short and the last
// of the flight below 1/4 in long. Each side keeps the gap of its own tread, by the same formula.
#[test]
fn gaps_match_where_the_goings_are_off() {
    let short = "Going(step: 1, is: \"9 7/8\", sd: \"0.01 mm\")";
    let long = "Going(step: 7, is: \"10 1/2\", sd: \"0.01 mm\")";
    let text = with(QUARTER, "readings: [],", &format!("readings: [{long}],"));
    let text = with(&text, "readings: [],", &format!("readings: [{short}],"));
    let chain = run(&text);
    let gap = |going: f64| (going - 2.0 * 1.25) / 2.0 * IN;
    assert_relative_eq!(gap_beside(&chain, 0, "N2"), gap(10.5), epsilon = 0.01);
    assert_relative_eq!(gap_beside(&chain, 1, "N2"), gap(9.875), epsilon = 0.01);
    for number in [0, 1] {
        assert!(line_off(&chain, number, "N2").abs() < 0.01, "run {number}");
    }
}

#[test]
fn a_newel_in_a_turn_is_one_part_and_is_notched_into_both_flights() {
    let chain = run(QUARTER);
    let count = |name: &str| {
        let parts = chain.solids.parts.iter();
        parts.filter(|part| part.name == name).count()
    };
    assert_eq!(count("N2"), 1);
    assert_eq!(chain.runs[1].setout.given.len(), 1);
    // As N1 on the first tread of the flight below: 1 1/4 in behind the kick's face.
    let given = &chain.runs[1].setout.given[0];
    assert_eq!(given.notches.len(), 1);
    assert_relative_eq!(
        given.notches[0].behind_kick_face.as_mm(),
        1.25 * IN,
        epsilon = 1e-3
    );
    // What the newel takes from tread 1 of the flight above is missing in the solid: the notch's
    // area times the tread's thickness.
    let volume = |name: &str| {
        let part = chain.solids.parts.iter().find(|part| part.name == name);
        let pieces = &part.unwrap().pieces;
        pieces
            .iter()
            .map(rakewell::solids::Convex::volume)
            .sum::<f64>()
    };
    let area = rakewell::setout::plan::area(&given.notches[0].corners);
    assert_relative_eq!(
        volume("2.T2") - volume("2.T1"),
        area * IN,
        max_relative = 1e-6
    );
}

#[test]
fn the_level_rail_of_a_half_turn_meets_both_newels() {
    let chain = run(HALF);
    let level = &chain.runs[1].setout;
    // From face to face: seven inches between the middles less half of either newel.
    assert_relative_eq!(
        level.rail.long_points.as_mm(),
        (7.0 - 3.5) * IN,
        epsilon = 1e-3
    );
    assert_relative_eq!(level.rail.pitch.angle().as_degrees(), 0.0, epsilon = 1e-9);
    assert!(chain.inspection.troubles().is_empty());
}

// A job of one flight gives what it gave before there were runs: nothing stands before its names.
#[test]
fn one_flight_has_no_mark() {
    let text = include_str!("../../../demo-scenes/quarry-lane.ron");
    let chain = chain::run(document(text).job()).unwrap();
    assert_eq!(chain.runs.len(), 1);
    let names = chain.solids.parts.iter().map(|part| part.name.as_str());
    assert!(names.clone().all(|name| !name.contains('.')));
    assert!(names.clone().any(|name| name == "T6"));
}

// A flight that starts half way down the one it goes on from, and beside it: their treads stand in
// each other, which is told with the runs and with how far the upper one must be moved.
#[test]
fn runs_that_cross_are_told() {
    let text = with(
        HALF,
        "starts: (after: \"L1\", past: \"0\", left: \"1/2\", turn: \"90\")",
        "starts: (after: \"L1\", past: \"-30\", left: \"1/2\", up: \"-30\", turn: \"90\")",
    );
    let chain = run(&text);
    let troubles = chain.inspection.troubles();
    let mut crossing = troubles.iter().filter(|one| {
        one.says.contains("the runs cross")
            && one.severity == Severity::Stop
            && one.key.parts[0].starts_with("1.T")
    });
    assert!(crossing.any(|one| one.key.parts[1].starts_with("2.T")));
}

/// The quarter turn with the first flight's rail over the newel of the turn, its level piece 42 in
/// over the landing.
fn over_the_turn() -> String {
    let newel = "also: (run: \"2\", step: 1, balusters: 1),";
    let at = QUARTER.find(newel).unwrap() + newel.len();
    let (before, after) = QUARTER.split_at(at);
    let text = format!("{before}{}", with(after, "height: \"60\",", ""));
    with(
        &text,
        "upper: Newel(\"N2\"),",
        "upper: Newel(\"N2\"), system: OverPost(landing: \"42\"),",
    )
}

/// What is found of how a rail meets a newel.
fn landing<'a>(chain: &'a Chain, rail: &str, newel: &str) -> Vec<&'a rakewell::inspect::Finding> {
    let findings = chain.inspection.findings.iter();
    findings
        .filter(|one| one.key.kind == rakewell::inspect::Kind::Landing)
        .filter(|one| one.key.parts == [rail, newel])
        .collect()
}

// The flight above rises 7 1/2 in 10 1/4 from a nosing 1 in before its first kick; the newel's face
// stands 1 1/4 in behind that kick. Its rail meets it at 7 1/2 + 36 + 7.5 / 10.25 * 2 1/4 = 45.146 in
// over the landing; the level piece of the rail below lies at 42 and its rake does not move it.
#[test]
fn a_rail_over_the_newel_of_a_turn_meets_it_with_its_level_piece() {
    let chain = run(&over_the_turn());
    let turn = &chain.runs[0].setout.turns[0];
    let slope = 7.5 / 10.25;
    assert_relative_eq!(
        turn.rise.rise.as_inches(),
        7.5 + 36.0 + slope * 2.25 - 42.0,
        epsilon = 1e-6
    );
    assert!(turn.rise.least.is_none() && turn.rise.most.is_none());
    assert_relative_eq!(turn.meets[0].top.as_inches(), 42.0, epsilon = 1e-6);
    assert_relative_eq!(turn.meets[0].underside.as_inches(), 39.625, epsilon = 1e-6);
    // The newel is as high as the underside: it carries the rail that lies on it, and the other one
    // passes above its head.
    let newel = chain.runs[1].setout.newel("N2").unwrap();
    assert_relative_eq!(newel.height.as_inches(), 39.625, epsilon = 1e-6);
    let on = landing(&chain, "R1", "N2");
    assert_eq!(on.len(), 1);
    assert_eq!(on[0].verdict, Verdict::Met, "{}", on[0].says);
    let beside = landing(&chain, "R2", "N2");
    assert_eq!(beside.len(), 1);
    assert_eq!(beside[0].verdict, Verdict::Broken, "{}", beside[0].says);
}

// With the rail above over the same newel: an easing of 8 in eases it from rake to level about a
// corner 1 1/4 + 1 + 8 tan(pitch / 2) behind the kick, 1 in more behind the nosing. Its level piece
// lies that much up the rake, and hangs over the newel by what it is above 42 in.
#[test]
fn a_rail_that_hangs_over_the_newel_of_a_turn_is_told() {
    let text = with(
        &over_the_turn(),
        "upper: Newel(\"N3\"),",
        "upper: Newel(\"N3\"), system: OverPost(easing: \"8\", level: \"1\"),",
    );
    let chain = run(&text);
    let slope: f64 = 7.5 / 10.25;
    let corner = 1.25 + 1.0 + 8.0 * (slope.atan() / 2.0).tan() + 1.0;
    let hangs = 7.5 + 36.0 + slope * corner - 42.0;
    let turn = &chain.runs[0].setout.turns[0];
    assert_relative_eq!(turn.rise.rise.as_inches(), hangs, epsilon = 1e-6);
    let on = landing(&chain, "R2", "N2");
    assert_eq!(on.len(), 1);
    assert_eq!(on[0].verdict, Verdict::Broken, "{}", on[0].says);
    assert_relative_eq!(on[0].value().as_inches(), hangs, epsilon = 1e-6);
    assert_eq!(on[0].severity, Severity::Stop);
}
