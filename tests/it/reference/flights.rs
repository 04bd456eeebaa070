//! Whole flights: rail height, baluster line, balusters along the flight, notches. mm.

use rakewell::job::Job;
use rakewell::measure::{Length, Unit, with_default_unit};
use rakewell::setout::boards::reaches;
use rakewell::setout::{Choices, Limits, NewelSet, SetOut, rail_window, solve};
use rakewell::{site, solids, survey};
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
struct Case {
    job: Value,
    rail_low: Option<f64>,
    rail_high: Option<f64>,
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let job: Job = with_default_unit(Unit::Millimetres, || serde_json::from_value(case.job))
        .map_err(|error| error.to_string())?;
    let limits = Limits {
        rail_low: case.rail_low.map(Length::mm),
        rail_high: case.rail_high.map(Length::mm),
        gap_under: None,
        handrail_low: None,
        handrail_high: None,
    };
    let site = site::build(&job, &survey::survey(&job).estimates);
    let (rake, _) = rail_window::solve(&site, &job.design.rail, &limits);
    let set_out =
        solve(&job, &site, &limits, &Choices::default()).map_err(|error| error.to_string())?;
    let run = solids::Run {
        number: 0,
        turns: &[],
        beside: None,
        job: &job,
        site: &site,
        setout: &set_out,
    };
    let mut told = told(&set_out, rake);
    told["volumes"] = volumes(&solids::of_run(&run));
    // Where a kick's board is cut off is held by the checks of boards; here what newels leave of it.
    told["kick_ends"] = json!(reaches(&job, &site).kicks);
    Ok(told)
}

/// What is left of every kick, mm^3.
fn volumes(solids: &solids::Solids) -> Value {
    let kicks = solids.parts.iter();
    let kicks = kicks.filter(|part| part.kind == solids::PartKind::Kick);
    kicks
        .map(|part| part.pieces.iter().map(solids::Convex::volume).sum::<f64>())
        .collect()
}

fn told(set_out: &SetOut, rake: rail_window::RakeLine) -> Value {
    let window = &set_out.rail.window;
    let line = &set_out.line;
    json!({
        "rail": {
            "at_foot": rake.at_foot,
            "slope": rake.slope,
            "lowest": window.lowest.0.as_mm(),
            "highest": window.highest.0.as_mm(),
            "short": window.killed_by.as_ref().map(|(_, by)| by.as_mm()),
        },
        "line": {
            "at_foot": line.at_foot.as_mm(),
            "slope": line.slope,
            "worst": line.worst.as_mm(),
        },
        "balusters": set_out.balusters.iter().map(|one| one.foot.x).collect::<Vec<_>>(),
        "newels": set_out.newels.iter().map(newel).collect::<Vec<_>>(),
    })
}

fn newel(of: &NewelSet) -> Value {
    let notches: Vec<Value> = of
        .notches
        .iter()
        .map(|notch| {
            json!({
                "step": notch.step,
                "corners": notch.corners.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>(),
                "sides": notch.sides.iter().map(|side| side.as_mm()).collect::<Vec<_>>(),
                "angles": notch.angles.iter().map(|angle| angle.as_radians()).collect::<Vec<_>>(),
                "depth": notch.from_nosing.as_mm(),
                "from_open_end": notch.from_open_end.as_mm(),
            })
        })
        .collect();
    let cutouts: Vec<Value> = of
        .cutouts
        .iter()
        .map(|one| {
            json!({
                "part": one.part,
                "step": one.step,
                "plan": one.plan.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>(),
                "face": one.face.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>(),
                "depth": one.depth.as_mm(),
                "remains": one.remains.as_mm(),
                "from_end": one.from_end.as_mm(),
            })
        })
        .collect();
    json!({
        "centre": [of.foot.x, of.foot.y],
        "foot": of.foot.z,
        "notches": notches,
        "cutouts": cutouts,
    })
}

/// A true flight of goings of 10 in with two 1 1/4 in balusters each, the first displaced by a
/// 3 1/2 in newel: the gap is 3 3/4 in and the newel's uphill face stands 1 1/4 in behind the kick's
/// face (common practice, no source; the sum is in the test of the set-out).
pub(super) fn check_built_in_case() {
    let inch = 25.4;
    let newel = |name: &str, step: u32| {
        json!({
            "name": name, "section": { "Square": 3.5 * inch }, "height": 1250,
            "stands": { "Displaces": { "step": step, "balusters": 1 } },
        })
    };
    let case = json!({
        "rail_low": 34.0 * inch,
        "rail_high": 38.0 * inch,
        "job": {
            "format": 1,
            "units": "Millimetres",
            "flight": {
                "open_side": "Left", "count": 6, "rise": 7.5 * inch, "going": 10.0 * inch,
                "width": 950, "overhang": 0.75 * inch, "tread_thickness": 25.4,
                "kick_thickness": 0.75 * inch, "edge": 60,
            },
            "design": {
                "rules": "none",
                "newels": [newel("N1", 1), newel("N2", 5)],
                "rail": {
                    "name": "R1", "width": 57, "depth": 60, "height": 36.0 * inch,
                    "lower": { "Newel": "N1" }, "upper": { "Newel": "N2" },
                },
                "balusters": {
                    "section": { "Square": 1.25 * inch }, "peg": 19, "peg_diameter": 16,
                    "spacing": { "PerTread": { "count": 2 } }, "edge_distance": 19,
                },
            },
        },
    });
    let answer = answer(case).expect("a true flight can be set out");
    let number = |value: &Value| value.as_f64().expect("a number");
    let near = |value: &Value, expected: f64| {
        approx::assert_relative_eq!(number(value), expected, epsilon = 1e-6);
    };
    near(&answer["rail"]["lowest"], 36.0 * inch);
    near(&answer["rail"]["slope"], 0.75);
    near(&answer["line"]["worst"], 0.0);
    // The notch reaches the newel's uphill face: overhang 3/4 and 1 1/4 behind the kick's face.
    near(&answer["newels"][0]["notches"][0]["depth"], 2.0 * inch);
}
