//! The model for a designer, as the text of its file, beside the list of its parts.

use rakewell::chain;
use rakewell::job::{Document, Job};
use rakewell::measure::{Unit, with_default_unit};
use rakewell::publish::building::building;
use rakewell::publish::json as publish_json;
use rakewell::shop::parts::parts;
use serde::Deserialize;
use serde_json::{Value, json};

/// A job file, or a job.
#[derive(Deserialize)]
pub(super) struct Case {
    ron: Option<String>,
    job: Option<Value>,
}

pub(super) fn job_of(case: Case) -> Result<Job, String> {
    if let Some(text) = case.ron {
        let document = Document::parse(&text, "case").map_err(|faults| faults.render(false))?;
        return Ok(document.job().clone());
    }
    let job = case.job.ok_or("no job")?;
    with_default_unit(Unit::Millimetres, || serde_json::from_value(job))
        .map_err(|error| error.to_string())
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let job = job_of(case)?;
    let write = || -> Result<(String, String), String> {
        let chain = chain::run(&job).map_err(|error| format!("{error:?}"))?;
        let lines = parts(&chain);
        let told = publish_json::parts(&job, &chain, &lines);
        Ok((building(&job, &chain, &lines), told))
    };
    let (ifc, told) = write()?;
    let again = write()? == (ifc.clone(), told.clone());
    let told: Value = serde_json::from_str(&told).map_err(|error| error.to_string())?;
    Ok(json!({ "job": job.name, "ifc": ifc, "parts": told, "again": again }))
}

/// The starter: its model is a file of the standard, and has a name for every part.
pub(super) fn check_built_in_case() {
    let text = include_str!("../../../scenes/straight.ron");
    let answer = answer(json!({ "ron": text })).unwrap();
    let ifc = answer["ifc"].as_str().unwrap();
    assert!(ifc.starts_with("ISO-10303-21;\nHEADER;\n"));
    assert!(ifc.ends_with("ENDSEC;\nEND-ISO-10303-21;\n"));
    assert!(ifc.contains("FILE_SCHEMA(('IFC4'));"));
    let parts = answer["parts"]["parts"].as_array().unwrap();
    assert!(parts.len() > 40);
    for part in parts {
        let name = part["id"].as_str().unwrap();
        assert!(ifc.contains(&format!(",'{name}',")), "{name}");
    }
    assert_eq!(answer["again"], true);
}
