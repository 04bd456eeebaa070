//! Stairs that are read redundantly, for simulated surveys. Every length of a tape states its
//! standard uncertainty, so that it does not change where a drawn value passes a whole metre.

use rakewell::job::Job;
use serde_json::{Value, json};

/// The readings of a flight: each rise and going by itself and from the first on, tread ends and
/// widths three times over, levels twice.
fn flight(count: u32) -> Value {
    let mut readings = Vec::new();
    let mut add = |kind: &str, of: Value| readings.push(json!({ kind: of }));
    for step in 1..=count {
        add("Rise", json!({ "step": step, "is": 190, "sd": 0.8 }));
        add(
            "Height",
            json!({ "step": step, "above": 0, "is": 190 * step, "sd": 1.2 }),
        );
        if step > 2 {
            add(
                "Height",
                json!({ "step": step, "above": step - 2, "is": 380, "sd": 0.9 }),
            );
        }
        if step < count {
            add("Going", json!({ "step": step, "is": 250, "sd": 0.8 }));
            add(
                "Run",
                json!({ "step": step + 1, "beyond": 1, "is": 250 * step, "sd": 1.0 }),
            );
        }
        if step + 1 < count && step > 1 {
            add(
                "Run",
                json!({ "step": step + 1, "beyond": step - 1, "is": 500, "sd": 0.9 }),
            );
        }
        if step < count && step % 2 == 1 {
            for sd in [0.6, 0.8, 1.0] {
                add("Edge", json!({ "step": step, "is": 60, "sd": sd }));
                add("Width", json!({ "step": step, "is": 950, "sd": sd + 0.2 }));
            }
            for high in ["Open", "Wall"] {
                add("Level", json!({ "step": step, "is": 0, "high": high }));
            }
        }
    }
    json!({ "count": count, "readings": readings })
}

/// A wall read on a grid, with a long level plumb on its columns.
fn wall(name: &str, y: f64, columns: u32) -> Value {
    let mut readings = Vec::new();
    for column in 0..columns {
        let along = 200 + 600 * column;
        for row in 0..4 {
            readings.push(json!({ "Offset": { "along": along, "up": 150 + 700 * row, "is": 0 } }));
        }
        for up in [150, 850] {
            readings.push(json!({ "Plumb": {
                "along": along, "up": up, "level": 1400, "gap": 0, "at": "Top", "touch": 0,
            } }));
        }
    }
    json!({
        "name": name, "from": { "x": -300, "y": y }, "to": { "x": 3700, "y": y },
        "head": 2600, "readings": readings,
    })
}

/// A stair of so many steps, with so many walls read on so many columns.
pub(crate) fn stair(
    job_of: impl Fn(&Value, &Value) -> Job,
    count: u32,
    walls: u32,
    columns: u32,
) -> Job {
    let walls: Vec<Value> = (1..=walls)
        .map(|number| wall(&format!("W{number}"), -1000.0 * f64::from(number), columns))
        .collect();
    job_of(&flight(count), &json!({ "walls": walls }))
}
