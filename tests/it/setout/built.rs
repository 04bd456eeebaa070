//! What has been fitted stays where it was measured, and the rest is set out around it.

use approx::assert_relative_eq;
use proptest::prelude::*;
use rakewell::chain::{self, Chain};
use rakewell::job::{Built, Job, Len, Section, Spacing, Stands};
use rakewell::setout::built::{Measured, compare};
use rakewell::setout::{BalusterSet, SetOut};

use super::flight::job;

const TRUE_FLIGHT: &str = include_str!("../../../scenes/straight.ron");
const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
const SURVEYED: &str = include_str!("../../../demo-scenes/mill-row.ron");

/// Nothing differs by more than this, mm.
const SAME: f64 = 1e-9;

fn mm(length: f64) -> Len {
    Len::millimetres(length)
}

fn newel(name: &str, x: f64, y: f64, up: f64) -> Built {
    Built::Newel {
        name: name.to_owned(),
        x: mm(x),
        y: mm(y),
        up: Some(mm(up)),
        by: None,
        sd: None,
        taken: String::new(),
        note: String::new(),
    }
}

fn baluster(planned: &BalusterSet, x: f64, y: Option<f64>) -> Built {
    under(None, planned, x, y)
}

fn under(rail: Option<&str>, planned: &BalusterSet, x: f64, y: Option<f64>) -> Built {
    Built::Baluster {
        rail: rail.map(str::to_owned),
        step: planned.step,
        place: planned.place,
        x: mm(x),
        y: y.map(mm),
        by: None,
        sd: None,
        taken: String::new(),
        note: String::new(),
    }
}

fn rail(name: &str, nosing: u32, is: f64) -> Built {
    Built::Rail {
        name: name.to_owned(),
        nosing,
        is: mm(is),
        by: None,
        sd: None,
        taken: String::new(),
        note: String::new(),
    }
}

/// The height of the rail's top over a nosing, on the string.
fn over(chain: &Chain, nosing: u32) -> f64 {
    let rail = &chain.first().setout.rail;
    let step = chain.first().site.step(nosing).unwrap();
    let run = rail.upper - rail.lower;
    rail.lower.z + (step.nosing_x() - rail.lower.x) * run.z / run.x - step.nosing_top(0.0)
}

/// Readings that find everything where it was planned.
fn as_planned(job: &Job, plan: &Chain, nosings: &[u32]) -> Vec<Built> {
    let mut built = Vec::new();
    for one in &plan.first().setout.newels {
        for up in [0.0, 800.0] {
            let there = one.foot + one.axis.as_ref() * (up / one.axis.z);
            built.push(newel(&one.name, there.x, there.y, up));
        }
        built.push(Built::NewelTop {
            name: one.name.clone(),
            is: mm(one.height.as_mm()),
            by: None,
            sd: None,
            taken: String::new(),
            note: String::new(),
        });
    }
    for one in &plan.first().setout.balusters {
        built.push(baluster(one, one.foot.x, Some(one.foot.y)));
    }
    let name = &job.design.rail.name;
    built.extend(
        nosings
            .iter()
            .map(|&nosing| rail(name, nosing, over(plan, nosing))),
    );
    built
}

#[track_caller]
fn same(plan: &SetOut, now: &SetOut) {
    let near = |a: f64, b: f64| assert!((a - b).abs() <= SAME, "{a} and {b}");
    let points = |setout: &SetOut| {
        let newels = setout
            .newels
            .iter()
            .flat_map(|n| [n.foot, n.foot + n.axis.as_ref() * n.height.as_mm()]);
        let balusters = setout.balusters.iter().flat_map(|b| [b.foot, b.top]);
        let rails = [setout.rail.lower, setout.rail.upper];
        newels.chain(balusters).chain(rails).collect::<Vec<_>>()
    };
    let (before, after) = (points(plan), points(now));
    assert_eq!(before.len(), after.len());
    for (a, b) in before.iter().zip(&after) {
        near((a - b).norm(), 0.0);
    }
    for (a, b) in plan.gaps.iter().zip(&now.gaps) {
        assert_eq!((&a.below, &a.above), (&b.below, &b.above));
        near(a.clear.as_mm(), b.clear.as_mm());
    }
    for (a, b) in plan.balusters.iter().zip(&now.balusters) {
        near(a.long_point.as_mm(), b.long_point.as_mm());
        near(a.lean.as_mm(), b.lean.as_mm());
    }
    near(plan.rail.long_points.as_mm(), now.rail.long_points.as_mm());
}

/// The starter with its balusters along the rail between newels at points: 130 in of them.
fn along_rail(width: f64, count: u32) -> Job {
    let mut job = job(TRUE_FLIGHT);
    for (newel, x) in job.design.newels.iter_mut().zip([-2.0, 131.5]) {
        newel.stands = Stands::At {
            x: Len::inches(x),
            y: Len::inches(0.0),
        };
    }
    job.design.balusters.section = Section::Square(Len::inches(width));
    job.design.balusters.spacing = Spacing::AlongRail { count: Some(count) };
    job
}

#[test]
fn built_as_planned_changes_nothing() {
    let jobs = [
        job(DEMO),
        job(SURVEYED),
        job(TRUE_FLIGHT),
        along_rail(1.5, 26),
    ];
    for mut job in jobs {
        let plan = chain::run(&job).unwrap();
        let last = job.flight.count;
        for nosings in [&[][..], &[2], &[last - 1], &[1, last], &[1, 4, last]] {
            job.built = as_planned(&job, &plan, nosings);
            let now = chain::run(&job).unwrap();
            same(&plan.first().setout, &now.first().setout);
            for told in compare(&job, &now.first().site, &plan.first().setout) {
                let off = told.difference().unwrap().as_mm();
                assert!(off.abs() <= SAME && !told.is_far(), "{told:?}");
            }
        }
        let planned = chain::run_planned(&job).unwrap();
        same(&plan.first().setout, &planned.first().setout);
    }
}

/// Several runs and railings on the wall side: each reading in its own run, and every part of it
/// where it was planned.
#[test]
fn built_as_planned_on_every_run_changes_nothing() {
    for text in [
        include_str!("../../../scenes/quarter-turn.ron"),
        include_str!("../../../scenes/open-both-sides.ron"),
    ] {
        let mut job = job(text);
        let plan = chain::run(&job).unwrap();
        for run in &plan.runs {
            let setout = &run.setout;
            let newels = setout.newels.iter();
            let mut built: Vec<Built> = newels
                .map(|one| newel(&one.name, one.foot.x, one.foot.y, 0.0))
                .collect();
            let rail = (!run.run.has_stair()).then_some(setout.rail.name.as_str());
            let balusters = setout.balusters.iter();
            built.extend(balusters.map(|one| under(rail, one, one.foot.x, Some(one.foot.y))));
            match job
                .runs
                .iter_mut()
                .find(|further| further.name == run.run.name)
            {
                Some(further) => further.built.extend(built),
                None => job.built.extend(built),
            }
        }
        let now = chain::run(&job).unwrap();
        for (plan, now) in plan.runs.iter().zip(&now.runs) {
            same(&plan.setout, &now.setout);
        }
        let told = chain::as_built(&now, &chain::run_planned(&job).unwrap());
        let count = |setout: &SetOut| 2 * (setout.newels.len() + setout.balusters.len());
        let expected: usize = plan.runs.iter().map(|run| count(&run.setout)).sum();
        assert_eq!(told.len(), expected);
        for one in told {
            assert!(one.difference().unwrap().as_mm().abs() <= SAME, "{one:?}");
        }
    }
}

#[test]
fn a_newel_built_elsewhere_moves_its_own_gap_by_as_much() {
    for text in [DEMO, TRUE_FLIGHT] {
        let mut job = job(text);
        let plan = chain::run(&job).unwrap();
        let planned = &plan.first().setout.newels[0];
        for moved in [-6.35, 3.0] {
            job.built = vec![newel("N1", planned.foot.x + moved, planned.foot.y, 0.0)];
            let now = chain::run(&job).unwrap();
            assert_relative_eq!(
                now.first().setout.newels[0].foot.x,
                planned.foot.x + moved,
                epsilon = SAME
            );
            let (before, after) = (&plan.first().setout.gaps, &now.first().setout.gaps);
            let first = before[0].clear.as_mm() - after[0].clear.as_mm();
            assert_relative_eq!(first, moved, epsilon = SAME);
            for (a, b) in before.iter().zip(after).skip(1) {
                assert_relative_eq!(a.clear.as_mm(), b.clear.as_mm(), epsilon = SAME);
            }
            // The notch goes with the newel.
            let notch = |chain: &Chain| {
                chain.first().setout.newels[0].notches[0]
                    .from_nosing
                    .as_mm()
            };
            assert_relative_eq!(notch(&now) - notch(&plan), moved, epsilon = SAME);
            let told = compare(&job, &now.first().site, &plan.first().setout);
            assert_relative_eq!(told[0].difference().unwrap().as_mm(), moved, epsilon = SAME);
            assert_eq!(
                (told[0].of, told[1].of),
                (Measured::Forward, Measured::Outward)
            );
        }
    }
}

#[test]
fn a_newel_read_at_two_heights_leans_and_the_rail_meets_it_there() {
    let mut job = job(TRUE_FLIGHT);
    let plan = chain::run(&job).unwrap();
    let foot = plan.first().setout.newels[0].foot;
    // 1/4 in up the flight and 1/8 in outward over 40 in: closed form.
    let over = 1016.0;
    let (forward, outward) = (6.35, 3.175);
    job.built = vec![
        newel("N1", foot.x, foot.y, 0.0),
        newel("N1", foot.x + forward, foot.y + outward, over),
    ];
    let now = chain::run(&job).unwrap();
    let one = &now.first().setout.newels[0];
    assert_relative_eq!(one.axis.x / one.axis.z, forward / over, epsilon = 1e-12);
    assert_relative_eq!(one.axis.y / one.axis.z, outward / over, epsilon = 1e-12);
    let end = now.first().setout.rail.lower;
    let face = one.foot.x + one.along.as_mm() / 2.0 + (end.z - one.foot.z) * forward / over;
    // The face's own tilt across is too small to matter on the rail's middle, 1/8 in 40.
    assert_relative_eq!(end.x, face, epsilon = 1e-6);
    // A reading higher up alone is brought down by the lean that is known.
    job.built.remove(0);
    let now = chain::run(&job).unwrap();
    assert_relative_eq!(
        now.first().setout.newels[0].foot.x,
        foot.x + forward,
        epsilon = SAME
    );
}

/// Clear length, width, count and gap: published baluster spacings (ehow.com `how_6210555`,
/// thecooperarms.org 4054, ironfurnit.blogspot.com 2011-11), inches.
const PUBLISHED: [(f64, f64, u32, f64); 3] = [
    (72.0, 1.5, 13, 3.75),
    (72.0, 1.5, 15, 3.093_75),
    (52.0, 1.5, 10, 37.0 / 11.0),
];

#[test]
fn those_between_two_fitted_ones_share_what_is_left_as_published() {
    for (clear, width, count, gap) in PUBLISHED {
        let mut job = along_rail(width, count + 10);
        let plan = chain::run(&job).unwrap();
        let planned = &plan.first().setout.balusters;
        let (low, high) = (5, 5 + count as usize + 1);
        let x = planned[low].foot.x + 2.0;
        job.built = vec![
            baluster(&planned[low], x, None),
            baluster(&planned[high], x + (clear + width) * 25.4, None),
        ];
        let now = chain::run(&job).unwrap();
        // Gap `i` lies below baluster `i`.
        for between in &now.first().setout.gaps[low + 1..=high] {
            assert_relative_eq!(between.clear.as_inches(), gap, epsilon = 1e-9);
        }
        // Outside of them the rest shares up to the newels, evenly too.
        let even = |gaps: &[rakewell::setout::Gap]| {
            for pair in gaps.windows(2) {
                assert_relative_eq!(pair[0].clear.as_mm(), pair[1].clear.as_mm(), epsilon = 1e-9);
            }
        };
        even(&now.first().setout.gaps[..=low]);
        even(&now.first().setout.gaps[high + 1..]);
        assert_eq!(now.first().setout.balusters.len(), planned.len());
    }
}

#[test]
fn on_treads_the_kicks_are_kept_and_the_neighbours_share() {
    // Two to a tread of 10 in: the gaps beside a first baluster 1/4 in too far up are 1/8 in wider
    // below it and 1/8 in narrower above, two of each; (L - w) / 2 with L 8 3/4 -+ 1/4.
    let mut job = job(TRUE_FLIGHT);
    job.flight.going = Len::inches(10.0);
    let plan = chain::run(&job).unwrap();
    let planned = &plan.first().setout.balusters;
    let at = planned
        .iter()
        .position(|b| (b.step, b.place) == (4, 1))
        .unwrap();
    job.built = vec![baluster(&planned[at], planned[at].foot.x + 6.35, None)];
    let now = chain::run(&job).unwrap();
    let changed: Vec<(usize, f64)> = plan
        .first()
        .setout
        .gaps
        .iter()
        .zip(&now.first().setout.gaps)
        .map(|(a, b)| (b.clear - a.clear).as_inches())
        .enumerate()
        .filter(|(_, change)| change.abs() > 1e-9)
        .collect();
    let expected = [
        (at - 1, 0.125),
        (at, 0.125),
        (at + 1, -0.125),
        (at + 2, -0.125),
    ];
    assert_eq!(changed.len(), expected.len(), "{changed:?}");
    for ((gap, change), (expected_gap, expected_change)) in changed.iter().zip(expected) {
        assert_eq!(*gap, expected_gap);
        assert_relative_eq!(*change, expected_change, epsilon = 1e-9);
    }
    let told = compare(&job, &now.first().site, &plan.first().setout);
    assert_eq!(told[0].part, planned[at].name);
}

#[test]
fn a_baluster_whose_foot_was_set_off_the_line_leans() {
    let mut job = job(TRUE_FLIGHT);
    let plan = chain::run(&job).unwrap();
    let one = &plan.first().setout.balusters[7];
    // The open side is on the left: y and outward are the same.
    job.built = vec![baluster(one, one.foot.x, Some(one.foot.y + 5.0))];
    let now = chain::run(&job).unwrap();
    assert_relative_eq!(
        now.first().setout.balusters[7].lean.as_mm(),
        -5.0,
        epsilon = SAME
    );
    assert_relative_eq!(
        now.first().setout.balusters[7].top.y,
        one.top.y,
        epsilon = SAME
    );
}

#[test]
fn a_newel_not_yet_set_keeps_its_gap_to_a_fitted_baluster() {
    let mut job = job(TRUE_FLIGHT);
    let plan = chain::run(&job).unwrap();
    let first = &plan.first().setout.balusters[0];
    job.built = vec![baluster(first, first.foot.x + 6.35, None)];
    let now = chain::run(&job).unwrap();
    let moved = now.first().setout.newels[0].foot.x - plan.first().setout.newels[0].foot.x;
    assert_relative_eq!(moved, 6.35, epsilon = SAME);
    let gap = |chain: &Chain| chain.first().setout.gaps[0].clear.as_mm();
    assert_relative_eq!(gap(&now), gap(&plan), epsilon = SAME);
}

#[test]
fn a_rail_read_over_one_nosing_turns_about_its_farther_end() {
    let mut job = job(TRUE_FLIGHT);
    let plan = chain::run(&job).unwrap();
    assert_relative_eq!(over(&plan, 14), 36.0 * 25.4, epsilon = 1e-6);
    // Nosings of a true flight are evenly spaced, so heights over them are in proportion.
    job.built = vec![rail("R1", 2, 37.0 * 25.4)];
    let now = chain::run(&job).unwrap();
    for nosing in 1..=14 {
        let expected = 36.0 + f64::from(14 - nosing) / 12.0;
        assert_relative_eq!(over(&now, nosing) / 25.4, expected, epsilon = 1e-9);
    }
    job.built = vec![rail("R1", 13, 35.0 * 25.4)];
    let now = chain::run(&job).unwrap();
    for nosing in 1..=14 {
        let expected = 36.0 - f64::from(nosing - 1) / 12.0;
        assert_relative_eq!(over(&now, nosing) / 25.4, expected, epsilon = 1e-9);
    }
    // The window (34 to 38, R311.7.8.1 of the 2021 numbering) holds it: 37 1/2 over nosing 6 with
    // 36 over nosing 14 would be 38 7/16 over the first.
    job.built = vec![rail("R1", 6, 37.5 * 25.4)];
    let now = chain::run(&job).unwrap();
    assert_relative_eq!(over(&now, 1) / 25.4, 38.0, epsilon = 1e-9);
    assert_relative_eq!(over(&now, 6) / 25.4, 37.5, epsilon = 1e-9);
}

#[test]
fn a_rail_read_over_two_nosings_lies_as_read_though_it_breaks_the_window() {
    let mut job = job(TRUE_FLIGHT);
    job.built = vec![rail("R1", 1, 33.0 * 25.4), rail("R1", 14, 36.0 * 25.4)];
    let now = chain::run(&job).unwrap();
    let window = &now.first().setout.rail.window;
    assert_relative_eq!(window.lowest.0.as_inches(), 33.0, epsilon = 1e-9);
    assert_eq!(window.lowest.1, 1);
    let low = now.inspection.troubles();
    assert!(
        low.iter()
            .any(|one| one.key.kind == rakewell::inspect::Kind::RailHeight)
    );
}

#[test]
fn what_the_plan_has_not_is_told() {
    let mut job = along_rail(1.5, 26);
    let plan = chain::run(&job).unwrap();
    let mut nobody = plan.first().setout.balusters[3].clone();
    nobody.place = 9;
    job.built = vec![baluster(&nobody, nobody.foot.x, None)];
    let now = chain::run(&job).unwrap();
    same(&plan.first().setout, &now.first().setout);
    let told = compare(&job, &now.first().site, &plan.first().setout);
    assert_eq!(told[0].plan, None);
    assert!(told[0].is_far());
}

#[test]
fn further_than_a_foot_from_the_plan_is_far() {
    let mut job = job(TRUE_FLIGHT);
    let plan = chain::run(&job).unwrap();
    let foot = plan.first().setout.newels[0].foot;
    for (off, far) in [(12.0 * 25.4 - 0.01, false), (12.0 * 25.4 + 0.01, true)] {
        job.built = vec![newel("N1", foot.x - off, foot.y, 0.0)];
        assert_eq!(
            compare(&job, &plan.first().site, &plan.first().setout)[0].is_far(),
            far
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whichever balusters are fitted, and a little off wherever: none of them moves, and their
    /// number and order stay.
    #[test]
    fn no_built_baluster_moves(
        on_treads in any::<bool>(),
        offs in prop::collection::vec(prop::option::weighted(0.4, -20.0..20.0_f64), 25),
        newel_off in -20.0..20.0_f64,
    ) {
        let mut job = if on_treads { job(TRUE_FLIGHT) } else { along_rail(1.5, 26) };
        let plan = chain::run(&job).unwrap();
        let planned = &plan.first().setout.balusters;
        let foot = plan.first().setout.newels[0].foot;
        job.built = planned
            .iter()
            .zip(&offs)
            .filter_map(|(one, off)| Some(baluster(one, one.foot.x + (*off)?, None)))
            .collect();
        job.built.push(newel("N1", foot.x + newel_off, foot.y, 0.0));
        let now = chain::run(&job).unwrap();
        prop_assert_eq!(now.first().setout.balusters.len(), planned.len());
        let row = now.first().setout.balusters.iter().zip(planned).zip(&offs);
        for ((one, planned), off) in row {
            if let Some(off) = off {
                prop_assert!((one.foot.x - planned.foot.x - off).abs() <= SAME);
            }
        }
        prop_assert!(now.first().setout.balusters.is_sorted_by(|a, b| a.foot.x < b.foot.x));
        // Gaps and balusters together are as long as the way between the ends.
        let gaps: f64 = now.first().setout.gaps.iter().map(|gap| gap.clear.as_mm()).sum();
        let widths: f64 = now.first().setout.balusters.iter().map(|one| one.along.as_mm()).sum();
        let ends = [0, 1].map(|at| &now.first().setout.newels[at]);
        let way = ends[1].foot.x - ends[0].foot.x - (ends[0].along + ends[1].along).as_mm() / 2.0;
        prop_assert!((gaps + widths - way).abs() < 1e-6, "{} {}", gaps + widths, way);
    }
}
