//! Depths of winders on walk lines, against closed forms and the published definitions.

use super::{INCH, bare, near, winders};
use nalgebra::Point2;
use rakewell::measure::{Length, Typed};
use rakewell::site::winders::{MeasuredAt, build, walk_line};

fn inches(value: f64) -> Length {
    Length::inches(value)
}

/// Kicks that meet in the centre at even angles phi cross a circle of radius r at chords of
/// 2 r sin(phi/2), arcs of r phi, and square to a kick the next one is r tan phi away.
#[test]
fn even_kites_on_the_walk_line() {
    let site = bare("");
    let (r, phi) = (12.0 * INCH, 30_f64.to_radians());
    let depths = site.depths(inches(12.0));
    assert_eq!(depths.len(), 3);
    for depth in &depths {
        near(depth.arc.as_mm(), r * phi, 1e-9);
        near(depth.chord.as_mm(), 2.0 * r * (phi / 2.0).sin(), 1e-9);
        near(depth.square.unwrap().as_mm(), r * phi.tan(), 1e-9);
        near(depth.depth().as_mm(), depth.chord.as_mm(), 1e-12);
    }
    near(depths[1].from.x, r * 0.5, 1e-9);
}

/// The walk line stands so far from the newel's face, not from its centre.
#[test]
fn the_walk_line_is_measured_from_the_narrow_side() {
    let site = build(&winders("Kite(newel: 3.5)", "overhang: 0"));
    for depth in site.depths(inches(12.0)) {
        near(depth.arc.as_inches(), 13.75 * 30_f64.to_radians(), 1e-9);
    }
}

/// With nosings each crossing lies asin(o/r) before its kick, so all but the first tread keep their
/// arc; the first begins on the straight line of the flight below, an overhang before its kick.
#[test]
fn the_first_winder_begins_in_the_straight_flight() {
    let (o, r, phi) = (1.0_f64, 20.0, 30_f64.to_radians());
    let site = build(&winders("Tapered(well: Round(8))", "overhang: 1"));
    let depths = site.depths(inches(12.0));
    near(
        depths[0].arc.as_inches(),
        o + r * (phi - (o / r).asin()),
        1e-9,
    );
    near(depths[1].arc.as_inches(), r * phi, 1e-9);
    near(depths[2].arc.as_inches(), r * phi, 1e-9);
    near(depths[0].from.x, -INCH, 1e-9);
    near(depths[0].from.y, -20.0 * INCH, 1e-9);
}

/// The walk line goes straight on through the flights before and after the turn.
#[test]
fn straight_treads_cross_the_same_line() {
    let site = build(&winders("Tapered(well: Round(8))", "overhang: 0"));
    let path = site.walk_path(inches(12.0));
    let across = |x: f64| [[x, -8.0], [x, -44.0]].map(|[x, y]| Point2::new(x * INCH, y * INCH));
    let after = [[8.0, 10.0], [44.0, 10.0]].map(|[x, y]| Point2::new(x * INCH, y * INCH));
    let short = [[-5.0, -8.0], [-5.0, -10.0]].map(|[x, y]| Point2::new(x * INCH, y * INCH));
    let crossings = walk_line(&[across(-10.0), across(0.0), after, short], &path);
    let station = |at: usize| crossings[at].unwrap().station;
    near(station(0), -10.0 * INCH, 1e-9);
    near(station(1), 0.0, 1e-9);
    let quarter = 20.0 * std::f64::consts::FRAC_PI_2;
    near(station(2), (quarter + 10.0) * INCH, 1e-9);
    assert!(
        crossings[3].is_none(),
        "an edge that ends short of the line"
    );
}

/// Within the clear width two nosings that spread are nearest at their narrow ends.
#[test]
fn winders_are_narrowest_at_the_well() {
    let site = build(&winders("Tapered(well: Round(12))", "overhang: 0"));
    for narrow in site.narrowest() {
        let chord = 2.0 * 12.0 * 15_f64.to_radians().sin();
        near(narrow.least.as_inches(), chord, 1e-9);
        near(narrow.narrow_end.as_inches(), chord, 1e-9);
    }
}

/// Where each code has winders measured: IRC 12 in from the narrow side; Approved Document
/// K (1998 edition, 1.25) in the middle of a stair under 1 m wide, else 270 mm from each side; NBC
/// 9.8.4.3 300 mm from the centre line of the inside rail.
#[test]
fn every_code_has_its_line() {
    let mm = Typed::<Length>::millimetres;
    let at = |rule: &MeasuredAt, width: f64, rail: f64| -> Vec<f64> {
        let lines = rule.lines(Length::mm(width), Length::mm(rail));
        lines.iter().map(|line| line.as_mm()).collect()
    };
    let irc = MeasuredAt::FromNarrow(Typed::<Length>::inches(12.0));
    near(at(&irc, 914.4, 0.0)[0], 304.8, 1e-9);
    let document_k = MeasuredAt::MiddleOrEachSide {
        under: mm(1000.0),
        from_each: mm(270.0),
    };
    assert_eq!(at(&document_k, 900.0, 0.0).len(), 1);
    near(at(&document_k, 900.0, 0.0)[0], 450.0, 1e-9);
    let both = at(&document_k, 1000.0, 0.0);
    near(both[0], 270.0, 1e-9);
    near(both[1], 730.0, 1e-9);
    let nbc = MeasuredAt::FromHandrail(mm(300.0));
    near(at(&nbc, 900.0, 45.0)[0], 345.0, 1e-9);
    // A stair 900 mm wide round a newel of 100: kites of 30 degrees at mid-width.
    let text = "newel: \"100 mm\"";
    let mut stair = winders(&format!("Kite({text})"), "overhang: 0");
    stair.width = mm(900.0);
    let site = build(&stair);
    let depth = site.depths(Length::mm(450.0))[1];
    near(
        depth.chord.as_mm(),
        2.0 * 500.0 * 15_f64.to_radians().sin(),
        1e-9,
    );
}

/// A kick is where it was read: by its angle, by its ends, or by one of each.
#[test]
fn readings_move_kicks() {
    let r = 12.0 * INCH;
    let arcs = |site: &rakewell::site::winders::WinderSite| -> Vec<f64> {
        let depths = site.depths(inches(12.0));
        depths
            .iter()
            .map(|depth| (depth.arc.as_mm() / r).to_degrees())
            .collect()
    };
    let turned = arcs(&bare(
        "readings: [Turn(step: 2, is: 31), Turn(step: 2, is: 33)]",
    ));
    for (arc, wanted) in turned.iter().zip([32.0, 28.0, 30.0]) {
        near(*arc, wanted, 1e-9);
    }
    // A kick from the centre to a place 36 in along a wall 36 in away lies at 45 degrees.
    let read = arcs(&bare("readings: [Wide(step: 2, is: 36)]"));
    near(read[0], 45.0, 1e-9);
    near(read[1], 15.0, 1e-9);
    // Both ends read: it runs from the one to the other.
    let both = "overhang: 0, readings: [Narrow(step: 2, is: 1), Wide(step: 2, is: 20)]";
    let site = build(&winders("Kite(newel: 3.5)", both));
    near(site.kicks[1].narrow.x, INCH, 1e-9);
    near(site.kicks[1].narrow.y, -1.75 * INCH, 1e-9);
    near(site.kicks[1].wide.x, 20.0 * INCH, 1e-9);
    near(site.kicks[1].wide.y, -37.75 * INCH, 1e-9);
    // An angle through the place that was read at the wall.
    let angled = "overhang: 0, readings: [Turn(step: 2, is: 0), Wide(step: 2, is: 1)]";
    let site = build(&winders("Kite(newel: 3.5)", angled));
    near(site.kicks[1].narrow.x, INCH, 1e-9);
    near(site.kicks[1].wide.x, INCH, 1e-9);
}

/// Heights are running sums of the rises; a level reading is over the clear width, a fall over the
/// depth on the walk line.
#[test]
fn readings_lift_and_tip_treads() {
    let site = bare(
        "readings: [Rise(step: 1, is: 7), Rise(step: 2, is: 8), \
         Level(step: 2, is: 0.25, high: Wide), Fall(step: 2, is: 0.125, low: Back)]",
    );
    let heights: Vec<f64> = site.treads.iter().map(|t| t.height / INCH).collect();
    for (height, wanted) in heights.iter().zip([7.0, 15.0, 22.5]) {
        near(*height, wanted, 1e-9);
    }
    near(site.height(), 22.5 * INCH, 1e-9);
    let tread = &site.treads[1];
    // The middle of the second winder lies at 45 degrees.
    let out = nalgebra::Vector2::new(1.0, -1.0).normalize();
    let on = nalgebra::Vector2::new(1.0, 1.0).normalize();
    let at = |out_by: f64, on_by: f64| tread.top(&(tread.about + out * out_by + on * on_by));
    near(at(36.0 * INCH, 0.0) - at(0.0, 0.0), 0.25 * INCH, 1e-9);
    let depth = site.depths(inches(12.0))[1].arc.as_mm();
    near(at(0.0, depth) - at(0.0, 0.0), -0.125 * INCH, 1e-9);
}
