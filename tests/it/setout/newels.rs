//! Newels' notches, bearings, feet and heights, against plain geometry and common practice.

use approx::assert_relative_eq;
use rakewell::job::{Blocks, Foot, Lean, Len, RailSystem, Stands};
use rakewell::measure::{Length, Typed};
use rakewell::setout::{Cutout, NewelSet, NewelSide, RailMeets, height_from_rails};

use super::rails::{changed, set_out};

fn len(text: &str) -> Len {
    Len::read(text).unwrap()
}

fn cutout<'a>(newel: &'a NewelSet, part: &str) -> &'a Cutout {
    newel.cutouts.iter().find(|one| one.part == part).unwrap()
}

/// Common practice, no source: the newel's uphill face stands 1 1/4 in behind the kick's face, its
/// outer face 1 3/4 in outside the string. The treads' ends stand 2 1/4 in outside it, so the kick
/// and the skirt end 3/4 in further in, at 1 1/2.
#[test]
fn the_first_newel_is_cut_into_kick_and_skirt() {
    let (_, setout) = set_out(&changed(|_| ()));
    let newel = &setout.newels[0];
    let inches = |lengths: &[Length]| -> Vec<f64> {
        lengths.iter().map(|length| length.as_inches()).collect()
    };
    let kick = cutout(newel, "K1");
    // From the kick's end at 1 1/2 in to the newel's inward face at -1 3/4; all of its 6 1/2 in,
    // and all of its thickness, for the face stands 1/2 in behind the kick's back.
    assert_relative_eq!(kick.from_end.as_inches(), 3.25, epsilon = 1e-6);
    assert_relative_eq!(kick.from_top.as_inches(), 6.5, epsilon = 1e-6);
    assert_relative_eq!(kick.depth.as_inches(), 0.75, epsilon = 1e-6);
    assert_relative_eq!(kick.remains.as_inches(), 0.0, epsilon = 1e-6);
    let mut sides = inches(&kick.sides);
    sides.sort_by(f64::total_cmp);
    for (side, expected) in sides.iter().zip([3.25, 3.25, 6.5, 6.5]) {
        assert_relative_eq!(*side, expected, epsilon = 1e-6);
    }
    for angle in &kick.angles {
        assert_relative_eq!(angle.as_degrees(), 90.0, epsilon = 1e-9);
    }
    // The skirt is cut 1 1/4 in in from the first kick's face, from its outer face through.
    let skirt = cutout(newel, "Q1");
    assert_relative_eq!(skirt.from_end.as_inches(), 1.25, epsilon = 1e-6);
    assert_relative_eq!(skirt.from_top.as_inches(), 6.5, epsilon = 1e-6);
    assert_relative_eq!(skirt.depth.as_inches(), 0.75, epsilon = 1e-6);
    assert_relative_eq!(skirt.remains.as_inches(), 0.0, epsilon = 1e-6);
}

#[test]
fn a_lean_is_in_the_cut() {
    // 1/4 in outward over 13 in: half of it over the 6 1/2 in of the kick that is cut. The notch in
    // the tread is cut where the newel stands at its top, 7 1/2 in up.
    let plumb = set_out(&changed(|_| ())).1;
    let leaning = set_out(&changed(|job| {
        job.design.newels[0].lean = Some(Lean {
            up_flight: len("1/4"),
            outward: len("1/4"),
            over: len("13"),
        });
    }))
    .1;
    let [before, after] = [&plumb, &leaning].map(|setout| &setout.newels[0]);
    let kick = cutout(after, "K1");
    let slanted: Vec<f64> = kick.angles.iter().map(|a| a.as_degrees()).collect();
    let lean = (0.25_f64 / 13.0).atan().to_degrees();
    let off: Vec<f64> = slanted.iter().map(|angle| (angle - 90.0).abs()).collect();
    let most = off.iter().copied().fold(0.0, f64::max);
    assert_relative_eq!(most, lean, epsilon = 1e-6);
    let more = after.notches[0].from_nosing - before.notches[0].from_nosing;
    assert_relative_eq!(more.as_inches(), 0.25 * 7.5 / 13.0, epsilon = 1e-6);
}

// 2 in outward over 40: 6 1/2 in up the kick the newel stands 0.325 in nearer to its open end. Its
// inward face is 1 1/2 + 1 3/4 = 3 1/4 in from that end at the foot and 3.25 - 0.325 = 2.925 at the
// top; its outward face is past the end all the way.
#[test]
fn a_cut_leans_from_where_the_newel_stands_at_its_foot() {
    let setout = set_out(&changed(|job| {
        job.design.newels[0].lean = Some(Lean {
            up_flight: len("0"),
            outward: len("2"),
            over: len("40"),
        });
    }))
    .1;
    let kick = cutout(&setout.newels[0], "K1");
    let mut corners: Vec<(f64, f64)> = kick
        .face
        .iter()
        .map(|corner| (corner.y / 25.4, corner.x / 25.4))
        .collect();
    corners.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let expected = [(0.0, 0.0), (0.0, 3.25), (6.5, 0.0), (6.5, 2.925)];
    assert_eq!(corners.len(), expected.len());
    for (corner, expected) in corners.iter().zip(expected) {
        assert_relative_eq!(corner.0, expected.0, epsilon = 1e-6);
        assert_relative_eq!(corner.1, expected.1, epsilon = 1e-6);
    }
    assert_relative_eq!(kick.from_end.as_inches(), 3.25, epsilon = 1e-6);
}

// Elementary geometry: a leaning newel crosses a board between two slanted lines, whatever its twist,
// and the board's end and edges take corners off them, but leave none of no length.
#[test]
fn no_cut_has_a_side_of_no_length() {
    for (twist, outward) in [
        (3.0, "2"),
        (3.0, "-2"),
        (-3.0, "2"),
        (-3.0, "-2"),
        (20.0, "2"),
    ] {
        let setout = set_out(&changed(|job| {
            job.design.newels[0].twist = Some(Typed {
                value: rakewell::measure::Angle::degrees(twist),
                text: format!("{twist} deg"),
            });
            job.design.newels[0].lean = Some(Lean {
                up_flight: len("0"),
                outward: len(outward),
                over: len("40"),
            });
        }))
        .1;
        let newel = &setout.newels[0];
        let cutouts = newel.cutouts.iter().map(|one| &one.sides);
        for sides in cutouts.chain(newel.notches.iter().map(|one| &one.sides)) {
            assert!(sides.iter().all(|side| side.as_mm() > 1e-6), "{sides:?}");
        }
    }
}

#[test]
fn what_bears_a_newel_and_what_is_missing() {
    let (_, setout) = set_out(&changed(|_| ()));
    let newel = &setout.newels[0];
    // The block D1 lies 2 in behind the kick's face, 3/4 in behind the newel: no bearing. So a block
    // is needed, as wide as the newel, 6 1/2 in high under the tread.
    let uphill = newel
        .needs
        .iter()
        .find(|block| block.side == NewelSide::Uphill)
        .unwrap();
    assert_relative_eq!(uphill.across.as_inches(), 3.5, epsilon = 1e-6);
    assert_relative_eq!(uphill.height.as_inches(), 6.5, epsilon = 1e-6);
    // Beside it S1 stands 2 1/2 in in from the string, 3/4 in from the newel's inward face; the
    // strip behind the kick's back is 1/2 in wide.
    let inward = newel
        .needs
        .iter()
        .find(|block| block.side == NewelSide::Inward)
        .unwrap();
    assert_relative_eq!(inward.across.as_inches(), 0.75, epsilon = 1e-6);
    assert_relative_eq!(inward.along.as_inches(), 0.5, epsilon = 1e-6);
    assert!(newel.bears_on.is_empty());

    // Moved against the newel it bears it.
    let moved = set_out(&changed(|job| job.blocking[0].from = len("1 1/4"))).1;
    let newel = &moved.newels[0];
    assert_eq!(newel.bears_on, [(NewelSide::Uphill, "D1".to_owned())]);
    assert_eq!(newel.needs.len(), 1);
    assert!(newel.behind.iter().all(|behind| behind.part != "D1"));

    // A little nearer the newel cuts it: 1/2 in of its 1 1/2 in, over its whole width.
    let cut = set_out(&changed(|job| job.blocking[0].from = len("3/4"))).1;
    let behind = cut.newels[0]
        .behind
        .iter()
        .find(|behind| behind.part == "D1")
        .unwrap();
    assert_relative_eq!(behind.depth.as_inches(), 0.5, epsilon = 1e-6);
    assert_relative_eq!(behind.remains.as_inches(), 0.0, epsilon = 1e-6);
    assert!(!behind.carries);
}

#[test]
fn hidden_fasteners_are_told_with_their_clearance() {
    // The screw's middle lies 1 in behind the kick's face and 1 in in from the string: inside the
    // newel, 1/4 in from its uphill face; its side is 3/16 in beyond that.
    let near = set_out(&changed(|_| ())).1;
    let one = &near.newels[0].fasteners[0];
    assert_relative_eq!(one.clear.as_inches(), -0.25 - 0.1875, epsilon = 1e-6);
    // 3 in behind the kick and 2 3/4 in in: a 1 3/4 by 1 triangle from the corner.
    let off = set_out(&changed(|job| {
        job.fasteners[0].from = len("3");
        job.fasteners[0].inset = len("2 3/4");
    }))
    .1;
    let one = &off.newels[0].fasteners[0];
    let expected = 1.75_f64.hypot(1.0) - 0.1875;
    assert_relative_eq!(one.clear.as_inches(), expected, epsilon = 1e-6);
    let away = set_out(&changed(|job| job.fasteners[0].from = len("6"))).1;
    assert!(away.newels[0].fasteners.is_empty());
}

#[test]
fn a_newel_on_top_is_not_notched() {
    let (site, setout) = set_out(&changed(|job| {
        let newel = &mut job.design.newels[0];
        newel.foot = Foot::OnTop;
        newel.stands = Stands::At {
            x: len("1"),
            y: len("0"),
        };
    }));
    let newel = &setout.newels[0];
    assert!(newel.notches.is_empty() && newel.cutouts.is_empty() && newel.behind.is_empty());
    assert_relative_eq!(newel.foot.z, site.steps[0].height, epsilon = 1e-9);
    // Half of 3 1/2 in before its middle at 1 in; the nosing stands 3/4 in before the kick.
    let on = newel.on_surface.as_ref().unwrap();
    assert_eq!(on.step, 1);
    assert_relative_eq!(on.past_edge.as_inches(), 0.0, epsilon = 1e-9);
    let under = &newel.needs[0];
    assert_eq!(under.side, NewelSide::Under);
    assert_relative_eq!(under.along.as_inches(), 3.5, epsilon = 1e-9);

    let past = set_out(&changed(|job| {
        let newel = &mut job.design.newels[0];
        newel.foot = Foot::OnTop;
        newel.stands = Stands::At {
            x: len("1/4"),
            y: len("0"),
        };
    }))
    .1;
    let on = past.newels[0].on_surface.as_ref().unwrap();
    assert_relative_eq!(on.past_edge.as_inches(), 1.75 - 0.25 - 0.75, epsilon = 1e-9);
}

#[test]
fn a_hollow_newel_goes_over_its_block() {
    let setout = set_out(&changed(|job| {
        let newel = &mut job.design.newels[0];
        newel.foot = Foot::Box {
            sides: len("3/4"),
            block: len("5 1/2"),
            ease: len("1/32"),
        };
    }))
    .1;
    let on = setout.newels[0].on_surface.as_ref().unwrap();
    // 3 1/2 less twice 3/4, less twice 1/32.
    for inside in on.inside.unwrap() {
        assert_relative_eq!(inside.as_inches(), 2.0, epsilon = 1e-9);
    }
    let block = on.block.unwrap().map(Length::as_inches);
    for (size, expected) in block.into_iter().zip([1.9375, 1.9375, 5.5]) {
        assert_relative_eq!(size, expected, epsilon = 1e-9);
    }
}

#[test]
fn a_height_leaves_equal_reveals_above_and_below_the_rail() {
    let setout = set_out(&changed(|job| {
        job.design.rail.system = RailSystem::PostToPost;
        job.design.newels[0].blocks = Some(Blocks {
            top: Some(len("8")),
            above: None,
        });
    }))
    .1;
    let newel = &setout.newels[0];
    // On a 3-4-5 rake the rail meets the newel's face over 2 3/8 * 5/4 in; the rest of the 8 in
    // block is shared.
    let reveals = newel.reveals.unwrap();
    let each = (8.0 - 2.375 * 1.25) / 2.0;
    assert_relative_eq!(reveals.above.as_inches(), each, epsilon = 1e-6);
    assert_relative_eq!(reveals.below.unwrap().as_inches(), each, epsilon = 1e-6);
    // The rail's top at the face: 36 over the nosing, and 3/4 of 2 in more.
    let top = 7.5 + 36.0 + 0.75 * 2.0;
    let cap = newel.cap.height().as_inches();
    assert_relative_eq!(newel.height.as_inches(), top + each + cap, epsilon = 1e-6);

    // A second rail that meets it 7 1/2 in higher takes both reveals up with it.
    let meets = |top: f64| RailMeets {
        rail: "R".to_owned(),
        top: Length::inches(top),
        underside: Length::inches(top - 3.0),
    };
    let mut landing = newel.clone();
    landing.head.as_mut().unwrap().block = Some(Length::inches(16.0));
    let found = height_from_rails(&landing, &[meets(45.0), meets(52.5)]).unwrap();
    let each = (16.0 - 10.5) / 2.0;
    assert_relative_eq!(found.reveals.above.as_inches(), each, epsilon = 1e-9);
    assert_relative_eq!(
        found.reveals.below.unwrap().as_inches(),
        each,
        epsilon = 1e-9
    );
    assert_relative_eq!(found.height.as_inches(), 52.5 + each + cap, epsilon = 1e-9);
    // A height that is given is kept, and the reveals are what it makes them.
    landing.height_free = false;
    landing.height = Length::inches(60.0);
    let found = height_from_rails(&landing, &[meets(45.0), meets(52.5)]).unwrap();
    let above = 60.0 - cap - 52.5;
    assert_relative_eq!(found.reveals.above.as_inches(), above, epsilon = 1e-9);
}

#[test]
fn a_twist_turns_the_cut_in_the_skirt() {
    // A square turned by 10 degrees reaches half its side times (cos + sin) each way.
    let setout = set_out(&changed(|job| {
        job.design.newels[0].twist = Some(Typed {
            value: rakewell::measure::Angle::degrees(10.0),
            text: "10 deg".to_owned(),
        });
    }))
    .1;
    let newel = &setout.newels[0];
    let reach = 1.75 * (10.0_f64.to_radians().cos() + 10.0_f64.to_radians().sin());
    let kick = cutout(newel, "K1");
    let (low, high) = kick
        .plan
        .iter()
        .fold((f64::MAX, f64::MIN), |(low, high), p| {
            (low.min(p.y), high.max(p.y))
        });
    assert_relative_eq!(high / 25.4, 1.5, epsilon = 1e-6);
    assert!(low / 25.4 >= -reach - 1e-9);
    assert!(
        kick.plan.len() > 4,
        "a corner of the turned foot is in the cut"
    );
}
