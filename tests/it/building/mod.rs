//! The parts of the model, and the model for a designer: closed forms, names that are hard to write,
//! the same bytes twice, what is documented. tests/reference/building.py has another reader read it.

mod command;
mod names;
mod parts;

use std::sync::LazyLock;

use rakewell::chain::{self, Chain};
use rakewell::job::Job;
use rakewell::measure::{Unit, with_default_unit};
use rakewell::shop::parts::PartLine;
use serde_json::{Value, json};

/// A plumb flight of four rises that nothing was read of: rise 180, going 254, treads 900 long and 27
/// thick, overhang 19, kicks 19, two square newels that are not notched in, two balusters a tread.
fn plumb(open_side: &str) -> Value {
    let newel = |name: &str, x: f64| {
        json!({ "name": name, "section": { "Square": 89 }, "height": 1200,
                "cap": { "slab": 0, "point": 0, "out": 0 }, "stands": { "At": { "x": x } } })
    };
    json!({
        "format": 1, "units": "Millimetres", "tape": "Millimetres", "name": "plumb",
        "flight": {
            "open_side": open_side, "count": 4, "rise": 180, "going": 254, "width": 900,
            "overhang": 19, "tread_thickness": 27, "kick_thickness": 19, "edge": 57,
        },
        "design": {
            "rules": "us-residential-2021",
            "newels": [newel("N1", -200.0), newel("N2", 1100.0)],
            "rail": { "name": "R1", "width": 57, "depth": 60, "height": 910,
                      "lower": { "Newel": "N1" }, "upper": { "Newel": "N2" } },
            "balusters": { "section": { "Square": 32 }, "spacing": { "PerTread": { "count": 2 } },
                           "peg": 19, "peg_diameter": 16, "edge_distance": 1, "seat": 6 },
        },
    })
}

/// Starters that have every sort of part between them; the reference suite takes all.
const SOME: [&str; 4] = ["closed-string", "panels", "wall-rail", "winders"];

/// Their chains: a second or so each, and looked at by several.
static CHAINS: LazyLock<Vec<(&str, Chain)>> = LazyLock::new(|| {
    let each = crate::shop::SCENES.iter();
    each.filter(|(scene, _)| SOME.contains(scene))
        .map(|(scene, text)| (*scene, crate::shop::chain_of(text)))
        .collect()
});

fn job_of(job: Value) -> Job {
    with_default_unit(Unit::Millimetres, || serde_json::from_value(job)).unwrap()
}

fn chain_of(job: &Job) -> Chain {
    chain::run(job).unwrap()
}

fn part<'a>(parts: &'a [PartLine], name: &str) -> &'a PartLine {
    parts.iter().find(|part| part.name == name).unwrap()
}

/// The instances of a STEP file: number, entity and arguments, as text.
fn instances(file: &str) -> Vec<(u32, &str, &str)> {
    let (_, data) = file.split_once("DATA;\n").unwrap();
    let (data, _) = data.split_once("ENDSEC;\n").unwrap();
    data.lines()
        .map(|line| {
            let (number, rest) = line.strip_prefix('#').unwrap().split_once('=').unwrap();
            let (entity, args) = rest.split_once('(').unwrap();
            let args = args.strip_suffix(");").unwrap();
            (number.parse().unwrap(), entity, args)
        })
        .collect()
}

/// The texts of an instance's arguments, as they stand between their quotes.
fn texts(args: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = args;
    while let Some((_, inside)) = rest.split_once('\'') {
        let mut end = 0;
        // A doubled quote stays inside.
        while let Some(at) = inside[end..].find('\'') {
            end += at;
            if inside[end + 1..].starts_with('\'') {
                end += 2;
            } else {
                break;
            }
        }
        found.push(&inside[..end]);
        rest = &inside[end + 1..];
    }
    found
}
