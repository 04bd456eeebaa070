//! Pairs of convex pieces: volumes, distance, depth, volume in common. mm.

use nalgebra::{Point3, Vector3};
use rakewell::inspect::clash::{closest, overlap_volume, separate};
use rakewell::solids::{Convex, Plane};
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
struct Case {
    a: Piece,
    b: Piece,
}

/// A prism and the planes that cut it.
#[derive(Deserialize)]
pub(super) struct Piece {
    ring: Vec<[f64; 3]>,
    sweep: [f64; 3],
    cuts: Vec<Cut>,
}

#[derive(Deserialize)]
struct Cut {
    point: [f64; 3],
    normal: [f64; 3],
}

impl Piece {
    pub(super) fn build(&self) -> Option<Convex> {
        let ring: Vec<_> = self.ring.iter().copied().map(Point3::from).collect();
        let whole = Convex::prism(&ring, Vector3::from(self.sweep))?;
        self.cuts.iter().try_fold(whole, |solid, cut| {
            solid.clip(&Plane::through(
                Point3::from(cut.point),
                Vector3::from(cut.normal),
            )?)
        })
    }
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let a = case.a.build().ok_or("nothing is left of a")?;
    let b = case.b.build().ok_or("nothing is left of b")?;
    let separation = separate(&a, &b).ok_or("no separation")?;
    let gap = closest(&a, &b).ok_or("no distance")?;
    Ok(json!({
        "volume_a": a.volume(),
        "volume_b": b.volume(),
        "distance": gap.distance,
        "depth": separation.depth,
        "common": overlap_volume(&a, &b),
    }))
}

/// Two boxes worked by hand: 10 x 10 x 10, the second 7 along and cut to half its height by a
/// plane at 45 degrees through its middle; they overlap by 3.
pub(super) fn check_built_in_case() {
    let ring = |x: f64| json!([[x, 0, 0], [x + 10.0, 0, 0], [x + 10.0, 10, 0], [x, 10, 0]]);
    let case = json!({
        "a": { "ring": ring(0.0), "sweep": [0, 0, 10], "cuts": [] },
        "b": {
            "ring": ring(7.0),
            "sweep": [0, 0, 10],
            "cuts": [{ "point": [12, 5, 5], "normal": [0, 1, 1] }],
        },
    });
    let answer = answer(case).expect("two boxes have an answer");
    let number = |name: &str| answer[name].as_f64().expect("a number");
    approx::assert_relative_eq!(number("volume_a"), 1000.0, epsilon = 1e-9);
    approx::assert_relative_eq!(number("volume_b"), 500.0, epsilon = 1e-9);
    approx::assert_relative_eq!(number("distance"), 0.0);
    approx::assert_relative_eq!(number("depth"), 3.0, epsilon = 1e-9);
    approx::assert_relative_eq!(number("common"), 150.0, epsilon = 1e-9);
}
