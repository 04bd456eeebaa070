//! Boards cut into pieces, and spares. mm.

use rakewell::job::Spares;
use rakewell::measure::Length;
use rakewell::shop::buy::spares;
use rakewell::shop::stock::{Blank, Saw, Stock, plan};
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
pub(super) struct Case {
    pieces: Vec<(f64, u32, Option<String>)>,
    stock: Vec<Board>,
    kerf: f64,
    trim: f64,
    spares: Vec<(u64, f64, f64)>,
}

#[derive(Deserialize)]
struct Board {
    length: f64,
    price: Option<f64>,
    count: Option<u32>,
    defects: Vec<(f64, f64)>,
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    Ok(Case::of(case)?.told())
}

impl Case {
    pub(super) fn of(case: Value) -> Result<Self, String> {
        serde_json::from_value(case).map_err(|error| error.to_string())
    }

    pub(super) fn told(&self) -> Value {
        told(self)
    }
}

fn told(case: &Case) -> Value {
    let blanks: Vec<Blank> = case
        .pieces
        .iter()
        .map(|(long, count, matched)| Blank {
            label: String::new(),
            rough: Length::mm(*long),
            count: *count,
            matched: matched.clone(),
        })
        .collect();
    let stock: Vec<Stock> = case
        .stock
        .iter()
        .map(|one| Stock {
            length: Length::mm(one.length),
            price: one.price,
            count: one.count,
            defects: one
                .defects
                .iter()
                .map(|(from, to)| (Length::mm(*from), Length::mm(*to)))
                .collect(),
        })
        .collect();
    let saw = Saw {
        kerf: Length::mm(case.kerf),
        trim: Length::mm(case.trim),
    };
    let spared: Vec<u64> = case
        .spares
        .iter()
        .map(|(needed, bad, sure)| {
            let asked = Spares {
                bad: *bad,
                sure: *sure,
            };
            spares(*needed, asked)
        })
        .collect();
    let plan = match plan(&blanks, &stock, saw) {
        Ok(plan) => plan,
        Err(error) => {
            return json!({ "cannot": error.to_string(), "short": [], "spares": spared });
        }
    };
    let boards: Vec<Value> = plan
        .boards
        .iter()
        .map(|board| {
            let cuts: Vec<(usize, f64, f64)> = board
                .cuts
                .iter()
                .map(|cut| (cut.blank, cut.from.as_mm(), cut.to.as_mm()))
                .collect();
            json!({ "stock": board.stock, "cuts": cuts })
        })
        .collect();
    json!({
        "cannot": null,
        "short": plan.short,
        "boards": boards,
        "cost": plan.cost,
        "bound": plan.bound,
        "best": plan.is_best(),
        "spares": spared,
    })
}

/// 452.25 raws over fractions, so 453 whole ones (V. Chvatal, Linear Programming, 1983, chapter 13;
/// from memory).
pub(super) fn check_built_in_case() {
    let case = Case {
        pieces: vec![
            (45.0, 97, None),
            (36.0, 610, None),
            (31.0, 395, None),
            (14.0, 211, None),
        ],
        stock: vec![Board {
            length: 100.0,
            price: Some(1.0),
            count: None,
            defects: Vec::new(),
        }],
        kerf: 0.0,
        trim: 0.0,
        spares: Vec::new(),
    };
    let told = told(&case);
    assert_eq!(told["boards"].as_array().map(Vec::len), Some(453));
    assert_eq!(told["bound"].as_f64(), Some(453.0));
    assert_eq!(told["best"], true);
}
