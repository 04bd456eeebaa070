//! The largest ball through an opening. mm.

use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, Translation3, UnitQuaternion, Vector3};
use rakewell::inspect::ball::{Asked, Cell, largest_ball, passes};
use rakewell::solids::Convex;
use serde::Deserialize;
use serde_json::{Value, json};

use super::pieces::Piece;

#[derive(Deserialize)]
struct Case {
    pieces: Vec<Piece>,
    /// Rows of the matrix that turns the cell's axes into the flight's.
    turn: [[f64; 3]; 3],
    middle: [f64; 3],
    half: [f64; 3],
    limit: f64,
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let pieces: Vec<Convex> = case
        .pieces
        .iter()
        .map(|piece| piece.build().ok_or("a piece has no volume"))
        .collect::<Result<_, _>>()?;
    let pieces: Vec<&Convex> = pieces.iter().collect();
    let turn = Matrix3::from_fn(|row, column| case.turn[row][column]);
    let turn = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(turn));
    let middle = Point3::from(case.middle);
    let cell = Cell {
        frame: Isometry3::from_parts(Translation3::from(middle), turn),
        half: Vector3::from(case.half),
    };
    let asked = Asked::usual(Some(case.limit));
    let ball = largest_ball(&pieces, &cell, &asked);
    let passes = passes(&pieces, &cell, case.limit, asked.width_at_limit);
    Ok(json!({ "lower": ball.lower, "upper": ball.upper, "passes": passes }))
}

/// Two boards 100 apart and wide enough to close the rest of the cell: a ball of 100 passes.
pub(super) fn check_built_in_case() {
    let board = |u: f64, w: f64| {
        let ring = json!([
            [u, -60, w],
            [u + 500.0, -60, w],
            [u + 500.0, -60, w + 800.0],
            [u, -60, w + 800.0]
        ]);
        json!({ "ring": ring, "sweep": [0, 120, 0], "cuts": [] })
    };
    let case = json!({
        "pieces": [board(-550.0, -400.0), board(50.0, -400.0)],
        "turn": [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
        "middle": [0, 0, 0],
        "half": [60, 20, 200],
        "limit": 101.0,
    });
    let answer = answer(case).expect("two boards have an answer");
    let number = |name: &str| answer[name].as_f64().expect("a number");
    assert!(number("lower") <= 100.0 && 100.0 <= number("upper"));
    assert!(number("upper") - number("lower") <= 0.1 + 1e-6);
    assert_eq!(answer["passes"], Value::Bool(false));
}
