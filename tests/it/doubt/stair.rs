//! The stair as a function of its sources, against the plan, against what the adjustment says of it,
//! and against closed forms.

use std::ops::ControlFlow;

use rakewell::chain::{self, Chain};
use rakewell::doubt::stream::stream;
use rakewell::doubt::{Ended, Model, Origin, Sample, Spread, Wanted, sample_of};
use rakewell::inspect::Care;
use rakewell::job::{Document, Operation};
use rakewell::survey::Drawer;

const DEMOS: [&str; 3] = [
    include_str!("../../../demo-scenes/quarry-lane.ron"),
    include_str!("../../../demo-scenes/mill-row.ron"),
    include_str!("../../../demo-scenes/weir-cottage.ron"),
];
const SCENES: [&str; 5] = [
    include_str!("../../../scenes/straight.ron"),
    include_str!("../../../scenes/closed-string.ron"),
    include_str!("../../../scenes/quarter-turn.ron"),
    include_str!("../../../scenes/over-post.ron"),
    include_str!("../../../scenes/winders.ron"),
];

fn run(text: &str) -> Chain {
    let document = Document::parse(text, "job.ron").expect("the job reads");
    chain::run(document.job()).expect("the job runs")
}

fn model(chain: &Chain) -> Model {
    Model::of(chain).expect("it ran on readings")
}

fn drawn(text: &str, wanted: &Wanted) -> (Model, Sample) {
    let chain = run(text);
    let model = model(&chain);
    let sample = sample_of(&model, &chain, wanted, &|_| ControlFlow::Continue(()));
    (model, sample)
}

fn wanted(most: u64, threads: usize) -> Wanted {
    Wanted {
        seed: 11,
        most,
        threads,
        narrow: 0.0,
    }
}

/// The text with every tolerance of hand and saw stated.
fn with_tolerances(text: &str, stated: &str) -> String {
    let begin = text.find("    design: (").expect("a design") + "    design: (".len();
    let states = |line: &str| line.trim_start().starts_with("tolerances:");
    assert!(
        !text.lines().any(states),
        "the scene states none of its own"
    );
    format!(
        "{}\n        tolerances: ({stated}),{}",
        &text[..begin],
        &text[begin..]
    )
}

#[test]
fn without_any_error_it_is_the_plan() {
    for text in DEMOS.iter().chain(&SCENES) {
        let chain = run(text);
        let model = model(&chain);
        let drawn = model.lay(&mut model.scratch()).expect("the plan stands");
        for (run, setout) in chain.runs.iter().zip(&drawn.laid.setouts) {
            let planned = &run.setout;
            // A wall's bow is drawn at the nodes of a grid: a thousandth of the bow's 3 mm between.
            let near = |a: &nalgebra::Point3<f64>, b: &nalgebra::Point3<f64>| (a - b).norm() < 0.01;
            assert!(near(&setout.rail.lower, &planned.rail.lower));
            assert!(near(&setout.rail.upper, &planned.rail.upper));
            assert_eq!(setout.balusters.len(), planned.balusters.len());
            for (a, b) in setout.balusters.iter().zip(&planned.balusters) {
                assert!(near(&a.foot, &b.foot) && near(&a.top, &b.top), "{}", a.name);
            }
            for (a, b) in setout.newels.iter().zip(&planned.newels) {
                assert!(near(&a.foot, &b.foot), "{}", a.name);
                assert!((a.height - b.height).abs().as_mm() < 0.01, "{}", a.name);
            }
        }
        let found = model.findings(&drawn, Care::Measure);
        for finding in &chain.inspection.findings {
            let again = found.iter().find(|one| one.key == finding.key);
            let again = again.unwrap_or_else(|| panic!("{:?} is found", finding.key));
            let off = (again.value() - finding.value()).as_mm();
            // The ball is measured to 0.1 mm.
            assert!(
                off.is_nan() || off.abs() < 0.15,
                "{:?} off by {off}",
                finding.key
            );
        }
    }
}

#[test]
fn what_is_drawn_has_the_adjustments_variance() {
    // Pathwise conditioning draws from the posterior itself: its variances are those of kriging
    // (Rasmussen and Williams 2006, 2.24 and 2.25), which the adjustment works out without drawing.
    let chain = run(DEMOS[0]);
    let run = chain.first();
    let survey = run.survey.clone().expect("read");
    let drawer = Drawer::of(&run.run.job, &survey);
    let adjustment = &survey.adjustment;
    let found = &survey.estimates;
    let places = [(300.0, 200.0), (1700.0, 1400.0), (3100.0, 2900.0)];
    let walls: Vec<_> = places
        .iter()
        .filter_map(|&(along, up)| adjustment.of_wall(0, along, up))
        .collect();
    let count = 4_000;
    let empty = || Spread::about(0.0, 0.0, 0);
    let mut heights = vec![empty(); found.steps.len()];
    let mut nosings = vec![empty(); found.steps.len()];
    let mut offsets = vec![empty(); places.len()];
    let mut estimates = found.clone();
    for draw in 0..count {
        let mut stream = stream(5, draw);
        let z: Vec<f64> = (0..drawer.size()).map(|_| stream.normal()).collect();
        drawer.draw(&z, &mut estimates);
        let (mut height, mut kick) = (0.0, 0.0);
        for (at, step) in estimates.steps.iter().enumerate() {
            height += step.rise.found;
            let depth = run.run.job.flight.going.mm() + run.run.job.flight.overhang.mm();
            let fall = step.fall.found * run.run.job.flight.overhang.mm() / depth;
            heights[at].add(height + fall);
            nosings[at].add(kick - step.overhang.found);
            kick += step.going.found;
        }
        for (spread, &(along, up)) in offsets.iter_mut().zip(&places) {
            spread.add(estimates.walls[0].field.offset(along, up));
        }
    }
    let agrees = |spread: &Spread, variance: f64, what: &str| {
        let (sd, error) = (spread.sd().unwrap(), spread.sd_error().unwrap());
        let off = (sd - variance.sqrt()).abs();
        assert!(
            off < 4.5 * error + 0.005,
            "{what}: {sd} against {}",
            variance.sqrt()
        );
    };
    for step in 1..=found.steps.len() {
        let number = u32::try_from(step).unwrap();
        let height = adjustment.of_nosing_height(number, 0.0).unwrap();
        let nosing = adjustment.of_nosing(number).unwrap();
        agrees(&heights[step - 1], adjustment.variance(&height), "height");
        agrees(&nosings[step - 1], adjustment.variance(&nosing), "nosing");
    }
    for ((spread, function), place) in offsets.iter().zip(&walls).zip(&places) {
        agrees(
            spread,
            adjustment.variance(function),
            &format!("wall at {place:?}"),
        );
        let off = (spread.mean().unwrap() - adjustment.mean(function)).abs();
        assert!(off < 4.5 * spread.mean_error().unwrap() + 0.01);
    }
}

#[test]
fn the_answer_does_not_depend_on_the_threads() {
    let one = drawn(SCENES[0], &wanted(150, 1)).1;
    for threads in [2, 5] {
        let mut many = drawn(SCENES[0], &wanted(150, threads)).1;
        many.wanted.threads = 1;
        assert_eq!(format!("{one:?}"), format!("{many:?}"), "{threads} threads");
    }
    let mut other = drawn(
        SCENES[0],
        &Wanted {
            seed: 12,
            ..wanted(150, 1)
        },
    )
    .1;
    other.wanted.seed = 11;
    assert_ne!(format!("{one:?}"), format!("{other:?}"));
}

#[test]
fn a_gap_between_two_marked_balusters_is_as_loose_as_their_marks_and_bores() {
    // Two independent marks and two bores, each within a limit of which nothing more is said: the
    // variance of their difference is twice a third of each limit's square (JCGM 100:2008, 4.3.7 and
    // 5.1.2).
    let text = with_tolerances(
        SCENES[0],
        r#"marking: Some("2 mm"), bore: Some("3 mm"), notch: Some("0"), saw: Some("0"), plumb: Some("0")"#,
    );
    let chain = run(&text);
    let model = model(&chain);
    let mut scratch = model.scratch();
    let mut spread = Spread::about(0.0, 0.0, 0);
    for draw in 0..1_500 {
        model.draw(3, draw, &mut scratch);
        let drawn = model.lay(&mut scratch).expect("it stands");
        let setout = &drawn.laid.setouts[0];
        // Two on one tread: the going between them is read, and no part of their gap's error.
        let mut pairs = setout.balusters.windows(2);
        let pair = pairs.find(|pair| pair[0].step == pair[1].step);
        let [a, b] = pair.expect("two on a tread") else {
            panic!("a pair is two");
        };
        let step = drawn.laid.placed[0].site.step(a.step).expect("a tread");
        let even = step.going / 2.0;
        spread.add(b.foot.x - a.foot.x - even);
    }
    let closed = (2.0 * (4.0 + 9.0) / 3.0f64).sqrt();
    let (sd, error) = (spread.sd().unwrap(), spread.sd_error().unwrap());
    assert!((sd - closed).abs() < 4.0 * error, "{sd} against {closed}");
    assert!(spread.mean().unwrap().abs() < 4.0 * spread.mean_error().unwrap());
}

#[test]
fn no_tolerance_is_no_source() {
    let text = with_tolerances(
        SCENES[0],
        r#"marking: Some("0"), bore: Some("0"), notch: Some("0"), saw: Some("0"), plumb: Some("0")"#,
    );
    let model = model(&run(&text));
    assert!(
        model
            .sources()
            .iter()
            .all(|source| source.operation().is_none())
    );
    let usual = self::model(&run(SCENES[0]));
    for operation in Operation::ALL {
        let mut sources = usual.sources().iter();
        assert!(
            sources.any(|source| source.operation() == Some(operation)),
            "{operation:?}"
        );
    }
}

#[test]
fn what_nobody_read_stands_as_meant_until_it_is_counted() {
    let chain = run(SCENES[0]);
    let model = model(&chain);
    let counted = model.with_unread();
    let unread: Vec<_> = model
        .sources()
        .iter()
        .filter(|source| source.unread)
        .collect();
    assert!(!unread.is_empty(), "not everything was read");
    assert!(
        unread
            .iter()
            .all(|source| matches!(source.origin, Origin::Survey(_)))
    );
    assert!(
        unread
            .iter()
            .all(|source| !model.counts(source) && counted.counts(source))
    );
    let sd_of_rise = |model: &Model| {
        let mut scratch = model.scratch();
        let mut spread = Spread::about(0.0, 0.0, 0);
        for draw in 0..200 {
            model.draw(3, draw, &mut scratch);
            let drawn = model.lay(&mut scratch).expect("it stands");
            spread.add(drawn.laid.placed[0].site.steps[1].overhang);
        }
        spread.sd().unwrap()
    };
    assert!(sd_of_rise(&counted) > 10.0 * sd_of_rise(&model));
}

/// As many balusters as there is just room for, between newels that may stand two inches off their
/// marks: in some draws they do not fit.
pub(crate) fn tight() -> String {
    let text = |count: u32| {
        with_tolerances(SCENES[1], r#"notch: "2""#)
            .replace("AlongRail()", &format!("AlongRail(count: {count})"))
    };
    let fits = |count: &u32| {
        let document = Document::parse(&text(*count), "job.ron").expect("it reads");
        chain::run(document.job()).is_ok()
    };
    text((1..200).take_while(fits).last().expect("some fit"))
}

#[test]
fn draws_in_which_nothing_stands_are_counted_and_said() {
    let (_, sample) = drawn(&tight(), &wanted(200, 2));
    let none: u64 = sample.none.iter().map(|(_, tally)| tally.hits).sum();
    assert!(none > 0 && none < 200, "{none} of 200");
    assert!(
        sample.none.iter().all(|(why, _)| why.contains("balusters")),
        "{:?}",
        sample.none
    );
    assert_eq!(sample.draws, 200);
    // They count as failures of everything that was to stand.
    assert!(sample.anything.hits >= none);
    for chance in &sample.chances {
        assert_eq!(chance.tally.of, 200);
        assert!(chance.tally.hits >= none, "{:?}", chance.plan.key);
    }
}

#[test]
fn a_design_that_fails_in_every_draw_says_so() {
    // A newel that cuts a stringer cuts it wherever a sixteenth puts it.
    let (_, sample) = drawn(DEMOS[0], &wanted(100, 2));
    let stringer = sample
        .chances
        .iter()
        .find(|one| one.plan.key.id() == "stringer-cut:N1+S1")
        .expect("the demo's newel cuts a stringer");
    assert_eq!((stringer.tally.hits, stringer.tally.of), (100, 100));
    let (low, high) = stringer.interval();
    assert!(low > 0.9 && high >= 1.0);
    assert_eq!(sample.all_kept.hits, 0);
}

#[test]
fn draws_that_are_broken_off_come_back_as_far_as_they_are() {
    let chain = run(SCENES[0]);
    let model = model(&chain);
    let sample = sample_of(&model, &chain, &wanted(5_000, 2), &|progress| {
        if progress.done > 500 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    assert_eq!(sample.ended, Ended::Cancelled);
    assert!(sample.draws < 1_000);
    assert!(
        sample
            .chances
            .iter()
            .all(|one| one.tally.of == sample.draws)
    );
}
