//! Tapes against closed forms and handbooks.

use super::*;
use crate::solids::{Convex, Part, PartKind};
use approx::assert_relative_eq;
use proptest::prelude::*;

fn flat() -> Frame {
    Frame {
        origin: Point3::origin(),
        turn: Angle::radians(0.0),
    }
}

fn level() -> Rake {
    Rake {
        frame: flat(),
        pitch: Pitch::from_slope(0.0),
    }
}

fn point(x: f64, y: f64, z: f64) -> Hold {
    Hold {
        pieces: vec![vec![Point3::new(x, y, z)]],
        way: None,
    }
}

fn line(from: [f64; 3], to: [f64; 3]) -> Hold {
    let (from, to) = (Point3::from(from), Point3::from(to));
    Hold {
        pieces: vec![vec![from, to]],
        way: Some(Way::Along(Unit::new_normalize(to - from))),
    }
}

/// A box of this size with its least corner at the origin.
fn block(size: [f64; 3]) -> Part {
    let piece = Convex::cuboid(Point3::origin(), Point3::from(size)).unwrap();
    Part {
        name: "N1".to_owned(),
        kind: PartKind::Newel,
        pieces: vec![piece],
    }
}

fn read(a: &Hold, b: &Hold) -> Span {
    span(a, b, &level()).unwrap()
}

#[test]
fn from_corner_to_corner_of_a_box_it_reads_three_four_twelve_and_thirteen() {
    // 3, 4, 12, 13: the least box whose edges and diagonal are whole numbers of one sort.
    let across = read(&point(0.0, 0.0, 0.0), &point(3.0, 4.0, 12.0));
    assert_relative_eq!(across.clear.as_mm(), 13.0, epsilon = 1e-9);
    assert_relative_eq!(across.level.as_mm(), 5.0, epsilon = 1e-9);
    assert_relative_eq!(across.plumb.as_mm(), 12.0, epsilon = 1e-9);
    assert_relative_eq!(across.up_flight.as_mm(), 3.0, epsilon = 1e-9);
    assert_relative_eq!(across.aside.as_mm(), 4.0, epsilon = 1e-9);
    // From the other end the plumb goes down.
    let back = read(&point(3.0, 4.0, 12.0), &point(0.0, 0.0, 0.0));
    assert_relative_eq!(back.plumb.as_mm(), -12.0, epsilon = 1e-9);
    assert_relative_eq!(back.clear.as_mm(), 13.0, epsilon = 1e-9);
}

#[test]
fn along_a_rake_of_three_in_four_forty_level_are_fifty() {
    let rake = Rake {
        pitch: Pitch::from_slope(0.75),
        ..level()
    };
    let span = span(&point(0.0, 0.0, 0.0), &point(40.0, 9.0, 0.0), &rake).unwrap();
    // A 3-4-5 triangle; what lies aside of the flight is not on its rake.
    assert_relative_eq!(span.along_rake.as_mm(), 50.0, epsilon = 1e-9);
}

#[test]
fn skew_lines_are_as_far_apart_as_their_common_perpendicular() {
    let (a, b) = (
        line([0.0, 0.0, 0.0], [100.0, 0.0, 0.0]),
        line([30.0, -50.0, 12.5], [70.0, 50.0, 22.5]),
    );
    let (u, v) = (Vector3::new(1.0, 0.0, 0.0), Vector3::new(40.0, 100.0, 10.0));
    let square = u.cross(&v);
    // |(q - p) . (u x v)| / |u x v|.
    let between: f64 = Vector3::new(30.0, -50.0, 12.5).dot(&square);
    let closed = between.abs() / square.norm();
    let read = read(&a, &b);
    assert_relative_eq!(read.clear.as_mm(), closed, epsilon = 1e-7);
    assert_relative_eq!((read.to - read.from).dot(&u), 0.0, epsilon = 1e-6);
    assert_relative_eq!((read.to - read.from).dot(&v), 0.0, epsilon = 1e-4);
}

#[test]
fn faces_that_run_beside_each_other_have_the_tape_between_their_middles() {
    let face = |x: f64, y: f64| Hold {
        pieces: vec![vec![
            Point3::new(x, y, 0.0),
            Point3::new(x, y + 80.0, 0.0),
            Point3::new(x, y + 80.0, 900.0),
            Point3::new(x, y, 900.0),
        ]],
        way: Some(Way::SquareTo(Vector3::x_axis())),
    };
    let read = read(&face(0.0, 0.0), &face(95.25, 0.0));
    assert_relative_eq!(read.clear.as_mm(), 95.25, epsilon = 1e-7);
    assert_relative_eq!(read.from, Point3::new(0.0, 40.0, 450.0), epsilon = 1e-6);
    assert_relative_eq!(read.angle.unwrap().as_degrees(), 0.0, epsilon = 1e-9);
    // Beside each other over half of their width only: the middle of that half.
    let aside = span(&face(0.0, 0.0), &face(95.25, 40.0), &level()).unwrap();
    assert_relative_eq!(aside.from.y, 60.0, epsilon = 1e-6);
}

#[test]
fn angles_are_those_of_the_handbook() {
    let along = |x: f64, y: f64, z: f64| Way::Along(Unit::new_normalize(Vector3::new(x, y, z)));
    let square = |x: f64, y: f64, z: f64| Way::SquareTo(Unit::new_normalize(Vector3::new(x, y, z)));
    let degrees = |a, b| between(a, b).as_degrees();
    // The diagonal of a cube with its edge: arc tangent of the square root of 2; with its face, the
    // rest of a right angle.
    let diagonal = along(1.0, 1.0, 1.0);
    assert_relative_eq!(
        degrees(diagonal, along(1.0, 0.0, 0.0)),
        54.735_610_317,
        epsilon = 1e-8
    );
    assert_relative_eq!(
        degrees(diagonal, square(0.0, 0.0, 1.0)),
        35.264_389_683,
        epsilon = 1e-8
    );
    // Two faces of a regular tetrahedron: arc cosine of a third.
    let (a, b) = (square(1.0, 1.0, 1.0), square(1.0, -1.0, -1.0));
    assert_relative_eq!(degrees(a, b), 70.528_779_366, epsilon = 1e-8);
    assert_relative_eq!(
        degrees(along(1.0, 0.0, 0.0), along(-1.0, 0.0, 0.0)),
        0.0,
        epsilon = 1e-9
    );
}

#[test]
fn an_angle_is_told_as_rise_in_run() {
    // 7 in 12 is 30.256 degrees in any framing table.
    let a = line([0.0, 0.0, 0.0], [12.0, 0.0, 7.0]);
    let b = line([0.0, 0.0, 0.0], [12.0, 0.0, 0.0]);
    let read = read(&a, &b);
    assert_relative_eq!(read.angle.unwrap().as_degrees(), 30.256_437, epsilon = 1e-5);
    let rise = read.rise_in(Length::inches(12.0)).unwrap();
    assert_relative_eq!(rise.as_inches(), 7.0, epsilon = 1e-9);
    let plumb = line([0.0, 0.0, 0.0], [0.0, 0.0, 7.0]);
    assert_eq!(
        span(&plumb, &b, &level())
            .unwrap()
            .rise_in(Length::inches(12.0)),
        None
    );
}

#[test]
fn a_box_has_six_faces_twelve_edges_eight_corners_and_their_names() {
    let part = block([90.0, 80.0, 1000.0]);
    // The open side lies to the right of one going up.
    let all = hooks(&part, &flat(), -1.0);
    let count = |on| all.iter().filter(|hook| hook.hooked.on == on).count();
    use crate::job::HookedOn::{Corner, Edge, Face, Whole};
    assert_eq!([Whole, Face, Edge, Corner].map(count), [1, 6, 12, 8]);
    let named = |says: &str| all.iter().find(|hook| hook.says == says).unwrap();
    let uphill = named("newel N1, uphill face");
    assert_relative_eq!(
        uphill.middle,
        Point3::new(90.0, 40.0, 500.0),
        epsilon = 1e-9
    );
    let corner = named("newel N1, top downhill open-side corner");
    assert_relative_eq!(corner.middle, Point3::new(0.0, 0.0, 1000.0), epsilon = 1e-9);
    // From face to face it is the width.
    let downhill = named("newel N1, downhill face");
    assert_relative_eq!(
        read(&uphill.hold, &downhill.hold).clear.as_mm(),
        90.0,
        epsilon = 1e-7
    );
}

#[test]
fn a_board_in_two_pieces_is_hooked_as_one() {
    let piece = |from: f64, to: f64| {
        Convex::cuboid(Point3::new(from, 0.0, 0.0), Point3::new(to, 900.0, 25.0)).unwrap()
    };
    let part = Part {
        name: "T3".to_owned(),
        kind: PartKind::Tread,
        pieces: vec![piece(0.0, 100.0), piece(100.0, 270.0)],
    };
    let all = hooks(&part, &flat(), 1.0);
    use crate::job::HookedOn::{Corner, Edge, Face};
    let count = |on| all.iter().filter(|hook| hook.hooked.on == on).count();
    assert_eq!([Face, Edge, Corner].map(count), [6, 12, 8]);
    assert_eq!(
        all.iter()
            .filter(|hook| hook.says == "nosing of T3")
            .count(),
        1
    );
}

#[test]
fn what_was_hooked_is_found_again_on_a_part_of_another_size_and_place() {
    let before = hooks(&block([90.0, 80.0, 1000.0]), &flat(), 1.0);
    let mut moved = block([120.0, 70.0, 1100.0]);
    let by = nalgebra::Isometry3::translation(500.0, -20.0, 30.0);
    moved.pieces[0] = moved.pieces[0].moved(&by);
    let after = hooks(&moved, &flat(), 1.0);
    for hook in &before {
        // As the file writes it, to a ten-thousandth.
        let kept: crate::job::Hooked = ron::from_str(&hook.hooked.written()).unwrap();
        assert_eq!(find(&after, &kept).unwrap().says, hook.says);
    }
}

proptest! {
    /// Whichever search answers: the least distance of two boxes in their own directions is known.
    #[test]
    fn boxes_apart_are_as_far_apart_as_their_sides(
        size in prop::array::uniform3(5.0..200.0_f64),
        other in prop::array::uniform3(5.0..200.0_f64),
        off in prop::array::uniform3(-400.0..400.0_f64),
    ) {
        let hold = |part: &Part| whole(part).unwrap().hold;
        let a = block(size);
        let mut b = block(other);
        b.pieces[0] = b.pieces[0].moved(&nalgebra::Isometry3::translation(off[0], off[1], off[2]));
        let apart = (0..3).map(|i| (off[i] - size[i]).max(-off[i] - other[i]).max(0.0));
        let closed = apart.map(|d| d * d).sum::<f64>().sqrt();
        let read = read(&hold(&a), &hold(&b));
        prop_assert!((read.clear.as_mm() - closed).abs() < 1e-4, "{} {closed}", read.clear.as_mm());
        let brute = one_by_one(a.pieces[0].corners(), b.pieces[0].corners()).unwrap();
        if closed > 0.0 {
            prop_assert!((brute.distance - closed).abs() < 1e-6);
        }
    }
}
