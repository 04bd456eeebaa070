//! The doubt of findings against closed forms, tangents against differences, and verdicts against
//! drawn truths. Millimetres.

use nalgebra::{DVector, Point3};
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

use super::flight::Flight;
use super::stair::Stair;
use crate::inspect::{Finding, Key, Kind, Severity, Verdict, judge};
use crate::job::{Document, Job, StepReading};
use crate::measure::{Length, Typed};
use crate::rules::Sense;
use crate::setout::rail_window::nosing_line;
use crate::site::{self, Site};
use crate::survey::{Shift, Survey, WITHIN, survey};

const FLIGHT: &str = include_str!("../../../scenes/straight.ron");
/// 7 3/4 in: the greatest rise of the United States' dwellings (IRC R311.7.5.1).
const MOST: f64 = 7.75 * 25.4;
/// What is expected of a rise that nobody read (`src/survey/prior.rs`).
const PRIOR: f64 = 6.0;

/// The straight flight of 14 steps, each rise meant to be so high, with readings.
fn job(rise: f64, readings: &str) -> Job {
    let text = FLIGHT
        .replacen("rise: \"7 1/2\"", &format!("rise: \"{rise} mm\""), 1)
        .replacen("// Rise(step: 3, is: \"7 9/16\"),", readings, 1);
    let document = Document::parse(&text, "flight").unwrap_or_else(|faults| panic!("{faults}"));
    document.job().clone()
}

fn rises(value: f64, sd: f64, steps: impl Iterator<Item = u32>) -> String {
    let line = |step| format!("Rise(step: {step}, is: \"{value} mm\", sd: \"{sd} mm\"),\n");
    steps.map(line).collect()
}

fn finding(kind: Kind, part: &str, value: f64, sense: Sense, limit: f64) -> Finding {
    let (value, limit) = (Length::mm(value), Length::mm(limit));
    Finding {
        key: Key {
            kind,
            parts: vec![part.to_owned(), String::new()],
        },
        run: 0,
        lower: value,
        upper: value,
        limit,
        sense,
        doubt: None,
        verdict: judge(value, value, sense, limit, None),
        severity: Severity::Stop,
        source: String::new(),
        at: Point3::origin(),
        says: String::new(),
    }
}

/// A finding judged again with the doubt of a job's readings.
fn judged(site: &Site, survey: &Survey, mut finding: Finding) -> Finding {
    let stair = Stair::new(Flight::new(site, &survey.adjustment), None);
    let doubt = stair.doubt(&finding).expect("its value is the flight's");
    doubt.count(&mut finding);
    finding
}

/// One rise of a job against its greatest.
fn rise(job: &Job, step: u32) -> Finding {
    let survey = survey(job);
    let site = site::build(job, &survey.estimates);
    let value = site.step(step).unwrap().rise;
    let part = format!("K{step}");
    judged(
        &site,
        &survey,
        finding(Kind::Rise, &part, value, Sense::AtMost, MOST),
    )
}

/// One reading of `sd` about a rise that is expected give or take `PRIOR` leaves
/// `1 / sqrt(1 / PRIOR^2 + n / sd^2)` after `n` times (the precision-weighted mean of normals).
#[test]
fn reading_again_brings_a_rise_from_too_close_to_met() {
    let (value, sd) = (MOST - 25.4 / 32.0, 0.6);
    for (times, verdict) in [(1, Verdict::TooClose), (3, Verdict::Met)] {
        let mut job = job(190.5, &rises(value, sd, [3].into_iter()));
        let once = job.flight.readings[0].clone();
        job.flight.readings = vec![once; times];
        let found = rise(&job, 3);
        let left = 1.0 / (PRIOR.powi(-2) + times as f64 / (sd * sd)).sqrt();
        let doubt = found.doubt.unwrap().as_mm();
        assert!((doubt - WITHIN * left).abs() < 1e-9, "{doubt}");
        assert_eq!(found.verdict, verdict, "read {times} times");
    }
}

#[test]
fn what_nobody_read_is_not_shown_and_breaks_only_as_meant() {
    // Read on step 5 only: that one is met, its neighbour is not shown.
    let some = job(190.5, &rises(190.5, 0.6, [5].into_iter()));
    assert_eq!(rise(&some, 5).verdict, Verdict::Met);
    let unread = rise(&some, 6);
    assert_eq!((unread.verdict, unread.doubt), (Verdict::NotShown, None));
    assert!(unread.says.contains("read the rise"), "{}", unread.says);
    // However much room it was meant with: what is expected of framing is no reading.
    assert_eq!(rise(&job(MOST - 40.0, ""), 2).verdict, Verdict::NotShown);
    assert_eq!(rise(&job(MOST - 1.0, ""), 2).verdict, Verdict::NotShown);
    assert_eq!(rise(&job(MOST + 1.0, ""), 2).verdict, Verdict::Broken);
    // Floor to floor alone tells no single rise.
    let whole = job(190.5, "TotalRise(is: \"105\", sd: \"1 mm\"),");
    assert_eq!(rise(&whole, 2).verdict, Verdict::NotShown);
}

/// Truths drawn about a rise that is meant to be just the limit, each read once with a rough tape.
/// With x the truth and m what the survey makes of it, both normal about the limit, theory has
/// P(break | m keeps it) = arccos(rho) / pi, rho their correlation (Sheppard 1899), and, with a
/// guard band of 1.96 sd left, the figures below by quadrature (scipy 1.x, stats.norm and
/// integrate.quad).
#[test]
fn at_most_one_in_twenty_that_are_met_break_the_limit() {
    const DRAWS: usize = 300;
    const SD: f64 = 2.5;
    let mut job = job(MOST, &rises(MOST, SD, 1..=14));
    let mut random = Pcg64Mcg::new(11);
    let mut draw = |sd: f64| -> f64 {
        let normal: f64 = StandardNormal.sample(&mut random);
        sd * normal
    };
    let (mut all, mut kept, mut kept_wrong, mut met, mut met_wrong, mut close) = (0, 0, 0, 0, 0, 0);
    for _ in 0..DRAWS {
        let mut truths = Vec::new();
        for reading in &mut job.flight.readings {
            let truth = MOST + draw(PRIOR);
            let StepReading::Rise { is, .. } = reading else {
                panic!("only rises are read");
            };
            *is = Typed::<Length>::millimetres(truth + draw(SD));
            truths.push(truth);
        }
        let survey = survey(&job);
        let site = site::build(&job, &survey.estimates);
        let stair = Stair::new(Flight::new(&site, &survey.adjustment), None);
        for (step, truth) in site.steps.iter().zip(truths) {
            let part = format!("K{}", step.number);
            let mut told = finding(Kind::Rise, &part, step.rise, Sense::AtMost, MOST);
            let without = told.verdict;
            stair.doubt(&told).unwrap().count(&mut told);
            let wrong = usize::from(truth > MOST);
            all += 1;
            if without == Verdict::Met {
                (kept, kept_wrong) = (kept + 1, kept_wrong + wrong);
            }
            match told.verdict {
                Verdict::Met => (met, met_wrong) = (met + 1, met_wrong + wrong),
                Verdict::TooClose => close += 1,
                Verdict::Broken => {}
                Verdict::NotShown => panic!("every rise was read"),
            }
        }
    }
    let share = |some: usize, of: usize| some as f64 / of as f64;
    // Within four binomial standard deviations.
    let fair = |some: usize, of: usize, theory: f64| {
        let spread = (theory * (1.0 - theory) / of as f64).sqrt();
        let found = share(some, of);
        assert!(
            (found - theory).abs() < 4.0 * spread,
            "{found} for {theory}"
        );
    };
    assert!(share(met_wrong, met) <= 0.05);
    fair(met_wrong, met, 0.004_786);
    fair(close, all, 0.585_881);
    // Were the doubt not counted, more than one in ten would be met that break it.
    let rho = PRIOR / PRIOR.hypot(SD);
    fair(kept_wrong, kept, rho.acos() / std::f64::consts::PI);
}

/// Every rise, going and overhang read, none alike.
fn all_read() -> String {
    let lines = (1..=14).map(|step| {
        let (rise, going) = (190.0 + f64::from(step % 3), 260.0 - f64::from(step % 4));
        let tread = match step {
            14 => String::new(),
            _ => format!(
                "Going(step: {step}, is: \"{going} mm\", sd: \"0.9 mm\"),\n\
                 Overhang(step: {step}, is: \"25 mm\", sd: \"0.5 mm\"),\n"
            ),
        };
        format!("Rise(step: {step}, is: \"{rise} mm\", sd: \"0.7 mm\"),\n{tread}")
    });
    lines.collect()
}

/// The tangent of the pitch against differences of the line itself.
#[test]
fn the_pitch_moves_with_what_was_read_as_its_line_does() {
    let job = job(190.5, &all_read());
    let found = survey(&job);
    let site = site::build(&job, &found.estimates);
    let run = site.steps[13].nosing_x() - site.steps[0].nosing_x();
    let unknowns = (1..=14).flat_map(|step| ["rise", "going", "overhang"].map(|word| (step, word)));
    // The last going leads nowhere.
    let unknowns = unknowns.filter(|unknown| *unknown != (14, "going"));
    let (mut functions, mut gradient) = (Vec::new(), Vec::new());
    for (step, word) in unknowns {
        let at = |by: f64| {
            let moved = found.estimates.shifted(&Shift::Step(step, word), by);
            nosing_line(&site::build(&job, &moved)).slope
        };
        functions.push(found.adjustment.of_step(step, word).unwrap());
        gradient.push(run * (at(0.01) - at(-0.01)) / 0.02);
    }
    let functions: Vec<_> = functions.iter().collect();
    let covariance = found.adjustment.joint_covariance(&functions);
    let gradient = DVector::from_vec(gradient);
    let expected = (covariance * &gradient).dot(&gradient).sqrt();
    let climb = run * nosing_line(&site).slope;
    let pitch = finding(Kind::Pitch, "", climb, Sense::AtMost, run);
    let doubt = judged(&site, &found, pitch).doubt.unwrap().as_mm() / WITHIN;
    assert!((doubt / expected - 1.0).abs() < 0.01, "{doubt} {expected}");
}

/// Heights read one by one from the floor, each with `s`, in a flight whose goings are sure: a nosing
/// a share t of the way is off the line through the first and the last by
/// `s sqrt(1 + (1 - t)^2 + t^2)` (the law of propagation, JCGM 100:2008, 5.1.2).
#[test]
fn a_nosing_is_off_the_line_through_the_ends_by_its_own_and_their_doubt() {
    let s = 0.5;
    let lines: String = (1..=14)
        .map(|step: u32| {
            let height = 190.5 * f64::from(step);
            let going = match step {
                14 => String::new(),
                _ => format!("Going(step: {step}, is: \"260 mm\", sd: \"0.01 mm\"),\n"),
            };
            format!("Height(step: {step}, above: 0, is: \"{height} mm\", sd: \"{s} mm\"),\n{going}")
        })
        .collect();
    let job = job(190.5, &lines);
    let found = survey(&job);
    let site = site::build(&job, &found.estimates);
    let t = 6.0 / 13.0;
    let mut weights = [0.0; 14];
    weights[6] = 1.0;
    weights[0] -= 1.0 - t;
    weights[13] -= t;
    let flight = Flight::new(&site, &found.adjustment);
    let hangs = flight.against_line(&weights, 190.5 / 260.0).unwrap();
    let doubt = hangs.doubt(&found.adjustment).read / WITHIN;
    let expected = s * (1.0 + (1.0 - t) * (1.0 - t) + t * t).sqrt();
    // What is expected of a rise, 6 mm, has a hundredth part in it.
    assert!((doubt / expected - 1.0).abs() < 0.02, "{doubt} {expected}");
}
