//! What must come out alike, whatever the numbers: a stair and its mirror image, a flight wherever it
//! stands in plan, one job in inches and in millimetres; and a stair that is true has no trouble.
//!
//! Each property is one of geometry itself, so that nothing of ours says what the numbers are to be.

mod mirror;
mod moved;
mod truth;
mod units;

use approx::assert_relative_eq;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rakewell::chain::{self, Chain};
use rakewell::job::Document;
use rakewell::setout::SetOut;

use crate::shop::with;

const STRAIGHT: &str = include_str!("../../../scenes/straight.ron");

/// So many draws, always the same ones: all of them together are to take seconds.
fn drawn(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(10),
        max_shrink_iters: 40,
        ..ProptestConfig::default()
    }
}

fn run(text: &str) -> Chain {
    let document = Document::parse(text, "job.ron").unwrap_or_else(|faults| panic!("{faults}"));
    chain::run(document.job()).unwrap_or_else(|error| panic!("{}: {}", error.path, error.problem))
}

/// How a stair of fourteen kicks departs from what was meant, in 1/32 in.
#[derive(Clone, Debug)]
struct Off {
    rises: Vec<i32>,
    goings: Vec<i32>,
    edges: Vec<i32>,
    levels: Vec<i32>,
    lean: [i32; 2],
    wall: [i32; 4],
}

fn off(most: i32) -> impl Strategy<Value = Off> {
    let some = move |most: i32| prop::collection::vec(-most..=most, 4);
    let lean = [-most..=most, -most..=most];
    let wall = [-most..=most, -most..=most, -most..=most, -most..=most];
    (some(most), some(most), some(most), some(most), lean, wall).prop_map(
        |(rises, goings, edges, levels, lean, wall)| Off {
            rises,
            goings,
            edges,
            levels,
            lean,
            wall,
        },
    )
}

/// So many 1/32 in on a length in inches.
fn length(inches: f64, parts: i32) -> String {
    format!("\"{}\"", inches + f64::from(parts) / 32.0)
}

impl Off {
    /// The readings of the steps. Steps are read here and there, as one does.
    fn readings(&self) -> String {
        let mut all = String::new();
        for (at, step) in [2, 5, 9, 12].into_iter().enumerate() {
            let rise = length(7.5, self.rises[at]);
            let going = length(10.25, self.goings[at]);
            let edge = length(2.25, self.edges[at]);
            let level = length(0.0, self.levels[at].abs());
            let high = if self.levels[at] < 0 { "Wall" } else { "Open" };
            all += &format!(
                "Rise(step: {step}, is: {rise}), Going(step: {step}, is: {going}), \
                 Edge(step: {step}, is: {edge}), Level(step: {step}, is: {level}, high: {high}), "
            );
        }
        all
    }

    /// The wall's readings as plumb and straight departures, with places along from one end or the
    /// other.
    fn wall(&self, from_end: bool) -> String {
        let along = |inches: f64| if from_end { 216.0 - inches } else { inches };
        let places = [(40.0, 40.0), (170.0, 120.0), (60.0, 100.0), (150.0, 20.0)];
        let one = |((at, up), parts): ((f64, f64), &i32)| {
            let is = length(0.0, *parts);
            format!("Offset(along: \"{}\", up: \"{up}\", is: {is}), ", along(at))
        };
        places.into_iter().zip(&self.wall).map(one).collect()
    }

    /// The stair with these departures, open on one hand.
    fn text(&self, open: &str) -> String {
        let left = open == "Left";
        let wall =
            "from: (x: \"-36\", y: \"-35 3/4\"),\n            to: (x: \"180\", y: \"-35 3/4\")";
        // The room lies on the left hand of a wall's direction: in the mirror it runs the other way.
        let mirrored =
            "from: (x: \"180\", y: \"35 3/4\"),\n            to: (x: \"-36\", y: \"35 3/4\")";
        let lean = format!(
            "stands: Displaces(step: 1, balusters: 1), lean: (up_flight: {}, outward: {}, over: \"48\"),",
            length(0.0, self.lean[0]),
            length(0.0, self.lean[1])
        );
        with(
            STRAIGHT,
            &[
                ("open_side: Left", &format!("open_side: {open}")),
                (wall, if left { wall } else { mirrored }),
                ("// Rise(step: 3, is: \"7 9/16\"),", &self.readings()),
                (
                    "Offset(along: \"40\", up: \"40\", is: \"0\"),\n                Offset(along: \"170\", up: \"120\", is: \"0\"),",
                    &self.wall(!left),
                ),
                ("stands: Displaces(step: 1, balusters: 1),", &lean),
            ],
        )
    }
}

/// Two set-outs are the same one, sideways distances times `side`.
fn same_setout(one: &SetOut, other: &SetOut, side: f64) {
    let near = |a: f64, b: f64| assert_relative_eq!(a, b, epsilon = 2e-4);
    let points = |a: &nalgebra::Point3<f64>, b: &nalgebra::Point3<f64>| {
        near(a.x, b.x);
        near(a.y, side * b.y);
        near(a.z, b.z);
    };
    points(&one.rail.lower, &other.rail.lower);
    points(&one.rail.upper, &other.rail.upper);
    near(one.rail.long_points.as_mm(), other.rail.long_points.as_mm());
    assert_eq!(one.balusters.len(), other.balusters.len());
    for (a, b) in one.balusters.iter().zip(&other.balusters) {
        points(&a.foot, &b.foot);
        points(&a.top, &b.top);
        near(a.long_point.as_mm(), b.long_point.as_mm());
    }
    assert_eq!(one.newels.len(), other.newels.len());
    for (a, b) in one.newels.iter().zip(&other.newels) {
        points(&a.foot, &b.foot);
        near(a.height.as_mm(), b.height.as_mm());
    }
    assert_eq!(one.gaps.len(), other.gaps.len());
    for (a, b) in one.gaps.iter().zip(&other.gaps) {
        near(a.clear.as_mm(), b.clear.as_mm());
    }
    assert_eq!(one.reveals.len(), other.reveals.len());
    for (a, b) in one.reveals.iter().zip(&other.reveals) {
        near(a.value.as_mm(), b.value.as_mm());
    }
}

/// What was found of both stairs is the same, to the last number.
fn same_findings(one: &Chain, other: &Chain) {
    let (one, other) = (&one.inspection.findings, &other.inspection.findings);
    assert_eq!(one.len(), other.len());
    for finding in one {
        let same = |it: &&rakewell::inspect::Finding| it.key == finding.key;
        let id = finding.key.id();
        let seen = other.iter().find(same).unwrap_or_else(|| panic!("{id}"));
        assert_eq!(finding.verdict, seen.verdict, "{id}");
        for (a, b) in [(finding.lower, seen.lower), (finding.upper, seen.upper)] {
            // Bounds on a ball are 0.1 mm apart at most, and may be taken at other places.
            assert!((a - b).abs().as_mm() < 0.1, "{id}: {a:?} {b:?}");
        }
    }
}
