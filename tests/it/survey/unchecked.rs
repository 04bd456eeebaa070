//! Jobs that nothing has checked, for tests of the survey.

use rakewell::job::Job;
use rakewell::measure::{Unit, with_default_unit};
use serde_json::{Value, json};

/// A job in millimetres from its parts as JSON; nothing is checked, so that bad ones come through.
pub(crate) fn job_of(flight: &Value, more: &Value) -> Job {
    let mut job = json!({
        "format": 1,
        "units": "Millimetres",
        "flight": {
            "open_side": "Left", "count": 3, "rise": 190, "going": 250, "width": 950,
            "overhang": 25, "tread_thickness": 25, "kick_thickness": 19, "edge": 60,
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
    });
    for (key, value) in flight.as_object().expect("an object") {
        job["flight"][key] = value.clone();
    }
    for (key, value) in more.as_object().expect("an object") {
        job[key] = value.clone();
    }
    with_default_unit(Unit::Millimetres, || serde_json::from_value(job)).expect("a job's shape")
}
