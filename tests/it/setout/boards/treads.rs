//! Treads: square ones, scribed ones, ones that were read, and whether they tilt in.

use approx::assert_relative_eq;
use nalgebra::{Matrix2, Vector2};
use proptest::prelude::*;
use rakewell::job::{Len, Meets};
use rakewell::measure::{Angle, Length};
use rakewell::setout::boards::boards;
use rakewell::survey::PlanePart;

use super::{SKIRTS, cut, found, inches, with};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn a_true_stair_has_square_treads(
        rise in 6.0..8.25_f64,
        going in 9.0..12.0_f64,
        width in 30.0..48.0_f64,
        overhang in 0.0..1.5_f64,
    ) {
        let mut job = with(SKIRTS);
        job.flight.rise = Len::inches(rise);
        job.flight.going = Len::inches(going);
        job.flight.width = Len::inches(width);
        job.flight.overhang = Len::inches(overhang);
        let boards = cut(&job);
        prop_assert_eq!(boards.treads.len(), 13);
        for tread in &boards.treads {
            for length in [tread.front, tread.back] {
                prop_assert!((inches(length) - width).abs() < 1e-6);
            }
            for length in [tread.depth.0, tread.depth.1] {
                prop_assert!((inches(length) - going - overhang).abs() < 1e-6);
            }
            for end in [&tread.left, &tread.right] {
                prop_assert!((end.angle.as_degrees() - 90.0).abs() < 1e-6);
            }
            // An inch and a quarter more than the finished board: the usual blank.
            prop_assert!((inches(tread.blank.length) - width - 1.0).abs() < 1e-6);
            prop_assert!((inches(tread.blank.depth) - going - overhang - 0.25).abs() < 1e-6);
        }
        for kick in &boards.kicks {
            // From the wall-side skirt to the outside of the open one, under the return.
            prop_assert!((inches(kick.bottom) - width + overhang).abs() < 1e-6);
            prop_assert!((inches(kick.top) - width + overhang).abs() < 1e-6);
            for end in [&kick.left, &kick.right] {
                prop_assert!((end.angle.as_degrees() - 90.0).abs() < 1e-6);
            }
        }
    }
}

#[test]
fn common_practice_undercuts_unless_the_job_says_otherwise() {
    // Common practice, no source: tread back 5, ends 1 1/2, one relieved to 5; kick ends and top 5.
    let boards = cut(&with(&format!("{SKIRTS} boards: (open_end: Wall),")));
    let tread = &boards.treads[0];
    assert_relative_eq!(tread.back_undercut.as_degrees(), 5.0, epsilon = 1e-9);
    for end in [&tread.left, &tread.right] {
        assert_relative_eq!(end.undercut.as_degrees(), 1.5, epsilon = 1e-9);
    }
    assert!(tread.left.relief.is_none());
    let (short, relief) = tread.right.relief.unwrap();
    assert_relative_eq!(inches(short), 1.5, epsilon = 1e-9);
    assert_relative_eq!(relief.as_degrees(), 5.0, epsilon = 1e-9);
    let kick = &boards.kicks[0];
    assert_relative_eq!(kick.top_undercut.as_degrees(), 5.0, epsilon = 1e-9);
    assert_relative_eq!(kick.left.tilt.as_degrees(), 5.0, epsilon = 1e-9);
    // The hidden face is the short one, by an inch of tread at each tangent.
    let under = |degrees: f64| degrees.to_radians().tan();
    assert_relative_eq!(
        inches(tread.under.0),
        38.0 - 2.0 * under(1.5),
        epsilon = 1e-9
    );
    assert_relative_eq!(
        inches(tread.under.1),
        38.0 - under(1.5) - under(5.0),
        epsilon = 1e-9
    );
    let other = cut(&with(&format!(
        "{SKIRTS} boards: (open_end: Wall, undercut: (tread_ends: 2, relief: 4, relieved: Left,
         relief_short: \"2\", tread_back: 3, kick_ends: 1, kick_top: 7), blank: (length: 2)),"
    )));
    let tread = &other.treads[0];
    assert_relative_eq!(tread.back_undercut.as_degrees(), 3.0, epsilon = 1e-9);
    assert_relative_eq!(tread.right.undercut.as_degrees(), 2.0, epsilon = 1e-9);
    assert!(tread.left.relief.is_some() && tread.right.relief.is_none());
    assert_relative_eq!(
        other.kicks[0].top_undercut.as_degrees(),
        7.0,
        epsilon = 1e-9
    );
    assert_relative_eq!(inches(tread.blank.length), 40.0, epsilon = 1e-9);
}

#[test]
fn scribed_ends_rebuilt_from_four_lines() {
    // Kicks skewed, tread ends drifting: corners by two-by-two systems in plan, apart from the
    // program's own.
    let readings: String = (1..=13)
        .map(|step| format!("Edge(step: {step}, is: 2), Width(step: {step}, is: 38),"))
        .collect();
    let text = super::TRUE_FLIGHT.replacen("readings: [", &format!("readings: [{readings}"), 1);
    let job = super::job(&text.replacen("    design: (", &format!("{SKIRTS} design: ("), 1));
    // Those readings only say that the ends were read: the stair is made as it is wanted here.
    let mut site = found(&job);
    let (skew, back_skew) = (0.012, -0.007);
    for step in &mut site.steps {
        step.skew = skew;
        step.back_skew = back_skew;
    }
    let drift = |x: f64| (0.004 * x, 0.009 * x);
    for step in &mut site.steps {
        // The end's place hangs on the skew, and half way along it on the end's place.
        for _ in 0..30 {
            let middles = [step.open_q, step.wall_q]
                .map(|q| f64::midpoint(step.nosing_at(q), step.back_at(q)));
            step.open_q = 55.0 + drift(middles[0]).0;
            step.wall_q = -900.0 + drift(middles[1]).1;
        }
    }
    let boards = boards(&job, &site);
    for (tread, step) in boards.treads.iter().zip(&site.steps) {
        // x - skew q = x0, and q - slope x = q0.
        let corner = |x0: f64, skew: f64, q0: f64, slope: f64| {
            let lines = Matrix2::new(1.0, -skew, -slope, 1.0);
            lines.lu().solve(&Vector2::new(x0, q0)).unwrap()
        };
        let (nosing, back) = (step.nosing_x(), step.back_x());
        let left = [
            corner(nosing, skew, 55.0, 0.004),
            corner(back, back_skew, 55.0, 0.004),
        ];
        let right = [
            corner(nosing, skew, -900.0, 0.009),
            corner(back, back_skew, -900.0, 0.009),
        ];
        let angle = |at: Vector2<f64>, a: Vector2<f64>, b: Vector2<f64>| {
            (a - at).angle(&(b - at)).to_degrees()
        };
        let close = |found: f64, rebuilt: f64| assert_relative_eq!(found, rebuilt, epsilon = 1e-6);
        close(tread.front.as_mm(), (left[0] - right[0]).norm());
        close(tread.back.as_mm(), (left[1] - right[1]).norm());
        close(
            tread.left.angle.as_degrees(),
            angle(left[0], right[0], left[1]),
        );
        close(
            tread.right.angle.as_degrees(),
            angle(right[0], left[0], right[1]),
        );
        // Twice the area over the nosing is the depth at the back's ends: shoelace.
        let twice =
            |a: Vector2<f64>, b: Vector2<f64>, c: Vector2<f64>| (b - a).perp(&(c - a)).abs();
        let front = (left[0] - right[0]).norm();
        close(
            tread.depth.0.as_mm(),
            twice(right[0], left[0], left[1]) / front,
        );
        close(
            tread.depth.1.as_mm(),
            twice(left[0], right[0], right[1]) / front,
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]
    #[test]
    fn a_leaning_wall_takes_its_lean_times_the_height(lean in -0.01..0.01_f64, splay in -0.01..0.01_f64) {
        // Treads that meet the wall itself, with no skirt.
        let job = with("");
        let mut site = found(&job);
        let (foot, middle) = (site.walls[0].foot, site.walls[0].length() / 2.0);
        let plane = PlanePart { offset: 0.0, splay, lean };
        site.walls[0].field = site.walls[0].field.without_bow().with_plane(plane);
        let start = site.walls[0].from.x;
        let off = |x: f64, z: f64| splay * (x - start - middle) + lean * (z - foot);
        for (tread, step) in boards(&job, &site).treads.iter().zip(&site.steps) {
            prop_assert_eq!(tread.right.meets, Meets::Wall);
            let width = |x: f64| 38.0 * 25.4 - off(x, step.height);
            // The wall is met a hair off the straight, where the top is not quite level along it.
            prop_assert!((tread.front.as_mm() - width(step.nosing_x())).abs() < 1e-3);
            prop_assert!((tread.back.as_mm() - width(step.back_x())).abs() < 1e-3);
            let turn = splay.atan().to_degrees();
            prop_assert!((tread.right.angle.as_degrees() - 90.0 + turn).abs() < 1e-3);
        }
    }
}

#[test]
fn a_tread_read_with_a_template_is_cut_to_that() {
    let boards = cut(&with(&format!(
        "{SKIRTS} boards: (open_end: Wall, treads: [
            (step: 4, front: \"37 1/2\", back: \"37 5/8\", left: 90),
            (step: 6, front: \"38\", back: \"38 1/4\", left: 90, right: 90)]),"
    )));
    let tread = &boards.treads[3];
    assert!(tread.read && !boards.treads[4].read);
    assert_relative_eq!(inches(tread.front), 37.5, epsilon = 1e-9);
    assert_relative_eq!(inches(tread.back), 37.625, epsilon = 1e-9);
    assert_relative_eq!(tread.left.angle.as_degrees(), 90.0, epsilon = 1e-9);
    // An eighth wider over 11 1/4 of depth, all of it at the right.
    let turn = (0.125_f64 / 11.25).atan().to_degrees();
    assert_relative_eq!(tread.right.angle.as_degrees(), 90.0 + turn, epsilon = 1e-9);
    // Square ends do not make a back a quarter wider.
    let disagree = boards.treads[5].disagree.unwrap();
    assert_relative_eq!(inches(disagree), 0.25, epsilon = 1e-9);
    assert_relative_eq!(inches(boards.treads[5].back), 38.25, epsilon = 1e-9);
}

#[test]
fn a_tread_between_two_skirts_tilts_in_with_the_usual_relief() {
    let boards = cut(&with(&format!("{SKIRTS} boards: (open_end: Skirt),")));
    for tread in &boards.treads {
        let tilt = tread.tilt.unwrap();
        assert!(tilt.passes());
        // The least undercut of an inch of tread in a gap of 38: by Pythagoras, the reach under it
        // is the root of 38 squared less 1.
        let least = (38.0 - f64::from(38 * 38 - 1).sqrt()).atan();
        let told = tilt.front.least_undercut.as_radians();
        assert_relative_eq!(told, least, epsilon = 1e-9);
        assert_relative_eq!(inches(tilt.rest.greatest), 38.0, epsilon = 1e-9);
    }
    // Square ends bind, whatever the skirts' slack in theory: the answer is a shorter board.
    let square = cut(&with(&format!(
        "{SKIRTS} boards: (open_end: Skirt, undercut: (tread_ends: 0, relief: 0)),"
    )));
    let tilt = square.treads[0].tilt.unwrap();
    assert!(!tilt.passes());
    assert_relative_eq!(
        inches(tilt.tight().greatest),
        f64::from(38 * 38 - 1).sqrt(),
        epsilon = 1e-9
    );
    // A tread with an open end slides in.
    assert!(cut(&with(SKIRTS)).treads[0].tilt.is_none());
}

#[test]
fn a_return_nosing_takes_its_width_off_the_back() {
    let boards = cut(&with(SKIRTS));
    let tread = &boards.treads[0];
    let one = tread.left.returned.unwrap();
    assert!(tread.right.returned.is_none());
    assert_relative_eq!(inches(one.width), 1.25, epsilon = 1e-9);
    assert_relative_eq!(inches(one.body_back), 36.75, epsilon = 1e-9);
    assert_relative_eq!(one.mitre.as_degrees(), 45.0, epsilon = 1e-9);
    // It runs on past the kick behind by the overhang, and stands as far beyond the skirt.
    assert_relative_eq!(inches(one.length), 11.25 + 1.0, epsilon = 1e-9);
    assert_relative_eq!(inches(one.beyond_skirt), 1.0, epsilon = 1e-9);
    let own = cut(&with(&format!(
        "{SKIRTS} boards: (returns: (width: 0, past: \"1/2\")),"
    )));
    let one = own.treads[0].left.returned.unwrap();
    assert_relative_eq!(inches(one.body_back), 38.0, epsilon = 1e-9);
    assert_relative_eq!(inches(one.length), 11.75, epsilon = 1e-9);
}

#[test]
fn the_other_hand_is_the_mirror_image() {
    let text = super::TRUE_FLIGHT.replacen(
        "readings: [",
        "readings: [Level(step: 7, is: \"1/8\", high: Wall), Edge(step: 3, is: \"2\"),
         Width(step: 5, is: \"37 3/4\"), Width(step: 9, is: 38),",
        1,
    );
    let left = super::job(&text.replacen("    design: (", &format!("{SKIRTS}\n    design: ("), 1));
    let mut right = left.clone();
    right.flight.open_side = rakewell::job::Hand::Right;
    right.walls.clear();
    let mut without = left.clone();
    without.walls.clear();
    let (left, right) = (cut(&without), cut(&right));
    let same = |a: Length, b: Length| assert_relative_eq!(a.as_mm(), b.as_mm(), epsilon = 1e-6);
    let turned = |a: Angle, b: Angle| {
        assert_relative_eq!(a.as_degrees(), b.as_degrees(), epsilon = 1e-6);
    };
    for (a, b) in left.treads.iter().zip(&right.treads) {
        same(a.front, b.front);
        same(a.back, b.back);
        turned(a.left.angle, b.right.angle);
        turned(a.right.angle, b.left.angle);
        same(a.depth.0, b.depth.1);
    }
    for (a, b) in left.kicks.iter().zip(&right.kicks) {
        same(a.bottom, b.bottom);
        same(a.height.0, b.height.1);
        turned(a.left.angle, b.right.angle);
        turned(a.left.tilt, b.right.tilt);
    }
    for (a, b) in left.open_skirts[0]
        .steps
        .iter()
        .zip(&right.open_skirts[0].steps)
    {
        same(a.mark, b.mark);
        same(a.plumb, b.plumb);
    }
    assert_ne!(left.open_skirts[0].hand, right.open_skirts[0].hand);
}

#[test]
fn a_flight_open_on_both_sides_has_two_returns() {
    let text = include_str!("../../../../scenes/open-both-sides.ron");
    let boards = cut(&super::job(text));
    for tread in &boards.treads {
        for end in [&tread.left, &tread.right] {
            let one = end.returned.unwrap();
            // Both returns are off the back of 38, and each end stands an inch out.
            assert_relative_eq!(inches(one.body_back), 38.0 - 2.5, epsilon = 1e-9);
            assert_relative_eq!(inches(one.beyond_skirt), 1.0, epsilon = 1e-9);
        }
        assert!(tread.tilt.is_none());
    }
    // Kicks end under the overhang on both sides.
    for kick in &boards.kicks {
        assert_relative_eq!(inches(kick.bottom), 36.0, epsilon = 1e-9);
    }
}
