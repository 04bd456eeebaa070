//! Checks of the clash search: boxes worked by hand, then properties over random pieces.

use approx::assert_relative_eq;
use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion, Vector3};
use proptest::prelude::*;

use super::*;
use crate::measure::tolerance::{CONTACT_MM, SAME_POINT_MM};
use crate::solids::{Convex, Joint, Part, PartKind, Plane};

pub(super) fn cuboid(low: [f64; 3], high: [f64; 3]) -> Convex {
    Convex::cuboid(Point3::from(low), Point3::from(high)).unwrap()
}

fn moved(solid: &Convex, motion: &Isometry3<f64>) -> Convex {
    let corners = solid
        .corners()
        .iter()
        .map(|corner| motion * corner)
        .collect();
    Convex::from_faces(corners, solid.faces().to_vec()).unwrap()
}

fn shifted(solid: &Convex, by: Vector3<f64>) -> Convex {
    moved(
        solid,
        &Isometry3::from_parts(Translation3::from(by), UnitQuaternion::identity()),
    )
}

fn turned(solid: &Convex, axis: &Unit<Vector3<f64>>, degrees: f64) -> Convex {
    let turn = UnitQuaternion::from_axis_angle(axis, degrees.to_radians());
    moved(
        solid,
        &Isometry3::from_parts(Translation3::identity(), turn),
    )
}

pub(super) fn part(name: &str, pieces: Vec<Convex>) -> Part {
    Part {
        name: name.to_owned(),
        kind: PartKind::Baluster,
        pieces,
    }
}

pub(super) fn parts(parts: Vec<Part>) -> Solids {
    Solids {
        runs: vec![0; parts.len()],
        parts,
        joints: Vec::new(),
    }
}

#[test]
fn boxes_side_by_side_part_along_the_thin_way() {
    let a = cuboid([0.0, 0.0, 0.0], [10.0, 10.0, 10.0]);
    let b = cuboid([7.0, 1.0, -2.0], [17.0, 11.0, 8.0]);
    let found = separate(&a, &b).unwrap();
    assert_relative_eq!(found.depth, 3.0, epsilon = 1e-12);
    assert_relative_eq!(found.direction.into_inner(), Vector3::x(), epsilon = 1e-12);
    // In common: 7..10 by 1..10 by 0..8.
    assert_relative_eq!(
        found.at.unwrap(),
        Point3::new(8.5, 5.5, 4.0),
        epsilon = 1e-12
    );
    assert_relative_eq!(overlap_volume(&a, &b), 216.0, epsilon = 1e-9);
}

#[test]
fn boxes_apart_have_their_gap_as_negative_depth_and_nothing_in_common() {
    let a = cuboid([0.0, 0.0, 0.0], [10.0, 10.0, 10.0]);
    let b = cuboid([0.0, 0.0, 12.5], [10.0, 10.0, 20.0]);
    let found = separate(&a, &b).unwrap();
    assert_relative_eq!(found.depth, -2.5, epsilon = 1e-12);
    assert_relative_eq!(found.direction.into_inner(), Vector3::z(), epsilon = 1e-12);
    assert_eq!(found.at, None);
    assert_relative_eq!(overlap_volume(&a, &b), 0.0);
}

#[test]
fn a_box_on_its_corner_goes_in_by_its_half_diagonal() {
    // Half side 1, turned 45 degrees about z: its corner reaches sqrt 2 along x. From 2 away it
    // stands sqrt 2 - 1 inside the other's face.
    let a = cuboid([-1.0, -1.0, -1.0], [1.0, 1.0, 1.0]);
    let b = shifted(
        &turned(&a, &Vector3::z_axis(), 45.0),
        Vector3::new(2.0, 0.0, 0.0),
    );
    let found = separate(&a, &b).unwrap();
    assert_relative_eq!(found.depth, 2.0_f64.sqrt() - 1.0, epsilon = 1e-12);
    assert_relative_eq!(found.direction.into_inner(), Vector3::x(), epsilon = 1e-12);
    // The corner cut off is a right isosceles prism: height h, base 2 h, length 2.
    let h = 2.0_f64.sqrt() - 1.0;
    assert_relative_eq!(overlap_volume(&a, &b), 2.0 * h * h, epsilon = 1e-12);
}

#[test]
fn two_bars_crossing_edge_to_edge_need_the_direction_that_no_face_has() {
    // Square bars 1 thick, each on its edge: one along x with its ridge up at z = 0, one along y
    // with its ridge down at z = -0.3.
    let r = 0.5_f64.sqrt();
    let along_x = turned(
        &cuboid([-20.0, -0.5, -0.5], [20.0, 0.5, 0.5]),
        &Vector3::x_axis(),
        45.0,
    );
    let along_y = turned(
        &cuboid([-0.5, -20.0, -0.5], [0.5, 20.0, 0.5]),
        &Vector3::y_axis(),
        45.0,
    );
    let below = shifted(&along_x, Vector3::new(0.0, 0.0, -r));
    let above = shifted(&along_y, Vector3::new(0.0, 0.0, r - 0.3));
    let found = separate(&below, &above).unwrap();
    assert_relative_eq!(found.depth, 0.3, epsilon = 1e-12);
    assert_relative_eq!(found.direction.into_inner(), Vector3::z(), epsilon = 1e-9);
    let by_faces = below.planes().iter().map(|plane| {
        -above
            .corners()
            .iter()
            .map(|corner| plane.distance(corner))
            .fold(f64::INFINITY, f64::min)
    });
    assert!(
        by_faces.fold(f64::INFINITY, f64::min) > 0.5,
        "the faces alone would say more"
    );
    // And just clear of each other, 0.2 apart, the same direction is the gap.
    let clear = shifted(&above, Vector3::new(0.0, 0.0, 0.5));
    assert_relative_eq!(
        separate(&below, &clear).unwrap().depth,
        -0.2,
        epsilon = 1e-12
    );
    assert_relative_eq!(
        closest(&below, &clear).unwrap().distance,
        0.2,
        epsilon = 1e-9
    );
}

#[test]
fn a_small_box_deep_in_a_big_one_goes_out_by_the_nearest_face() {
    let big = cuboid([0.0, 0.0, 0.0], [100.0, 100.0, 100.0]);
    let small = cuboid([40.0, 45.0, 70.0], [50.0, 55.0, 80.0]);
    let found = separate(&big, &small).unwrap();
    assert_relative_eq!(found.depth, 30.0, epsilon = 1e-12);
    assert_relative_eq!(found.direction.into_inner(), Vector3::z(), epsilon = 1e-12);
    assert_relative_eq!(overlap_volume(&big, &small), 1000.0, epsilon = 1e-9);
}

#[test]
fn the_distance_of_boxes_corner_to_corner_is_the_diagonal() {
    let a = cuboid([0.0, 0.0, 0.0], [1.0, 1.0, 1.0]);
    let b = cuboid([3.0, 4.0, 7.0], [9.0, 9.0, 9.0]);
    // 2, 3, 6: a diagonal of 7.
    let gap = closest(&a, &b).unwrap();
    assert_relative_eq!(gap.distance, 7.0, epsilon = 1e-6);
    assert_relative_eq!(gap.on_a, Point3::new(1.0, 1.0, 1.0), epsilon = 1e-6);
    assert_relative_eq!(gap.on_b, Point3::new(3.0, 4.0, 7.0), epsilon = 1e-6);
}

#[test]
fn touching_parts_do_not_clash_and_neither_do_seams_of_one_part() {
    let seamed = vec![
        cuboid([0.0, 0.0, 0.0], [10.0, 10.0, 10.0]),
        cuboid([5.0, 0.0, 0.0], [20.0, 10.0, 10.0]),
    ];
    let on_top = vec![cuboid(
        [0.0, 0.0, 10.0 - 0.5 * CONTACT_MM],
        [20.0, 10.0, 30.0],
    )];
    assert_eq!(
        clashes(&parts(vec![part("R1", seamed), part("B01", on_top)])),
        Vec::new()
    );
}

#[test]
fn nothing_and_one_part_alone_have_no_clash() {
    assert_eq!(clashes(&Solids::default()), Vec::new());
    let alone = part("T1", vec![cuboid([0.0; 3], [1.0; 3])]);
    assert_eq!(clashes(&parts(vec![alone.clone()])), Vec::new());
    assert_eq!(
        clashes(&parts(vec![alone, part("T2", Vec::new())])),
        Vec::new()
    );
}

#[test]
fn a_joint_allows_its_seat_and_no_more() {
    let tread = part("T1", vec![cuboid([0.0, 0.0, 0.0], [250.0, 900.0, 25.0])]);
    let peg = |deep: f64| {
        part(
            "B01",
            vec![cuboid([100.0, 100.0, 25.0 - deep], [116.0, 116.0, 900.0])],
        )
    };
    // Declared the other way round, as a joint may be.
    let joint = Joint {
        a: 1,
        b: 0,
        kind: JointKind::Peg,
        seat: 10.0,
    };
    let with = |deep: f64| Solids {
        parts: vec![tread.clone(), peg(deep)],
        runs: vec![0; 2],
        joints: vec![joint.clone()],
    };
    assert_eq!(clashes(&with(10.0)), Vec::new());
    let found = clashes(&with(12.0));
    assert_eq!(found.len(), 1);
    let clash = &found[0];
    assert_eq!(
        (clash.a, clash.b, clash.joint),
        (0, 1, Some(JointKind::Peg))
    );
    assert_relative_eq!(clash.depth, 2.0, epsilon = 1e-9);
    assert_relative_eq!(clash.seat, 10.0);
    assert_relative_eq!(clash.direction, Vector3::z(), epsilon = 1e-9);
    assert_relative_eq!(clash.at, Point3::new(108.0, 108.0, 19.0), epsilon = 1e-9);
}

#[test]
fn a_part_pair_is_one_clash_of_its_deepest_pieces_in_the_order_of_the_parts() {
    let post = |x: f64| cuboid([x, 0.0, 0.0], [x + 10.0, 10.0, 100.0]);
    let rail = vec![
        cuboid([-50.0, 0.0, 95.0], [20.0, 10.0, 120.0]),
        cuboid([20.0, 0.0, 92.0], [90.0, 10.0, 120.0]),
    ];
    let solids = parts(vec![
        part("B02", vec![post(15.0)]),
        part("B01", vec![post(0.0)]),
        part("R1", rail),
    ]);
    let found = clashes(&solids);
    let pairs: Vec<_> = found.iter().map(|clash| (clash.a, clash.b)).collect();
    assert_eq!(pairs, vec![(0, 2), (1, 2)]);
    // Over the seam at x = 20: 5 by 5 with the left piece, 5 by 8 with the right. To the left it runs
    // on into the left piece, so that the way out of both is 8 up.
    assert_relative_eq!(found[0].depth, 8.0, epsilon = 1e-9);
    assert_relative_eq!(found[0].direction, Vector3::z(), epsilon = 1e-9);
    assert_relative_eq!(found[1].depth, 5.0, epsilon = 1e-9);
    assert_relative_eq!(found[1].direction, Vector3::z(), epsilon = 1e-9);
}

#[test]
fn a_wall_in_pieces_pushes_alike_wherever_it_is_cut() {
    let wall: Vec<_> = (-2..4)
        .map(|at| f64::from(at) * 40.0)
        .map(|x| cuboid([x, 0.0, -500.0], [x + 40.0, 200.0, 500.0]))
        .collect();
    for x in [-30.0, -13.0, -5.0, 0.0, 7.5, 36.0, 55.0] {
        let post = cuboid([x, -4.0, 0.0], [x + 10.0, 6.0, 100.0]);
        let solids = parts(vec![part("W1", wall.clone()), part("N1", vec![post])]);
        let found = clashes(&solids);
        assert_eq!(found.len(), 1, "{x}");
        assert_relative_eq!(found[0].depth, 6.0, epsilon = 1e-9);
        assert_relative_eq!(found[0].direction, -Vector3::y(), epsilon = 1e-9);
    }
}

#[test]
fn the_clearance_of_two_parts_is_that_of_their_nearest_pieces() {
    let wall = part(
        "W1",
        vec![cuboid([-1000.0, 50.0, 0.0], [5000.0, 70.0, 2500.0])],
    );
    let bent = part(
        "R1",
        vec![
            cuboid([0.0, -30.0, 900.0], [1000.0, 0.0, 950.0]),
            cuboid([1000.0, -30.0, 900.0], [1040.0, 12.0, 950.0]),
        ],
    );
    let solids = parts(vec![wall, bent]);
    let gap = nearest(&solids, 1, 0).unwrap();
    assert_relative_eq!(gap.distance, 38.0, epsilon = 1e-6);
    assert_relative_eq!(gap.on_a.y, 12.0, epsilon = 1e-6);
    assert_relative_eq!(gap.on_b.y, 50.0, epsilon = 1e-6);
    assert_eq!(nearest(&solids, 0, 2), None);
}

#[test]
fn overlapping_parts_have_no_clearance() {
    let solids = parts(vec![
        part("N1", vec![cuboid([0.0, 0.0, 0.0], [90.0, 90.0, 1000.0])]),
        part(
            "R1",
            vec![cuboid([80.0, 20.0, 900.0], [900.0, 60.0, 960.0])],
        ),
    ]);
    let gap = nearest(&solids, 0, 1).unwrap();
    assert_relative_eq!(gap.distance, 0.0);
    assert_relative_eq!(gap.on_a, Point3::new(85.0, 40.0, 930.0), epsilon = 1e-9);
}

/// A prism of 3 to 8 sides with corners on an ellipse, its sweep oblique, cut by a slanted plane
/// in half the cases, and put somewhere: the shapes that parts are made of.
fn any_piece() -> impl Strategy<Value = Convex> {
    let ring = (3_usize..=8, 10.0..60.0_f64, 10.0..60.0_f64, 0.0..1.0_f64);
    let sweep = ([-40.0..40.0, -40.0..40.0], 20.0..300.0);
    let cut = prop::option::of([-1.0..1.0, -1.0..1.0, -1.0..1.0_f64]);
    (ring, sweep, cut, any_motion(60.0)).prop_filter_map(
        "has volume",
        |((sides, wide, deep, twist), ([x, y], z), cut, motion)| {
            let ring: Vec<_> = (0..sides)
                .map(|i| (i as f64 + twist) * std::f64::consts::TAU / sides as f64)
                .map(|turn| Point3::new(wide * turn.cos(), deep * turn.sin(), 0.0))
                .collect();
            let sweep = Vector3::new(x, y, z);
            let whole = shifted(&Convex::prism(&ring, sweep)?, -sweep / 2.0);
            let piece = match cut {
                Some(normal) => {
                    whole.clip(&Plane::through(Point3::origin(), Vector3::from(normal))?)?
                }
                None => whole,
            };
            Some(moved(&piece, &motion))
        },
    )
}

fn any_motion(reach: f64) -> impl Strategy<Value = Isometry3<f64>> {
    let turn = [-3.0..3.0, -3.0..3.0, -3.0..3.0];
    ([-reach..reach, -reach..reach, -reach..reach], turn)
        .prop_map(|(by, turn)| Isometry3::new(Vector3::from(by), Vector3::from(turn)))
}

proptest! {
    #[test]
    fn the_depth_is_the_same_from_either_side(a in any_piece(), b in any_piece()) {
        let (there, back) = (separate(&a, &b).unwrap(), separate(&b, &a).unwrap());
        prop_assert!((there.depth - back.depth).abs() < SAME_POINT_MM);
        prop_assert_eq!(there.at.is_some(), back.at.is_some());
    }

    #[test]
    fn the_depth_parts_the_pieces_and_a_little_less_does_not(a in any_piece(), b in any_piece()) {
        let found = separate(&a, &b).unwrap();
        // About half the pairs overlap.
        if found.depth < 0.01 { return Ok(()) }
        let by = |share: f64| shifted(&b, found.direction.into_inner() * (share * found.depth));
        prop_assert!(overlap_volume(&a, &by(1.0 + 1e-9)) <= 0.0);
        prop_assert!(closest(&a, &by(1.001)).unwrap().distance > 0.0);
        prop_assert!(separate(&a, &by(0.98)).unwrap().depth > 0.0);
        prop_assert!(overlap_volume(&a, &by(0.98)) > 0.0);
    }

    #[test]
    fn no_random_way_out_is_shorter(a in any_piece(), b in any_piece(), way in [-1.0..1.0, -1.0..1.0, -1.0..1.0_f64]) {
        let found = separate(&a, &b).unwrap();
        // About half the pairs overlap.
        if found.depth < 0.01 { return Ok(()) }
        let Some(way) = Vector3::from(way).try_normalize(0.01) else { return Ok(()) };
        prop_assert!(overlap_volume(&a, &shifted(&b, way * (0.98 * found.depth))) > 0.0);
    }

    #[test]
    fn the_witness_lies_inside_both(a in any_piece(), b in any_piece()) {
        let found = separate(&a, &b).unwrap();
        prop_assert_eq!(found.at.is_some(), found.depth > 0.0, "depth {}", found.depth);
        if let Some(at) = found.at {
            for plane in a.planes().iter().chain(b.planes()) {
                prop_assert!(plane.distance(&at) < SAME_POINT_MM);
            }
        }
    }

    #[test]
    fn the_distance_agrees_in_sign_and_is_no_less_than_the_gap(a in any_piece(), b in any_piece(), by in any_motion(400.0)) {
        let b = moved(&b, &by);
        let (found, gap) = (separate(&a, &b).unwrap(), closest(&a, &b).unwrap());
        let together = matches!(parry::closest(&a, &b), Found::Together);
        if found.depth.abs() > SAME_POINT_MM {
            prop_assert_eq!(together, found.depth > 0.0);
            prop_assert_eq!(gap.distance > 0.0, found.depth < 0.0);
        }
        prop_assert!(gap.distance >= -found.depth - SAME_POINT_MM);
    }

    #[test]
    fn the_distance_is_that_of_the_nearest_features(a in any_piece(), b in any_piece(), by in any_motion(400.0)) {
        let b = moved(&b, &by);
        let (there, back) = (closest(&a, &b).unwrap(), closest(&b, &a).unwrap());
        prop_assert!((there.distance - back.distance).abs() < SAME_POINT_MM);
        if there.distance <= 0.0 { return Ok(()) }
        let (on_a, on_b) = features::closest(&a, &b).unwrap();
        prop_assert!((there.distance - (on_b - on_a).norm()).abs() < SAME_POINT_MM);
    }

    #[test]
    fn turning_the_whole_house_changes_no_depth_and_no_distance(
        a in any_piece(), b in any_piece(), by in any_motion(3000.0)
    ) {
        let (turned_a, turned_b) = (moved(&a, &by), moved(&b, &by));
        let (here, there) = (separate(&a, &b).unwrap(), separate(&turned_a, &turned_b).unwrap());
        prop_assert!((here.depth - there.depth).abs() < SAME_POINT_MM);
        let (near, far) = (closest(&a, &b).unwrap(), closest(&turned_a, &turned_b).unwrap());
        prop_assert!((near.distance - far.distance).abs() < SAME_POINT_MM);
    }

    #[test]
    fn faces_that_touch_are_no_distance_apart_wherever_they_stand(size in 10.0..80.0_f64, by in any_motion(4000.0)) {
        // The smaller lies on the middle of the greater's face, so that no edges meet.
        let a = cuboid([-100.0, -100.0, -50.0], [100.0, 100.0, 0.0]);
        let b = cuboid([-size, -size, 0.0], [size, size, 40.0]);
        let gap = closest(&moved(&a, &by), &moved(&b, &by)).unwrap();
        prop_assert!(gap.distance < SAME_POINT_MM, "{}", gap.distance);
    }

    #[test]
    fn a_part_cut_in_two_needs_no_shorter_way_out_than_whole(a in any_piece(), b in any_piece(), cut in [-1.0..1.0, -1.0..1.0, -1.0..1.0_f64]) {
        let Some(plane) = Plane::through(a.bounds().centre(), Vector3::from(cut)) else { return Ok(()) };
        let halves: Vec<_> = a.clip(&plane).into_iter().chain(a.clip(&plane.flipped())).collect();
        let depth = |pieces: Vec<Convex>| {
            let found = clashes(&parts(vec![part("a", pieces), part("b", vec![b.clone()])]));
            found.first().map_or(0.0, |clash| clash.depth)
        };
        // The way out of both halves parts the whole too, and none is shorter than the whole's least.
        prop_assert!(depth(halves) >= depth(vec![a.clone()]) - 2.0 * CONTACT_MM);
    }

    #[test]
    fn every_clash_is_found_that_trying_all_pairs_finds(pieces in prop::collection::vec((any_piece(), any_motion(150.0)), 2..12)) {
        let pieces: Vec<_> = pieces.iter().map(|(piece, by)| moved(piece, by)).collect();
        let solids = parts(pieces.iter().map(|piece| part("p", vec![piece.clone()])).collect());
        let mut expected = Vec::new();
        for (i, a) in pieces.iter().enumerate() {
            for (j, b) in pieces.iter().enumerate().skip(i + 1) {
                let depth = separate(a, b).unwrap().depth;
                if depth > CONTACT_MM {
                    expected.push((i, j, depth));
                }
            }
        }
        let found: Vec<_> = clashes(&solids).iter().map(|clash| (clash.a, clash.b, clash.depth)).collect();
        prop_assert_eq!(found, expected);
    }
}
