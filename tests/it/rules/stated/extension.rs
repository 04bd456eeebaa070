//! Extensions: ADA 505.10.2 and .3 (US Access Board's guide), IBC 1014.6: level for 12 in beyond the
//! top riser, and at the slope for one tread depth beyond the bottom one.

use rakewell::inspect::{Finding, Kind, Verdict};

use super::{HALF_TURN, OVER_POST, STRAIGHT, WALL_RAIL, edited, found, is, length, rule};

fn rules() -> String {
    length("ExtensionTop", "AtLeast", "12 in") + &rule("ExtensionBottom", "AtLeast", "Treads(1.0)")
}

fn end<'f>(all: &'f [Finding], rail: &str, end: &str) -> &'f Finding {
    let mut all = all.iter();
    all.find(|one| one.key.parts == [rail, end]).unwrap()
}

// A tread is 10 1/4 deep.
#[test]
fn a_rail_on_brackets_runs_on_at_the_slope_below_the_lowest_nosing() {
    for side in ["Left", "Right"] {
        let job = |by: &str| {
            let job = edited(
                WALL_RAIL,
                &[("extend_lower: \"0\"", &format!("extend_lower: \"{by}\""))],
            );
            if side == "Left" {
                return job;
            }
            edited(
                &job,
                &[
                    ("open_side: Left", "open_side: Right"),
                    (
                        "from: (x: \"-36\", y: \"-36 3/4\")",
                        "from: (x: \"180\", y: \"36 3/4\")",
                    ),
                    (
                        "to: (x: \"180\", y: \"-36 3/4\")",
                        "to: (x: \"-36\", y: \"36 3/4\")",
                    ),
                ],
            )
        };
        let all = found(&job("10 1/4"), &rules(), Kind::Extension);
        is(end(&all, "R2", "bottom"), Verdict::Met, 10.25, 1e-6);
        assert!((end(&all, "R2", "bottom").limit.as_inches() - 10.25).abs() < 1e-6);
        let all = found(&job("10.24"), &rules(), Kind::Extension);
        is(end(&all, "R2", "bottom"), Verdict::Broken, 10.24, 1e-6);
    }
}

#[test]
fn what_goes_on_climbing_is_not_level() {
    let job = edited(
        WALL_RAIL,
        &[("extend_upper: \"0\"", "extend_upper: \"14\"")],
    );
    let all = found(&job, &rules(), Kind::Extension);
    let top = end(&all, "R2", "top");
    is(top, Verdict::Broken, 0.0, 1e-9);
    // The top kick stands 1 in behind its nosing.
    assert!(
        top.says.contains("runs on 13\" there, but not level"),
        "{}",
        top.says
    );
}

// The newel at the head of the over-post rail stands beyond the top kick by rule: its face one gap,
// 3 7/8, beyond the last baluster of tread 13, which is the kick's own face. The rail lies on it
// level, 3 1/2 in; its 1 in of level piece lies before the kick.
#[test]
fn level_pieces_past_the_top_newel_count() {
    let all = found(OVER_POST, &rules(), Kind::Extension);
    is(end(&all, "R1", "top"), Verdict::Broken, 3.5, 1e-6);
    // Cut between its newels a rail has none.
    let all = found(STRAIGHT, &rules(), Kind::Extension);
    is(end(&all, "R1", "top"), Verdict::Broken, 0.0, 1e-6);
}

#[test]
fn a_guard_has_none_and_neither_has_an_end_that_goes_on_in_another_run() {
    let guard = edited(STRAIGHT, &[("duty: Both", "duty: Guard")]);
    assert!(found(&guard, &rules(), Kind::Extension).is_empty());
    // The first flight's rail meets the level run's at its upper newel, and that meets the second's.
    let all = found(HALF_TURN, &rules(), Kind::Extension);
    let ends: Vec<&[String]> = all.iter().map(|one| one.key.parts.as_slice()).collect();
    assert_eq!(ends, [["R1", "bottom"], ["R3", "top"]]);
}
