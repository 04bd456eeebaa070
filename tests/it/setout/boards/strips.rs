//! Scribe strips along leaning and splayed walls, in closed form.

use approx::assert_relative_eq;
use proptest::prelude::*;
use rakewell::job::Job;
use rakewell::measure::Length;
use rakewell::setout::boards::{StripSet, boards};
use rakewell::site::Site;
use rakewell::survey::PlanePart;

use super::{SKIRTS, cut, found, with};

/// The true flight with a skirt that its wall leaves room for, and the wall as given.
fn before(plane: PlanePart) -> (Job, Site) {
    let mut job = with(SKIRTS);
    let wall = &mut job.walls[0];
    for end in [&mut wall.from, &mut wall.to] {
        end.y = rakewell::job::Len::inches(-36.5);
    }
    let mut site = found(&job);
    site.walls[0].field = site.walls[0].field.without_bow().with_plane(plane);
    (job, site)
}

fn strip(plane: PlanePart) -> StripSet {
    let (job, site) = before(plane);
    let boards = boards(&job, &site);
    assert_eq!(boards.wall_skirts[0].strips.len(), 1);
    boards.wall_skirts[0].strips[0].clone()
}

/// How far the cap climbs over a level distance on this flight.
fn climb(run: Length) -> f64 {
    run.as_mm() * 7.5 / 10.25
}

#[test]
fn a_plumb_wall_needs_none() {
    let strip = strip(PlanePart::default());
    for width in [
        strip.bottom,
        strip.top,
        strip.greatest.0,
        strip.least.0,
        strip.clear,
    ] {
        assert_relative_eq!(width.as_mm(), 0.0, epsilon = 1e-6);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn the_taper_is_the_lean_times_the_climb(lean in -0.012..0.012_f64, splay in -0.006..0.006_f64) {
        let strip = strip(PlanePart { offset: 0.0, splay, lean });
        let run = strip.to - strip.from;
        // Away from the skirt the wall's face goes by its lean up and its splay along.
        let taper = -lean * climb(run) - splay * run.as_mm();
        prop_assert!(((strip.top - strip.bottom).as_mm() - taper).abs() < 1e-6);
        let angle = (taper / run.as_mm().hypot(climb(run))).atan();
        prop_assert!((strip.taper.as_radians() - angle).abs() < 1e-9);
        // A straight face is widest and narrowest at the ends, and nowhere less than nothing.
        let ends = [strip.bottom.as_mm(), strip.top.as_mm()];
        prop_assert!((strip.greatest.0.as_mm() - ends[0].max(ends[1])).abs() < 1e-6);
        prop_assert!((strip.least.0.as_mm() - ends[0].min(ends[1])).abs() < 1e-6);
        prop_assert!(strip.least.0.as_mm() > -1e-9);
    }
}

#[test]
fn a_wall_that_leans_out_touches_the_skirt_low_and_one_that_leans_in_high() {
    let lean = |lean| {
        strip(PlanePart {
            lean,
            ..PlanePart::default()
        })
    };
    let (out, inward) = (lean(-0.01), lean(0.01));
    // Leaning out it touches on the floor, and the strip at the cap is the lean times its height.
    assert_relative_eq!(out.touches.1.as_mm(), 0.0, epsilon = 1e-6);
    let cap = 25.4 * (7.5 + 4.0) + climb(out.from + Length::inches(1.0));
    assert_relative_eq!(out.bottom.as_mm(), 0.01 * cap, epsilon = 1e-6);
    // Leaning in it touches at the top of the cap, where no strip is needed.
    assert_relative_eq!(inward.top.as_mm(), 0.0, epsilon = 1e-9);
    assert_relative_eq!(inward.touches.0.as_mm(), inward.to.as_mm(), epsilon = 1e-9);
    // There it would push the skirt off the tread ends.
    assert!(inward.clear < Length::ZERO && out.clear.as_mm().abs() < 1e-6);
}

#[test]
fn a_wall_across_the_flight_gets_none() {
    let (mut job, _) = before(PlanePart::default());
    job.walls[0].to.x = job.walls[0].from.x.clone();
    job.walls[0].to.y = rakewell::job::Len::inches(100.0);
    assert!(cut(&job).wall_skirts[0].strips.is_empty());
}
