//! Doubt's machinery: propagation through random expressions, shares of variance, intervals of a
//! chance, factors of Student. Any units.

use std::ops::ControlFlow;

use nalgebra::DMatrix;
use rakewell::doubt::chance::Tally;
use rakewell::doubt::propagate::{Source, carried, combined, coverage_factor, slope};
use rakewell::doubt::sobol::{Pick, Row, shares};
use serde::Deserialize;
use serde_json::{Value, json};

/// Of the differences; the inputs are between 0.5 and 2. Small, because some of the expressions are
/// steep.
const STEP: f64 = 3e-4;

#[derive(Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum Case {
    Trees {
        values: Vec<f64>,
        covariance: Vec<Vec<f64>>,
        trees: Vec<Value>,
    },
    Shares(Rows),
    Chances {
        alpha: f64,
        tallies: Vec<(u64, u64)>,
    },
    Factors {
        asked: Vec<(f64, f64)>,
    },
}

/// A function and two independent samples of what it is of.
#[derive(Deserialize)]
pub(super) struct Rows {
    function: Function,
    a: Vec<Vec<f64>>,
    b: Vec<Vec<f64>>,
}

/// A test function of shares of variance.
#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum Function {
    /// Ishigami and Homma, 7 and 0.1.
    Ishigami,
    /// Sobol's g of inputs from 0 to 1, with these.
    G(Vec<f64>),
}

impl Function {
    fn of(&self, x: &[f64]) -> f64 {
        match self {
            Self::Ishigami => {
                x[0].sin() + 7.0 * x[1].sin().powi(2) + 0.1 * x[2].powi(4) * x[0].sin()
            }
            Self::G(a) => {
                let factors = x.iter().zip(a);
                factors
                    .map(|(x, a)| ((4.0 * x - 2.0).abs() + a) / (1.0 + a))
                    .product()
            }
        }
    }
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    match serde_json::from_value(case).map_err(|error| error.to_string())? {
        Case::Trees {
            values,
            covariance,
            trees,
        } => propagated(&values, &covariance, &trees),
        Case::Shares(rows) => Ok(rows.shared()),
        Case::Chances { alpha, tallies } => {
            let interval = |(hits, of)| Tally { hits, of }.interval(alpha);
            Ok(json!({ "intervals": tallies.into_iter().map(interval).collect::<Vec<_>>() }))
        }
        Case::Factors { asked } => {
            let factor = |(freedom, share)| coverage_factor(freedom, share);
            Ok(json!({ "factors": asked.into_iter().map(factor).collect::<Vec<_>>() }))
        }
    }
}

/// The value of an expression: `["x", place]`, `["c", number]`, or a function and what it is of.
fn value(tree: &Value, x: &[f64]) -> Option<f64> {
    let name = tree[0].as_str()?;
    let at = |place: usize| value(&tree[place], x);
    Some(match name {
        "x" => *x.get(usize::try_from(tree[1].as_u64()?).ok()?)?,
        "c" => tree[1].as_f64()?,
        "add" => at(1)? + at(2)?,
        "sub" => at(1)? - at(2)?,
        "mul" => at(1)? * at(2)?,
        "div" => at(1)? / at(2)?,
        "sin" => at(1)?.sin(),
        "cos" => at(1)?.cos(),
        "exp" => at(1)?.exp(),
        "log" => at(1)?.ln(),
        "sqrt" => at(1)?.sqrt(),
        "atan" => at(1)?.atan(),
        _ => return None,
    })
}

fn propagated(x: &[f64], covariance: &[Vec<f64>], trees: &[Value]) -> Result<Value, String> {
    let n = x.len();
    let slope_by = |tree: &Value, by: usize| {
        let moved = |off: f64| {
            let mut moved = x.to_vec();
            moved[by] += off;
            value(tree, &moved)
        };
        slope(moved, value(tree, x)?, STEP).map(|slope| slope.central)
    };
    let mut slopes = DMatrix::zeros(trees.len(), n);
    for (row, tree) in trees.iter().enumerate() {
        for by in 0..n {
            slopes[(row, by)] = slope_by(tree, by).ok_or("an expression without a slope")?;
        }
    }
    let covariance = DMatrix::from_fn(n, n, |a, b| covariance[a][b]);
    let results = carried(&slopes, &covariance);
    let alone = |row: usize| {
        let source = |by: usize| Source::known(slopes[(row, by)], covariance[(by, by)].sqrt());
        combined(&(0..n).map(source).collect::<Vec<_>>())
    };
    let rows = 0..trees.len();
    Ok(json!({
        "values": trees.iter().map(|tree| value(tree, x)).collect::<Vec<_>>(),
        "sds": rows.clone().map(|row| results[(row, row)].sqrt()).collect::<Vec<_>>(),
        "sds_if_independent": rows.clone().map(alone).collect::<Vec<_>>(),
        "covariance": results[(0, trees.len() - 1)],
    }))
}

impl Rows {
    pub(super) fn shared(&self) -> Value {
        let Self { function, a, b } = self;
        let groups = a[0].len();
        let eval = |sample: u64, pick: &Pick| {
            let sample = usize::try_from(sample).ok()?;
            let from = |group| match pick.row(group) {
                Row::A => a[sample][group],
                Row::B => b[sample][group],
            };
            Some(vec![
                function.of(&(0..groups).map(from).collect::<Vec<_>>()),
            ])
        };
        let table = shares(groups, a.len() as u64, 2, eval, &|_| {
            ControlFlow::Continue(())
        });
        let row = table.results[0].iter();
        let told = row.map(|one| {
            json!({
                "first": one.first, "total": one.total,
                "first_se": one.first_se, "total_se": one.total_se,
            })
        });
        json!({ "used": table.used, "shares": told.collect::<Vec<_>>() })
    }
}

/// By hand: (x + y) / y at 1 and 2, of u 0.1 and 0.2 and correlation 1/2: slopes 1/2 and -1/4, so
/// variance 0.05^2 + 0.05^2 - 0.05^2. Against x alone: 1/2 of 0.01 less 1/4 of 0.01.
pub(super) fn check_built_in_case() {
    let case = json!({
        "kind": "trees",
        "values": [1.0, 2.0],
        "covariance": [[0.01, 0.01], [0.01, 0.04]],
        "trees": [["div", ["add", ["x", 0], ["x", 1]], ["x", 1]], ["x", 0]],
    });
    let answer = answer(case).expect("it can be taken apart");
    let near = |found: &Value, is: f64| {
        approx::assert_relative_eq!(found.as_f64().expect("a number"), is, epsilon = 1e-9);
    };
    near(&answer["values"][0], 1.5);
    near(&answer["sds"][0], 0.05);
    near(&answer["sds_if_independent"][0], 0.05 * 2.0_f64.sqrt());
    near(&answer["covariance"], 0.0025);
}
