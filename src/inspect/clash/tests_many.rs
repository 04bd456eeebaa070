//! Checks of the clash search on what is degenerate or too many: worked by hand.

use approx::assert_relative_eq;
use nalgebra::Point3;

use super::tests::{cuboid, part, parts};
use super::*;
use crate::solids::{Convex, Joint, JointKind};

#[test]
fn four_thousand_boxes_in_one_place_are_told_up_to_the_most_and_the_rest_is_said() {
    let one = cuboid([0.0; 3], [30.0, 40.0, 900.0]);
    let solids = parts(vec![part("B", vec![one]); 4000]);
    let looked = look(&solids);
    assert_eq!(looked.clashes.len(), MOST_CLASHES);
    assert!(!looked.whole);
    // The first box meets 3999 others: the search ends within its pairs.
    assert_eq!(looked.ended_at, 0);
    for clash in &looked.clashes {
        // Two equal boxes part along their thinnest way.
        assert_relative_eq!(clash.depth, 30.0, epsilon = 1e-9);
    }
}

#[test]
fn fifteen_hundred_boxes_side_by_side_are_all_looked_at() {
    // Each goes 1 mm into the next one.
    let boxes = (0..1500).map(|at| {
        let x = f64::from(at) * 29.0;
        part("B", vec![cuboid([x, 0.0, 0.0], [x + 30.0, 40.0, 900.0])])
    });
    let looked = look(&parts(boxes.collect()));
    assert!(looked.whole);
    assert_eq!(looked.ended_at, 1500);
    assert_eq!(looked.clashes.len(), 1499);
    for (number, clash) in looked.clashes.iter().enumerate() {
        assert_eq!((clash.a, clash.b), (number, number + 1));
        assert_relative_eq!(clash.depth, 1.0, epsilon = 1e-9);
    }
}

#[test]
fn a_board_without_thickness_is_no_piece_and_a_part_without_pieces_is_named() {
    let flat = Convex::cuboid(Point3::origin(), Point3::new(100.0, 100.0, 0.0));
    assert_eq!(flat, None);
    let nan = Convex::cuboid(Point3::origin(), Point3::new(100.0, f64::NAN, 10.0));
    assert_eq!(nan, None);
    let solids = parts(vec![
        part("T1", flat.into_iter().collect()),
        part("N1", vec![cuboid([0.0; 3], [90.0, 90.0, 1000.0])]),
    ]);
    let looked = look(&solids);
    assert_eq!(looked.bodiless, [0]);
    assert!(looked.clashes.is_empty() && looked.whole);
}

#[test]
fn a_sliver_within_a_post_still_clashes() {
    // 0.1 mm thick: it parts from the post by the way through the post's nearer side, 20 + 0.1.
    let post = cuboid([0.0; 3], [90.0, 90.0, 1000.0]);
    let sliver = cuboid([20.0, 30.0, 100.0], [20.1, 60.0, 900.0]);
    let found = clashes(&parts(vec![
        part("N1", vec![post]),
        part("F", vec![sliver]),
    ]));
    assert_eq!(found.len(), 1);
    assert_relative_eq!(found[0].depth, 20.1, epsilon = 1e-9);
    assert_relative_eq!(found[0].direction, -Vector3::x(), epsilon = 1e-9);
}

#[test]
fn a_part_wholly_inside_another_must_go_out_by_the_shortest_way() {
    // A 10 mm cube 5 mm under the top of a block 100 wide and 1000 tall: up by 15.
    let block = cuboid([0.0; 3], [100.0, 100.0, 1000.0]);
    let cube = cuboid([45.0, 45.0, 985.0], [55.0, 55.0, 995.0]);
    let found = clashes(&parts(vec![part("a", vec![block]), part("b", vec![cube])]));
    assert_relative_eq!(found[0].depth, 15.0, epsilon = 1e-9);
    assert_relative_eq!(found[0].direction, Vector3::z(), epsilon = 1e-9);
    assert_relative_eq!(found[0].at, Point3::new(50.0, 50.0, 990.0), epsilon = 1e-9);
}

#[test]
fn each_place_where_two_parts_meet_has_its_point_the_deepest_first() {
    // A comb of three teeth, 2, 6 and 4 deep in a bar; the teeth's back does not reach it.
    let bar = cuboid([0.0; 3], [300.0, 50.0, 50.0]);
    let tooth = |x: f64, deep: f64| cuboid([x, 20.0, 50.0 - deep], [x + 10.0, 30.0, 90.0]);
    let back = cuboid([0.0, 20.0, 90.0], [300.0, 30.0, 100.0]);
    let comb = vec![tooth(50.0, 2.0), tooth(150.0, 6.0), tooth(250.0, 4.0), back];
    let found = clashes(&parts(vec![part("bar", vec![bar]), part("comb", comb)]));
    assert_eq!(found.len(), 1);
    let clash = &found[0];
    assert_relative_eq!(clash.depth, 6.0, epsilon = 1e-9);
    let expected = [[155.0, 25.0, 47.0], [255.0, 25.0, 48.0], [55.0, 25.0, 49.0]];
    assert_eq!(clash.points.len(), 3);
    for (point, expected) in clash.points.iter().zip(expected) {
        assert_relative_eq!(*point, Point3::from(expected), epsilon = 1e-9);
    }
    assert_eq!(clash.at, clash.points[0]);
}

#[test]
fn pieces_that_meet_at_a_seam_are_one_place() {
    // A peg across the seam of a tread that is in two pieces.
    let tread = vec![
        cuboid([0.0; 3], [100.0, 300.0, 25.0]),
        cuboid([100.0, 0.0, 0.0], [250.0, 300.0, 25.0]),
    ];
    let peg = cuboid([92.0, 20.0, 10.0], [112.0, 40.0, 60.0]);
    let found = clashes(&parts(vec![part("T1", tread), part("B01", vec![peg])]));
    assert_eq!(found[0].points.len(), 1);
}

#[test]
fn more_than_eight_places_are_told_by_the_eight_deepest() {
    let bar = cuboid([0.0; 3], [1200.0, 50.0, 50.0]);
    let teeth = (0..12).map(|at| {
        let (x, deep) = (f64::from(at) * 100.0 + 10.0, f64::from(at) + 1.0);
        cuboid([x, 20.0, 50.0 - deep], [x + 10.0, 30.0, 90.0])
    });
    let found = clashes(&parts(vec![
        part("bar", vec![bar]),
        part("comb", teeth.collect()),
    ]));
    assert_eq!(found[0].points.len(), MOST_POINTS);
    assert_relative_eq!(found[0].at.x, 1115.0, epsilon = 1e-9);
    assert_relative_eq!(found[0].points[7].x, 415.0, epsilon = 1e-9);
}

#[test]
fn parts_that_are_scribed_to_each_other_are_never_looked_into() {
    let one = cuboid([0.0; 3], [90.0, 90.0, 1000.0]);
    let mut solids = parts(vec![part("K1", vec![one.clone()]), part("T1", vec![one])]);
    solids.joints.push(Joint {
        a: 1,
        b: 0,
        kind: JointKind::Carcass,
        seat: f64::INFINITY,
    });
    assert!(clashes(&solids).is_empty());
}
