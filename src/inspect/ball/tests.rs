//! Each part of the engines against something outside it: parry3d's distances, sampling, games
//! with known values, and the engines against each other.

use super::game::{CORNERS, Row, solve};
use super::hull::{EVERY, Hull};
use super::piece::Piece;
use super::*;
use parry3d::math::Vector;
use parry3d::query::PointQuery;
use parry3d::shape::ConvexPolyhedron;
use proptest::prelude::*;

/// A post with its axis from `base` to `top`, cut at the top by a slanted plane.
fn post(base: [f64; 3], top: [f64; 3], thick: f64, sides: usize) -> Convex {
    let ring: Vec<_> = (0..sides)
        .map(|side| (side as f64 + 0.5) / sides as f64 * std::f64::consts::TAU)
        .map(|turn| Point3::from(base) + Vector3::new(turn.cos(), turn.sin(), 0.0) * (thick / 2.0))
        .collect();
    let whole = Convex::prism(&ring, Vector3::from(top) - Vector3::from(base)).unwrap();
    let cut =
        crate::solids::Plane::through(Point3::from(top), Vector3::new(0.4, 0.2, 1.0)).unwrap();
    whole.clip(&cut).unwrap()
}

fn cuboid(low: [f64; 3], high: [f64; 3]) -> Convex {
    Convex::cuboid(Point3::from(low), Point3::from(high)).unwrap()
}

fn scene(solids: &[Convex], half: [f64; 3]) -> Scene {
    let cell = Cell {
        frame: Isometry3::identity(),
        half: Vector3::from(half),
    };
    Scene::new(&solids.iter().collect::<Vec<_>>(), &cell)
}

/// Two leaning posts, a floor and a rail on the rake.
fn opening(gap: f64, leans: [[f64; 2]; 2], sides: usize) -> Scene {
    let leaning =
        |x: f64, [u, v]: [f64; 2]| post([x - u, -v, -320.0], [x + u, v, 330.0], 36.0, sides);
    let side = gap / 2.0 + 16.0;
    let rail: Vec<_> = [
        [-200.0, 120.0],
        [200.0, 420.0],
        [200.0, 500.0],
        [-200.0, 200.0],
    ]
    .iter()
    .map(|&[x, z]| Point3::new(x, -30.0, z))
    .collect();
    let solids = [
        leaning(-side, leans[0]),
        leaning(side, leans[1]),
        cuboid([-200.0, -300.0, -330.0], [200.0, 50.0, -300.0]),
        Convex::prism(&rail, Vector3::new(0.0, 60.0, 0.0)).unwrap(),
    ];
    scene(&solids, [side, 70.0, 300.0])
}

fn point(reach: f64) -> impl Strategy<Value = Point3<f64>> {
    prop::array::uniform3(-reach..reach).prop_map(Point3::from)
}

fn any_opening() -> impl Strategy<Value = Scene> {
    let lean = || prop::array::uniform2(-10.0..10.0);
    let sides = prop_oneof![Just(4_usize), Just(6), Just(16)];
    (60.0..130.0, [lean(), lean()], sides)
        .prop_map(|(gap, leans, sides)| opening(gap, leans, sides))
}

fn rows(table: &[&[f64]]) -> Vec<Row> {
    let row = |(piece, values): (usize, &&[f64])| {
        let mut at = [0.0; CORNERS];
        at[..values.len()].copy_from_slice(values);
        Row { piece, at }
    };
    table.iter().enumerate().map(row).collect()
}

/// Games every textbook solves: matching pennies and stone-paper-scissors are worth 0; the third
/// mixes to (2*4 - 1*3) / (2 + 4 - 1 - 3) = 5/2 where it has no saddle.
#[test]
fn games_have_their_known_values() {
    for (table, corners, value) in [
        (vec![&[1.0, -1.0][..], &[-1.0, 1.0]], 2, 0.0),
        (
            vec![&[0.0, 1.0, -1.0][..], &[-1.0, 0.0, 1.0], &[1.0, -1.0, 0.0]],
            3,
            0.0,
        ),
        (vec![&[2.0, 3.0][..], &[4.0, 1.0]], 2, 2.5),
        (vec![&[5.0, 7.0][..], &[6.0, 9.0]], 2, 7.0),
    ] {
        let solved = solve(&rows(&table), corners).unwrap();
        assert!(
            (solved.upper - value).abs() < 1e-9,
            "{} is not {value}",
            solved.upper
        );
    }
}

#[test]
fn with_nothing_in_the_way_there_is_no_bound() {
    let cell = Cell {
        frame: Isometry3::identity(),
        half: Vector3::new(1.0, 1.0, 1.0),
    };
    let ball = largest_ball(&[], &cell, &Asked::usual(Some(101.6)));
    assert!(ball.lower.is_infinite() && ball.upper.is_infinite());
    assert_eq!(passes(&[], &cell, 101.6, 1e-4), Some(true));
}

/// A cell without width is a line: from 30 to 50 mm before a slab's middle, 25 mm at least from its
/// face.
#[test]
fn a_cell_without_width_is_a_line() {
    let slab = cuboid([-100.0, -5.0, -100.0], [100.0, 5.0, 100.0]);
    for half in [0.0, -1.0] {
        let frame = Isometry3::translation(0.0, 40.0, 0.0);
        let cell = Cell {
            frame,
            half: Vector3::new(half, 10.0, half),
        };
        let ball = largest_ball(&[&slab], &cell, &Asked::usual(None));
        assert!(
            ball.lower <= 50.0 && 50.0 <= ball.upper && ball.upper - ball.lower <= 0.1,
            "{ball:?}"
        );
    }
}

/// Numbers that are none are refused where a job is read; if one came this far, no bound may be
/// made of it and nothing may panic.
#[test]
fn numbers_that_are_none_make_no_verdict() {
    let slab = cuboid([-100.0, -5.0, -100.0], [100.0, 5.0, 100.0]);
    let frame = Isometry3::translation(f64::NAN, 0.0, 0.0);
    for half in [50.0, f64::NAN, f64::INFINITY] {
        let cell = Cell {
            frame,
            half: Vector3::new(half, 10.0, half),
        };
        assert_eq!(passes(&[&slab], &cell, 50.0, 1e-4), None);
    }
}

#[test]
fn a_sealed_opening_lets_no_ball_pass() {
    let slab = cuboid([-100.0, -5.0, -100.0], [100.0, 5.0, 100.0]);
    let cell = Cell {
        frame: Isometry3::identity(),
        half: Vector3::new(80.0, 60.0, 80.0),
    };
    let ball = largest_ball(&[&slab], &cell, &Asked::usual(None));
    assert!(ball.lower.abs() < 1e-9 && ball.upper < 1e-6, "{ball:?}");
    assert_eq!(passes(&[&slab], &cell, 10.0, 1e-4), Some(false));
}

/// Two slabs across the cell with doors at opposite ends, 70 mm apart: no straight way through, and
/// the passage between the slabs is the tightest part of the crooked one.
#[test]
fn round_two_bends_the_passage_governs() {
    let slabs = [
        cuboid([-100.0, -60.0, -500.0], [300.0, -35.0, 500.0]),
        cuboid([-300.0, 35.0, -500.0], [100.0, 60.0, 500.0]),
        cuboid([-320.0, -200.0, -500.0], [-200.0, 200.0, 500.0]),
        cuboid([200.0, -200.0, -500.0], [320.0, 200.0, 500.0]),
    ];
    let cell = Cell {
        frame: Isometry3::identity(),
        half: Vector3::new(200.0, 120.0, 100.0),
    };
    let ball = largest_ball(
        &slabs.iter().collect::<Vec<_>>(),
        &cell,
        &Asked::usual(None),
    );
    assert!(
        ball.lower <= 70.0 && 70.0 <= ball.upper && ball.upper - ball.lower <= 0.1 + 1e-7,
        "{ball:?}"
    );
}

/// What is asked for beyond the budget is not made up: the bounds come back wide, and still hold.
#[test]
fn a_spent_budget_leaves_honest_bounds() {
    let scene = opening(90.0, [[6.0, -9.0], [-4.0, 8.0]], 16);
    let goal = Goal {
        asked: Asked::usual(None),
        decide: false,
    };
    let mut exact = Known::nothing();
    curtains(&scene, &goal, &mut exact);
    let sought = tree::Sought {
        upper: f64::INFINITY,
        enough: 0.0,
        slack: 0.01,
        budget: 12,
    };
    let found = tree::widest(&scene, &sought);
    assert!(found.way.is_none() && found.spent >= 12);
    assert!(found.upper >= exact.lower);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn distances_agree_with_parry(
        base in prop::array::uniform2(-60.0..60.0),
        sides in 3_usize..12,
        points in prop::collection::vec(point(150.0), 40),
    ) {
        let solid = post([base[0], base[1], -80.0], [0.0, 0.0, 70.0], 60.0, sides);
        let piece = Piece::new(&solid, &Isometry3::identity());
        let corners: Vec<_> = solid.corners().iter().map(|p| Vector::new(p.x, p.y, p.z)).collect();
        let hull = ConvexPolyhedron::from_convex_hull(&corners).unwrap();
        for point in points {
            let near = piece.near(&point);
            let outside = hull.distance_to_local_point(Vector::new(point.x, point.y, point.z), true);
            prop_assert!((near.distance.max(0.0) - outside).abs() < 1e-5, "{near:?} against {outside}");
            let deepest = solid.planes().iter().map(|plane| plane.distance(&point)).fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(near.distance > 0.0 || (near.distance - deepest).abs() < 1e-9);
            prop_assert!((near.away.norm() - 1.0).abs() < 1e-9);
            prop_assert!(piece.box_square(&point).sqrt() <= near.distance.max(0.0) + 1e-9);
        }
    }

    #[test]
    fn clearance_never_changes_faster_than_the_point_moves(
        scene in any_opening(), a in point(120.0), b in point(120.0),
    ) {
        let change = (scene.clearance(&a) - scene.clearance(&b)).abs();
        prop_assert!(change <= (a - b).norm() + 1e-9);
    }

    #[test]
    fn a_segment_is_as_tight_as_its_tightest_sample(
        scene in any_opening(), a in point(100.0), b in point(100.0),
    ) {
        let tight = scene.along(a, b, f64::NEG_INFINITY);
        let sampled = (0..=1000)
            .map(|i| scene.clearance(&(a + (b - a) * (f64::from(i) / 1000.0))))
            .fold(f64::INFINITY, f64::min);
        let step = (b - a).norm() / 1000.0;
        prop_assert!(tight.clearance <= sampled + 1e-9, "{tight:?} is over {sampled}");
        prop_assert!(tight.clearance >= sampled - step);
        prop_assert!((scene.clearance(&tight.at) - tight.clearance).abs() < 1e-6);
    }

    #[test]
    fn no_point_of_a_hull_is_over_its_bound(
        scene in any_opening(),
        corners in prop::collection::vec(point(100.0), 8),
        shares in prop::collection::vec(prop::array::uniform8(0.0..1.0), 20),
    ) {
        let hull = Hull::new(&scene, &corners, EVERY);
        for shares in shares {
            let total: f64 = shares.iter().sum();
            let at = corners.iter().zip(shares).fold(Vector3::zeros(), |sum, (corner, share)| {
                sum + corner.coords * (share / total.max(1e-3))
            });
            prop_assert!(scene.clearance(&Point3::from(at)) <= hull.upper + 1e-9);
        }
    }

    #[test]
    fn the_curtains_and_the_tree_agree(scene in any_opening()) {
        let goal = Goal { asked: Asked::usual(None), decide: false };
        let (mut hung, mut grown) = (Known::nothing(), Known::nothing());
        curtains(&scene, &goal, &mut hung);
        boxes(&scene, &goal, &mut grown);
        prop_assert!(hung.lower <= grown.upper + 1e-9 && grown.lower <= hung.upper + 1e-9, "{hung:?} {grown:?}");
        prop_assert!(grown.enough(&goal), "{grown:?}");
    }
}
