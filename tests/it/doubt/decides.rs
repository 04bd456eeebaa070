//! What decides a line and what would make it surer, against closed forms, tables and the adjustment.

use std::ops::ControlFlow;

use rakewell::chain::{self, Chain};
use rakewell::doubt::propagate::Bend;
use rakewell::doubt::{Decides, FirstOrder, Line, Model, Origin, Wanted, decides, first_orders};
use rakewell::job::{Document, Job};
use rakewell::survey::{self, Adjustment, Further, Linear};

const STRAIGHT: &str = include_str!("../../../scenes/straight.ron");

/// The straight flight with all of its rises read, each at the same.
fn rises_read() -> Job {
    let readings: String = (1..=14)
        .map(|step| format!("Rise(step: {step}, is: \"7 1/2\"),"))
        .collect();
    let begin = STRAIGHT.find("        readings: [").unwrap() + "        readings: [".len();
    let text = format!("{}{readings}{}", &STRAIGHT[..begin], &STRAIGHT[begin..]);
    Document::parse(&text, "job.ron").unwrap().job().clone()
}

/// The straight flight cut and fitted as stated.
fn with_tolerances(stated: &str) -> Job {
    let text = STRAIGHT.replacen(
        "fitting: \"1/16\",",
        &format!("fitting: \"1/16\", tolerances: ({stated}),"),
        1,
    );
    assert_ne!(text, STRAIGHT);
    Document::parse(&text, "job.ron").unwrap().job().clone()
}

fn line(model: &Model, chain: &Chain, id: &str) -> Line {
    let all = Line::all(model, chain);
    let found = all.iter().find(|one| one.id() == id);
    let known = || all.iter().map(Line::id).collect::<Vec<_>>().join(", ");
    found
        .unwrap_or_else(|| panic!("no {id} among {}", known()))
        .clone()
}

fn wanted(most: u64) -> Wanted {
    Wanted {
        seed: 3,
        most,
        threads: 2,
        narrow: 0.0,
    }
}

fn decided(chain: &Chain, model: &Model, id: &str, most: u64) -> Decides {
    let line = line(model, chain, id);
    decides(chain, model, &line, &wanted(most), &|_| {
        ControlFlow::Continue(())
    })
    .unwrap()
}

fn first(chain: &Chain, model: &Model, id: &str) -> FirstOrder {
    let line = line(model, chain, id);
    let told = first_orders(model, &[line], 2, &|_| ControlFlow::Continue(()));
    told.unwrap().remove(0)
}

/// What the flight climbs, as a function of what is unknown: all of its rises.
fn climb(adjustment: &Adjustment) -> Linear {
    (1..=14)
        .map(|step| adjustment.of_step(step, "rise").unwrap())
        .reduce(|sum, rise| sum.add(&rise))
        .unwrap()
}

/// The standard deviation that readings leave a single rise, mm.
fn sd_of_rise(chain: &Chain, step: u32) -> f64 {
    let adjustment = &chain.first().survey.as_ref().unwrap().adjustment;
    let rise = adjustment.of_step(step, "rise").unwrap();
    adjustment.variance(&rise).sqrt()
}

#[test]
fn a_height_of_many_rises_is_as_loose_as_the_adjustment_has_it() {
    // It is straight in every reading, so its slopes carry the adjustment's own covariance (JCGM
    // 100:2008, formula (13)), which is worked out without any of them.
    let chain = chain::run(&rises_read()).unwrap();
    let model = Model::of(&chain).unwrap().with_unread();
    let told = first(&chain, &model, "flight-rise");
    let adjustment = &chain.first().survey.as_ref().unwrap().adjustment;
    let variance = adjustment.variance(&climb(adjustment));
    assert!(
        (told.sd - variance.sqrt()).abs() < 1e-4 * told.sd,
        "{}",
        told.sd
    );
    assert!(told.bent.is_empty(), "{:?}", told.bent);
    // Nothing but rises has a part in it, fourteen readings and what was known before them.
    let shares: f64 = told.shares.iter().map(|one| one.1).sum();
    assert!((shares - 1.0).abs() < 1e-9);
    let closed: f64 = (1..=14).map(|step| sd_of_rise(&chain, step).powi(2)).sum();
    assert!(
        (told.sd - closed.sqrt()).abs() < 0.01 * told.sd,
        "{} {closed}",
        told.sd
    );
}

#[test]
fn a_marked_gap_beside_a_newel_is_as_loose_as_mark_and_notch() {
    // Newel and baluster each within a limit of which nothing more is said: the variance of their
    // difference is a third of each limit's square (JCGM 100:2008, 4.3.7 and 5.1.2).
    let job = with_tolerances(r#"marking: "2 mm", bore: "0", notch: "3 mm", saw: "0", plumb: "0""#);
    let chain = chain::run(&job).unwrap();
    let model = Model::of(&chain).unwrap();
    let told = first(&chain, &model, "gap from N1 to B01");
    let closed = ((4.0 + 9.0) / 3.0f64).sqrt();
    assert!(
        (told.sd - closed).abs() < 0.01 * closed,
        "{} {closed}",
        told.sd
    );
    let greatest = &model.sources()[told.shares[0].0];
    assert!(greatest.says().contains("newel N1"), "{}", greatest.says());
    assert!((told.shares[0].1 - 9.0 / 13.0).abs() < 0.01);
}

#[test]
fn shares_of_what_is_straight_are_the_squares_of_its_slopes() {
    // Of a sum of independent numbers first-order and total shares are the same, the squares of the
    // slopes, and they add up to one (Saltelli and others, Global Sensitivity Analysis, 2008, 1.2.4
    // and 4.6).
    let chain = chain::run(&rises_read()).unwrap();
    let model = Model::of(&chain).unwrap();
    let told = decided(&chain, &model, "flight-rise", 400);
    assert!(told.compared.unwrap().agrees, "{:?}", told.compared);
    let sum = |of: fn(&rakewell::doubt::Part) -> f64| told.parts.iter().map(of).sum::<f64>();
    assert!((sum(|one| one.slope_share) - 1.0).abs() < 1e-9);
    let error = |of: fn(&rakewell::doubt::Part) -> f64| {
        told.parts
            .iter()
            .map(|one| of(one).powi(2))
            .sum::<f64>()
            .sqrt()
    };
    assert!((sum(|one| one.shares.first) - 1.0).abs() < 4.5 * error(|one| one.shares.first_se));
    assert!((sum(|one| one.shares.total) - 1.0).abs() < 4.5 * error(|one| one.shares.total_se));
    for part in &told.parts {
        let off = |share: f64| (share - part.slope_share).abs();
        assert!(
            off(part.shares.first) < 4.5 * part.shares.first_se,
            "{part:?}"
        );
        assert!(
            off(part.shares.total) < 4.5 * part.shares.total_se,
            "{part:?}"
        );
    }
}

#[test]
fn the_range_of_equal_rises_has_a_kink_at_the_plan() {
    // The range of 14 normal numbers of standard deviation 1 has the mean d2 = 3.407 and the standard
    // deviation d3 = 0.763 (tables of factors for control charts, as in Montgomery, Introduction to
    // Statistical Quality Control, appendix VI). First order sees neither: whichever rise goes up or
    // down, the range grows.
    let chain = chain::run(&rises_read()).unwrap();
    let model = Model::of(&chain).unwrap();
    let told = decided(&chain, &model, "rise-variation", 400);
    let sd = sd_of_rise(&chain, 3);
    assert!(told.first.sd < 0.05 * sd, "{}", told.first.sd);
    let mean = told.spread.mean().unwrap();
    assert!((mean - 3.407 * sd).abs() < 4.5 * told.spread.mean_error().unwrap() + 0.01 * sd);
    let (drawn, error) = (told.spread.sd().unwrap(), told.spread.sd_error().unwrap());
    assert!(
        (drawn - 0.763 * sd).abs() < 4.5 * error + 0.01 * sd,
        "{drawn} {sd}"
    );
    assert!(!told.compared.unwrap().agrees);
    // The place is named: the rises' readings, one by one, from the plan on.
    let rises = told.first.bent.iter().filter(|one| {
        let source = &model.sources()[one.source];
        one.bend == Bend::Kinked && source.says().contains("rise")
    });
    assert!(rises.count() >= 14, "{:?}", told.first.bent);
    assert!(told.first.bent[0].from.is_some_and(|from| from < 0.1));
    assert!(told.first.bent[0].told.is_some());
    // And the rises work together: what would stay if all others were known is more than what would
    // go if it alone were.
    let alone = told.parts.iter().filter(|one| one.source.is_some());
    let (first, total) = alone.fold((0.0, 0.0), |sum, one| {
        (sum.0 + one.shares.first, sum.1 + one.shares.total)
    });
    assert!(total > first + 0.05, "{first} {total}");
}

#[test]
fn a_further_reading_does_what_is_foretold() {
    // The survey that has the readings knows their covariance without any slope or draw (JCGM
    // 100:2008, formula (13); the update of a least-squares adjustment).
    let chain = chain::run(&rises_read()).unwrap();
    let model = Model::of(&chain).unwrap().with_unread();
    let told = decided(&chain, &model, "flight-rise", 300);
    let again = &told.again;
    assert_eq!(again.readings.len(), 2, "{:?}", again.readings);
    let mut job = chain.first().run.job.clone();
    for reading in &again.readings {
        put(&chain, &mut job, &reading.what);
    }
    let after = survey::survey(&job).adjustment;
    let closed = after.variance(&climb(&after)).sqrt();
    let both = again.both.as_ref().unwrap();
    assert!(
        (both.foretold - closed).abs() < 1e-3 * closed,
        "{} {closed}",
        both.foretold
    );
    let (sd, error) = both.sd.unwrap();
    assert!((sd - closed).abs() < 4.5 * error, "{sd} {closed}");
    // Both do more than either, and either more than nothing.
    let alone = again.readings[0].alone.foretold;
    assert!(both.foretold < alone && alone < again.before.foretold);
    let (before, error) = again.before.sd.unwrap();
    assert!((before - again.before.foretold).abs() < 4.5 * error);
}

/// Puts a reading into the job by its words, at what all readings make of it.
fn put(chain: &Chain, job: &mut Job, what: &str) {
    let survey = chain.first().survey.as_ref().unwrap();
    let repeats = survey::repeats(&chain.first().run.job, survey)
        .into_iter()
        .flatten();
    let fresh = survey::candidates(&chain.first().run.job, &survey.adjustment, &[]);
    let mut all = repeats.chain(fresh);
    let found = all.find(|one| one.what == what).unwrap();
    let reading: &Further = &found.reading;
    reading.put_into(job, survey.adjustment.mean(&found.function));
}

#[test]
fn a_reading_put_in_at_its_fitted_value_moves_nothing() {
    let chain = chain::run(&rises_read()).unwrap();
    let survey = chain.first().survey.as_ref().unwrap();
    let mut job = chain.first().run.job.clone();
    put(&chain, &mut job, "rise of step 3");
    put(&chain, &mut job, "height of step 9");
    let after = survey::survey(&job);
    assert_eq!(after.readings.len(), survey.readings.len() + 2);
    for step in 1..=14 {
        let rise = survey.adjustment.of_step(step, "rise").unwrap();
        let off = after.adjustment.mean(&rise) - survey.adjustment.mean(&rise);
        assert!(off.abs() < 1e-9, "step {step}: {off}");
        let [before, after] =
            [&survey.adjustment, &after.adjustment].map(|one| one.variance(&rise));
        assert!(after <= before * (1.0 + 1e-12), "step {step}");
    }
}

#[test]
fn more_care_halves_what_comes_of_it() {
    // Half of each error of one operation takes three quarters of its share off the variance.
    let job = with_tolerances(r#"marking: "2 mm", bore: "0", notch: "3 mm", saw: "0", plumb: "0""#);
    let chain = chain::run(&job).unwrap();
    let model = Model::of(&chain).unwrap();
    let told = decided(&chain, &model, "gap from N1 to B01", 300);
    let care = told.again.care.as_ref().unwrap();
    assert_eq!(care.operation.field(), "notch");
    let closed = ((4.0 + 9.0 / 4.0) / 3.0f64).sqrt();
    assert!((care.halved.foretold - closed).abs() < 0.01 * closed);
    let (sd, error) = care.halved.sd.unwrap();
    assert!((sd - closed).abs() < 4.5 * error, "{sd} {closed}");
    // No reading has a part in it.
    let of_hand = |at: &usize| matches!(model.sources()[*at].origin, Origin::Hand { .. });
    assert!(
        told.parts
            .iter()
            .filter_map(|one| one.source)
            .all(|at| of_hand(&at))
    );
    assert!(told.again.readings.is_empty());
}
