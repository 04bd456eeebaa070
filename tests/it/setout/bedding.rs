//! Treads and kicks on their stringers, from readings to beads, against what follows by hand.

use approx::assert_relative_eq;
use rakewell::chain::{self, Chain};
use rakewell::job::{Bedding, Document, Job, Len, StepReading};
use rakewell::setout::bedding::{Bedded, BeddingLimit, Fills};

use super::flight::job;

/// Six kicks on three stringers, every cut read; a fourth stringer of which nothing was.
const SAMPLE: &str = include_str!("fitted.ron");

/// The sample of cuts and parts.
pub(crate) fn sample() -> Job {
    job(SAMPLE)
}

/// The sample with one low cut and one set back made true.
fn true_cuts() -> Job {
    let text = SAMPLE
        .replace("is: \"7 5/16\"", "is: \"7 1/2\"")
        .replace("is: \"7 11/16\"", "is: \"7 1/2\"")
        .replace("is: \"10 3/8\"", "is: \"10 1/4\"")
        .replace("is: \"10 1/8\"", "is: \"10 1/4\"");
    job(&text)
}

fn bedded(job: &Job) -> (Chain, Bedded) {
    let chain = chain::run(job).unwrap();
    let bedded = chain::bed(chain.first(), &chain.pack).unwrap().unwrap();
    (chain, bedded)
}

/// Floors are as sure as their readings, so what rests on them is too.
const READ_MM: f64 = 0.05;

#[test]
fn true_cuts_need_nothing() {
    let (_, bedded) = bedded(&true_cuts());
    assert_eq!((bedded.treads.len(), bedded.kicks.len()), (5, 6));
    for bed in bedded.treads.iter().flat_map(|tread| &tread.beds) {
        assert_relative_eq!(bed.front.as_mm(), 0.0, epsilon = READ_MM);
        assert_relative_eq!(bed.back.as_mm(), 0.0, epsilon = READ_MM);
        assert!(bed.read);
    }
    for bed in bedded.kicks.iter().flat_map(|kick| &kick.beds) {
        assert_relative_eq!(bed.set_back.as_mm(), 0.0, epsilon = READ_MM);
        assert_eq!(bed.fills, Fills::Light);
    }
    for rise in &bedded.rises {
        assert_relative_eq!(rise.open.as_inches(), 7.5, epsilon = READ_MM / 25.4);
    }
    assert_eq!(bedded.rises.len(), 6);
    for going in &bedded.goings {
        assert_relative_eq!(going.wall.as_inches(), 10.25, epsilon = READ_MM / 25.4);
    }
    assert_eq!(bedded.left_out, ["S4"]);
}

#[test]
fn a_low_cut_is_filled_by_what_it_is_low_and_a_cut_behind_by_what_it_stands_back() {
    let (_, bedded) = bedded(&sample());
    for tread in &bedded.treads {
        for bed in &tread.beds {
            let low = tread.step == 3 && bed.stringer == "S2";
            let (wanted, fills) = if low {
                (3.0 / 16.0, Fills::Heavy)
            } else {
                (0.0, Fills::Light)
            };
            assert_relative_eq!(bed.front.as_inches(), wanted, epsilon = READ_MM / 25.4);
            assert_eq!(bed.fills, fills, "tread {} on {}", tread.step, bed.stringer);
        }
    }
    for kick in &bedded.kicks {
        for bed in &kick.beds {
            let back = kick.step == 3 && bed.stringer == "S3";
            let wanted = if back { 1.0 / 8.0 } else { 0.0 };
            assert_relative_eq!(bed.set_back.as_inches(), wanted, epsilon = 1e-6);
        }
    }
    assert_relative_eq!(bedded.filling.as_inches(), 3.0 / 16.0, epsilon = 0.01);
    assert_relative_eq!(bedded.set_back.as_inches(), 1.0 / 8.0, epsilon = 1e-5);
}

#[test]
fn the_bead_is_told_by_the_jobs_own_limits() {
    let mut job = sample();
    let mut fills = |light: &str, normal: &str, heavy: &str| {
        job.bedding = Some(Bedding {
            light: Len::read(light).unwrap(),
            normal: Len::read(normal).unwrap(),
            heavy: Len::read(heavy).unwrap(),
            ..Bedding::default()
        });
        bedded(&job).1.treads[2].beds[1].fills
    };
    assert_eq!(fills("1/16", "1/8", "1/4"), Fills::Heavy);
    assert_eq!(fills("1/16", "1/4", "1/2"), Fills::Normal);
    assert_eq!(fills("1/4", "3/8", "1/2"), Fills::Light);
    assert_eq!(fills("1/32", "1/16", "1/8"), Fills::Shim);
}

/// Moves what a stringer's rise was read as.
fn raise(job: &mut Job, wanted: u32, by: f64) {
    for reading in &mut job.flight.readings {
        if let StepReading::Rise { step, is, .. } = reading
            && *step == wanted
        {
            *is = Len::inches(is.value.as_inches() + by);
        }
    }
}

#[test]
fn a_last_tread_too_high_names_itself_and_the_least_that_would_do() {
    // All cuts of the last tread are 3/4 too high. Relieved by 1/8 its rise is short by 5/8, and the
    // five below share that: the rises part by 5/8 and a fifth of it, 3/4, where 3/8 may be. So the
    // rule would have to give 3/8; or the relieving 5/16, for 1.2 (3/4 - 7/16) is 3/8.
    let mut job = true_cuts();
    raise(&mut job, 5, 0.75);
    raise(&mut job, 6, -0.75);
    let (_, bedded) = bedded(&job);
    let short = bedded.treads_short.unwrap();
    let give = |limit: BeddingLimit| short.gives.iter().find(|give| give.limit == limit).unwrap();
    let near = READ_MM / 25.4 * 2.0;
    let relieve = give(BeddingLimit::Relieve);
    assert_relative_eq!(
        relieve.needed.unwrap().as_inches(),
        7.0 / 16.0,
        epsilon = near
    );
    assert_relative_eq!(
        relieve.asked.unwrap().as_inches(),
        1.0 / 8.0,
        epsilon = 1e-9
    );
    let range = give(BeddingLimit::RiseRange);
    assert_relative_eq!(range.needed.unwrap().as_inches(), 3.0 / 4.0, epsilon = near);
    // The relieving gives least, and the bedding told is the one with it given: on tread 5.
    assert_eq!(short.gives[0].limit, BeddingLimit::Relieve);
    assert_eq!(short.steps, [5]);
    for bed in &bedded.treads[4].beds {
        assert_eq!(bed.fills, Fills::Relieve);
        assert_relative_eq!(bed.front.as_inches(), -7.0 / 16.0, epsilon = near);
    }
    let rises: Vec<f64> = bedded
        .rises
        .iter()
        .map(|rise| rise.open.as_inches())
        .collect();
    let most = rises.iter().copied().fold(0.0, f64::max);
    let least = rises.iter().copied().fold(f64::INFINITY, f64::min);
    assert_relative_eq!(most - least, 0.375, epsilon = near);
    assert!(bedded.kicks_short.is_none());
}

#[test]
fn neighbours_may_be_held_closer_than_the_whole_flight() {
    // Tread 3 low by 3/16 on all stringers: two rises part by 3/8, as a flight's may (IRC R311.7.5.1,
    // R318.7.5.1 in 2024); held to 3/16, as neighbours once were (BOCA 1981), each stringer is filled
    // by half of what is too much.
    let mut job = true_cuts();
    raise(&mut job, 3, -3.0 / 16.0);
    raise(&mut job, 4, 3.0 / 16.0);
    let near = 3.0 * READ_MM / 25.4;
    let (_, free) = bedded(&job);
    assert_relative_eq!(free.filling.as_inches(), 0.0, epsilon = near);
    job.bedding.as_mut().unwrap().neighbours = Some(Len::read("3/16").unwrap());
    let (_, held) = bedded(&job);
    assert_relative_eq!(held.filling.as_inches(), 3.0 * 3.0 / 32.0, epsilon = near);
    for bed in &held.treads[2].beds {
        assert_relative_eq!(bed.front.as_inches(), 3.0 / 32.0, epsilon = near);
        assert_eq!(bed.fills, Fills::Normal);
    }
}

#[test]
fn without_cuts_there_is_no_bedding() {
    let job = job(include_str!("../../../scenes/straight.ron"));
    let chain = chain::run(&job).unwrap();
    assert_eq!(chain::bed(chain.first(), &chain.pack).unwrap(), None);
    assert_eq!(chain::weigh(chain.first(), &chain.pack), None);
}

#[test]
fn an_old_file_has_neither_and_what_is_saved_reads_again() {
    let document = Document::parse(SAMPLE, "fitted.ron").unwrap();
    assert!(document.warnings().is_empty(), "{:?}", document.warnings());
    let bedding = document.job().bedding.as_ref().unwrap();
    assert_relative_eq!(bedding.level_cost, 2.0);
    let old = job(include_str!("../../../demo-scenes/quarry-lane.ron"));
    assert!(old.bedding.is_none() && old.received.is_none());
}
