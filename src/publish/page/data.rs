//! The data of the page, as its script reads it: the shape is told at the head of
//! `assets/page/read.js`.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};

use crate::job::{Answer, Light};
use crate::publish::gltf::metres;

use super::asks::{AskTold, way_id};
use super::{Told, WayTold, plain};

/// The version of the shape.
const FORMAT: u32 = 1;

pub(super) fn data(told: &Told) -> Value {
    let pictures = told.shots.iter().enumerate().map(|(at, shot)| {
        json!({
            "alternative": shot.way.and_then(|at| told.ways.get(at)).map(|way| &way.id),
            "look": shot.look.and_then(|at| told.looks.get(at)).map(|look| &look.name),
            "view": shot.view,
            "alt": shot.alt,
            "img": plain::shot_id(at),
        })
    });
    json!({
        "format": FORMAT,
        "title": told.title,
        "job": { "name": told.name, "hash": told.hash },
        "alternatives": told.ways.iter().map(way).collect::<Vec<_>>(),
        "looks": told.looks.iter().map(|look| json!({
            "id": look.name,
            "name": look.name,
            "says": look.says,
            "light": match look.light { Light::Day => "Day", Light::Evening => "Evening" },
            "wall": look.wall.to_string(),
            "floor": look.floor.to_string(),
            "swatch": look.swatch.iter().map(ToString::to_string).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "views": told.views.iter().map(|view| json!({
            "id": view.id,
            "name": view.name,
            "eye": view.eye,
            "target": view.target,
            "fov_deg": view.fov_deg,
        })).collect::<Vec<_>>(),
        "notes": told.notes.iter().enumerate().map(|(at, note)| json!({
            "id": format!("note-{at}"),
            "kind": note.kind.word(),
            "title": note.title,
            "text": note.text,
            "at": note.at.map(|at| metres(&at)),
        })).collect::<Vec<_>>(),
        "asks": told.asks.iter().map(ask).collect::<Vec<_>>(),
        "answered": answered(told),
        "prices": told.prices.as_ref().map(|prices| json!({
            "currency": prices.currency,
            "lines": prices.lines.iter().map(|(words, amount)| json!({
                "words": words, "amount": amount,
            })).collect::<Vec<_>>(),
            "total": prices.total,
            "says": prices.says,
        })),
        "pictures": pictures.collect::<Vec<_>>(),
        "cautions": told.cautions,
        "made": { "by": "rakewell", "version": env!("CARGO_PKG_VERSION") },
    })
}

/// What is answered already, in the shape in which it comes back; null where nothing is. Of several
/// words to the whole the last is shown, and who wrote last is taken to write again.
fn answered(told: &Told) -> Value {
    let last = |to: &str| told.answers.iter().rev().find(|one| one.to == to);
    let Some(by) = told.answers.last().map(|one| &one.by) else {
        return Value::Null;
    };
    let answers = told.asks.iter().filter_map(|ask| last(&ask.id));
    let [_, alternative] = Answer::ALWAYS;
    let answers = answers.map(|answer| {
        let choice = match answer.chose.as_str() {
            "" => None,
            Answer::AS_IT_STANDS if answer.to == alternative => Some(way_id(None)),
            name if answer.to == alternative => Some(way_id(Some(name))),
            name => Some(name.to_owned()),
        };
        json!({ "ask": answer.to, "choice": choice, "note": answer.note })
    });
    json!({
        "answers": answers.collect::<Vec<_>>(),
        "note": last("").filter(|one| one.by == *by).map_or("", |one| one.note.as_str()),
        "by": by,
    })
}

fn way(way: &WayTold) -> Value {
    json!({
        "id": way.id,
        "name": way.name,
        "says": way.says,
        "glb": STANDARD.encode(&way.glb),
    })
}

fn ask(ask: &AskTold) -> Value {
    json!({
        "id": ask.id,
        "question": ask.question,
        "says": ask.says,
        "choices": ask.choices.iter().map(|(id, words)| json!({
            "id": id, "words": words,
        })).collect::<Vec<_>>(),
        "settles": ask.settles,
    })
}

/// JSON that stands in a page's script element: nothing in it ends the element or begins another.
pub(super) fn in_script(data: &Value) -> String {
    let text = data.to_string();
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '<' => safe.push_str("\\u003c"),
            '>' => safe.push_str("\\u003e"),
            '&' => safe.push_str("\\u0026"),
            '\u{2028}' => safe.push_str("\\u2028"),
            '\u{2029}' => safe.push_str("\\u2029"),
            _ => safe.push(letter),
        }
    }
    safe
}
