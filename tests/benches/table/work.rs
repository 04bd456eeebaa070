//! The work itself with our answers, as JSON in a folder, for `tests/reference/table.py`. mm.

use std::path::Path;

use nalgebra::{Point3, Vector3};
use rakewell::inspect::ball::{Asked, Cell, largest_ball};
use rakewell::inspect::{Bounded, clash};
use rakewell::measure::Length;
use rakewell::shop::prices::Prices;
use rakewell::shop::stock::{SectionPlan, blanks, plans, saw};
use rakewell::solids::{Convex, Plane, Solids, slice};
use serde_json::{Value, json};

use crate::answers;
use crate::made::Made;
use crate::stairs::{Size, text};

/// Writes all of it, and answers the cases that are in the folder.
pub(crate) fn write(folder: &Path) {
    let put = |name: &str, value: &Value| {
        std::fs::write(folder.join(name), value.to_string()).expect("the folder can be written to");
    };
    for size in Size::ALL {
        let (word, job) = (size.word(), size.job());
        std::fs::write(folder.join(format!("stair-{word}.ron")), text(&job))
            .expect("the folder can be written to");
        let made = Made::of(&job);
        put(&format!("parts-{word}.json"), &parts(&made.chain.solids));
        let openings: Vec<Value> = made.bounded().iter().map(opening).collect();
        put(&format!("openings-{word}.json"), &Value::from(openings));
        let planned = plans(blanks(&made.chain), &job.shop, &Prices::default(), 0);
        let saw = saw(&job.shop);
        let [kerf, trim] = [saw.kerf, saw.trim].map(Length::as_mm);
        let sections = planned.iter().map(|one| section(one, kerf, trim));
        put(&format!("stock-{word}.json"), &sections.collect());
    }
    put("answers.json", &answers::answers(folder));
}

/// The pieces of all parts, what their joints allow, and our clashes; as well as every pair that
/// overlaps, joint or not, where they are not too many to be told.
fn parts(solids: &Solids) -> Value {
    let pieces = solids.parts.iter().enumerate().flat_map(|(at, part)| {
        let told = |piece: &Convex| {
            let corners: Vec<[f64; 3]> =
                piece.corners().iter().map(|at| at.coords.into()).collect();
            json!([at, corners, piece.faces()])
        };
        part.pieces.iter().map(told).collect::<Vec<_>>()
    });
    let pairs = |of: &Solids| {
        let found = clash::look(of);
        let pairs = found
            .clashes
            .iter()
            .map(|one| json!([one.a, one.b, one.depth]));
        found.whole.then(|| pairs.collect::<Vec<_>>())
    };
    let bare = Solids {
        joints: Vec::new(),
        ..solids.clone()
    };
    // What is scribed may be as deep as it likes: JSON knows no infinity.
    let joints = solids
        .joints
        .iter()
        .map(|one| json!([one.a, one.b, one.seat.min(1e9)]));
    json!({
        "parts": solids.parts.len(),
        "pieces": pieces.collect::<Vec<_>>(),
        "joints": joints.collect::<Vec<_>>(),
        "clashes": pairs(solids),
        "overlaps": pairs(&bare),
    })
}

/// The rings in which the plane down the middle of a cell cuts what bounds it, in the cell's axes along
/// and up, and our ball.
fn opening(one: &Bounded) -> Value {
    let Cell { frame, half } = one.cell;
    let normal = frame.rotation * Vector3::y();
    let middle = Point3::from(frame.translation.vector);
    let plane = Plane::through(middle, normal).expect("a cell has axes");
    let flat = |at: &Point3<f64>| {
        let own = frame.inverse_transform_point(at);
        [own.x, own.z]
    };
    let rings = one.pieces.iter().filter_map(|piece| slice(piece, &plane));
    let rings: Vec<Vec<[f64; 2]>> = rings.map(|ring| ring.iter().map(flat).collect()).collect();
    let pieces: Vec<&Convex> = one.pieces.iter().collect();
    let ball = largest_ball(&pieces, &one.cell, &Asked::usual(Some(one.limit.as_mm())));
    json!({
        "between": one.between,
        "half": [half.x, half.z],
        "rings": rings,
        "lower": ball.lower,
        "upper": ball.upper,
    })
}

/// One section's pieces and boards, as `tests/reference/stocks.py` takes them, and our plan.
fn section(one: &SectionPlan, kerf: f64, trim: f64) -> Value {
    let pieces = one
        .blanks
        .iter()
        .map(|one| json!([one.rough.as_mm(), one.count, one.matched]));
    let stock = one.stock.iter().map(|board| {
        json!({
            "length": board.length.as_mm(),
            "price": board.price,
            "count": board.count,
            "defects": board.defects.iter().map(|(a, b)| [a.as_mm(), b.as_mm()]).collect::<Vec<_>>(),
        })
    });
    let plan = one.plan.as_ref().ok();
    json!({
        "what": one.section.of.word(),
        "pieces": pieces.collect::<Vec<_>>(),
        "stock": stock.collect::<Vec<_>>(),
        "kerf": kerf,
        "trim": trim,
        "cell": 25.4 / 16.0,
        "cost": plan.map(|plan| plan.cost),
        "bound": plan.and_then(|plan| plan.bound),
        "boards": plan.map(|plan| plan.boards.len()),
    })
}
