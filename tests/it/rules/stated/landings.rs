//! Landings: IRC R311.7.6 (R318.7.6 in 2024): as wide as the flight, and 36 in deep in the direction
//! of travel where the stair runs straight.

use rakewell::inspect::{Finding, Kind, Verdict};

use super::{HALF_TURN, QUARTER_TURN, STRAIGHT, edited, found, is, length};

fn rules() -> String {
    length("LandingDepth", "AtLeast", "36 in") + &length("LandingNarrower", "AtMost", "0 in")
}

fn depths(text: &str) -> Vec<Finding> {
    found(text, &rules(), Kind::LandingDepth)
}

fn reaching(text: &str, on: &str) -> String {
    edited(
        text,
        &[(
            "overhang: \"1\",",
            &format!("overhang: \"1\", reaches: (on: \"{on}\"),"),
        )],
    )
}

#[test]
fn a_floor_is_as_deep_as_it_is_stated() {
    assert!(
        depths(STRAIGHT).is_empty(),
        "nobody stated how far the floor goes"
    );
    for side in ["Left", "Right"] {
        let job = edited(
            STRAIGHT,
            &[("open_side: Left", &format!("open_side: {side}"))],
        );
        let edge = depths(&reaching(&job, "36"));
        assert_eq!(edge.len(), 1);
        is(&edge[0], Verdict::Met, 36.0, 1e-6);
        is(
            &depths(&reaching(&job, "35.99"))[0],
            Verdict::Broken,
            35.99,
            1e-6,
        );
    }
}

// The landing of the quarter turn is stated 40 in deep, and the wall beside the flight above stands
// 35 3/4 in beyond its baluster line, which lies 1 3/4 in on from the last kick: 37 1/2 in. One who
// steps up there has the wall of the first flight behind: 35 3/4 in, and the 1/2 in that the kick
// stands out beyond the line.
#[test]
fn a_landing_ends_at_the_wall_that_bounds_it() {
    let all = depths(QUARTER_TURN);
    let of = |part: &str| -> &Finding { all.iter().find(|one| one.key.parts == [part]).unwrap() };
    is(of("1.F1"), Verdict::Met, 37.5, 1e-6);
    assert!(of("1.F1").says.contains("wall W2"), "{}", of("1.F1").says);
    is(of("2.F0"), Verdict::Met, 36.25, 1e-6);
    // The upper floor is stated too.
    is(of("2.F1"), Verdict::Met, 40.0, 1e-6);
    let near = edited(QUARTER_TURN, &[("y: \"-35 3/4\")", "y: \"-34\")")]);
    let all = depths(&near);
    let of = |part: &str| all.iter().find(|one| one.key.parts == [part]).unwrap();
    // Both walls are nearer by 1 3/4 in.
    is(of("1.F1"), Verdict::Broken, 35.75, 1e-6);
    is(of("2.F0"), Verdict::Broken, 34.5, 1e-6);
}

// The half turn's landing is stated 40 in deep from the first flight's last kick. The flight above
// starts 1 3/4 in on from there, and 1/2 in more to the left, turned right round: its first kick.
#[test]
fn half_round_a_landing_one_turns_back_from_its_end() {
    let all = depths(HALF_TURN);
    let value = |part: &str| {
        let one = all.iter().find(|one| one.key.parts == [part]).unwrap();
        assert_eq!(one.verdict, Verdict::Met);
        one.value().as_inches()
    };
    assert!((value("1.F1") - 40.0).abs() < 1e-6);
    // 1 3/4 in on to the level run's line, and its 1/2 in to the left lead back down the flight.
    assert!(
        (value("2.F0") - (40.0 - 1.75 + 0.5)).abs() < 1e-6,
        "{}",
        value("2.F0")
    );
}

/// A second flight straight on, so far past the last kick.
fn straight_on(past: &str) -> String {
    let run = format!(
        r#"    runs: [
        (
            name: "2",
            starts: (past: "{past}"),
            flight: (
                open_side: Left, count: 5, rise: "7 1/2", going: "10 1/4", width: "38",
                overhang: "1", tread_thickness: "1", kick_thickness: "3/4", edge: "2 1/4",
            ),
            design: (
                rules: "us-residential-2024",
                newels: [
                    (name: "N3", section: Square("3 1/2"), stands: Displaces(step: 1, balusters: 1), height: "50"),
                    (name: "N4", section: Square("3 1/2"), stands: Displaces(step: 4, balusters: 0), height: "48"),
                ],
                rail: (
                    name: "R2", width: "2 1/4", depth: "2 3/8", height: "36",
                    lower: Newel("N3"), upper: Newel("N4"),
                ),
                balusters: (
                    section: Square("1 1/4"), spacing: PerTread(count: 2), peg: "3/4",
                    peg_diameter: "5/8", edge_distance: "3/4",
                ),
            ),
        ),
    ],
)
"#
    );
    let end = STRAIGHT.trim_end().strip_suffix(')').unwrap();
    format!("{end}{run}")
}

#[test]
fn between_flights_straight_on_it_is_measured_from_kick_to_kick() {
    let met = depths(&straight_on("36"));
    assert_eq!(met.len(), 1, "{met:?}");
    is(&met[0], Verdict::Met, 36.0, 1e-6);
    assert!(met[0].says.contains("kick 2.K1"), "{}", met[0].says);
    is(
        &depths(&straight_on("35.99"))[0],
        Verdict::Broken,
        35.99,
        1e-6,
    );
}

#[test]
fn a_landing_that_a_wall_closes_in_on_is_narrower_than_its_flight() {
    let narrower = |text: &str| found(text, &rules(), Kind::LandingWidth);
    assert!(narrower(STRAIGHT).is_empty());
    // The flight ends at 133 1/4; along its floor a second wall stands 1/2 in nearer.
    let job = reaching(STRAIGHT, "40");
    is(&narrower(&job)[0], Verdict::Met, 0.0, 1e-6);
    let wall = "walls: [
        (
            name: \"W9\",
            from: (x: \"135\", y: \"-35 1/4\"),
            to: (x: \"180\", y: \"-35 1/4\"),
            foot: \"105\",
            head: \"200\",
            readings: [
                Offset(along: \"5\", up: \"120\", is: \"0\"),
                Offset(along: \"40\", up: \"180\", is: \"0\"),
            ],
        ),";
    let closed = narrower(&edited(&job, &[("walls: [", wall)]));
    is(&closed[0], Verdict::Broken, 0.5, 1e-6);
    // What a landing has beyond the flight makes it wider.
    let wide = edited(
        &job,
        &[("reaches: (on: \"40\")", "reaches: (on: \"40\", out: \"6\")")],
    );
    is(&narrower(&wide)[0], Verdict::Met, -6.0, 1e-6);
}

#[test]
fn a_landing_with_a_name_is_as_it_was_read() {
    let landing = "floors: [
        (
            name: \"F9\",
            is: Landing(from: (x: \"-40\", y: \"2 1/4\"), to: (x: \"-4\", y: \"-35 3/4\"), height: \"0\"),
        ),
    ],
    stringers: [";
    let job = edited(STRAIGHT, &[("stringers: [", landing)]);
    let depth = depths(&job);
    assert_eq!(depth[0].key.parts, ["F9"]);
    is(&depth[0], Verdict::Met, 36.0, 1e-6);
    let width = found(&job, &rules(), Kind::LandingWidth);
    is(&width[0], Verdict::Met, 0.0, 1e-6);
    let short = edited(&job, &[("to: (x: \"-4\"", "to: (x: \"-4.01\"")]);
    is(&depths(&short)[0], Verdict::Broken, 35.99, 1e-6);
}
