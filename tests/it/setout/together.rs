//! Things of a job that meet: built balusters with other spacings, shaped steps with even reveals,
//! what lies under the treads with a railing on the wall side.

use approx::assert_relative_eq;
use rakewell::chain::{self, Chain};
use rakewell::job::Document;

const IN: f64 = 25.4;
const STRAIGHT: &str = include_str!("../../../scenes/straight.ron");
const BOTH: &str = include_str!("../../../scenes/open-both-sides.ron");
const QUARTER: &str = include_str!("../../../scenes/quarter-turn.ron");

/// A scene with texts put for others, which must be there, set out.
fn run(scene: &str, changes: &[(&str, &str)]) -> Chain {
    let text = changes.iter().fold(scene.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "{old} is not in the scene");
        text.replacen(old, new, 1)
    });
    let document = Document::parse(&text, "scene.ron").unwrap_or_else(|faults| panic!("{faults}"));
    chain::run(document.job()).unwrap_or_else(|error| panic!("{error}"))
}

const BUILT: &str = "built: [Baluster(step: 3, place: 1, x: \"22\"),";

// Along the rail everything between fixed places is shared anew, so gaps differ; a mark is where the
// near face stands, from the face of the newel at the foot.
#[test]
fn marks_follow_balusters_that_have_been_built() {
    let chain = run(
        STRAIGHT,
        &[
            ("built: [", BUILT),
            ("PerTread(count: 2),    // or AlongRail()", "AlongRail(),"),
            (
                "stands: Displaces(step: 1, balusters: 1)",
                "stands: At(x: \"-1/2\")",
            ),
            (
                "stands: Displaces(step: 13, balusters: 0)",
                "stands: At(x: \"135\")",
            ),
        ],
    );
    let setout = &chain.first().setout;
    let from = (-0.5 + 1.75) * IN;
    for (mark, one) in setout.marks.iter().zip(&setout.balusters) {
        let near = one.foot.x - one.along.as_mm() / 2.0;
        // To the nearest sixteenth.
        assert_relative_eq!(mark.level.as_mm(), near - from, epsilon = IN / 32.0 + 1e-6);
    }
    let gaps = setout.gaps.iter().map(|gap| gap.clear.as_mm());
    let (least, most) = gaps.fold((f64::INFINITY, 0.0_f64), |(a, b), gap| {
        (a.min(gap), b.max(gap))
    });
    assert!(most - least > 1.0, "the built one makes gaps differ");
}

#[test]
fn equal_gaps_leave_a_built_baluster_where_it_is() {
    let chain = run(
        STRAIGHT,
        &[
            ("built: [", BUILT),
            ("PerTread(count: 2)", "PerTread(count: 2, hold: EqualGaps)"),
        ],
    );
    let balusters = &chain.first().setout.balusters;
    let built = balusters.iter().find(|one| (one.step, one.place) == (3, 1));
    assert_relative_eq!(built.unwrap().foot.x, 22.0 * IN, epsilon = 1e-9);
}

// On the stair that was meant all tread ends but the shaped one's stand alike, so there is nothing
// for an even reveal to follow: no baluster leans, and the trade has no price at either end.
#[test]
fn a_shaped_step_leans_no_baluster() {
    let bottom = "bottom: [(step: 1, beyond: \"6\")],\n        overhang: \"1\"";
    let chain = run(
        STRAIGHT,
        &[
            ("overhang: \"1\"", bottom),
            ("align: Plumb", "align: EvenReveal"),
        ],
    );
    let setout = &chain.first().setout;
    for one in &setout.balusters {
        assert_relative_eq!(one.lean.as_mm(), 0.0, epsilon = 1e-3);
    }
    for point in &setout.trade {
        assert_relative_eq!(point.reveal_range.as_mm(), 0.0, epsilon = 1e-3);
        assert_relative_eq!(point.worst_lean.as_mm(), 0.0, epsilon = 1e-3);
    }
    assert!(setout.reveals.iter().all(|reveal| reveal.step != 1));
}

// Kicks stop short of the treads' ends by the overhang: 38 less 1 in, whatever the first step does;
// the first kick goes as far as its own tread, 6 in more.
#[test]
fn a_shaped_step_is_no_measure_for_the_other_kicks() {
    let bottom = "bottom: [(step: 1, beyond: \"6\")],\n        overhang: \"1\"";
    let chain = run(STRAIGHT, &[("overhang: \"1\"", bottom)]);
    let boards = chain.first().boards();
    for kick in &boards.kicks {
        let asked = if kick.step == 1 { 43.0 } else { 37.0 };
        assert_relative_eq!(kick.bottom.as_mm(), asked * IN, epsilon = 1e-3);
    }
}

// The two baluster lines stand 38 less twice 2 1/4 in apart, 33 1/2. A screw 33 in from the open
// side's line is 1/2 in outside the other's, under its newel N3; one at 1 in is nowhere near.
#[test]
fn iron_is_seen_from_the_wall_side_too() {
    let iron = |inset: &str| {
        let fasteners = format!(
            "fasteners: [(name: \"screw 1\", step: 1, from: \"1/2\", inset: \"{inset}\", diameter: \"1/4\")],\n    design: (\n        rules"
        );
        let chain = run(BOTH, &[("design: (\n        rules", &fasteners)]);
        let met: Vec<String> = chain
            .runs
            .iter()
            .flat_map(|run| &run.setout.newels)
            .filter(|newel| newel.fasteners.iter().any(|one| one.clear.as_mm() < 0.0))
            .map(|newel| newel.name.clone())
            .collect();
        met
    };
    assert_eq!(iron("33"), ["N3"]);
    assert_eq!(iron("1/2"), ["N1"]);
    assert_eq!(iron("17"), Vec::<String>::new());
}

#[test]
fn what_a_turns_newel_meets_in_the_next_run_is_told() {
    let fasteners = "fasteners: [(name: \"screw 9\", step: 1, from: \"1\", inset: \"1/2\", diameter: \"1/4\")],\n            design: (";
    let chain = run(QUARTER, &[("            design: (", fasteners)]);
    let told = chain.inspection.troubles();
    assert!(
        told.iter()
            .any(|one| one.key.parts.contains(&"N2".to_owned())
                && one.key.parts.contains(&"screw 9".to_owned())),
        "{:?}",
        told.iter().map(|one| &one.says).collect::<Vec<_>>()
    );
}
