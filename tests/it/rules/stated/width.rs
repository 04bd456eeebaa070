//! Clear width: IRC R311.7.1 (R318.7.1 in 2024): 36 in above the height that a handrail may have and
//! below the headroom, 31 1/2 in at and below a rail on one side, 27 in between rails on both, as
//! reprinted by Jefferson and Boulder County, Colorado, and in Minnesota Rules 1309.

use rakewell::inspect::{Finding, Kind, Verdict};

use super::{BOTH_SIDES, HALF_TURN, STRAIGHT, WALL_RAIL, chain_of, edited, found, is, length};

/// The widths as published, with the heights that part them.
pub(super) fn published() -> String {
    [
        length("WidthClear", "AtLeast", "36 in"),
        length("WidthOneRail", "AtLeast", "31 1/2 in"),
        length("WidthTwoRails", "AtLeast", "27 in"),
    ]
    .concat()
}

fn rules() -> String {
    let heights =
        length("HandrailHigh", "AtMost", "38 in") + &length("Headroom", "AtLeast", "80 in");
    heights + &published()
}

/// The width above the rails, then at and below them, of every run.
fn widths(text: &str) -> Vec<Finding> {
    found(text, &rules(), Kind::Width)
}

/// The same stair the other way round: its open side on the right.
fn on_the_right(text: &str, wall: &str) -> String {
    edited(
        text,
        &[
            ("open_side: Left", "open_side: Right"),
            (
                &format!("from: (x: \"-36\", y: \"-{wall}\")"),
                &format!("from: (x: \"180\", y: \"{wall}\")"),
            ),
            (
                &format!("to: (x: \"180\", y: \"-{wall}\")"),
                &format!("to: (x: \"-36\", y: \"{wall}\")"),
            ),
        ],
    )
}

/// The wall moved to so far from the baluster line, in.
fn wall_at(text: &str, inches: &str) -> String {
    edited(text, &[("y: \"-35 3/4\")", &format!("y: \"-{inches}\")"))])
}

// Treads 38 in long from the wall, 2 1/4 in of it outside the baluster line. Newels of 3 1/2 in stand
// 1 3/4 in inside it.
#[test]
fn from_the_wall_to_the_end_of_the_treads_above_and_to_the_newel_below() {
    for text in [STRAIGHT.to_owned(), on_the_right(STRAIGHT, "35 3/4")] {
        let [above, below] = &widths(&text)[..] else {
            panic!("two widths");
        };
        is(above, Verdict::Met, 38.0, 1e-6);
        assert_eq!(above.source, "WidthClear");
        is(below, Verdict::Met, 35.75 - 1.75, 1e-6);
        assert_eq!(below.source, "WidthOneRail");
        assert!(
            below.says.contains("wall W1") && below.says.contains("N1"),
            "{}",
            below.says
        );
    }
}

#[test]
fn a_wall_nearer_than_the_code_has_is_too_near() {
    // 33 3/4 in and 2 1/4 in make 36.
    let [above, below] = &widths(&wall_at(STRAIGHT, "33.75"))[..] else {
        panic!("two widths");
    };
    is(above, Verdict::Met, 36.0, 1e-6);
    is(below, Verdict::Met, 32.0, 1e-6);
    let near = wall_at(STRAIGHT, "33.74");
    for text in [near.clone(), on_the_right(&near, "33.74")] {
        is(&widths(&text)[0], Verdict::Broken, 35.99, 1e-6);
    }
    // 31 1/2 in to the newel's face, 1 3/4 in from its line.
    is(
        &widths(&wall_at(STRAIGHT, "33.25"))[1],
        Verdict::Met,
        31.5,
        1e-6,
    );
    is(
        &widths(&wall_at(STRAIGHT, "33.24"))[1],
        Verdict::Broken,
        31.49,
        1e-6,
    );
}

#[test]
fn a_wall_that_leans_in_is_judged_where_it_comes_nearest() {
    let leaning = "Offset(along: \"40\", up: \"10\", is: \"0\"),
                Offset(along: \"40\", up: \"190\", is: \"2\"),
                Offset(along: \"170\", up: \"10\", is: \"0\"),
                Offset(along: \"170\", up: \"190\", is: \"2\"),";
    let leaning = edited(
        STRAIGHT,
        &[
            ("Offset(along: \"40\", up: \"40\", is: \"0\"),", leaning),
            ("Offset(along: \"170\", up: \"120\", is: \"0\"),", ""),
        ],
    );
    let chain = chain_of(&leaning);
    let site = &chain.first().site;
    let face = site.wall("W1").unwrap();
    let nosing = |x: f64| 7.5 * (x / 25.4 + 1.0) / 10.25 * 25.4 + 7.5 * 25.4;
    // The face itself, every 10 mm along the nosings and 10 mm up: where it comes furthest in.
    let furthest = |low: f64, high: f64| {
        let (from, to) = (-25.4, 132.25 * 25.4);
        let mut most = f64::NEG_INFINITY;
        for along in 0..=340 {
            let x = from + (to - from) * f64::from(along) / 340.0;
            for up in 0..=110 {
                let z = nosing(x) + (low + (high - low) * f64::from(up) / 110.0) * 25.4;
                // The wall begins 36 in before the first kick.
                most = most.max(face.off(x + 36.0 * 25.4, z));
            }
        }
        most / 25.4
    };
    let [above, below] = &widths(&leaning)[..] else {
        panic!("two widths");
    };
    let (high, low) = (furthest(38.0, 80.0), furthest(0.0, 36.0));
    assert!(high > low + 0.3 && low > 0.5, "{high} {low}");
    is(above, Verdict::Met, 38.0 - high, 0.01);
    let newel = 34.0 - below.value().as_inches();
    assert!(newel > 0.0 && newel <= low + 1e-6, "{newel} {low}");
    // At the top of the flight, where the band reaches highest.
    assert!(above.at.x > 120.0 * 25.4, "{}", above.at);
}

// The handrail on brackets clears the wall by 1 5/8 and is 1 3/4 wide: its inner face stands 33 3/8
// from the baluster line of the wider flight, and the newel 1 3/4 from it.
#[test]
fn a_rail_on_brackets_takes_its_side() {
    let [above, below] = &widths(WALL_RAIL)[..] else {
        panic!("two widths");
    };
    is(above, Verdict::Met, 39.0, 1e-6);
    is(below, Verdict::Met, 33.375 - 1.75, 1e-6);
    assert_eq!(below.source, "WidthOneRail");
    let right = &widths(&on_the_right(WALL_RAIL, "36 3/4"))[1];
    is(right, Verdict::Met, 33.375 - 1.75, 1e-6);
    // With a rail to hold on either side less is asked.
    let two = &widths(&edited(WALL_RAIL, &[("duty: Guard", "duty: Both")]))[1];
    is(two, Verdict::Met, 33.375 - 1.75, 1e-6);
    assert_eq!(two.source, "WidthTwoRails");
}

// Both baluster lines stand 2 1/4 in from the ends of treads 38 in long, and newels of 3 1/2 in in
// the middle of each.
#[test]
fn between_two_railings_both_newels_count() {
    for text in [
        BOTH_SIDES.to_owned(),
        edited(BOTH_SIDES, &[("open_side: Left", "open_side: Right")]),
    ] {
        let [above, below] = &widths(&text)[..] else {
            panic!("two widths");
        };
        is(above, Verdict::Met, 38.0, 1e-6);
        is(below, Verdict::Met, 38.0 - 4.5 - 3.5, 1e-6);
        assert_eq!(below.source, "WidthTwoRails");
    }
    let narrow = edited(BOTH_SIDES, &[("width: \"38\"", "width: \"34.99\"")]);
    let [above, below] = &widths(&narrow)[..] else {
        panic!("two widths");
    };
    is(above, Verdict::Broken, 34.99, 1e-6);
    is(below, Verdict::Broken, 26.99, 1e-6);
}

#[test]
fn a_further_run_is_judged_in_its_own_frame() {
    let all = widths(HALF_TURN);
    assert_eq!(all.len(), 4);
    for pair in all.chunks(2) {
        is(&pair[0], Verdict::Met, 38.0, 1e-6);
        is(&pair[1], Verdict::Met, 34.0, 1e-6);
    }
    assert_eq!((all[0].run, all[2].run), (0, 2));
    let (first, second) = HALF_TURN.split_at(HALF_TURN.find("name: \"2\",").unwrap());
    let near = format!("{first}{}", wall_at(second, "33.74"));
    let all = widths(&near);
    is(&all[0], Verdict::Met, 38.0, 1e-6);
    is(&all[2], Verdict::Broken, 35.99, 1e-6);
    assert!(all[2].says.contains("W2"), "{}", all[2].says);
}
