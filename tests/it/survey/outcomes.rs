//! The standard deviations of the results that decide, against the law of propagation written out
//! in full: slopes by differences of the whole set-out, every pair of quantities with its
//! covariance (JCGM 100:2008, equation 13).

use nalgebra::Vector2;
use rakewell::chain::{self, Chain};
use rakewell::job::{Document, Job, RailEnd};
use rakewell::setout::{self, SetOut};
use rakewell::survey::{Linear, Shift};
use rakewell::{doubt, inspect, site};

const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
/// Differences over the program's own steps, mm and mm per mm: a linear programme's answer turns
/// corners, so that its slope is one over a stated step.
const STEP: f64 = 0.01;
const SLOPE: f64 = STEP / 2500.0;
const WORDS: [&str; 10] = [
    "rise",
    "going",
    "overhang",
    "tread thickness",
    "kick thickness",
    "width",
    "level",
    "fall",
    "skew",
    "tread end",
];

/// A result by the name that it is told under.
fn value(setout: &SetOut, what: &str) -> f64 {
    let rail = &setout.rail;
    if what == format!("length of {}", rail.name) {
        return rail.long_points.as_mm();
    }
    // The demo's rail runs into a wall at its upper end only.
    if what.starts_with(&format!("height of {}'s top", rail.name)) {
        return rail.upper.z;
    }
    if what.starts_with(&format!("place of {}'s middle", rail.name)) {
        return rail.upper.y;
    }
    let gap = setout
        .gaps
        .iter()
        .find(|gap| what == format!("gap from {} to {}", gap.below, gap.above));
    let reveal = setout
        .reveals
        .iter()
        .find(|one| what == format!("reveal of {} on tread {}", one.part, one.step));
    gap.map(|gap| gap.clear.as_mm())
        .or_else(|| reveal.map(|one| one.value.as_mm()))
        .unwrap_or_else(|| panic!("no result {what}"))
}

/// Ways to move the stair, with the linear function that each moves.
fn ways(job: &Job, chain: &Chain) -> Vec<(Shift, f64, Linear)> {
    let adjustment = &chain
        .first()
        .survey
        .as_ref()
        .expect("the chain surveys")
        .adjustment;
    let mut all = Vec::new();
    for step in 1..=job.flight.count {
        for word in WORDS {
            let function = adjustment.of_step(step, word).expect("a step");
            all.push((Shift::Step(step, word), STEP, function));
        }
    }
    let rail = &chain.first().setout.rail;
    for (end, point) in [
        (&job.design.rail.lower, rail.lower),
        (&job.design.rail.upper, rail.upper),
    ] {
        let RailEnd::Wall { wall: name, .. } = end else {
            continue;
        };
        let number = job
            .walls
            .iter()
            .position(|wall| &wall.name == name)
            .expect("a wall");
        let face = chain.first().site.wall(name).expect("a wall");
        let run: Vector2<f64> = (face.to - face.from) / face.length();
        let (along, up) = ((point.xy() - face.from).dot(&run), point.z);
        let [splay, lean] = adjustment.wall_slopes(number, along, up).expect("a wall");
        let offset = adjustment.of_wall(number, along, up).expect("a wall");
        all.push((Shift::WallOffset(name.clone()), STEP, offset));
        all.push((Shift::WallSplay(name.clone(), along), SLOPE, splay));
        all.push((Shift::WallLean(name.clone(), up), SLOPE, lean));
    }
    all
}

#[test]
fn results_are_as_sure_as_the_law_of_propagation_says() {
    let document = Document::parse(DEMO, "quarry-lane.ron").expect("the demo is valid");
    let job = document.job();
    let chain = chain::run(job).expect("the demo can be set out");
    let survey = chain.first().survey.as_ref().expect("the chain surveys");
    let doubt = doubt::first_order(chain.first(), &chain.pack).expect("the chain surveys");
    let limits = inspect::limits(&chain.pack, job);
    let moved = |shift: &Shift, by: f64| {
        let site = site::build(job, &chain.first().estimates.shifted(shift, by));
        setout::solve(job, &site, &limits, &chain.first().setout.choices)
            .expect("it can be set out")
    };
    let ways = ways(job, &chain);
    let pairs: Vec<(SetOut, SetOut)> = ways
        .iter()
        .map(|(shift, step, _)| (moved(shift, *step), moved(shift, -step)))
        .collect();
    assert!(doubt.outcomes.len() >= 4);
    for outcome in &doubt.outcomes {
        let slopes: Vec<f64> = pairs
            .iter()
            .zip(&ways)
            .map(|((up, down), (_, step, _))| {
                (value(up, &outcome.what) - value(down, &outcome.what)) / (2.0 * step)
            })
            .collect();
        let mut variance = 0.0;
        for (a, (_, _, one)) in slopes.iter().zip(&ways) {
            for (b, (_, _, other)) in slopes.iter().zip(&ways) {
                if (a * b).abs() > 1e-12 {
                    variance += a * b * survey.adjustment.covariance(one, other);
                }
            }
        }
        let off = (variance.sqrt() - outcome.sd).abs();
        // The program leaves slopes under 1e-7 out.
        assert!(
            off < 1e-3 * outcome.sd + 1e-4,
            "{}: {}, written out {}",
            outcome.what,
            outcome.sd,
            variance.sqrt()
        );
        assert!((value(&chain.first().setout, &outcome.what) - outcome.value).abs() < 1e-9);
        let shares: f64 = outcome.sources.iter().map(|(_, share)| share).sum();
        assert!((shares - 1.0).abs() < 1e-9, "{}: {shares}", outcome.what);
    }
}
