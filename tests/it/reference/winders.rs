//! Winders as they are cut, with their full-size drawings. mm.

use rakewell::chain;
use rakewell::job::Job;
use rakewell::measure::{Length, Tape, Unit, with_default_unit};
use rakewell::publish::full_size::svg;
use rakewell::publish::json as publish_json;
use rakewell::shop::cuts::{CutPiece, Detail, PieceKind, cut_list, pieces};
use rakewell::shop::fastening::schedule;
use rakewell::shop::marks::marks;
use rakewell::shop::templates::{TemplateKind, templates};
use serde::Deserialize;
use serde_json::{Map, Value, json};

#[derive(Deserialize)]
struct Case {
    job: Value,
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let job: Job = with_default_unit(Unit::Millimetres, || serde_json::from_value(case.job))
        .map_err(|error| error.to_string())?;
    let chain = chain::run(&job).map_err(|error| format!("{error:?}"))?;
    let list = cut_list(&chain);
    let told = publish_json::cuts(&job, &chain, &list, &schedule(&chain), &marks(&chain));
    let told: Value = serde_json::from_str(&told).map_err(|error| error.to_string())?;
    let mut treads = Map::new();
    let lines = told["pieces"].as_array().ok_or("no pieces")?;
    for (piece, line) in list.pieces.iter().zip(lines) {
        if let Some(tread) = tread(piece, line) {
            treads.insert(piece.members[0].clone(), tread);
        }
    }
    let mut kicks = Map::new();
    let all = pieces(&chain);
    for piece in all.iter().filter(|one| one.members[0].starts_with("W.K")) {
        kicks.extend(kick(piece).map(|kick| (piece.members[0].clone(), kick)));
    }
    let mut drawn = Map::new();
    let made = templates(&chain).into_iter();
    for template in made.filter(|one| one.kind == TemplateKind::Winder) {
        let (text, origin) = svg("a case", &template, Tape::Millimetres);
        let shape = json!({ "svg": text, "svg_origin_mm": [origin.0, origin.1] });
        drawn.insert(template.part.clone(), shape);
    }
    Ok(json!({ "treads": treads, "kicks": kicks, "templates": drawn }))
}

fn tread(piece: &CutPiece, line: &Value) -> Option<Value> {
    let Detail::Winder { bounds, begins, .. } = &piece.detail else {
        return None;
    };
    Some(json!({
        "sides": line["sides"],
        "area_mm2": line["area_mm2"],
        "bounds_mm": bounds.map(Length::as_mm),
        "begins_mm": begins.as_mm(),
    }))
}

fn kick(piece: &CutPiece) -> Option<Value> {
    let Detail::Kick {
        widths, heights, ..
    } = &piece.detail
    else {
        return None;
    };
    (piece.kind == PieceKind::Kick).then(|| {
        json!({
            "long_mm": piece.long_points.as_mm(),
            "bottom_mm": widths[0].as_mm(),
            "height_mm": heights[0].as_mm(),
        })
    })
}

pub(super) fn check_built_in_case() {
    let text = include_str!("../../../scenes/winders.ron");
    let document = rakewell::job::Document::parse(text, "test").unwrap();
    let job = serde_json::to_value(document.job()).unwrap();
    let answer = answer(json!({ "job": job })).unwrap();
    // Two kites: the nosing of the first runs 777.5 from the newel to the wall, square to both.
    let side = &answer["treads"]["W.T1"]["sides"][0];
    approx::assert_relative_eq!(side["length_mm"].as_f64().unwrap(), 777.5, epsilon = 1e-9);
    assert_eq!(answer["templates"].as_object().unwrap().len(), 2);
}
