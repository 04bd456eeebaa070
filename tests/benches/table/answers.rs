//! Our answers to what `tests/reference/table.py` asks, with our times: surveys, shares of variance,
//! boards, and draws of what readings leave open.

#[allow(dead_code, reason = "the tests' own check is not run here")]
#[path = "../../it/reference/propagation.rs"]
mod propagation;
#[allow(dead_code, reason = "the tests' own check is not run here")]
#[path = "../../it/reference/stocks.rs"]
mod stocks;
#[allow(dead_code, reason = "the tests' own check is not run here")]
#[path = "../../it/reference/surveys.rs"]
mod surveys;

use std::path::Path;

use rakewell::chain;
use rakewell::doubt::stream::stream;
use rakewell::inspect::clash;
use rakewell::job::Job;
use rakewell::measure::{Unit, with_default_unit};
use rakewell::solids::{Convex, Solids};
use rakewell::survey::{Drawer, Estimates, survey};
use serde_json::{Value, json};

use crate::gauge::{Taken, timed};
use crate::stairs::Size;

/// Draws of what readings leave open.
const DRAWS: u64 = 10_000;

/// What the cases in the folder come to, and what else is compared.
pub(crate) fn answers(folder: &Path) -> Value {
    let asked = |name: &str| -> Value {
        let text =
            std::fs::read_to_string(folder.join(name)).expect("table.py wrote its cases there");
        serde_json::from_str(&text).expect("it is JSON")
    };
    let each = |name: &str, answer: fn(&Value) -> Value| -> Vec<Value> {
        let cases = asked(name);
        cases.as_array().into_iter().flatten().map(answer).collect()
    };
    json!({
        "surveys": each("surveys.json", surveyed),
        "shares": each("shares.json", shared),
        "boards": each("boards.json", cut),
        "drawn": drawn(),
        "every_pair": every_pair(),
    })
}

fn told(taken: &Taken, answer: &Value) -> Value {
    json!({ "taken": taken.told(), "answer": answer })
}

fn surveyed(case: &Value) -> Value {
    let job: Job = with_default_unit(Unit::Millimetres, || {
        serde_json::from_value(case["job"].clone())
    })
    .expect("the case is a job");
    let taken = timed(|| survey(&job));
    let answer = surveys::answer(case.clone()).expect("the case has an answer");
    told(&taken, &answer)
}

fn shared(case: &Value) -> Value {
    let rows: propagation::Rows =
        serde_json::from_value(case.clone()).expect("the case is one of shares");
    let taken = timed(|| rows.shared());
    told(&taken, &rows.shared())
}

fn cut(case: &Value) -> Value {
    let read = stocks::Case::of(case.clone()).expect("the case is one of boards");
    let taken = timed(|| read.told());
    told(&taken, &read.told())
}

fn quantities(estimates: &Estimates) -> Vec<f64> {
    let of = |step: &rakewell::survey::StepEstimates| {
        [
            &step.rise,
            &step.going,
            &step.overhang,
            &step.thickness,
            &step.kick_thickness,
            &step.width,
            &step.level,
            &step.fall,
            &step.skew,
            &step.edge,
        ]
        .map(|one| one.found)
    };
    estimates.steps.iter().flat_map(of).collect()
}

/// What the demo's readings leave open, drawn: of the steps alone what is drawn is linear in its
/// numbers, and the columns are that map's.
fn drawn() -> Value {
    let chain = chain::run(&Size::Demo.job()).expect("the demo can be set out");
    let run = chain.first();
    let survey = run.survey.clone().expect("it ran on readings");
    let drawer = Drawer::of(&run.run.job, &survey);
    let mut estimates = survey.estimates.clone();
    let planned = quantities(&survey.estimates);
    let off = |estimates: &Estimates| -> Vec<f64> {
        let drawn = quantities(estimates).into_iter();
        drawn.zip(&planned).map(|(a, b)| a - b).collect()
    };
    let columns: Vec<Vec<f64>> = (0..drawer.size())
        .map(|number| {
            let mut numbers = vec![0.0; drawer.size()];
            numbers[number] = 1.0;
            drawer.draw(&numbers, &mut estimates);
            off(&estimates)
        })
        .collect();
    let mut numbers = vec![0.0; drawer.size()];
    let mut draw = |at: u64, estimates: &mut Estimates| {
        let mut stream = stream(1, at);
        numbers.fill_with(|| stream.normal());
        drawer.draw(&numbers, estimates);
    };
    let taken = timed(|| (0..DRAWS).for_each(|at| draw(at, &mut estimates)));
    let mut squares = vec![0.0; planned.len()];
    for at in 0..DRAWS {
        draw(at, &mut estimates);
        for (sum, off) in squares.iter_mut().zip(off(&estimates)) {
            *sum += off * off;
        }
    }
    let roots: Vec<f64> = squares
        .iter()
        .map(|sum| (sum / DRAWS as f64).sqrt())
        .collect();
    told(
        &taken,
        &json!({ "draws": DRAWS, "columns": columns, "sds": roots }),
    )
}

/// Every pair of pieces of different parts of the demo, nothing left out: how many overlap.
fn every_pair() -> Value {
    let solids = chain::run(&Size::Demo.job())
        .expect("the demo can be set out")
        .solids;
    let taken = timed(|| overlapping(&solids));
    told(&taken, &json!(overlapping(&solids)))
}

fn overlapping(solids: &Solids) -> usize {
    let parts = solids.parts.iter().enumerate();
    let pieces: Vec<(usize, &Convex)> = parts
        .flat_map(|(at, part)| part.pieces.iter().map(move |piece| (at, piece)))
        .collect();
    let mut met = 0;
    for (at, (part, piece)) in pieces.iter().enumerate() {
        for (other, beside) in &pieces[at + 1..] {
            let overlap = || clash::separate(piece, beside);
            met += usize::from(part != other && overlap().is_some_and(|found| found.depth > 0.0));
        }
    }
    met
}
