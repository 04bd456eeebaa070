//! Sections and notches against closed forms.

use approx::assert_relative_eq;
use rakewell::measure::Length;
use rakewell::publish::measured::{DimKind, View, draw, section_cuts};
use rakewell::shop::cuts::{Detail, PieceKind, cut_list};
use rakewell::solids::PartKind;

use super::{ALL, ROOMS, meant};
use crate::setout::flight::two_per_tread;
use crate::shop::{STRAIGHT, with};

/// Area of a flat ring by the shoelace formula.
fn area(ring: &[(f64, f64)]) -> f64 {
    let twice: f64 = (0..ring.len())
        .map(|i| (ring[i], ring[(i + 1) % ring.len()]))
        .map(|(a, b)| a.0 * b.1 - a.1 * b.0)
        .sum();
    twice.abs() / 2.0
}

#[test]
fn a_section_cuts_the_area_that_the_boards_have_there() {
    // A true flight: the cut tread is a rectangle, its width less what the newel takes by its
    // thickness; below its cap the newel is a rectangle as wide as it is.
    let chain = meant(STRAIGHT);
    let run = chain.first();
    let newel = &run.setout.newels[0];
    let cuts = section_cuts(&chain, &newel.name);
    let of = |part: &str| -> f64 {
        let found = cuts.iter().filter(|cut| cut.part == part);
        found
            .flat_map(|cut| &cut.rings)
            .map(|ring| area(ring))
            .sum()
    };
    let shaft: Vec<(f64, f64)> = cuts
        .iter()
        .filter(|cut| cut.part == newel.name)
        .flat_map(|cut| cut.rings.iter().flatten().copied())
        .filter(|at| at.1 < newel.foot.z + 0.8 * newel.height.as_mm())
        .collect();
    let far = |start: f64, of: fn(f64, f64) -> f64| shaft.iter().map(|at| at.0).fold(start, of);
    let wide = far(f64::NEG_INFINITY, f64::max) - far(f64::INFINITY, f64::min);
    assert_relative_eq!(wide, newel.across.as_mm(), epsilon = 1e-6);
    let step = run.site.step(newel.notches[0].step).unwrap();
    let ys = newel.footprint.iter().map(|at| at.y * run.site.outward);
    let inner = ys.fold(f64::INFINITY, f64::min);
    // The newel takes the tread's open end away, and reaches in to its inner face.
    let outer = inner + newel.across.as_mm();
    let taken = outer.min(step.open_q) - inner;
    let tread = (step.open_q - step.wall_q - taken) * step.thickness;
    assert_relative_eq!(of("T1"), tread, max_relative = 1e-9);
    assert!(cuts.iter().any(|cut| cut.kind == PartKind::Wall));
}

#[test]
fn a_section_tells_the_rail_where_it_meets_its_newel() {
    // A true flight: the rail's top lies the design's height plumb over the line through the nosings
    // (similar triangles), and its end on a plumb face is its depth over the cosine of its pitch high. The
    // rail meets the face that looks up the flight, not the newel's middle.
    let chain = meant(STRAIGHT);
    let run = chain.first();
    let (job, site) = (&run.run.job, &run.site);
    let newel = &run.setout.newels[0];
    let view = View::Newel {
        newel: newel.name.clone(),
    };
    let drawn = draw(&chain, &view, ROOMS[1], job.tape).unwrap();
    let told: Vec<f64> = drawn
        .dims
        .iter()
        .filter(|dim| dim.row == "up the newel")
        .map(|dim| dim.exact.as_mm())
        .collect();
    let (rise, going) = (
        job.flight.rise.value.as_mm(),
        job.flight.going.value.as_mm(),
    );
    let face = newel.foot.x + newel.along.as_mm() / 2.0;
    let first = site.steps[0].nosing_x();
    let nosings = rise + (face - first) * rise / going;
    let top = nosings + job.design.rail.height.value.as_mm() - newel.foot.z;
    let deep = job.design.rail.depth.value.as_mm() * (rise / going).hypot(1.0);
    for wanted in [top, top - deep, newel.height.as_mm()] {
        let near = told.iter().any(|one| (one - wanted).abs() < 1e-6);
        assert!(near, "{wanted} among {told:?}");
    }
    // Not the height over the newel's middle.
    let middle = top - newel.along.as_mm() / 2.0 * rise / going;
    assert!(
        told.iter().all(|one| (one - middle).abs() > 1.0),
        "{told:?}"
    );
}

#[test]
fn a_section_tells_the_bottom_rail_as_it_tells_the_rail() {
    // A true flight: its underside lies the design's height plumb over the line through the nosings, and
    // its end on a plumb face is its depth over the cosine of its pitch high (similar triangles).
    let text = with(
        STRAIGHT,
        &[
            (
                "balusters: (\n",
                "bottom_rail: (name: \"R2\", width: \"2\", depth: \"1\", above: \"1/2\"),\n        balusters: (\n",
            ),
            (
                "stands: Displaces(step: 1, balusters: 1)",
                "stands: At(x: \"-1/2\")",
            ),
            (
                "stands: Displaces(step: 13, balusters: 0)",
                "stands: At(x: \"134\")",
            ),
            ("spacing: PerTread(count: 2)", "spacing: AlongRail()"),
        ],
    );
    let chain = meant(&text);
    let run = chain.first();
    let (job, site) = (&run.run.job, &run.site);
    let (rise, going) = (
        job.flight.rise.value.as_mm(),
        job.flight.going.value.as_mm(),
    );
    for newel in &run.setout.newels {
        let view = View::Newel {
            newel: newel.name.clone(),
        };
        let drawn = draw(&chain, &view, ROOMS[1], job.tape).unwrap();
        let half = newel.along.as_mm() / 2.0;
        let face = newel.foot.x + if newel.at_foot { half } else { -half };
        let over = rise + (face - site.steps[0].nosing_x()) * rise / going - newel.foot.z;
        let under = over + 12.7;
        let top = under + 25.4 * (rise / going).hypot(1.0);
        for wanted in [under, top] {
            let mut up = drawn.dims.iter().filter(|dim| dim.row == "up the newel");
            // Places that no pencil parts are told as one.
            let near = up.any(|dim| (dim.exact.as_mm() - wanted).abs() < 0.4 + 1e-6);
            assert!(near, "{}: {wanted} among {:?}", newel.name, drawn.dims);
        }
    }
}

#[test]
fn every_newel_s_section_tells_each_rail_that_meets_it() {
    // As high as the set-out of each run has its end there, and as the cut list marks the newel.
    for (scene, chain, tape) in ALL.iter() {
        let list = cut_list(chain);
        for run in &chain.runs {
            for newel in &run.setout.newels {
                let view = View::Newel {
                    newel: newel.name.clone(),
                };
                let drawn = draw(chain, &view, ROOMS[1], *tape).unwrap();
                let piece = list
                    .of(&newel.name)
                    .find(|one| one.kind == PieceKind::Newel);
                let Some(Detail::Newel { rails, .. }) = piece.map(|one| &one.detail) else {
                    continue;
                };
                for (rail, heights) in rails {
                    for height in heights {
                        let plumb = height.as_mm() * newel.axis.z;
                        let mut up = drawn.dims.iter().filter(|dim| dim.row == "up the newel");
                        // Places that no pencil parts are told as one.
                        let near = up.any(|dim| (dim.exact.as_mm() - plumb).abs() < 0.4 + 1e-6);
                        assert!(near, "{scene}: {rail} at {}: {plumb}", newel.name);
                    }
                }
            }
        }
    }
}

#[test]
fn the_notch_of_the_common_practice_check() {
    // Common practice, no source: going 10 in, two balusters of 1 1/4 in, gap 3 3/4 in, the first
    // displaced: the newel's uphill face stands 1 1/4 in behind the kick's face, and the notch goes
    // in from the nosing by the overhang more.
    let chain = two_per_tread();
    let run = chain.first();
    let newel = &run.setout.newels[0];
    let view = View::Notch {
        newel: newel.name.clone(),
        run: 0,
    };
    let drawn = draw(&chain, &view, ROOMS[1], run.run.job.tape).unwrap();
    let told = |row: &str| -> Vec<Length> {
        let found = drawn.dims.iter();
        found
            .filter(|dim| dim.row == row && dim.kind == DimKind::Single)
            .map(|dim| dim.exact)
            .collect()
    };
    let overhang = run.run.job.flight.overhang.value.as_inches();
    let behind = told("behind the kick's face");
    assert_eq!(behind.len(), 1);
    assert_relative_eq!(behind[0].as_inches(), 1.25, epsilon = 1e-6);
    let from_nosing = told("uphill side from the nosing");
    assert!(!from_nosing.is_empty());
    for one in from_nosing {
        assert_relative_eq!(one.as_inches(), 1.25 + overhang, epsilon = 1e-6);
    }
    assert!(drawn.by <= 8.0, "{}", drawn.scale);
}
