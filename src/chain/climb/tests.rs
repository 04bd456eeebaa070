//! Closed forms of a climb.

use approx::assert_abs_diff_eq;
use nalgebra::Point3;

use super::climbs;
use crate::chain::{self, Chain};
use crate::inspect::climb::{Climb, ClimbOf, LevelWay, Of, Railing, Stands, climb};
use crate::job::Document;
use crate::measure::Length;

const STARTER: &str = include_str!("../../../scenes/straight.ron");

/// Every stair that comes with the program.
const SCENES: [(&str, &str); 17] = [
    ("straight", STARTER),
    (
        "closed-string",
        include_str!("../../../scenes/closed-string.ron"),
    ),
    ("half-turn", include_str!("../../../scenes/half-turn.ron")),
    ("half-wall", include_str!("../../../scenes/half-wall.ron")),
    (
        "level-guard",
        include_str!("../../../scenes/level-guard.ron"),
    ),
    (
        "metal-pattern",
        include_str!("../../../scenes/metal-pattern.ron"),
    ),
    (
        "open-both-sides",
        include_str!("../../../scenes/open-both-sides.ron"),
    ),
    ("over-post", include_str!("../../../scenes/over-post.ron")),
    ("panels", include_str!("../../../scenes/panels.ron")),
    (
        "quarter-turn",
        include_str!("../../../scenes/quarter-turn.ron"),
    ),
    (
        "shaped-step",
        include_str!("../../../scenes/shaped-step.ron"),
    ),
    (
        "two-storeys",
        include_str!("../../../scenes/two-storeys.ron"),
    ),
    ("wall-rail", include_str!("../../../scenes/wall-rail.ron")),
    ("winders", include_str!("../../../scenes/winders.ron")),
    (
        "mill-row",
        include_str!("../../../demo-scenes/mill-row.ron"),
    ),
    (
        "quarry-lane",
        include_str!("../../../demo-scenes/quarry-lane.ron"),
    ),
    (
        "weir-cottage",
        include_str!("../../../demo-scenes/weir-cottage.ron"),
    ),
];

fn chain_of(text: &str) -> Chain {
    let document = Document::parse(text, "climb.ron").unwrap();
    chain::run(document.job()).unwrap()
}

/// A chain with its first run's stair changed, and the climb of it.
fn climbed(change: impl Fn(&mut crate::site::Step)) -> Climb {
    let chain = chain_of(STARTER);
    let run = chain.first();
    let mut found = run.site.clone();
    for step in &mut found.steps {
        change(step);
    }
    let stands = |site| Stands {
        frame: &run.frame,
        site,
    };
    climb(&ClimbOf {
        run: 0,
        name: &run.run.name,
        found: stands(&found),
        meant: stands(&run.site),
        railings: vec![Railing {
            job: &run.run.job,
            stands: stands(&found),
            setout: &run.setout,
        }],
        pack: &chain.pack,
    })
    .unwrap()
}

/// A rule's reading as a carpenter adds it up: fourteen rises each a sixteenth strong are
/// fourteen sixteenths at the top.
#[test]
fn a_sixteenth_on_every_rise_is_fourteen_sixteenths_at_the_top() {
    let sixteenth = 25.4 / 16.0;
    let climb = climbed(|step| {
        step.rise += sixteenth;
        step.height += sixteenth * f64::from(step.number);
    });
    assert_eq!(climb.steps.len(), 14);
    for step in &climb.steps {
        let sum = f64::from(step.step) / 16.0;
        assert_abs_diff_eq!(step.rise.off.as_inches(), 1.0 / 16.0, epsilon = 1e-9);
        assert_abs_diff_eq!(step.rise.sum.as_inches(), sum, epsilon = 1e-9);
        assert_abs_diff_eq!(step.off.up.as_inches(), sum, epsilon = 1e-9);
        assert_abs_diff_eq!(step.off.along.as_mm(), 0.0, epsilon = 1e-9);
    }
    let strip = climb.strip(Of::Heights);
    let last = strip.points.last().unwrap();
    assert_abs_diff_eq!(last.value.unwrap().as_inches(), 14.0 / 16.0, epsilon = 1e-9);
    assert_abs_diff_eq!(strip.extent.unwrap().0.as_mm(), 0.0, epsilon = 1e-9);
}

/// The same through the chain: the readings are what is strong, and the adjustment, which weighs
/// them against what was meant, keeps nearly all of it.
#[test]
fn strong_rises_that_are_read_add_up_through_the_chain() {
    let readings: String = (1..=14)
        .map(|step| format!("Rise(step: {step}, is: \"7 9/16\"),"))
        .collect();
    let quarry = include_str!("../../../demo-scenes/quarry-lane.ron");
    let (before, rest) = quarry.split_once("readings: [").unwrap();
    let (_, after) = rest.split_once("],\n    ),\n\n    walls").unwrap();
    let text = format!("{before}readings: [{readings}],\n    ),\n\n    walls{after}");
    let chain = chain_of(&text);
    let climb = &climbs(&chain)[0];
    let top = climb.steps.last().unwrap();
    assert_abs_diff_eq!(top.off.up.as_inches(), 14.0 / 16.0, epsilon = 0.02);
    assert_abs_diff_eq!(top.off.up.as_mm(), top.rise.sum.as_mm(), epsilon = 1e-9);
}

/// An edge that runs out of straight by so much per length: tread ends lie on a straight line, so
/// the string along them touches all, and they drift by the same from each step to the next.
#[test]
fn a_skewed_open_edge_drifts_evenly_and_lies_on_the_string() {
    let (slope, going) = (0.01, chain_of(STARTER).first().site.steps[0].going);
    let climb = climbed(|step| {
        step.open_q += slope * (step.kick_x - step.overhang);
        step.skew = 0.0;
    });
    let strip = climb.strip(Of::TreadEnds);
    let ends: Vec<f64> = strip
        .points
        .iter()
        .filter_map(|point| Some(point.value?.as_mm()))
        .collect();
    assert_eq!(ends.len(), 13, "the floor has no end of its own");
    for pair in ends.windows(2) {
        assert_abs_diff_eq!(pair[1] - pair[0], slope * going, epsilon = 1e-9);
    }
    for step in climb.steps.iter().filter_map(|step| step.end) {
        assert_abs_diff_eq!(step.off_string.as_mm(), 0.0, epsilon = 1e-9);
    }
}

/// A tread a sixteenth per foot out of level over three feet has a gap of three sixteenths.
#[test]
fn a_level_opens_by_slope_times_length() {
    let climb = climbed(|step| {
        step.open_q = step.wall_q + 36.0 * 25.4;
        step.tilt = -1.0 / (16.0 * 12.0);
        step.climb = 0.01;
        step.skew = 0.0;
        step.back_skew = 0.0;
    });
    let step = &climb.steps[4];
    assert_eq!(step.across.way, LevelWay::Across);
    assert_abs_diff_eq!(step.across.gap.as_inches(), -3.0 / 16.0, epsilon = 1e-9);
    assert_abs_diff_eq!(step.across.span.as_inches(), 36.0, epsilon = 1e-9);
    // The wall end is high: the level bears there.
    let rise = step.across.high.z - step.across.low.z;
    assert_abs_diff_eq!(rise, 25.4 * 3.0 / 16.0, epsilon = 1e-9);
    // It climbs up the flight by one in a hundred, so its nosing is low.
    let depth = step.back.span.as_mm();
    assert_abs_diff_eq!(step.back.gap.as_mm(), -0.01 * depth, epsilon = 1e-9);
}

/// What was meant has no departure, on every stair that we ship.
#[test]
fn a_true_stair_departs_nowhere() {
    for (name, text) in SCENES {
        let found = chain_of(text);
        let true_stair = chain::run_true(&found).unwrap();
        for climb in climbs(&true_stair) {
            let brought = [climb.brought.up, climb.brought.along, climb.brought.out];
            for step in &climb.steps {
                let off = [step.off.up, step.off.along, step.off.out];
                let adds = [
                    step.rise.sum,
                    step.going.map_or(Length::ZERO, |one| one.sum),
                ];
                let level = [step.across.gap, step.back.gap];
                let end = step.end.map_or(Length::ZERO, |end| end.off);
                let wall = step.wall.as_ref().map_or(Length::ZERO, |wall| wall.off);
                let all = [off.as_slice(), &adds, &level, &[end, wall], &brought].concat();
                for (at, one) in all.iter().enumerate() {
                    assert!(
                        one.abs() < Length::mm(1e-6),
                        "{name}, run {}, step {}: number {at} is {} mm",
                        climb.run,
                        step.step,
                        one.as_mm()
                    );
                }
            }
        }
    }
}

/// A run that goes on from another begins where that one ends: in its own directions, turned as the
/// stair turns.
#[test]
fn what_a_run_brings_is_what_the_run_below_ends_with() {
    let chain = chain_of(include_str!("../../../demo-scenes/weir-cottage.ron"));
    let all = climbs(&chain);
    let (below, above) = (&all[0], &all[1]);
    let top = below.steps.last().unwrap();
    // The landing is the floor that the last rise reaches, so it is as much too high as that one,
    // but for what it slopes between there and the next flight's foot.
    let slope = 25.4 / 4.0;
    assert_abs_diff_eq!(
        above.brought.up.as_mm(),
        top.off.up.as_mm(),
        epsilon = slope
    );
    assert!(above.brought.up.abs() > Length::ZERO);
    assert_eq!(above.strip(Of::Heights).start, Some(above.brought.up));
    // What it adds by itself comes on top of that.
    let last = above.steps.last().unwrap();
    assert_abs_diff_eq!(
        last.off.up.as_mm(),
        above.brought.up.as_mm() + last.rise.sum.as_mm(),
        epsilon = 1.0
    );
}

/// The reveals of a climb are those of the set-out, with the strip that shows between their two
/// ends; their mean departs from itself by nothing.
#[test]
fn reveals_lie_between_face_and_end() {
    let chain = chain_of(include_str!("../../../demo-scenes/quarry-lane.ron"));
    let climb = &climbs(&chain)[0];
    let all: Vec<_> = climb.steps.iter().flat_map(|step| &step.reveals).collect();
    let setout = &chain.first().setout;
    assert_eq!(all.len(), setout.reveals.len());
    for (one, set) in all.iter().zip(&setout.reveals) {
        assert_eq!(one.part, set.part);
        let between = (one.end - one.face).norm();
        assert_abs_diff_eq!(between, set.value.as_mm(), epsilon = 1e-9);
        let middle: Point3<f64> = nalgebra::center(&one.end, &one.face);
        assert_abs_diff_eq!(middle, set.at, epsilon = 1e-9);
        // What is wanted stands in the job: 1 5/8.
        assert_abs_diff_eq!(one.wanted.as_inches(), 1.625, epsilon = 1e-12);
        assert_abs_diff_eq!(
            (one.value - one.wanted).as_mm(),
            one.off.as_mm(),
            epsilon = 1e-12
        );
    }
    assert_eq!(climb.step_of(&all[3].part), Some(setout.reveals[3].step));
    assert_eq!(climb.step_of("T5"), Some(5));
    assert_eq!(climb.step_of("N1"), None);
}

/// Heights over the nosings are those of the height window: its least and greatest are among them.
#[test]
fn heights_are_those_of_the_window() {
    let chain = chain_of(include_str!("../../../demo-scenes/quarry-lane.ron"));
    let climb = &climbs(&chain)[0];
    let window = &chain.first().setout.rail.window;
    let rails: Vec<_> = climb.steps.iter().flat_map(|step| &step.rails).collect();
    let least = rails.iter().map(|one| one.least.as_mm());
    let most = rails.iter().map(|one| one.most.as_mm());
    assert_abs_diff_eq!(
        least.fold(f64::INFINITY, f64::min),
        window.lowest.0.as_mm(),
        epsilon = 1e-9
    );
    assert_abs_diff_eq!(
        most.fold(f64::NEG_INFINITY, f64::max),
        window.highest.0.as_mm(),
        epsilon = 1e-9
    );
    // IRC R311.7.8.1 (2021): 34 to 38 in.
    let asked: Vec<f64> = climb
        .limits_on(Of::RailHeight)
        .map(|limit| limit.at.as_inches())
        .collect();
    assert_abs_diff_eq!(asked[0], 34.0, epsilon = 1e-9);
    assert_abs_diff_eq!(asked[1], 38.0, epsilon = 1e-9);
    // IRC R311.7.5.1 (2021): greatest rise 7 3/4, range 3/8, here a band about the middle of the
    // least and the greatest.
    let rises: Vec<f64> = climb
        .limits_on(Of::Rises)
        .map(|limit| limit.at.as_inches())
        .collect();
    assert_abs_diff_eq!(rises[0], 7.75, epsilon = 1e-9);
    assert_abs_diff_eq!(rises[1] - rises[2], 0.375, epsilon = 1e-9);
    // On the side on which the rises differ most, as the inspection has it.
    let told = chain.inspection.findings.iter();
    let mut told = told.filter(|one| one.key.kind == crate::inspect::Kind::RiseVariation);
    let range = told.next().unwrap().value().as_inches();
    let middle = f64::midpoint(rises[1], rises[2]);
    let ends = |least: f64| {
        climb.steps.iter().any(|step| {
            let all = [step.rise.found, step.rise_ends[0], step.rise_ends[1]];
            all.iter().any(|one| (one.as_inches() - least).abs() < 1e-9)
        })
    };
    assert!(ends(middle - range / 2.0) && ends(middle + range / 2.0));
}

/// Rises at the ends of the treads are those that the rules look at: the worst that the inspection
/// found is among them.
#[test]
fn the_worst_rise_is_on_the_strip_of_rises() {
    let chain = chain_of(include_str!("../../../demo-scenes/weir-cottage.ron"));
    let all = climbs(&chain);
    let told = chain.inspection.findings.iter().find(|finding| {
        finding.key.kind == crate::inspect::Kind::Rise
            && finding.key.parts == ["1.K7".to_owned(), "at most".to_owned()]
    });
    let worst = told.unwrap().value();
    let strip = all[0].strip(Of::Rises);
    let point = &strip.points[6];
    let most = point.each.iter().chain(&point.value);
    let most = most.fold(Length::ZERO, |most, one| most.max(*one));
    assert_abs_diff_eq!(most.as_mm(), worst.as_mm(), epsilon = 1e-9);
}

/// The wall of the demo is read at 60 in along and 30 in up to stand 3/16 in into the room.
#[test]
fn the_wall_beside_a_step_is_the_face_at_rail_height() {
    let chain = chain_of(include_str!("../../../demo-scenes/quarry-lane.ron"));
    let climb = &climbs(&chain)[0];
    let face = chain.first().site.wall("W1").unwrap();
    for step in &climb.steps {
        let wall = step.wall.as_ref().unwrap();
        assert_eq!(wall.wall, "W1");
        // W1 runs along x from -30 in, and the room lies at its left hand.
        let along = wall.at.x + 30.0 * 25.4;
        assert_abs_diff_eq!(wall.off.as_mm(), face.off(along, wall.at.z), epsilon = 1e-6);
        let low = face.off(along, step.at.z);
        assert_abs_diff_eq!((wall.off - wall.lean).as_mm(), low, epsilon = 1e-6);
    }
}
