//! The finished model as the bytes of its file, beside the list of its parts.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use rakewell::chain;
use rakewell::publish::finish::looks;
use rakewell::publish::gltf::{Fine, binary};
use rakewell::publish::json as publish_json;
use rakewell::shop::parts::parts;
use serde_json::{Value, json};

use super::building::job_of;

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let job = job_of(serde_json::from_value(case).map_err(|error| error.to_string())?)?;
    let chain = chain::run(&job).map_err(|error| format!("{error:?}"))?;
    let lines = parts(&chain);
    let told = publish_json::parts(&job, &chain, &lines);
    let told: Value = serde_json::from_str(&told).map_err(|error| error.to_string())?;
    let looks = looks(&job);
    let of = |fine| STANDARD.encode(binary(&job, &chain, &lines, (&looks, fine)));
    Ok(json!({
        "job": job.name,
        "whole": of(Fine::Whole),
        "small": of(Fine::Small),
        "parts": told,
        "looks": looks.iter().map(|look| &look.name).collect::<Vec<_>>(),
    }))
}

/// The starter: its model is a file of the standard (ISO/IEC 12113:2022, 4.4.2).
pub(super) fn check_built_in_case() {
    let text = include_str!("../../../scenes/straight.ron");
    let answer = answer(json!({ "ron": text })).unwrap();
    for fine in ["whole", "small"] {
        let glb = STANDARD.decode(answer[fine].as_str().unwrap()).unwrap();
        assert_eq!(glb[..8], *b"glTF\x02\0\0\0");
        assert_eq!(glb[8..12], u32::try_from(glb.len()).unwrap().to_le_bytes());
    }
    assert!(answer["parts"]["parts"].as_array().unwrap().len() > 40);
    assert!(answer["looks"].as_array().unwrap().len() > 1);
}
