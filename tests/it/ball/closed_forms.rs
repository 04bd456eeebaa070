//! Openings whose ball is known in closed form.

use rakewell::inspect::ball::{Asked, Ball, largest_ball, passes};

use super::scenes::{INCH, Scene, plumb_posts, post, square_cell, stair_posts, triangle};

fn ball(scene: &Scene, limit: Option<f64>) -> Ball {
    largest_ball(&scene.pieces(), &scene.cell, &Asked::usual(limit))
}

#[track_caller]
fn assert_holds(ball: &Ball, expected: f64, width: f64) {
    let Ball { lower, upper, .. } = *ball;
    assert!(
        lower - 1e-6 <= expected && expected <= upper + 1e-6,
        "{expected} not in {lower}..{upper}"
    );
    assert!(
        upper - lower <= width + 1e-7,
        "{lower}..{upper} is wider than {width}"
    );
}

#[test]
fn between_parallel_posts_the_ball_is_the_gap() {
    for gap in [60.0, 95.0, 95.25, 101.6, 140.0] {
        assert_holds(&ball(&plumb_posts(gap), None), gap, 0.1);
        assert_holds(&ball(&stair_posts(gap), None), gap, 0.1);
    }
}

/// Incircle of a right triangle with legs a, b and hypotenuse c: diameter a + b - c. An overhang
/// lengthens the tread leg by itself, a raised rail both legs in proportion. The numbers are
/// worked by hand; 7.5 in 10 is the 3-4-5 triangle.
#[test]
fn the_triangle_of_kick_tread_and_bottom_rail_is_its_incircle() {
    for (rise, going, overhang, raised, inches) in [
        (7.5, 10.0, 0.0, 0.0, 5.0),
        (7.5, 10.0, 0.0, 1.5, 6.0),
        (7.5, 10.0, 1.0, 0.0, 5.5),
        (7.5, 10.0, 1.0, 0.75, 6.0),
        (7.75, 10.0, 0.0, 0.0, 5.0984),
        (7.0, 11.0, 0.0, 0.0, 4.9616),
        (8.25, 9.0, 0.0, 0.0, 5.0409),
    ] {
        let scene = triangle(rise, going, overhang, raised);
        let Ball { lower, upper, .. } = ball(&scene, None);
        // The last three are rounded to 1e-4 in.
        let expected = inches * INCH;
        assert!(
            lower - 0.002 <= expected && expected <= upper + 0.002,
            "{expected} not in {lower}..{upper}"
        );
        assert!(upper - lower <= 0.1 + 1e-7, "{lower}..{upper}");
    }
}

/// IRC 2018 R312.1.3 wants a 4 in sphere not to pass: an opening of exactly 4 in lets it.
#[test]
fn at_the_limit_the_bounds_are_as_close_as_a_verdict_needs() {
    let limit = 4.0 * INCH;
    assert_holds(&ball(&plumb_posts(limit), Some(limit)), limit, 1e-4);
    // A little less is shown to be less, however close that takes.
    let less = 3.999 * INCH;
    let shown = ball(&plumb_posts(less), Some(limit));
    assert_holds(&shown, less, 0.1);
    assert!(shown.upper < limit, "{shown:?}");
    let judged = |gap: f64| {
        let scene = stair_posts(gap);
        passes(&scene.pieces(), &scene.cell, limit, 1e-4)
    };
    assert_eq!(judged(3.999 * INCH), Some(false));
    assert_eq!(judged(4.001 * INCH), Some(true));
}

#[test]
fn the_triangle_is_judged_at_its_limit() {
    // 7.5 in 10 with 1 in overhang and the rail raised 3/4 in is exactly 6 in (IRC 2018 R312.1.3,
    // exception 1).
    let limit = 6.0 * INCH;
    assert_holds(
        &ball(&triangle(7.5, 10.0, 1.0, 0.75), Some(limit)),
        limit,
        1e-4,
    );
    for (raised, expected) in [(0.74, false), (0.76, true)] {
        let scene = triangle(7.5, 10.0, 1.0, raised);
        assert_eq!(
            passes(&scene.pieces(), &scene.cell, limit, 1e-4),
            Some(expected)
        );
    }
}

/// Two posts that lean the same way stand closer square to themselves than they do level: a post
/// that leans `u` along the rail over a height `h` makes the level gap `h / sqrt(h^2 + u^2)` of it
/// (similar triangles). A lean through the opening changes nothing.
#[test]
fn between_posts_that_lean_together_the_gap_is_taken_square_to_them() {
    for (u, v) in [(0.0, 40.0), (60.0, 0.0), (-90.0, 30.0)] {
        let high = 800.0_f64;
        let leaning = |x: f64| post([x, 0.0, 0.0], [x + u, v, high], 32.0, 4, 0.0);
        let solids = vec![leaning(-66.0), leaning(66.0)];
        let cell = square_cell(
            [-66.0 + u.min(0.0), -100.0, 300.0],
            [66.0 + u.max(0.0), 100.0, 500.0],
        );
        let scene = Scene { solids, cell };
        assert_holds(&ball(&scene, None), 100.0 * high / high.hypot(u), 0.1);
    }
}

/// The thinnest height of turned parts governs (common practice, no source): plain necks 24 mm
/// thick and longer than the ball, between thicker ends.
#[test]
fn between_turned_posts_the_thinnest_height_governs() {
    let turned = |x: f64| {
        let part =
            |from: f64, to: f64, thick: f64| post([x, 0.0, from], [x, 0.0, to], thick, 16, 0.0);
        [
            part(0.0, 200.0, 40.0),
            part(200.0, 550.0, 24.0),
            part(550.0, 800.0, 34.0),
        ]
    };
    let solids = [turned(-65.0), turned(65.0)].concat();
    let scene = Scene {
        solids,
        cell: square_cell([-65.0, -80.0, 0.0], [65.0, 80.0, 800.0]),
    };
    assert_holds(&ball(&scene, None), 130.0 - 24.0, 0.1);
    assert_holds(&ball(&scene, Some(106.0)), 130.0 - 24.0, 1e-4);
}
