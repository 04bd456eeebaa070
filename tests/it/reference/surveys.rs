//! Surveys: every estimate with its doubt, every reading as judged, the suspects. mm and radians.

use rakewell::job::Job;
use rakewell::measure::{Unit, with_default_unit};
use rakewell::survey::{Estimate, Judged, LandingEstimate, Linear, Survey, Suspect, survey};
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
struct Case {
    job: Value,
    /// Number of a wall, along, up.
    probes: Vec<(usize, f64, f64)>,
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let job: Job = with_default_unit(Unit::Millimetres, || serde_json::from_value(case.job))
        .map_err(|error| error.to_string())?;
    told(&job, &survey(&job), &case.probes).ok_or_else(|| "a probe off the job".to_owned())
}

fn told(job: &Job, survey: &Survey, probes: &[(usize, f64, f64)]) -> Option<Value> {
    let estimates = &survey.estimates;
    let walls: Option<Vec<Value>> = (0..job.walls.len())
        .map(|number| wall(survey, number))
        .collect();
    let probes: Option<Vec<Value>> = probes
        .iter()
        .map(|&(number, along, up)| {
            let function = survey.adjustment.of_wall(number, along, up)?;
            let field = estimates.walls.get(number)?.field.offset(along, up);
            let [mean, sd] = known(survey, &function);
            Some(json!([mean, sd, field]))
        })
        .collect();
    Some(json!({
        "steps": estimates.steps.iter().map(|step| json!({
            "rise": pair(&step.rise),
            "going": pair(&step.going),
            "overhang": pair(&step.overhang),
            "thickness": pair(&step.thickness),
            "kick_thickness": pair(&step.kick_thickness),
            "width": pair(&step.width),
            "level": pair(&step.level),
            "fall": pair(&step.fall),
            "skew": pair(&step.skew),
            "edge": pair(&step.edge),
        })).collect::<Vec<_>>(),
        "lower": [pair(&estimates.lower.0), pair(&estimates.lower.1)],
        "landings": estimates.landings.iter().map(landing).collect::<Vec<_>>(),
        "walls": walls?,
        "probes": probes?,
        "readings": survey.readings.iter().map(judged).collect::<Vec<_>>(),
        "suspects": survey.suspects.iter().map(suspect).collect::<Vec<_>>(),
        "settled": survey.adjustment.settled(),
    }))
}

fn pair(of: &Estimate) -> [f64; 2] {
    [of.found, of.sd]
}

fn known(survey: &Survey, function: &Linear) -> [f64; 2] {
    let adjustment = &survey.adjustment;
    [
        adjustment.mean(function),
        adjustment.variance(function).sqrt(),
    ]
}

fn landing(of: &LandingEstimate) -> Value {
    json!({
        "height": pair(&of.height),
        "uphill": pair(&of.uphill),
        "outward": pair(&of.outward),
        "open": pair(&of.open),
        "wall": pair(&of.wall),
        "across": pair(&of.across),
        "shift": pair(&of.shift),
    })
}

/// A wall's plane: its offset at the beginning of its foot's line, its splay and its lean.
fn wall(survey: &Survey, number: usize) -> Option<Value> {
    let at = |along, up| survey.adjustment.of_wall_plane(number, along, up);
    let start = at(0.0, 0.0)?;
    let splay = at(1.0, 0.0)?.less(&start);
    let lean = at(0.0, 1.0)?.less(&start);
    Some(json!({
        "start": known(survey, &start),
        "splay": known(survey, &splay),
        "lean": known(survey, &lean),
    }))
}

fn judged(of: &Judged) -> Value {
    json!({
        "path": of.path, "value": of.value, "sd": of.sd, "fitted": of.fitted,
        "predicted": of.predicted, "predicted_sd": of.predicted_sd, "r": of.r, "w": of.w,
    })
}

fn suspect(of: &Suspect) -> Value {
    json!({
        "reading": of.reading, "w": of.w, "r": of.r,
        "predicted": of.predicted, "predicted_sd": of.predicted_sd, "or": of.or,
    })
}

/// A rise read twice by two tapes, each as good as the other, and much better than what was meant
/// is sure: the mean of both, with a standard deviation smaller by the square root of two.
pub(super) fn check_built_in_case() {
    let rise = |is: f64| json!({ "Rise": { "step": 2, "is": is, "sd": 0.006 } });
    let case = json!({
        "probes": [],
        "job": {
            "format": 1,
            "units": "Millimetres",
            "flight": {
                "open_side": "Left", "count": 3, "rise": 190, "going": 250, "width": 950,
                "overhang": 25, "tread_thickness": 25, "kick_thickness": 19, "edge": 60,
                "readings": [rise(191.0), rise(191.01)],
            },
            "design": {
                "rules": "none",
                "rail": {
                    "name": "R1", "width": 57, "depth": 60, "height": 900,
                    "lower": { "Newel": "N1" }, "upper": { "Newel": "N2" },
                },
                "balusters": {
                    "section": { "Square": 32 }, "peg": 19, "peg_diameter": 16,
                    "spacing": { "PerTread": { "count": 2 } }, "edge_distance": 19,
                },
            },
        },
    });
    let answer = answer(case).expect("it is a job");
    let number = |value: &Value| value.as_f64().expect("a number");
    let rise = &answer["steps"][1]["rise"];
    // What was meant, 6 mm either way, weighs 5e-7 of it.
    approx::assert_relative_eq!(number(&rise[0]), 191.005, epsilon = 1e-6);
    approx::assert_relative_eq!(number(&rise[1]), 0.006 / 2f64.sqrt(), max_relative = 1e-6);
}
