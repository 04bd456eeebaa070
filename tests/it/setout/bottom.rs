//! Bottom steps that reach past the others or run out towards the foot, against plain geometry.

use approx::assert_relative_eq;
use rakewell::chain::{self, Chain};
use rakewell::inspect::Kind;
use rakewell::job::Document;
use rakewell::solids::Convex;

const TRUE_FLIGHT: &str = include_str!("../../../scenes/straight.ron");
const INCH: f64 = 25.4;

/// The first newel stands on the floor before the first step, so that it is notched into nothing.
fn clear(text: &str) -> String {
    let (newel, clear) = ("Displaces(step: 1, balusters: 1)", "At(x: \"-6\")");
    assert_eq!(text.matches(newel).count(), 1);
    text.replacen(newel, clear, 1)
}

/// The starter flight (treads 38 long, 1 thick, nosing 1, edge 2 1/4, 7 1/2 in 10 1/4) with bottom
/// steps and readings.
fn with(bottom: &str, readings: &str) -> Chain {
    let mark = "readings: [\n            // R";
    assert_eq!(TRUE_FLIGHT.matches(mark).count(), 1);
    let shaped = format!("bottom: [{bottom}], readings: [{readings}\n// R");
    let text = clear(TRUE_FLIGHT).replacen(mark, &shaped, 1);
    let document = Document::parse(&text, "bottom").unwrap_or_else(|faults| panic!("{faults}"));
    chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"))
}

fn volume(chain: &Chain, name: &str) -> f64 {
    let part = chain.solids.parts.iter().find(|part| part.name == name);
    let volume: f64 = part.unwrap().pieces.iter().map(Convex::volume).sum();
    volume / INCH.powi(3)
}

#[test]
fn an_extended_step_moves_its_open_end_alone() {
    let chain = with("(step: 1, beyond: 6)", "");
    let site = &chain.first().site;
    let (first, second) = (site.step(1).unwrap(), site.step(2).unwrap());
    assert_relative_eq!(first.open_q, 8.25 * INCH, epsilon = 1e-9);
    assert_relative_eq!(second.open_q, 2.25 * INCH, epsilon = 1e-9);
    assert_relative_eq!(first.wall_q, second.wall_q, epsilon = 1e-9);
}

/// What was read is held against what was meant for that step: an end an eighth beyond it departs
/// by an eighth, not by six inches and an eighth.
#[test]
fn a_reading_of_an_extended_end_is_against_what_was_meant() {
    let read = "Edge(step: 1, is: \"8 3/8\", sd: \"0.01 mm\"),";
    let chain = with("(step: 1, beyond: 6)", read);
    let edge = &chain.first().estimates.steps[0].edge;
    assert_relative_eq!(edge.found - edge.meant, INCH / 8.0, epsilon = 1e-4);
    let site = &chain.first().site;
    assert_relative_eq!(site.steps[0].open_q, 8.375 * INCH, epsilon = 1e-3);
}

/// The balusters of a step that reaches beyond say nothing about the line of the ends: it stands
/// where it stood, and no reveal is said to wander.
#[test]
fn an_extended_step_does_not_pull_the_baluster_line() {
    let (plain, shaped) = (with("", ""), with("(step: 1, beyond: 6)", ""));
    let (a, b) = (&plain.first().setout.line, &shaped.first().setout.line);
    assert_relative_eq!(a.at_foot.as_mm(), b.at_foot.as_mm(), epsilon = 1e-6);
    assert_relative_eq!(a.slope, b.slope, epsilon = 1e-9);
    let drift = |chain: &Chain| {
        let findings = &chain.inspection.findings;
        let drift = findings
            .iter()
            .find(|one| one.key.kind == Kind::RevealDrift);
        drift.unwrap().value().as_mm()
    };
    assert_relative_eq!(drift(&shaped), 0.0, epsilon = 1e-4);
    let clashes = |chain: &Chain| chain.inspection.clashes.len();
    assert_eq!(clashes(&plain), clashes(&shaped));
}

/// A kick flared by 3 in: its wall end stays a going before the next kick, its open end stands 3
/// further down. Along its 38 in the baluster line lies 35 3/4 from the wall.
#[test]
fn a_flared_kick_turns_about_its_wall_end() {
    let chain = with("(step: 1, flare: 3)", "");
    let site = &chain.first().site;
    let (first, second) = (site.step(1).unwrap(), site.step(2).unwrap());
    let apart = |q: f64| (second.kick_at(q) - first.kick_at(q)) / INCH;
    assert_relative_eq!(apart(first.wall_q), 10.25, epsilon = 1e-9);
    assert_relative_eq!(apart(first.open_q), 13.25, epsilon = 1e-9);
    assert_relative_eq!(apart(0.0), 10.25 + 3.0 * 35.75 / 38.0, epsilon = 1e-9);
    assert_relative_eq!(first.kick_at(0.0), 0.0, epsilon = 1e-9);
    assert_relative_eq!(second.skew, 0.0, epsilon = 1e-12);
    // The tread is a trapezium: 11 1/4 deep at the wall, 14 1/4 at the open end.
    let trapezium = 38.0 * (11.25 + 14.25) / 2.0;
    assert_relative_eq!(volume(&chain, "T1"), trapezium, max_relative = 1e-9);
}

/// A going read on a flared step is against what was meant there.
#[test]
fn a_reading_of_a_flared_step_is_against_what_was_meant() {
    let chain = with(
        "(step: 1, flare: 3)",
        "Going(step: 1, is: \"13 1/4\", side: Open), Going(step: 1, is: \"10 1/4\", side: Wall),",
    );
    let site = &chain.first().site;
    let (first, second) = (site.step(1).unwrap(), site.step(2).unwrap());
    let apart = |q: f64| (second.kick_at(q) - first.kick_at(q)) / INCH;
    assert_relative_eq!(apart(first.wall_q), 10.25, epsilon = 1e-6);
    assert_relative_eq!(apart(first.open_q), 13.25, epsilon = 1e-6);
}

/// Both corners of the end rounded to r take 2 r^2 (1 - pi/4) off the tread, and chords (16 to a
/// quarter) at most a 600th of the round's area more.
#[test]
fn a_rounded_end_takes_its_corners_off() {
    let chain = with("(step: 1, beyond: 6, round: 5)", "");
    let whole = 11.25 * 44.0;
    let off = 2.0 * 25.0 * (1.0 - std::f64::consts::FRAC_PI_4);
    let found = volume(&chain, "T1");
    assert!(found < whole - off);
    assert_relative_eq!(
        found,
        whole - off,
        epsilon = 25.0 * std::f64::consts::FRAC_PI_2 / 600.0
    );
    let plain = with("", "");
    assert_relative_eq!(
        volume(&chain, "T2"),
        volume(&plain, "T2"),
        max_relative = 1e-12
    );
}

/// The kick follows the end: along the front to an inch in from the end, across it, and back to the
/// end of the second kick. In plan three boards 3/4 thick: 43 long, 9 1/4 less two thicknesses, and
/// 6; they stand 6 1/2 high.
#[test]
fn the_kick_goes_round_the_end_and_home() {
    let chain = with("(step: 1, beyond: 6)", "");
    let plan = 0.75 * (43.0 + (9.25 - 1.5) + 6.0);
    assert_relative_eq!(volume(&chain, "K1"), plan * 6.5, max_relative = 1e-9);
    // Rounded it keeps an inch off the edge of the tread all the way.
    let rounded = with("(step: 1, beyond: 6, round: 5)", "");
    let corner = |r: f64| r * r * (1.0 - std::f64::consts::FRAC_PI_4);
    let lost = 2.0 * (corner(4.0) - corner(3.25));
    assert_relative_eq!(
        volume(&rounded, "K1"),
        (plan - lost) * 6.5,
        max_relative = 1e-3
    );
}

/// To the right it is the mirror image.
#[test]
fn the_hand_changes_nothing_but_the_side() {
    let bottom =
        "bottom: [(step: 1, beyond: 6, round: 5), (step: 2, beyond: 2)], readings: [\n// R";
    let left = clear(TRUE_FLIGHT).replacen("readings: [\n            // R", bottom, 1);
    let right = left.replacen("open_side: Left", "open_side: Right", 1);
    let run = |text: &str| {
        let document = Document::parse(text, "hand").unwrap_or_else(|faults| panic!("{faults}"));
        chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"))
    };
    let (left, right) = (run(&left), run(&right));
    for name in ["T1", "K1", "T2", "K2", "T3", "K3"] {
        assert_relative_eq!(
            volume(&left, name),
            volume(&right, name),
            max_relative = 1e-9
        );
    }
}

/// Where every tread reaches beyond there is nothing to compare, and the line stands all the same.
#[test]
fn a_flight_of_extended_steps_alone_is_set_out() {
    let bottom = "bottom: [(step: 1, beyond: 6), (step: 2, beyond: 6)], readings: [\n// R";
    let text = clear(TRUE_FLIGHT)
        .replacen("readings: [\n            // R", bottom, 1)
        .replacen("count: 14,", "count: 3,", 1)
        .replacen("step: 13", "step: 2", 1);
    let document = Document::parse(&text, "short").unwrap_or_else(|faults| panic!("{faults}"));
    let chain = chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(chain.first().setout.balusters.len(), 4);
    let findings = &chain.inspection.findings;
    assert!(findings.iter().all(|one| one.key.kind != Kind::RevealDrift));
}

/// The boards of the steps above are those of the same stair without it; kick 1 goes out with its
/// tread. Mitred ends stand back by the overhang: 38 - 1, and 6 more. A rounded end has no return.
#[test]
fn boards_above_an_extended_step_stay_as_they_were() {
    let plain = with("", "").first().boards();
    for (bottom, returned) in [
        ("(step: 1, beyond: 6)", true),
        ("(step: 1, beyond: 6, round: 4)", false),
    ] {
        let shaped = with(bottom, "").first().boards();
        for (a, b) in plain.kicks.iter().zip(&shaped.kicks) {
            let long = |kick: &rakewell::setout::boards::KickSet| kick.bottom.as_inches();
            let more = if a.step == 1 { 6.0 } else { 0.0 };
            assert_relative_eq!(long(a), 37.0, epsilon = 1e-6);
            assert_relative_eq!(long(b), 37.0 + more, epsilon = 1e-6);
        }
        assert_eq!(
            shaped.treads[0].left.returned.is_some(),
            returned,
            "{bottom}"
        );
        let beyond = shaped.treads[1]
            .left
            .returned
            .as_ref()
            .unwrap()
            .beyond_skirt;
        assert_relative_eq!(beyond.as_inches(), 1.0, epsilon = 1e-6);
    }
}

/// What even reveals cost is reckoned over the ends that are alike: on a true stair nothing.
#[test]
fn an_extended_step_costs_no_lean() {
    let mark = "readings: [\n            // R";
    assert_eq!(TRUE_FLIGHT.matches(mark).count(), 1);
    let shaped = format!("bottom: [(step: 1, beyond: 6)], {mark}");
    let text = TRUE_FLIGHT.replacen(mark, &shaped, 1);
    let document = Document::parse(&text, "bottom").unwrap_or_else(|faults| panic!("{faults}"));
    let chain = chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"));
    let setout = &chain.first().setout;
    assert!(setout.balusters.iter().any(|one| one.step == 1));
    for point in &setout.trade {
        assert_relative_eq!(point.reveal_range.as_mm(), 0.0, epsilon = 1e-6);
        assert_relative_eq!(point.worst_lean.as_mm(), 0.0, epsilon = 1e-6);
    }
}
