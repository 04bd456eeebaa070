//! Headroom: IRC R311.7.2 (R318.7.2 in 2024), 80 in plumb from the line of the nosings or the floor
//! of a landing, as reprinted by Jefferson and Boulder County, Colorado.

use rakewell::inspect::{Kind, Verdict};

use super::{HALF_TURN, STRAIGHT, SURE, edited, found, is, length, one};

fn rules() -> String {
    length("Headroom", "AtLeast", "80 in")
}

/// The flight with something that hangs over it: from, to, low, high.
fn under(text: &str, [from, to, low, high]: [&str; 4]) -> String {
    let overheads = format!(
        "overheads: [(name: \"soffit\", from: \"{from}\", to: \"{to}\", low: \"{low}\", \
         high: \"{high}\")],\n    design: ("
    );
    let at = text.find("    design: (").unwrap();
    format!(
        "{}    {}{}",
        &text[..at],
        overheads,
        &text[at + "    design: (".len()..]
    )
}

// Rise 7 1/2, going 10 1/4, overhang 1: nosing 5 stands at 40 and is 37 1/2 high.
#[test]
fn an_edge_over_a_nosing_is_judged_plumb() {
    let met = one(
        &under(STRAIGHT, ["40", "40", "117.5", "117.5"]),
        &rules(),
        Kind::Headroom,
    );
    is(&met, Verdict::Met, 80.0, 1e-6);
    assert!((met.at.x - 40.0 * 25.4).abs() < 1e-6);
    let low = one(
        &under(STRAIGHT, ["40", "40", "117.49", "117.49"]),
        &rules(),
        Kind::Headroom,
    );
    is(&low, Verdict::Broken, 79.99, 1e-6);
    assert!(low.says.contains("nosing 5"), "{}", low.says);
    let right = edited(STRAIGHT, &[("open_side: Left", "open_side: Right")]);
    let right = edited(
        &right,
        &[
            (
                "from: (x: \"-36\", y: \"-35 3/4\")",
                "from: (x: \"180\", y: \"35 3/4\")",
            ),
            (
                "to: (x: \"180\", y: \"-35 3/4\")",
                "to: (x: \"-36\", y: \"35 3/4\")",
            ),
        ],
    );
    let right = one(
        &under(&right, ["40", "40", "117.49", "117.49"]),
        &rules(),
        Kind::Headroom,
    );
    is(&right, Verdict::Broken, 79.99, 1e-6);
}

#[test]
fn between_two_nosings_the_line_goes_straight() {
    // Half way from nosing 5 to nosing 6: 37 1/2 and half a rise.
    let job = under(STRAIGHT, ["45.125", "45.125", "121.25", "121.25"]);
    is(
        &one(&job, &rules(), Kind::Headroom),
        Verdict::Met,
        80.0,
        1e-6,
    );
}

#[test]
fn a_soffit_is_judged_where_it_leaves_least() {
    // Level, it comes nearest at its upper end; as steep as the flight, everywhere alike.
    let level = one(
        &under(STRAIGHT, ["-30", "40", "117.5", "117.5"]),
        &rules(),
        Kind::Headroom,
    );
    is(&level, Verdict::Met, 80.0, 1e-6);
    assert!((level.at.x - 40.0 * 25.4).abs() < 1e-6);
    let raked = ["-1", "40", "87.5", "117.5"];
    is(
        &one(&under(STRAIGHT, raked), &rules(), Kind::Headroom),
        Verdict::Met,
        80.0,
        1e-6,
    );
    let falling = one(
        &under(STRAIGHT, ["-1", "40", "87.5", "110"]),
        &rules(),
        Kind::Headroom,
    );
    is(&falling, Verdict::Broken, 72.5, 1e-6);
}

#[test]
fn floors_below_and_above_count_where_there_is_no_nosing() {
    let lower = one(
        &under(STRAIGHT, ["-60", "-40", "79.9", "79.9"]),
        &rules(),
        Kind::Headroom,
    );
    is(&lower, Verdict::Broken, 79.9, 1e-6);
    assert!(lower.says.contains("the floor below"), "{}", lower.says);
    // 14 rises of 7 1/2 reach 105.
    let upper = one(
        &under(STRAIGHT, ["140", "150", "185", "185"]),
        &rules(),
        Kind::Headroom,
    );
    is(&upper, Verdict::Met, 80.0, 1e-6);
    assert!(upper.says.contains("the floor above"), "{}", upper.says);
}

#[test]
fn the_higher_end_of_a_tread_counts() {
    let tilted = format!("Level(step: 5, is: \"3/4\", sd: \"{SURE}\", high: Wall)");
    let tilted = edited(
        STRAIGHT,
        &[(
            "readings: [\n            // R",
            &format!("readings: [{tilted},\n// R"),
        )],
    );
    let job = under(&tilted, ["40", "40", "117.5", "117.5"]);
    // The wall end stands 35 3/4 from the line that rises are read on, of 38 in all.
    let higher = 0.75 * 35.75 / 38.0;
    is(
        &one(&job, &rules(), Kind::Headroom),
        Verdict::Broken,
        80.0 - higher,
        2e-3,
    );
}

#[test]
fn a_further_run_has_its_own_and_places_are_the_first_runs() {
    let (first, second) = HALF_TURN.split_at(HALF_TURN.find("name: \"2\",").unwrap());
    let second = under(second, ["40", "40", "117.49", "117.49"]);
    let low = one(&format!("{first}{second}"), &rules(), Kind::Headroom);
    is(&low, Verdict::Broken, 79.99, 1e-6);
    assert_eq!(low.run, 2);
    // Eight rises below it.
    assert!(
        (low.at.z / 25.4 - (60.0 + 117.49)).abs() < 1e-6,
        "{}",
        low.at
    );
}

#[test]
fn nothing_stated_is_not_shown() {
    assert!(found(STRAIGHT, &rules(), Kind::Headroom).is_empty());
}
