//! Treads and kicks bedded on cuts as read. mm.

use rakewell::job::Job;
use rakewell::measure::{Length, Unit, with_default_unit};
use rakewell::setout::bedding::{self, Bedded, BeddingLimits, BothEnds, Shortfall};
use rakewell::{site, survey};
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
struct Case {
    job: Value,
    limits: Limits,
}

#[derive(Deserialize)]
struct Limits {
    rise_range: Option<f64>,
    rise_neighbours: Option<f64>,
    rise_most: Option<f64>,
    going_range: Option<f64>,
    going_neighbours: Option<f64>,
    going_least: Option<f64>,
    slope: Option<f64>,
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let job: Job = with_default_unit(Unit::Millimetres, || serde_json::from_value(case.job))
        .map_err(|error| error.to_string())?;
    let mm = |limit: Option<f64>| limit.map(Length::mm);
    let limits = BeddingLimits {
        rise_range: mm(case.limits.rise_range),
        rise_neighbours: mm(case.limits.rise_neighbours),
        rise_most: mm(case.limits.rise_most),
        going_range: mm(case.limits.going_range),
        going_neighbours: mm(case.limits.going_neighbours),
        going_least: mm(case.limits.going_least),
        slope: case.limits.slope,
    };
    told(&job, &limits)
}

fn told(job: &Job, limits: &BeddingLimits) -> Result<Value, String> {
    let survey = survey::survey(job);
    let site = site::build(job, &survey.estimates);
    let bedded = bedding::bed(job, &survey, &site, limits).map_err(|error| error.to_string())?;
    let bedded = bedded.ok_or("no cut was read")?;
    let open = job.flight.edge.mm();
    let ends = [open - job.flight.width.mm(), open];
    let first = site.steps.first().ok_or("no step")?.nosing_x();
    let upper = site.steps.last().ok_or("no step")?;
    let cuts: Vec<Value> = survey::cuts(job, &survey)
        .iter()
        .map(|one| {
            let at = |cuts: &[survey::Cut]| -> Vec<f64> {
                cuts.iter().map(|cut| cut.at.as_mm()).collect()
            };
            json!({
                "stringer": one.stringer,
                "q": one.outward.as_mm(),
                "level": at(&one.level),
                "plumb": at(&one.plumb),
            })
        })
        .collect();
    Ok(json!({
        "cuts": cuts,
        "below": ends.map(|q| site.lower_floor(first, q)),
        "above": ends.map(|q| upper.nosing_top(q)),
        "treads": treads(&bedded),
        "kicks": kicks(&bedded),
    }))
}

fn steps(of: &[BothEnds]) -> Vec<[f64; 2]> {
    of.iter()
        .map(|one| [one.wall.as_mm(), one.open.as_mm()])
        .collect()
}

fn short(of: Option<&Shortfall>) -> Option<Value> {
    let give = |give: &bedding::Give| json!([format!("{:?}", give.limit), give.by.as_mm()]);
    of.map(|short| {
        let gives: Vec<Value> = short.gives.iter().map(give).collect();
        json!({ "gives": gives, "steps": short.steps })
    })
}

fn treads(bedded: &Bedded) -> Value {
    let boards: Vec<Value> = bedded
        .treads
        .iter()
        .map(|one| {
            let beds: Vec<[f64; 2]> = one
                .beds
                .iter()
                .map(|bed| [bed.front.as_mm(), bed.back.as_mm()])
                .collect();
            json!({
                "height": one.height.as_mm(),
                "across": one.across.as_mm(),
                "fall": one.fall.as_mm(),
                "beds": beds,
            })
        })
        .collect();
    let short = short(bedded.treads_short.as_ref());
    json!({ "boards": boards, "steps": steps(&bedded.rises), "short": short })
}

fn kicks(bedded: &Bedded) -> Value {
    let boards: Vec<Value> = bedded
        .kicks
        .iter()
        .map(|one| {
            let beds: Vec<f64> = one.beds.iter().map(|bed| bed.set_back.as_mm()).collect();
            json!({ "face": one.face.as_mm(), "skew": one.skew.as_mm(), "beds": beds })
        })
        .collect();
    let short = short(bedded.kicks_short.as_ref());
    json!({ "boards": boards, "steps": steps(&bedded.goings), "short": short })
}

/// The shipped sample of cuts and parts: its one low cut is filled by what it is low.
pub(super) fn check_built_in_case() {
    let job = crate::setout::bedding::sample();
    let limits = BeddingLimits {
        rise_range: Some(Length::mm(9.525)),
        ..BeddingLimits::default()
    };
    let answer = told(&job, &limits).expect("it can be bedded");
    let low = answer["treads"]["boards"][2]["beds"][1][0].as_f64();
    approx::assert_relative_eq!(low.expect("a number"), 3.0 / 16.0 * 25.4, epsilon = 0.02);
}
