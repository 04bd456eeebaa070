//! What must hold for any opening: bounds in order, and no change where the geometry has none.

use nalgebra::{Isometry3, Point3, Vector3};
use proptest::prelude::*;
use rakewell::inspect::ball::{Asked, Ball, Cell, largest_ball};
use rakewell::solids::Convex;

use super::scenes::{Leaning, Scene, leaning_posts};

/// The bounds may each be off by this much more than they say: rounding of moved corners.
const ROUNDING: f64 = 1e-6;

pub(super) fn any_leaning() -> impl Strategy<Value = Leaning> {
    let lean = || prop::array::uniform2(-25.0..25.0);
    let sides = prop_oneof![Just(4_usize), Just(8), Just(16)];
    let thick = prop_oneof![Just(32.0), Just(90.0)];
    (
        60.0..140.0,
        sides,
        [lean(), lean()],
        prop::array::uniform2(-0.1..0.1),
        thick,
        0.0..0.9,
    )
        .prop_map(|(gap, sides, lean, turn, thick, slope)| Leaning {
            gap,
            sides,
            lean,
            turn,
            thick,
            slope,
        })
}

fn ball(scene: &Scene) -> Ball {
    largest_ball(&scene.pieces(), &scene.cell, &Asked::usual(None))
}

/// Both bounds hold one value, so two answers to one question overlap.
fn assert_same(a: &Ball, b: &Ball) {
    assert!(
        a.lower <= b.upper + ROUNDING && b.lower <= a.upper + ROUNDING,
        "{a:?} against {b:?}"
    );
}

fn rebuilt(
    solid: &Convex,
    place: impl Fn(&Point3<f64>) -> Point3<f64>,
    turned_over: bool,
) -> Convex {
    let corners = solid.corners().iter().map(place).collect();
    let faces = solid.faces().iter().cloned().map(|mut face| {
        if turned_over {
            face.reverse();
        }
        face
    });
    Convex::from_faces(corners, faces.collect()).unwrap()
}

fn each(scene: &Scene, place: impl Fn(&Convex) -> Convex) -> Vec<Convex> {
    scene.solids.iter().map(place).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_bounds_stand_in_order_and_close_together(leaning in any_leaning()) {
        let Ball { lower, upper, centre } = ball(&leaning_posts(&leaning));
        prop_assert!(lower <= upper);
        prop_assert!(upper - lower <= 0.1 + ROUNDING, "{lower}..{upper}");
        prop_assert!(centre.coords.iter().all(|x| x.is_finite()));
    }

    #[test]
    fn shrinking_the_pieces_never_lowers_the_ball(leaning in any_leaning()) {
        let scene = leaning_posts(&leaning);
        let before = ball(&scene);
        let solids = each(&scene, |solid| {
            let middle = solid.bounds().centre();
            rebuilt(solid, |corner| middle + (corner - middle) * 0.97, false)
        });
        let after = ball(&Scene { solids, cell: scene.cell });
        prop_assert!(after.upper + ROUNDING >= before.lower, "{before:?} then {after:?}");
    }

    #[test]
    fn a_mirrored_opening_has_the_same_ball(leaning in any_leaning()) {
        let scene = leaning_posts(&leaning);
        for axis in [0, 1] {
            let mirror = |point: &Point3<f64>| {
                let mut point = *point;
                point[axis] = -point[axis];
                point
            };
            let solids = each(&scene, |solid| rebuilt(solid, mirror, true));
            let middle = mirror(&Point3::from(scene.cell.frame.translation.vector));
            let cell = Cell { frame: Isometry3::from(middle.coords), half: scene.cell.half };
            assert_same(&ball(&scene), &ball(&Scene { solids, cell }));
        }
    }

    #[test]
    fn an_opening_moved_as_a_whole_has_the_same_ball(
        leaning in any_leaning(),
        turn in prop::array::uniform3(-3.0..3.0),
        shift in prop::array::uniform3(-5000.0..5000.0),
    ) {
        let scene = leaning_posts(&leaning);
        let moved = Isometry3::new(Vector3::from(shift), Vector3::from(turn));
        let solids = each(&scene, |solid| rebuilt(solid, |corner| moved * corner, false));
        let cell = Cell { frame: moved * scene.cell.frame, half: scene.cell.half };
        let (before, after) = (ball(&scene), ball(&Scene { solids, cell }));
        assert_same(&before, &after);
    }

    /// Clearance has Lipschitz constant 1 in the place of any piece too.
    #[test]
    fn moving_one_piece_changes_the_ball_by_no_more_than_twice_as_much(
        leaning in any_leaning(),
        shift in prop::array::uniform3(-3.0..3.0),
        moved in 0_usize..4,
    ) {
        let scene = leaning_posts(&leaning);
        let before = ball(&scene);
        let shift = Vector3::from(shift);
        let mut solids = scene.solids.clone();
        solids[moved] = rebuilt(&solids[moved], |corner| corner + shift, false);
        let after = ball(&Scene { solids, cell: scene.cell });
        let most = 2.0 * shift.norm() + ROUNDING;
        prop_assert!(after.lower <= before.upper + most && before.lower <= after.upper + most);
    }
}
