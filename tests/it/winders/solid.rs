//! Winders as solids: volumes, names, convex pieces.

use super::{INCH, area, near, winders};
use rakewell::site::winders::build;
use rakewell::solids::{Convex, Part, PartKind, winder_parts};

fn volume(part: &Part) -> f64 {
    part.pieces.iter().map(Convex::volume).sum()
}

#[test]
fn treads_and_kicks_have_the_volumes_of_their_outlines() {
    for kind in [
        "Kite(newel: 3.5)",
        "Tapered(well: Round(8), outer: Round)",
        "Tapered(well: Square(10))",
    ] {
        for hand in ["Left", "Right"] {
            let mut job = winders(kind, "overhang: 1");
            job.turns = ron::from_str(hand).unwrap();
            let site = build(&job);
            let parts = winder_parts(&site, "2.");
            let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
            assert_eq!(names, ["2.T1", "2.K1", "2.T2", "2.K2", "2.T3", "2.K3"]);
            let treads = parts.iter().filter(|part| part.kind == PartKind::Tread);
            for (part, tread) in treads.zip(&site.treads) {
                // A prism: its plan by its thickness.
                let wanted = area(&tread.outline) * INCH;
                near(volume(part) / wanted, 1.0, 1e-9);
            }
        }
    }
}

/// Between a round string and a round wall a kick is 3/4 in thick, 36 in long, and fills its rise
/// but for the tread on it: 7 1/2 less 1, and the tread below is as thick as its own.
#[test]
fn a_kick_fills_its_rise() {
    let site = build(&winders("Tapered(well: Square(16))", "overhang: 0"));
    let parts = winder_parts(&site, "");
    let first = parts.iter().find(|part| part.name == "K1").unwrap();
    near(volume(first) / INCH.powi(3), 36.0 * 0.75 * 7.5, 1e-6);
    let low = first.pieces[0].bounds().low.z;
    near(low, -INCH, 1e-9);
    let high = first.pieces[0].bounds().high.z;
    near(high, 6.5 * INCH, 1e-9);
}

/// A tread out of level keeps its volume: top and underside tip together.
#[test]
fn a_tipped_tread_keeps_its_volume() {
    let tipped = "overhang: 1, readings: [Level(step: 2, is: 0.5, high: Narrow)]";
    let site = build(&winders("Kite(newel: 3.5)", tipped));
    let parts = winder_parts(&site, "");
    let tread = parts.iter().find(|part| part.name == "T2").unwrap();
    near(
        volume(tread) / (area(&site.treads[1].outline) * INCH),
        1.0,
        1e-9,
    );
    assert!(
        tread.pieces.len() > 1,
        "round a newel's corner it is not convex"
    );
}
