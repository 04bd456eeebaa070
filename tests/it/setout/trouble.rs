//! Stairs with one thing wrong each: the trouble is told, and nothing else is made up.

use rakewell::chain::{self, Chain};
use rakewell::explain::Reasons;
use rakewell::inspect::{Finding, Kind, Verdict};
use rakewell::job::{Document, Job, Len, Spacing, Stands};
use rakewell::measure::Unit;

use super::flight::job;

const STARTER: &str = include_str!("../../../scenes/straight.ron");
const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");

fn starter(change: impl Fn(&str) -> String) -> Job {
    job(&change(STARTER))
}

fn with_readings(readings: &str) -> Job {
    starter(|text| text.replacen("readings: [", &format!("readings: [\n{readings}"), 1))
}

fn len(text: &str) -> Len {
    Len::read(text).unwrap()
}

fn along_rail(count: Option<u32>, first: &str, last: &str) -> Job {
    let mut job = job(STARTER);
    for (newel, x) in job.design.newels.iter_mut().zip([first, last]) {
        newel.stands = Stands::At {
            x: len(x),
            y: len("0"),
        };
    }
    job.design.balusters.spacing = Spacing::AlongRail { count };
    job
}

fn with_bottom_rail(above: &str, more: &str) -> Job {
    let rail =
        format!("bottom_rail: (name: \"R2\", width: \"2\", depth: \"1\", above: \"{above}\"),");
    let mut job = starter(|text| {
        text.replacen(
            "balusters: (\n",
            &format!("{rail}\n        balusters: (\n"),
            1,
        )
        .replacen("readings: [", &format!("readings: [\n{more}"), 1)
    });
    for (newel, x) in job.design.newels.iter_mut().zip(["-1/2", "134"]) {
        newel.stands = Stands::At {
            x: len(x),
            y: len("0"),
        };
    }
    job.design.balusters.spacing = Spacing::AlongRail { count: None };
    job
}

fn of_kind(chain: &Chain, kind: Kind) -> Vec<&Finding> {
    chain
        .inspection
        .troubles()
        .into_iter()
        .filter(|finding| finding.key.kind == kind)
        .collect()
}

#[test]
fn every_cure_of_the_demo_applies_in_its_file_and_clears() {
    let document = Document::parse(DEMO, "demo").unwrap();
    let found = chain::run(document.job()).unwrap();
    let reasons = Reasons::of(&found);
    let mut applied = 0;
    for trouble in found.inspection.troubles() {
        for cure in reasons.explain(&found, &trouble.key).cures {
            let mut cured = document.clone();
            for (path, text) in &cure.edits {
                cured = cured.set(path, text).unwrap();
            }
            let after = chain::run(cured.job()).unwrap();
            let troubles = after.inspection.troubles();
            let still = troubles.iter().find(|one| one.same_place(trouble));
            assert!(still.is_none(), "{}: {still:?}", cure.what);
            applied += 1;
        }
    }
    assert!(applied >= 3, "only {applied} cures");
}

#[test]
fn the_least_cure_is_offered() {
    // The newel goes 1/2 in into the stringer: 1/2 in is eight marks of the tape, and enough.
    let job = job(DEMO);
    let found = chain::run(&job).unwrap();
    let cut = of_kind(&found, Kind::StringerCut)[0].key.clone();
    let cures = Reasons::of(&found).explain(&found, &cut).cures;
    assert_eq!(cures[0].edits[0].1, "\"-1/2\"");
}

#[test]
fn cures_of_a_job_in_millimetres_are_in_millimetres() {
    let mut job = job(DEMO);
    job.units = Unit::Millimetres;
    job.tape = rakewell::measure::Tape::Millimetres;
    let found = chain::run(&job).unwrap();
    let reasons = Reasons::of(&found);
    let cut = of_kind(&found, Kind::StringerCut)[0].key.clone();
    let cures = reasons.explain(&found, &cut).cures;
    // Half an inch is 12.7 mm: the next whole mark is 13.
    assert_eq!(cures[0].edits[0].1, "\"-13\"");
    assert!(cures[0].breaks.is_empty(), "{:?}", cures[0].breaks);
}

#[test]
fn a_stair_without_balusters_has_one_great_opening() {
    let chain = chain::run(&along_rail(Some(0), "0", "135 1/4")).unwrap();
    let openings = of_kind(&chain, Kind::Opening);
    assert_eq!(openings.len(), 1);
    assert_eq!(openings[0].key.parts, ["N1", "N2"]);
    assert!(openings[0].lower.as_inches() > 20.0);
}

#[test]
fn a_rail_that_hangs_over_or_beside_its_newel_is_told() {
    let mut low = job(STARTER);
    low.design.newels[0].height = Some(len("40"));
    assert_eq!(of_kind(&chain::run(&low).unwrap(), Kind::Landing).len(), 1);
    let mut aside = along_rail(None, "0", "135 1/4");
    aside.design.newels[0].stands = Stands::At {
        x: len("0"),
        y: len("3"),
    };
    assert_eq!(
        of_kind(&chain::run(&aside).unwrap(), Kind::Landing).len(),
        1
    );
}

#[test]
fn a_baluster_in_the_next_nosing_is_a_clash() {
    let chain = chain::run(&along_rail(Some(25), "2 7/8", "135 1/4")).unwrap();
    let clashes = of_kind(&chain, Kind::Clash);
    let parts = |clash: &&Finding| clash.key.parts.contains(&"T2".to_owned());
    assert!(clashes.iter().any(parts), "{clashes:#?}");
}

#[test]
fn pegs_in_a_raked_rail_or_a_tilted_tread_are_no_clash() {
    let raked = chain::run(&with_bottom_rail("1/2", "")).unwrap();
    assert!(
        raked.inspection.clashes.is_empty(),
        "{:?}",
        raked.inspection.clashes
    );
    let tilted = chain::run(&with_readings("Level(step: 5, is: \"3/8\", high: Open),")).unwrap();
    assert!(
        tilted.inspection.clashes.is_empty(),
        "{:?}",
        tilted.inspection.clashes
    );
}

#[test]
fn every_triangle_under_a_bottom_rail_is_looked_at() {
    // IRC 2021 R312.1.3 exception 1: the triangle must not let a 6 in ball pass.
    let chain = chain::run(&with_bottom_rail("1/2", "Rise(step: 2, is: \"8 1/2\"),")).unwrap();
    let looked_at = |kick: &str| {
        let triangles = chain
            .inspection
            .findings
            .iter()
            .filter(|one| one.key.kind == Kind::Triangle);
        triangles.filter(|one| one.key.parts[1] == kick).count()
    };
    for kick in 2..=13 {
        assert_eq!(looked_at(&format!("K{kick}")), 1, "K{kick}");
    }
    assert!(
        of_kind(&chain, Kind::Triangle)
            .iter()
            .any(|one| one.key.parts[1] == "K2")
    );
}

#[test]
fn rises_are_judged_at_both_ends_of_a_tread() {
    let chain = chain::run(&with_readings(
        "Level(step: 5, is: \"3/8\", high: Wall), Level(step: 6, is: \"3/8\", high: Open),",
    ))
    .unwrap();
    // 7 1/2 + 3/8 at the wall end of kick 5; half the tilt is lost by the baluster line's offset.
    let rises = of_kind(&chain, Kind::Rise);
    assert!(
        rises.iter().any(|one| one.key.parts[0] == "K5"),
        "{rises:#?}"
    );
    assert_eq!(of_kind(&chain, Kind::RiseVariation).len(), 1);
}

#[test]
fn a_finished_reading_weighs_more_than_a_rough_one_that_contradicts_it() {
    let orders = [
        "Rise(step: 3, is: \"7 5/8\"), Rise(step: 3, is: \"8\", on: Rough),",
        "Rise(step: 3, is: \"8\", on: Rough), Rise(step: 3, is: \"7 5/8\"),",
    ];
    for readings in orders {
        let chain = chain::run(&with_readings(readings)).unwrap();
        // A tenth of the 3/8 in between them at most: thickness and bed come in on rough framing.
        assert!(
            (chain.first().site.steps[2].rise / 25.4 - 7.625).abs() < 0.375 / 8.0,
            "{readings}"
        );
        let survey = chain.first().survey.clone().unwrap();
        let named: Vec<&str> = survey
            .suspects
            .iter()
            .map(|one| survey.readings[one.reading].what.as_str())
            .collect();
        assert_eq!(named, ["rise of step 3, rough"], "{readings}");
    }
}

#[test]
fn rough_readings_are_carried_to_the_finished_surfaces() {
    // Common practice, no source: a tread adds its thickness, a floor its build-up. First rise:
    // 8 rough + 1 tread - 3/4 floor; last: 8 rough + 3/4 floor - 1 tread.
    let chain = chain::run(&with_readings(
        "Rise(step: 1, is: \"7 1/4\", on: Rough), Rise(step: 14, is: \"7 3/4\", on: Rough),",
    ))
    .unwrap();
    assert!((chain.first().site.steps[0].rise / 25.4 - 7.5).abs() < 1e-9);
    assert!((chain.first().site.steps[13].rise / 25.4 - 7.5).abs() < 1e-9);
}

#[test]
fn a_newel_at_neither_end_is_refused() {
    let mut job = job(STARTER);
    let mut third = job.design.newels[0].clone();
    third.name = "N3".to_owned();
    third.stands = Stands::Displaces {
        step: 5,
        balusters: 1,
        move_by: len("0"),
    };
    job.design.newels.push(third);
    let error = chain::run(&job).unwrap_err();
    assert_eq!(error.path, "design.newels[2]");
    assert!(error.problem.contains("N3"), "{error}");
}

#[test]
fn an_open_side_on_the_right_mirrors_the_left() {
    let left = job(DEMO);
    let mut right = left.clone();
    right.flight.open_side = rakewell::job::Hand::Right;
    for wall in &mut right.walls {
        // Mirrored in plan the room lies on the other hand, so the wall runs the other way.
        std::mem::swap(&mut wall.from, &mut wall.to);
        for point in [&mut wall.from, &mut wall.to] {
            point.y = len(&format!("{} mm", -point.y.mm()));
        }
        let length = (wall.to.x.mm() - wall.from.x.mm()).hypot(wall.to.y.mm() - wall.from.y.mm());
        for reading in &mut wall.readings {
            let (rakewell::job::WallReading::Offset { along, .. }
            | rakewell::job::WallReading::Plumb { along, .. }) = reading
            else {
                panic!("the demo has no other kind")
            };
            *along = len(&format!("{} mm", length - along.mm()));
        }
    }
    if let rakewell::job::RailEnd::Wall { blocking, .. } = &mut right.design.rail.upper {
        blocking.along = len(&format!("{} mm", 12.0 * 25.4 - blocking.along.mm()));
    }
    let (left, right) = (chain::run(&left).unwrap(), chain::run(&right).unwrap());
    assert_eq!(
        left.inspection.findings.len(),
        right.inspection.findings.len()
    );
    for (one, other) in left
        .inspection
        .findings
        .iter()
        .zip(&right.inspection.findings)
    {
        assert_eq!(one.key, other.key);
        let difference = (one.value() - other.value()).abs().as_mm();
        assert!(difference < 0.1, "{:?}: {difference} mm", one.key);
        assert_eq!(
            one.verdict == Verdict::Met,
            other.verdict == Verdict::Met,
            "{:?}",
            one.key
        );
    }
}
