//! Openings to try: posts, and the triangle of kick, tread and bottom rail. Millimetres; x the way
//! up, y through the opening, z up.

use nalgebra::{Isometry3, Point3, Vector3};
use rakewell::inspect::ball::Cell;
use rakewell::solids::Convex;

pub(crate) const INCH: f64 = 25.4;

/// Solids round a cell.
pub(crate) struct Scene {
    pub(crate) solids: Vec<Convex>,
    pub(crate) cell: Cell,
}

impl Scene {
    pub(crate) fn pieces(&self) -> Vec<&Convex> {
        self.solids.iter().collect()
    }
}

/// A cell square to the axes, from its least to its greatest corner.
pub(crate) fn square_cell(low: [f64; 3], high: [f64; 3]) -> Cell {
    let (low, high) = (Vector3::from(low), Vector3::from(high));
    Cell {
        frame: Isometry3::from((low + high) / 2.0),
        half: (high - low) / 2.0,
    }
}

pub(crate) fn cuboid(low: [f64; 3], high: [f64; 3]) -> Convex {
    Convex::cuboid(Point3::from(low), Point3::from(high)).unwrap()
}

/// A prism of a ring in the x-z plane, from y = `y[0]` to `y[1]`.
pub(crate) fn along_y(ring: &[[f64; 2]], y: [f64; 2]) -> Convex {
    let ring: Vec<_> = ring.iter().map(|&[x, z]| Point3::new(x, y[0], z)).collect();
    Convex::prism(&ring, Vector3::new(0.0, y[1] - y[0], 0.0)).unwrap()
}

/// A post of regular section with its axis from `base` to `top`: `sides` faces, the first facing
/// `turn` radians from x, `thick` mm face to face.
pub(crate) fn post(base: [f64; 3], top: [f64; 3], thick: f64, sides: usize, turn: f64) -> Convex {
    let step = std::f64::consts::TAU / sides as f64;
    let radius = thick / 2.0 / (step / 2.0).cos();
    let ring: Vec<_> = (0..sides)
        .map(|side| turn + (side as f64 + 0.5) * step)
        .map(|angle| {
            Point3::from(base) + Vector3::new(radius * angle.cos(), radius * angle.sin(), 0.0)
        })
        .collect();
    Convex::prism(&ring, Vector3::from(top) - Vector3::from(base)).unwrap()
}

/// Two plumb square posts, `gap` mm apart, from a floor to a rail 800 mm up.
pub(crate) fn plumb_posts(gap: f64) -> Scene {
    let (near, far) = (-gap / 2.0, gap / 2.0);
    let solids = vec![
        cuboid([near - 32.0, -16.0, 0.0], [near, 16.0, 820.0]),
        cuboid([far, -16.0, 0.0], [far + 32.0, 16.0, 820.0]),
        cuboid([-200.0, -900.0, -27.0], [200.0, 50.0, 0.0]),
        cuboid([-200.0, -30.0, 800.0], [200.0, 30.0, 850.0]),
    ];
    Scene {
        solids,
        cell: square_cell([near - 16.0, -80.0, 0.0], [far + 16.0, 80.0, 800.0]),
    }
}

/// The opening between two plumb balusters of a flight: tread and kicks below, rail on the rake
/// above. Lengths in mm; the posts stand `gap` apart.
pub(crate) fn stair_posts(gap: f64) -> Scene {
    let mut scene = plumb_posts(gap);
    let (near, far) = (-gap / 2.0, gap / 2.0);
    let slope = 0.75;
    let underside = |x: f64| 800.0 + slope * x;
    let (left, right) = (-250.0, 250.0);
    let ring = [
        [left, underside(left)],
        [right, underside(right)],
        [right, underside(right) + 60.0],
        [left, underside(left) + 60.0],
    ];
    scene.solids[3] = along_y(&ring, [-30.0, 30.0]);
    scene.solids[0] = cuboid([near - 32.0, -16.0, 0.0], [near, 16.0, underside(near)]);
    scene.solids[1] = cuboid([far, -16.0, 0.0], [far + 32.0, 16.0, underside(far) + 10.0]);
    scene
        .solids
        .push(cuboid([far + 70.0, -900.0, 0.0], [far + 89.0, 30.0, 165.0]));
    scene.solids.push(cuboid(
        [far + 45.0, -900.0, 165.0],
        [far + 300.0, 50.0, 192.0],
    ));
    scene
        .solids
        .push(cuboid([-220.0, -900.0, -200.0], [-201.0, 30.0, -27.0]));
    scene.cell = square_cell(
        [near - 16.0, -80.0, 0.0],
        [far + 16.0, 80.0, underside(far)],
    );
    scene
}

/// The triangle of kick, tread and bottom rail. Rise, going, overhang and the plumb height of the
/// rail's underside over the nosing line, all in inches. The kick face stands at x = 0.
pub(crate) fn triangle(rise: f64, going: f64, overhang: f64, raised: f64) -> Scene {
    let [rise, going, overhang, raised] =
        [rise, going, overhang, raised].map(|inches| inches * INCH);
    let slope = rise / going;
    // The nosing line runs through (-overhang, 0): the nosing of the tread above.
    let underside = |x: f64| slope * (x + overhang) + raised;
    let wide = [-300.0, 45.0];
    let (left, right) = (-going - 250.0, 300.0);
    let rail = [
        [left, underside(left)],
        [right, underside(right)],
        [right, underside(right) + 40.0],
        [left, underside(left) + 40.0],
    ];
    let carcass = [wide[0], 30.0];
    let solids = vec![
        along_y(&rail, [-20.0, 20.0]),
        // Tread above with its overhang, kick, tread, and the carcass behind them.
        cuboid([-overhang, wide[0], -27.0], [going, wide[1], 0.0]),
        cuboid([0.0, carcass[0], -rise], [19.0, carcass[1], -27.0]),
        cuboid(
            [-going - overhang, wide[0], -rise - 27.0],
            [0.0, wide[1], -rise],
        ),
        cuboid(
            [19.0, carcass[0], -rise - 400.0],
            [going, carcass[1], -27.0],
        ),
        cuboid(
            [-going, carcass[0], -rise - 400.0],
            [19.0, carcass[1], -rise - 27.0],
        ),
    ];
    // u along the rake, w square to it: from the rail's underside to the corner.
    let rake = Vector3::y() * -slope.atan();
    let frame = Isometry3::rotation(rake);
    let inwards = frame.inverse();
    let flat = |x: f64, z: f64| inwards * Point3::new(x, 0.0, z);
    let (bottom, top) = (flat(0.0, -rise), flat(0.0, underside(0.0)));
    let (near, far) = (flat(-going - overhang, -rise), flat(-overhang, 0.0));
    let low = Vector3::new(near.x - 20.0, -120.0, bottom.z);
    let high = Vector3::new(far.x + 20.0, 120.0, top.z);
    let middle = frame * Point3::from((low + high) / 2.0);
    let frame = Isometry3::new(middle.coords, rake);
    Scene {
        solids,
        cell: Cell {
            frame,
            half: (high - low) / 2.0,
        },
    }
}

/// What varies between two posts that do not stand plumb.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Leaning {
    pub(crate) gap: f64,
    pub(crate) sides: usize,
    /// How far each top stands from over its base, along and through, mm.
    pub(crate) lean: [[f64; 2]; 2],
    /// How each post is turned about its axis, radians.
    pub(crate) turn: [f64; 2],
    /// The second post's thickness, mm: a newel's or a baluster's.
    pub(crate) thick: f64,
    /// Rise of the rail along the level, mm per mm.
    pub(crate) slope: f64,
}

/// Two leaning posts between a floor and a raked rail 600 mm up.
pub(crate) fn leaning_posts(scene: &Leaning) -> Scene {
    let Leaning {
        gap,
        sides,
        lean,
        turn,
        thick,
        slope,
    } = *scene;
    let high = 700.0;
    let leaning = |x: f64, thick: f64, lean: [f64; 2], turn: f64| {
        post(
            [x, 0.0, 0.0],
            [x + lean[0], lean[1], high],
            thick,
            sides,
            turn,
        )
    };
    let (near, far) = (-gap / 2.0 - 16.0, (gap + thick) / 2.0);
    let underside = |x: f64| 600.0 + slope * x;
    let rail = [
        [-250.0, underside(-250.0)],
        [250.0, underside(250.0)],
        [250.0, underside(250.0) + 60.0],
        [-250.0, underside(-250.0) + 60.0],
    ];
    let solids = vec![
        leaning(near, 32.0, lean[0], turn[0]),
        leaning(far, thick, lean[1], turn[1]),
        cuboid([-250.0, -300.0, -27.0], [250.0, 60.0, 0.0]),
        along_y(&rail, [-30.0, 30.0]),
    ];
    Scene {
        solids,
        cell: square_cell([near, -70.0, 0.0], [far, 70.0, underside(far)]),
    }
}
