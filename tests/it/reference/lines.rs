//! The linear programmes behind rail height and baluster line. mm.

use rakewell::setout::programme::{Bound, Line, evenest, greatest_margin, nearest};
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
struct Case {
    kind: String,
    bounds: Vec<OneBound>,
    wanted: [f64; 2],
    values: Vec<(f64, f64)>,
    shift_free: bool,
}

#[derive(Deserialize)]
struct OneBound {
    s: f64,
    low: Option<f64>,
    high: Option<f64>,
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let bounds: Vec<Bound> = case.bounds.iter().map(bound).collect();
    let [lower, upper] = case.wanted;
    let wanted = Line { lower, upper };
    let ends = |line: Line| [line.lower, line.upper];
    match case.kind.as_str() {
        "nearest" => Ok(json!({ "line": nearest(&bounds, wanted).map(ends) })),
        "greatest_margin" => {
            let (line, margin) = greatest_margin(&bounds, wanted).ok_or("no greatest margin")?;
            Ok(json!({ "line": ends(line), "margin": margin }))
        }
        "evenest" => {
            let found = evenest(&case.values, case.shift_free, &bounds, wanted);
            let (line, worst) = found.unzip();
            Ok(json!({ "line": line.map(ends), "worst": worst }))
        }
        other => Err(format!("no programme `{other}`")),
    }
}

fn bound(of: &OneBound) -> Bound {
    Bound {
        s: of.s,
        low: of.low.unwrap_or(f64::NEG_INFINITY),
        high: of.high.unwrap_or(f64::INFINITY),
    }
}

/// A window 2 wide whose middle bound stands 1 above the line between the others: by hand, the
/// greatest margin is half that short of 1.
pub(super) fn check_built_in_case() {
    let bounds = json!([
        { "s": 0.0, "low": 9.0, "high": 11.0 },
        { "s": 0.5, "low": 10.0, "high": 12.0 },
        { "s": 1.0, "low": 9.0, "high": 11.0 },
    ]);
    let case = |kind: &str| {
        json!({
            "kind": kind, "bounds": bounds, "wanted": [9.0, 9.0], "values": [], "shift_free": false,
        })
    };
    let answer = |kind: &str| answer(case(kind)).expect("a window that can be passed");
    let margin = answer("greatest_margin")["margin"]
        .as_f64()
        .expect("a number");
    approx::assert_relative_eq!(margin, 0.5, epsilon = 1e-4);
    // Level at 10 is the nearest to level at 9: no turn, both ends moved by 1.
    let line = answer("nearest")["line"].clone();
    for end in [0, 1] {
        approx::assert_relative_eq!(line[end].as_f64().expect("a number"), 10.0, epsilon = 1e-4);
    }
}
