//! Turns on winders: as-found geometry against closed forms, solids, and the rules on them.

mod inspected;
mod measured;
mod outlines;
mod solid;

use nalgebra::Point2;
use rakewell::job::Winders;
use rakewell::measure::{Unit, with_default_unit};
use rakewell::site::winders::{WinderSite, build};

/// Three winders round a quarter turn, with what a test says of them: bare numbers are inches.
fn winders(kind: &str, more: &str) -> Winders {
    let text = format!(
        "(turns: Left, count: 3, width: 36, rise: 7.5, tread_thickness: 1, kick_thickness: 0.75, \
         kind: {kind}, {more})"
    );
    with_default_unit(Unit::Inches, || ron::from_str(&text)).unwrap_or_else(|e| panic!("{e}"))
}

/// Kites whose kicks meet in the bare centre, with no nosing: the closed forms are simplest.
fn bare(more: &str) -> WinderSite {
    build(&winders("Kite(newel: 0)", &format!("overhang: 0, {more}")))
}

const INCH: f64 = 25.4;

fn area(ring: &[Point2<f64>]) -> f64 {
    rakewell::setout::plan::area(ring)
}

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!(
        (found - wanted).abs() <= within,
        "{found} is not within {within} of {wanted}"
    );
}
