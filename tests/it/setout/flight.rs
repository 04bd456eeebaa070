//! Whole flights against common practice and plain geometry.

use approx::assert_relative_eq;
use rakewell::chain::{self, Chain};
use rakewell::job::{Align, Document, Job, Spacing, Stands};
use rakewell::measure::Length;

/// A plumb, level, square flight of 7 1/2 in 10 between two newels.
const TRUE_FLIGHT: &str = include_str!("../../../scenes/straight.ron");
const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");

pub(crate) fn job(text: &str) -> Job {
    Document::parse(text, "test").unwrap().job().clone()
}

/// The starter scene at 7 1/2 in 10: a 3-4-5 triangle.
fn three_four_five() -> Chain {
    let mut job = job(TRUE_FLIGHT);
    job.flight.going = rakewell::job::Len::read("10").unwrap();
    chain::run(&job).unwrap()
}

fn inches(length: Length) -> f64 {
    length.as_inches()
}

/// Common practice, no source: going 10 in with two balusters of 1 1/4 in.
pub(crate) fn two_per_tread() -> Chain {
    let mut job = job(DEMO);
    job.flight.readings.clear();
    for wall in &mut job.walls {
        wall.readings.clear();
    }
    chain::run(&job).unwrap()
}

#[test]
fn two_balusters_on_a_ten_inch_going() {
    let chain = two_per_tread();
    let site = &chain.first().site;
    for one in &chain.first().setout.balusters {
        let step = site.step(one.step).unwrap();
        let behind = (one.foot.x - step.kick_x) / 25.4;
        let forward_of_next = (step.back_x() - one.foot.x) / 25.4;
        let expected = if one.place == 1 {
            (0.625, 9.375)
        } else {
            (5.625, 4.375)
        };
        assert_relative_eq!(behind, expected.0, epsilon = 1e-9);
        assert_relative_eq!(forward_of_next, expected.1, epsilon = 1e-9);
    }
    let between_balusters = chain
        .first()
        .setout
        .gaps
        .iter()
        .filter(|gap| gap.above.starts_with('B'));
    for gap in between_balusters {
        assert_relative_eq!(inches(gap.clear), 3.75, epsilon = 1e-9);
    }
}

#[test]
fn a_newel_that_displaces_the_first_baluster() {
    // Common practice, no source: its face stands 1 1/4 behind the kick's face, 2 from a nosing of
    // 3/4, and so 1/2 into what is behind a 3/4 kick.
    let chain = two_per_tread();
    let newel = &chain.first().setout.newels[0];
    assert_relative_eq!(inches(newel.face_from_kick.unwrap()), 1.25, epsilon = 1e-9);
    let notch = &newel.notches[0];
    assert_relative_eq!(inches(notch.from_nosing), 2.0, epsilon = 1e-9);
    assert_relative_eq!(inches(notch.behind_kick_face), 1.25, epsilon = 1e-9);
    let stringer = newel.behind.iter().find(|behind| behind.carries).unwrap();
    assert_relative_eq!(inches(stringer.depth), 0.5, epsilon = 1e-9);
    assert_eq!(chain.first().setout.gaps[0].below, "N1");
    assert_relative_eq!(
        inches(chain.first().setout.gaps[0].clear),
        3.75,
        epsilon = 1e-9
    );
}

#[test]
fn a_moved_newel_moves_gap_and_notch_by_as_much() {
    let mut job = job(DEMO);
    let before = chain::run(&job).unwrap();
    if let Stands::Displaces { move_by, .. } = &mut job.design.newels[0].stands {
        *move_by = rakewell::job::Len::read("-1/2").unwrap();
    }
    let after = chain::run(&job).unwrap();
    let gap = |chain: &Chain| inches(chain.first().setout.gaps[0].clear);
    let notch = |chain: &Chain| inches(chain.first().setout.newels[0].notches[0].from_nosing);
    assert_relative_eq!(gap(&after) - gap(&before), 0.5, epsilon = 1e-9);
    assert_relative_eq!(notch(&before) - notch(&after), 0.5, epsilon = 1e-9);
    assert!(
        after.first().setout.newels[0]
            .behind
            .iter()
            .all(|behind| !behind.carries)
    );
}

#[test]
fn rakes_follow_the_framing_square() {
    // Length per foot of run at 9 in 12 is 15.00 (published framing-square table), so 7 1/2 in 10
    // is 12 1/2 along the rake for each going.
    let chain = three_four_five();
    let rail = &chain.first().setout.rail;
    let run = (rail.upper.x - rail.lower.x) / 25.4;
    let rake = (rail.upper - rail.lower).norm() / 25.4;
    assert_relative_eq!(rake, run * 15.0 / 12.0, epsilon = 1e-9);
    assert_relative_eq!(rail.pitch.angle().as_degrees(), 36.8699, epsilon = 1e-4);
    // Plumb faces cut the rail at the pitch, square in plan.
    for cut in [&rail.lower_cut, &rail.upper_cut] {
        assert_relative_eq!(cut.mitre.as_degrees().abs(), 36.8699, epsilon = 1e-4);
        assert_relative_eq!(cut.bevel.as_degrees(), 0.0, epsilon = 1e-6);
    }
    // Both ends plumb: opposite edges are equally long, and long and short points differ by the
    // depth times the slope at each end.
    let depth = inches(rail.depth);
    let difference = inches(rail.long_points) - inches(rail.short_points);
    assert_relative_eq!(difference, 2.0 * depth * 0.75, epsilon = 1e-9);
}

#[test]
fn a_true_flight_has_no_trouble() {
    let chain = chain::run(&job(TRUE_FLIGHT)).unwrap();
    let troubles: Vec<_> = chain
        .inspection
        .troubles()
        .iter()
        .map(|one| one.says.clone())
        .collect();
    assert!(troubles.is_empty(), "{troubles:#?}");
}

#[test]
fn balusters_between_tread_and_rail_have_the_length_of_the_gap_above_them() {
    // Rail's top 36 plumb over the nosing line, its depth d square to the rake takes d / cos plumb.
    let chain = three_four_five();
    let depth = inches(chain.first().setout.rail.depth) / 0.8;
    for one in &chain.first().setout.balusters {
        let step = chain.first().site.step(one.step).unwrap();
        let over_nosing = (one.foot.x - step.nosing_x()) / 25.4;
        let middle = 36.0 + 0.75 * over_nosing - depth;
        let half = inches(one.along) / 2.0 * 0.75;
        assert_relative_eq!(inches(one.long_point), middle + half, epsilon = 1e-6);
        assert_relative_eq!(inches(one.short_point), middle - half, epsilon = 1e-6);
        assert_relative_eq!(one.top_angle.as_degrees(), 36.8699, epsilon = 1e-4);
    }
}

#[test]
fn even_reveals_lean_and_plumb_ones_wander() {
    let mut job = job(DEMO);
    let plumb = chain::run(&job).unwrap();
    assert!(
        plumb
            .first()
            .setout
            .balusters
            .iter()
            .all(|one| one.lean.abs().as_mm() < 1e-9)
    );
    job.design.balusters.align = Align::EvenReveal;
    let even = chain::run(&job).unwrap();
    let reveal = job.design.reveal.as_ref().unwrap().value;
    for read in &even.first().setout.reveals {
        assert_relative_eq!(inches(read.value), inches(reveal), epsilon = 1e-6);
    }
    // What the reveals wandered by is now in the leans.
    let lean = |chain: &Chain| {
        chain
            .first()
            .setout
            .balusters
            .iter()
            .map(|one| inches(one.lean.abs()))
            .fold(0.0, f64::max)
    };
    let wander = |chain: &Chain| {
        let of = |read: &rakewell::setout::Reveal| inches((read.value - reveal).abs());
        chain
            .first()
            .setout
            .reveals
            .iter()
            .map(of)
            .fold(0.0, f64::max)
    };
    assert_relative_eq!(lean(&even), wander(&plumb), epsilon = 1e-6);
    job.design.balusters.align = Align::Share(0.5);
    let half = chain::run(&job).unwrap();
    assert_relative_eq!(lean(&half), lean(&even) / 2.0, epsilon = 1e-6);
}

#[test]
fn balusters_along_the_rail_take_the_least_count_that_passes() {
    let mut job = job(TRUE_FLIGHT);
    for newel in &mut job.design.newels {
        let set = chain::run(&crate::setout::flight::job(TRUE_FLIGHT)).unwrap();
        let at = set
            .first()
            .setout
            .newels
            .iter()
            .find(|one| one.name == newel.name)
            .unwrap()
            .foot
            .x;
        let x = rakewell::job::Len::read(&format!("{at} mm")).unwrap();
        newel.stands = Stands::At {
            x,
            y: rakewell::job::Len::inches(0.0),
        };
    }
    job.design.balusters.spacing = Spacing::AlongRail { count: None };
    let chain = chain::run(&job).unwrap();
    let gap = inches(chain.first().setout.gaps[0].clear);
    let limit = 4.375 - inches(job.design.fitting.value);
    assert!(gap < limit, "{gap}");
    for each in &chain.first().setout.gaps {
        assert_relative_eq!(inches(each.clear), gap, epsilon = 1e-9);
    }
    let width = inches(job.design.balusters.section.along());
    let count = chain.first().setout.balusters.len() as f64;
    let clear = gap * (count + 1.0) + width * count;
    assert!(
        (clear - (count - 1.0) * width) / count >= limit,
        "one fewer would do"
    );
}
