//! Compounding against the published distribution of sums of rectangular errors, and random-walk bridges.

use super::{Band, Fan, FanStep, PER_STEP, Sum, compounding, fans};
use crate::chain;
use crate::doubt::stream::{Stream, stream};
use crate::job::{Document, Job};
use crate::measure::Length;
use crate::survey::{Survey, survey};

const STARTER: &str = include_str!("../../../scenes/straight.ron");
const KICKS: u32 = 14;

/// The starter, fourteen kicks of 7 1/2 in, with these readings of its steps.
fn job(readings: &str) -> Job {
    let text = STARTER.replacen("readings: [", &format!("readings: [{readings}"), 1);
    let document = Document::parse(&text, "job.ron").unwrap_or_else(|faults| panic!("{faults}"));
    document.job().clone()
}

/// Every rise read so many millimetres over what was meant, and the total, each with its standard
/// uncertainty; no total where it has none.
fn read(over: &[f64], sd: f64, total: Option<(f64, f64)>) -> Survey {
    let rises = over.iter().zip(1..).map(|(over, step)| {
        let is = 190.5 + over;
        format!("Rise(step: {step}, is: \"{is:.9} mm\", sd: \"{sd} mm\"),")
    });
    let mut text: String = rises.collect();
    if let Some((over, sd)) = total {
        let is = 14.0 * 190.5 + over;
        text += &format!("TotalRise(is: \"{is:.9} mm\", sd: \"{sd} mm\"),");
    }
    survey(&job(&text))
}

fn fan_of(survey: &Survey, of: Sum) -> Fan {
    let mut all = fans(survey, PER_STEP).expect("it has steps").into_iter();
    all.find(|fan| fan.of == of).expect("all three are there")
}

/// Variance of a height, mm^2, less the part that the tread's own fall has in it, which nobody read.
fn variance(survey: &Survey, row: &FanStep) -> f64 {
    let own = survey.adjustment.of_step(row.step, "fall");
    let depth = 11.25;
    let own = own.map_or(0.0, |fall| {
        survey.adjustment.variance(&fall) / (depth * depth)
    });
    row.sd.as_mm().powi(2) - own
}

/// What is left of a rise that is 6 mm in doubt when it was read with `sd`: information adds up.
fn left_of(sd: f64) -> f64 {
    1.0 / (1.0 / (sd * sd) + 1.0 / 36.0)
}

#[test]
fn one_sided_is_a_multiple_and_by_chance_the_published_law() {
    let fan = fan_of(&read(&[], 1.0, None), Sum::Heights);
    assert_eq!(fan.steps.len(), 15);
    assert_eq!(fan.throws, None);
    let top = fan.last().unwrap();
    assert_eq!((top.step, top.errors), (14, 14));
    // A sixteenth fourteen times is seven eighths.
    assert!((top.same_way.as_inches() - 0.875).abs() < 1e-12);
    // Irwin-Hall of 14: by exact fractions, and scipy 1.17.1.
    assert!((top.stepped.nearly.as_inches() * 16.0 - 4.221_051_324_755_739).abs() < 1e-9);
    assert!((top.stepped.even.as_inches() * 16.0 - 1.470_543_524_963_381).abs() < 1e-9);
    // A mark from one end of the tape is off by one mark's error, however far up: rectangular.
    for row in &fan.steps[1..] {
        assert!((row.one_tape.nearly.as_inches() * 16.0 - 0.95).abs() < 1e-9);
        assert!((row.one_tape.even.as_inches() * 16.0 - 0.5).abs() < 1e-9);
    }
    let start = &fan.steps[0];
    assert!(start.stepped.nearly.abs() + start.one_tape.nearly + start.sd < Length::mm(1e-9));
}

/// Independent readings add up as the square root of their number (JCGM 100:2008, 5.1.2).
#[test]
fn rises_read_one_by_one_fan_out_as_the_square_root() {
    let survey = read(&[0.0; 14], 1.0, None);
    let fan = fan_of(&survey, Sum::Heights);
    for row in &fan.steps {
        let wanted = f64::from(row.step) * left_of(1.0);
        let found = variance(&survey, row);
        assert!(
            (found - wanted).abs() < 1e-6,
            "{}: {found} {wanted}",
            row.step
        );
    }
    assert_eq!(fan.widest().unwrap().step, KICKS);
}

/// A random walk whose end is known is a bridge: variance `k (n - k) / n` of a step's (Brownian
/// bridge; the closed form with an end known to `t` is `k s - k^2 s^2 / (n s + t)`, by Bayes).
#[test]
fn a_total_rise_closes_the_fan_like_a_bridge() {
    let step = left_of(1.0);
    for end in [0.01, 0.5, 2.0] {
        let survey = read(&[0.0; 14], 1.0, Some((0.0, end)));
        let fan = fan_of(&survey, Sum::Heights);
        for row in &fan.steps {
            let k = f64::from(row.step);
            let wanted = k * step - (k * step).powi(2) / (14.0 * step + end * end);
            let found = variance(&survey, row);
            assert!(
                (found - wanted).abs() < 1e-6,
                "{}: {found} {wanted}",
                row.step
            );
            if end < 0.1 {
                let bridge = k * (14.0 - k) / 14.0 * step;
                assert!(
                    (found - bridge).abs() < 1e-3,
                    "{}: {found} {bridge}",
                    row.step
                );
            }
        }
    }
    let survey = read(&[0.0; 14], 1.0, Some((0.0, 0.01)));
    assert_eq!(fan_of(&survey, Sum::Heights).widest().unwrap().step, 7);
}

/// Flights drawn as they may be and read with errors: what the readings make of them is off, from
/// flight to flight, by what the fan says. 400 flights tell a variance to 7 %.
#[test]
fn simulated_surveys_are_off_as_the_fan_says() {
    let flights = 400;
    let mut sums = [0.0; 15];
    let mut told = Vec::new();
    for flight in 0..flights {
        let mut drawn: Stream = stream(5, flight);
        let true_rises: Vec<f64> = (0..14).map(|_| 6.0 * drawn.normal()).collect();
        let as_read: Vec<f64> = true_rises
            .iter()
            .map(|rise| rise + drawn.normal())
            .collect();
        let total: f64 = true_rises.iter().sum::<f64>() + 0.5 * drawn.normal();
        let survey = read(&as_read, 1.0, Some((total, 0.5)));
        let fan = fan_of(&survey, Sum::Heights);
        let mut truth = 0.0;
        for (row, rise) in fan.steps[1..].iter().zip(&true_rises) {
            truth += rise;
            sums[row.step as usize] += (row.found.as_mm() - truth).powi(2);
        }
        told = fan.steps.iter().map(|row| variance(&survey, row)).collect();
    }
    for step in 1..=14 {
        let share = sums[step] / flights as f64 / told[step];
        assert!((share - 1.0).abs() < 0.28, "{step}: {share}");
    }
    // And it is a bridge: the middle is off more than the top.
    assert!(sums[7] > 4.0 * sums[14]);
}

#[test]
fn what_was_found_adds_up_and_the_step_that_throws_is_named() {
    let mut over = [0.5; 14];
    over[8] = -7.0;
    let survey = read(&over, 0.1, None);
    let fan = fan_of(&survey, Sum::Heights);
    let throw = fan.throws.unwrap();
    assert_eq!(throw.step, 9);
    assert!(throw.is_sure());
    // Shrunk towards what was meant by a 3600th: 36 against 0.01.
    let shrink = 36.0 / 36.01;
    assert!((throw.by.as_mm() + 7.0 * shrink).abs() < 1e-6);
    let wanted = (13.0 * 0.5 - 7.0) * shrink;
    assert!((fan.last().unwrap().found.as_mm() - wanted).abs() < 1e-6);
    let eight = &fan.steps[8];
    assert!((eight.found.as_mm() - 4.0 * shrink).abs() < 1e-6);
    // Nobody read a going; tread ends stand as meant.
    for of in [Sum::Goings, Sum::TreadEnds] {
        let fan = fan_of(&survey, of);
        assert_eq!(fan.throws, None);
        assert!(
            fan.steps
                .iter()
                .all(|row| row.found.abs() < Length::mm(1e-9))
        );
    }
}

/// 68-95-99.7: 1.959964 and 0.674490 standard deviations in any table of the normal distribution.
#[test]
fn a_normal_band_is_that_of_the_tables() {
    let band = Band::of_normal(Length::mm(10.0));
    assert!((band.nearly.as_mm() - 19.599_64).abs() < 1e-4);
    assert!((band.even.as_mm() - 6.744_90).abs() < 1e-4);
}

#[test]
fn goings_start_at_the_first_kick_and_tread_ends_stand_each_by_itself() {
    let text = "Going(step: 1, is: \"10 1/2\", sd: \"0.1 mm\"), \
                Going(step: 2, is: \"10\", sd: \"0.1 mm\"), \
                Edge(step: 3, is: \"2\", sd: \"0.1 mm\"),";
    let survey = survey(&job(text));
    let goings = fan_of(&survey, Sum::Goings);
    assert_eq!(goings.steps.len(), 14);
    let inches: Vec<f64> = goings
        .steps
        .iter()
        .map(|row| row.found.as_inches())
        .collect();
    for (found, wanted) in inches.iter().zip([0.0, 0.25, 0.0, 0.0]) {
        assert!((found - wanted).abs() < 1e-3, "{inches:?}");
    }
    assert_eq!(goings.last().unwrap().errors, 13);
    assert_eq!(goings.throws.unwrap().step, 1);
    let ends = fan_of(&survey, Sum::TreadEnds);
    assert_eq!(ends.steps.len(), 13);
    assert!((ends.steps[2].found.as_inches() + 0.25).abs() < 1e-3);
    assert!(ends.steps[3].found.abs() < Length::mm(1e-9));
}

/// Its sign is of no account; what is no number gives nothing; a level run has no steps.
#[test]
fn errors_that_are_none() {
    let chain = chain::run(&job("")).expect("the starter is sound");
    let of = |inches: f64| compounding(chain.first(), Length::inches(inches));
    assert_eq!(of(0.0625), of(-0.0625));
    assert_eq!(of(f64::NAN), None);
    let none = of(0.0).expect("no error is an error of nothing");
    let rows = none.fans.iter().flat_map(|fan| &fan.steps);
    for row in rows {
        assert!(row.same_way.abs() + row.stepped.nearly + row.one_tape.nearly < Length::mm(1e-9));
    }
    let level = include_str!("../../../scenes/level-guard.ron");
    let document = Document::parse(level, "level.ron").unwrap_or_else(|faults| panic!("{faults}"));
    let chain = chain::run(document.job()).expect("the scene is sound");
    for run in chain.runs.iter().filter(|run| run.run.job.level.is_some()) {
        assert_eq!(compounding(run, PER_STEP), None);
    }
}
