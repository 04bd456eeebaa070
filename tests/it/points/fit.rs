//! Simulated scans of a wall whose face is known.

use nalgebra::Point3;
use rakewell::job::{Document, Wall};
use rakewell::measure::{Angle, Length, Tape};
use rakewell::survey::points::{
    Choices, FitError, Fitted, Frame, MeantFace, Placement, fit, on_wall_if,
};
use rand_distr::{Distribution as _, StandardNormal};
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng as _, SeedableRng as _};

use crate::cli::DEMO;

/// A wall 3.2 m long and 2.4 m high along y = 500 mm, the room towards positive y.
fn wall() -> Wall {
    let document = Document::parse(DEMO, "demo").unwrap();
    let mut wall = document.job().walls[0].clone();
    let mm = rakewell::job::Len::millimetres;
    (wall.from.x, wall.from.y) = (mm(0.0), mm(500.0));
    (wall.to.x, wall.to.y) = (mm(3200.0), mm(500.0));
    (wall.foot, wall.head) = (mm(0.0), mm(2400.0));
    wall
}

fn face() -> MeantFace {
    MeantFace::of(&wall()).unwrap()
}

const OWN: Placement = Placement {
    frame: Frame::Wall,
    origin: [Length::ZERO; 3],
    turn: Angle::radians(0.0),
};

fn bowed(along: f64, up: f64) -> f64 {
    let wave = |at: f64, long: f64| (std::f64::consts::PI * at / long).sin();
    4.0 + 0.003 * along - 0.006 * up + 4.0 * wave(along, 3200.0) * wave(up, 2400.0)
}

fn flat(along: f64, up: f64) -> f64 {
    4.0 + 0.003 * along - 0.006 * up
}

struct Draw(Pcg64Mcg);

impl Draw {
    fn new(seed: u64) -> Self {
        Self(Pcg64Mcg::seed_from_u64(seed))
    }
    fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }
    fn uniform(&mut self, most: f64) -> f64 {
        (self.0.next_u64() >> 11) as f64 / 2_f64.powi(53) * most
    }
    /// Points all over the wall, the noise a millimetre.
    fn scan(&mut self, count: usize, truth: fn(f64, f64) -> f64) -> Vec<Point3<f64>> {
        (0..count)
            .map(|_| {
                let (along, up) = (self.uniform(3200.0), self.uniform(2400.0));
                Point3::new(along, up, truth(along, up) + self.normal())
            })
            .collect()
    }
    /// A smooth error of standard deviation 1 over about `long`: waves in random directions.
    fn wander(&mut self, long: f64) -> impl Fn(f64, f64) -> f64 + use<> {
        let waves: Vec<[f64; 3]> = (0..200)
            .map(|_| {
                let turn = std::f64::consts::TAU;
                [
                    self.normal() / long,
                    self.normal() / long,
                    self.uniform(turn),
                ]
            })
            .collect();
        move |a, u| {
            let sum: f64 = waves
                .iter()
                .map(|[x, y, p]| (x * a + y * u + p).cos())
                .sum();
            sum / 10.0
        }
    }
}

fn fitted(points: &[Point3<f64>]) -> Fitted {
    fit(points, &face(), &OWN, &Choices::default()).unwrap()
}

/// Root mean square of the cells' errors in units of their doubt.
fn spread(wall: &Fitted, truth: fn(f64, f64) -> f64) -> f64 {
    let squares = wall.cells.iter().map(|cell| {
        let error = cell.off.as_mm() - truth(cell.along.as_mm(), cell.up.as_mm());
        (error / cell.sd.as_mm()).powi(2)
    });
    (squares.sum::<f64>() / wall.cells.len() as f64).sqrt()
}

fn is_near(wall: &Fitted, splay: f64, lean: f64) -> bool {
    let (plane, sd) = (wall.plane, wall.plane_sd);
    (plane.splay - splay).abs() <= 3.0 * sd.splay && (plane.lean - lean).abs() <= 3.0 * sd.lean
}

#[test]
fn a_plane_with_noise_is_found_within_its_doubt() {
    let wall = fitted(&Draw::new(1).scan(200_000, flat));
    assert!(
        is_near(&wall, 0.003, -0.006),
        "{:?} {:?}",
        wall.plane,
        wall.plane_sd
    );
    assert!((wall.noise.as_mm() - 1.0).abs() < 0.03, "{:?}", wall.noise);
    assert!(
        (0.05..0.5).contains(&wall.bow.off.abs().as_mm()),
        "{:?}",
        wall.bow
    );
    assert!(wall.groups.is_empty(), "{:?}", wall.groups);
    // 4.5 standard deviations: 7e-6 of normal errors.
    assert!(wall.strays < 20, "{}", wall.strays);
    assert!(wall.cells.len() <= 400 && wall.cells.len() > 200);
    assert_eq!(wall.counts.used + wall.counts.left_out, 200_000);
}

#[test]
fn a_bow_is_followed_and_told_where_it_is_greatest() {
    let wall = fitted(&Draw::new(2).scan(200_000, bowed));
    // Its plane takes up the mean of the bow, 4 (2 / pi)^2 = 1.6 mm.
    assert!(
        (1.5..3.5).contains(&wall.bow.off.abs().as_mm()),
        "{:?}",
        wall.bow
    );
    assert!(wall.groups.is_empty(), "{:?}", wall.groups);
    for cell in &wall.cells {
        let truth = bowed(cell.along.as_mm(), cell.up.as_mm());
        assert!((cell.off.as_mm() - truth).abs() < 0.6, "{cell:?} {truth}");
    }
}

/// The doubt claimed is the doubt there is, whether the points err each on its own or together:
/// over patches, over cells, or over more.
#[test]
fn the_doubt_of_cells_is_honest() {
    for (seed, long, size) in [
        (1, 100.0, 0.0),
        (2, 20.0, 1.0),
        (3, 50.0, 0.7),
        (4, 100.0, 0.7),
        (5, 150.0, 0.7),
    ] {
        let mut draw = Draw::new(10 + seed);
        let mut points = draw.scan(300_000, bowed);
        let wander = draw.wander(long);
        for point in &mut points {
            point.z += size * wander(point.x, point.y);
        }
        let spread = spread(&fitted(&points), bowed);
        assert!((0.3..1.2).contains(&spread), "over {long} mm: {spread}");
    }
}

/// Puts a thing on the wall: every point within it stands off by so much more.
fn with_thing(
    points: &mut [Point3<f64>],
    (a, b): (f64, f64),
    (c, d): (f64, f64),
    off: f64,
) -> usize {
    let inside = points
        .iter_mut()
        .filter(|p| (a..b).contains(&p.x) && (c..d).contains(&p.y));
    inside.map(|point| point.z += off).count()
}

#[test]
fn things_on_the_wall_are_named_where_they_are_and_left_out() {
    let mut points = Draw::new(3).scan(300_000, bowed);
    let clean = fitted(&points);
    let things = [
        // A casing along the whole foot, a plate that fills its patches, a niche behind the face.
        ((0.0, 3200.0), (0.0, 90.0), 15.875),
        ((1000.0, 1115.0), (1100.0, 1170.0), 6.0),
        ((2000.0, 2300.0), (1500.0, 1800.0), -60.0),
    ];
    let counts = things.map(|(along, up, off)| with_thing(&mut points, along, up, off));
    let wall = fitted(&points);
    assert_eq!(wall.groups.len(), 3, "{:#?}", wall.groups);
    for ((along, up, off), count) in things.into_iter().zip(counts) {
        let found = wall
            .groups
            .iter()
            .find(|group| (group.off.as_mm() - off).abs() < 1.0);
        let group = found.unwrap_or_else(|| panic!("none {off} mm off: {:#?}", wall.groups));
        // What shares a patch with a thing may be left out with it.
        let near = |found: (Length, Length), known: (f64, f64)| {
            (found.0.as_mm() - known.0).abs() < 55.0 && (found.1.as_mm() - known.1).abs() < 55.0
        };
        assert!(near(group.along, along) && near(group.up, up), "{group:?}");
        assert!(
            group.points as f64 > 0.9 * count as f64,
            "{group:?} of {count}"
        );
        assert!(
            (group.points as f64) < 2.2 * count as f64,
            "{group:?} of {count}"
        );
    }
    let behind = wall
        .groups
        .iter()
        .find(|group| group.off < Length::ZERO)
        .unwrap();
    let says = behind.says(Tape::Sixteenths);
    assert!(
        says.contains("points lie 2 3/8\"") && says.contains("left out"),
        "{says}"
    );
    assert!((wall.plane.lean - clean.plane.lean).abs() < 3.0 * clean.plane_sd.lean);
    assert!(spread(&wall, bowed) < 1.3, "{}", spread(&wall, bowed));
}

/// A fifth of the wall behind something does not move its plane by more than its doubt.
#[test]
fn a_fifth_of_the_points_in_one_clump_does_not_move_the_plane() {
    for (seed, off) in [(1, 20.0), (2, 40.0), (3, -30.0), (4, 120.0)] {
        let mut points = Draw::new(20 + seed).scan(50_000, bowed);
        let clean = fitted(&points);
        let count = with_thing(&mut points, (0.0, 1430.0), (0.0, 1070.0), off);
        assert!((0.19..0.21).contains(&(count as f64 / 50_000.0)));
        let wall = fitted(&points);
        let (a, b, sd) = (wall.plane, clean.plane, clean.plane_sd);
        // The part of the bow behind the clump is not seen, which turns the plane by its share.
        let scale = wall.plane_sd.offset.max(sd.offset) + clean.bow_spread.as_mm();
        assert!(
            (a.offset - b.offset).abs() < scale,
            "{off}: {a:?} {b:?} {sd:?}"
        );
        assert!(
            (a.lean - b.lean).abs() * 2400.0 < scale,
            "{off}: {a:?} {b:?}"
        );
        assert!(
            (a.splay - b.splay).abs() * 3200.0 < scale,
            "{off}: {a:?} {b:?}"
        );
        assert!(
            wall.groups[0].points as f64 > 0.9 * count as f64,
            "{:?}",
            wall.groups
        );
        // On a flat wall nothing is hidden, and the plane stays within one standard deviation.
        let mut points = Draw::new(40 + seed).scan(50_000, flat);
        let clean = fitted(&points);
        with_thing(&mut points, (0.0, 1430.0), (0.0, 1070.0), off);
        let wall = fitted(&points);
        let (a, sd) = (wall.plane, wall.plane_sd);
        let b = clean.plane;
        assert!(
            (a.offset - b.offset).abs() < sd.offset,
            "{off}: {a:?} {b:?} {sd:?}"
        );
        assert!(
            (a.lean - b.lean).abs() < sd.lean,
            "{off}: {a:?} {b:?} {sd:?}"
        );
        assert!(
            (a.splay - b.splay).abs() < sd.splay,
            "{off}: {a:?} {b:?} {sd:?}"
        );
    }
}

#[test]
fn points_are_carried_into_the_walls_frame() {
    let face = face();
    let own = Draw::new(4).scan(20_000, flat);
    // The wall's frame into the flight's: along is x, off the face is y from 500, up is z. Then
    // into an instrument's that stands at (1000, 2000, 1500) turned by 30 degrees.
    let (sin, cos) = 30_f64.to_radians().sin_cos();
    let seen: Vec<Point3<f64>> = own
        .iter()
        .map(|p| {
            let (x, y) = (p.x - 1000.0, p.z + 500.0 - 2000.0);
            Point3::new(cos * x + sin * y, cos * y - sin * x, p.y - 1500.0)
        })
        .collect();
    let placement = Placement {
        frame: Frame::Flight,
        origin: [1000.0, 2000.0, 1500.0].map(Length::mm),
        turn: Angle::degrees(30.0),
    };
    let wall = fit(&seen, &face, &placement, &Choices::default()).unwrap();
    let known = fitted(&own);
    assert!((wall.plane.lean - known.plane.lean).abs() < 1e-9);
    assert!((wall.plane.offset - known.plane.offset).abs() < 1e-6);
    assert_eq!(wall.counts.used, known.counts.used);
}

#[test]
fn points_elsewhere_are_counted_and_too_few_are_refused() {
    let mut points = Draw::new(5).scan(40, flat);
    points.extend([
        Point3::new(-1.0, 10.0, 0.0),
        Point3::new(10.0, 2500.0, 0.0),
        Point3::new(10.0, 10.0, 151.0),
    ]);
    let told = fit(&points, &face(), &OWN, &Choices::default()).unwrap_err();
    let FitError::TooFew(counts) = told else {
        panic!("{told}")
    };
    assert_eq!((counts.on_the_wall, counts.given), (40, 43));
    assert_eq!(
        (
            counts.beyond_ends,
            counts.above_or_below,
            counts.off_the_face
        ),
        (1, 1, 1)
    );
    assert!(told.to_string().contains("40 of 43 points"), "{told}");
    let metres: Vec<_> = Draw::new(6)
        .scan(500, flat)
        .iter()
        .map(|p| p / 1000.0)
        .collect();
    let choices = Choices::default();
    assert_eq!(on_wall_if(&metres, &face(), &OWN, &choices, 1000.0), 500);
    // All on one line, and all in one place.
    let line: Vec<_> = (0..500)
        .map(|i| Point3::new(f64::from(i) * 6.0, 100.0, 0.0))
        .collect();
    assert!(fit(&line, &face(), &OWN, &choices).is_err());
    assert!(fit(&[Point3::new(1.0, 1.0, 1.0); 500], &face(), &OWN, &choices).is_err());
}

/// What a total station gives: few points, each good.
#[test]
fn a_hundred_points_make_a_wall() {
    let wall = fitted(&Draw::new(7).scan(100, flat));
    assert!(
        is_near(&wall, 0.003, -0.006),
        "{:?} {:?}",
        wall.plane,
        wall.plane_sd
    );
    assert!(spread(&wall, flat) < 1.5, "{}", spread(&wall, flat));
}
