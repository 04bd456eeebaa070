//! Parts received: balusters at their places, newels out of square. mm.

use rakewell::job::Job;
use rakewell::measure::{Length, Unit, with_default_unit};
use rakewell::setout::received::{self, BalusterWeighed, NewelEffects, NewelWeighed, Place};
use rakewell::setout::{Choices, Limits, SetOut, solve};
use rakewell::{site, survey};
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
struct Case {
    job: Value,
    gap_under: Option<f64>,
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let job: Job = with_default_unit(Unit::Millimetres, || serde_json::from_value(case.job))
        .map_err(|error| error.to_string())?;
    told(&job, case.gap_under)
}

fn told(job: &Job, gap_under: Option<f64>) -> Result<Value, String> {
    let limits = Limits {
        gap_under: gap_under.map(Length::mm),
        ..Limits::NONE
    };
    let site = site::build(job, &survey::survey(job).estimates);
    let set_out =
        solve(job, &site, &limits, &Choices::default()).map_err(|error| error.to_string())?;
    let told = received::weigh(job, &site, &set_out, &limits).ok_or("nothing was received")?;
    let places = received::places(job, &site, &set_out, &limits);
    let newels = told.newels.iter();
    Ok(json!({
        "outward": site.outward,
        "places": places.iter().map(place).collect::<Vec<_>>(),
        "balusters": told.balusters.iter().map(baluster).collect::<Vec<_>>(),
        "unfilled": told.unfilled,
        "disturbance": told.disturbance.as_mm(),
        "newels": newels.map(|one| newel(&set_out, one)).collect::<Vec<_>>(),
    }))
}

fn place(one: &Place) -> Value {
    json!({
        "name": one.name,
        "gaps": one.gaps.map(Length::as_mm),
        "reveal": one.reveal.map(|(shows, wanted)| [shows.as_mm(), wanted.as_mm()]),
        "lean": one.lean.as_mm(),
        "length": one.length.as_mm(),
        "seat": one.seat.as_mm(),
        "size": one.size.as_mm(),
        "outward": one.outward,
    })
}

fn baluster(one: &BalusterWeighed) -> Value {
    let Some(at) = &one.at else {
        return json!({ "place": null });
    };
    json!({
        "place": at.place,
        "quarter_turns": at.fit.quarter_turns,
        "gap": at.fit.gap.as_mm(),
        "over": at.fit.over.as_mm(),
        "reveal": at.fit.reveal.as_mm(),
        "lean": at.fit.lean.as_mm(),
        "seat": at.fit.seat.as_mm(),
        "total": at.fit.total.as_mm(),
    })
}

fn newel(set_out: &SetOut, one: &NewelWeighed) -> Value {
    let stands = set_out.newels.iter().find(|set| set.name == one.name);
    let stands = stands.expect("it is a newel of the design");
    let (end, beside) = if stands.at_foot {
        (set_out.rail.lower, set_out.balusters.first())
    } else {
        (set_out.rail.upper, set_out.balusters.last())
    };
    let foot = beside.map_or(0.0, |one| (one.foot.z - stands.foot.z).max(0.0));
    json!({
        "at_foot": stands.at_foot,
        "foot": foot,
        "rail": end.z - stands.foot.z,
        "quarter_turns": one.quarter_turns,
        "cap": one.as_marked.cap.as_mm(),
        "as_marked": effects(&one.as_marked),
        "turned": effects(&one.turned),
    })
}

fn effects(of: &NewelEffects) -> Value {
    json!({ "gap_at_foot": of.gap_at_foot.as_mm(), "gap_at_rail": of.gap_at_rail.as_mm() })
}

/// The shipped sample of cuts and parts: eleven balusters for nine places, one of them far too short.
pub(super) fn check_built_in_case() {
    let job = crate::setout::bedding::sample();
    let answer = told(&job, Some(111.0)).expect("it can be set out");
    let at = |number: usize| answer["balusters"][number]["place"].clone();
    assert_eq!(answer["places"].as_array().map(Vec::len), Some(9));
    assert_eq!(answer["unfilled"], json!([]));
    assert_eq!(at(10), Value::Null);
}
