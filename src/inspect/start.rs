//! Where a fixing starts in its part, and which way it goes.
//!
//! mm in the first run's frame.

use nalgebra::{Point3, Vector3};

use crate::job::{Fixing, FixingFace};
use crate::setout::{NewelSet, RailSet, WallRailSet};
use crate::solids::{Convex, Part, Plane};

use super::Run;
use super::bore::intervals;
use super::whole::Stair;

/// A mouth within this of a face lies on it.
const ON_FACE_MM: f64 = 1e-3;

/// Where a fixing starts, and which way it goes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Start {
    /// The middle of its mouth.
    pub(super) from: Point3<f64>,
    /// Into the part, a unit vector.
    pub(super) way: Vector3<f64>,
    /// The face that it starts from.
    face: Option<Plane>,
    /// False where nothing of the part is on its line.
    pub(super) in_part: bool,
}

impl Start {
    /// How far along the bore's way from a point its face lies.
    pub(super) fn face_along(&self, point: &Point3<f64>) -> f64 {
        self.face.map_or(0.0, |face| {
            -face.distance(point) / face.normal.dot(&self.way)
        })
    }
}

/// The directions of a part, and the point on its middle line that a fixing is placed from.
struct Body {
    middle: Point3<f64>,
    /// Out of the face.
    out: Vector3<f64>,
    /// Along the face, square to the direction that `up` is measured in.
    side: Vector3<f64>,
    /// Half the part's size, out to the face.
    half: f64,
    /// True where the bore goes along `out`, and not square to the face.
    straight: bool,
}

/// Places a fixing. `None` where its part is not among the newels and rails of the stair, or has no
/// such face.
pub(super) fn start(stair: &Stair<'_>, fixing: &Fixing, part: &Part) -> Option<Start> {
    let (run, body) = stair.runs.iter().find_map(|run| {
        let setout = run.solid.setout;
        let newel = setout.newels.iter().find(|newel| newel.name == part.name);
        let body = if let Some(newel) = newel {
            of_newel(run, newel, fixing)
        } else if setout.rail.name == part.name {
            of_rail(run, &Bar::of(&setout.rail, false), fixing)
        } else if let Some(rail) = setout.bottom_rail.as_ref().filter(|r| r.name == part.name) {
            of_rail(run, &Bar::of(rail, true), fixing)
        } else {
            let rail = setout.wall_rail.as_ref();
            rail.filter(|rail| rail.name == part.name)
                .and_then(|rail| of_rail(run, &Bar::of_wall(rail), fixing))
        };
        body.map(|body| (run, body))
    })?;
    let frame = &run.frame;
    let out = frame.way_to_first(&body.out);
    let side = frame.way_to_first(&body.side);
    let from = frame.to_first(&body.middle) + side * fixing.off.mm();
    let inside = intervals(part, &from, &-out);
    // From outside: the first wood that the bit comes to.
    let Some((begin, _)) = inside.first() else {
        return Some(Start {
            from: from + out * body.half,
            way: -out,
            face: None,
            in_part: false,
        });
    };
    let mouth = from - out * *begin;
    let mut faces = part.pieces.iter().flat_map(Convex::planes);
    let face = faces
        .find(|plane| plane.distance(&mouth).abs() < ON_FACE_MM && plane.normal.dot(&out) > 0.0)
        .copied();
    let way = match face {
        Some(face) if !body.straight => -face.normal.into_inner(),
        _ => -out,
    };
    Some(Start {
        from: mouth,
        way,
        face,
        in_part: true,
    })
}

fn of_newel(run: &Run<'_>, newel: &NewelSet, fixing: &Fixing) -> Option<Body> {
    let outward = run.solid.site.outward;
    let (sin, cos) = newel.twist.as_radians().sin_cos();
    let turned = |x: f64, y: f64| Vector3::new(x * cos - y * sin, x * sin + y * cos, 0.0);
    let (on, open) = (turned(1.0, 0.0), turned(0.0, outward));
    let axis = newel.axis.into_inner();
    let (out, side, half) = match fixing.face {
        FixingFace::Uphill => (on, open, newel.along),
        FixingFace::Downhill => (-on, open, newel.along),
        FixingFace::Open => (open, on, newel.across),
        FixingFace::Wall => (-open, on, newel.across),
        FixingFace::Top | FixingFace::Under => return None,
    };
    // Square to a leaning newel.
    let square = |way: Vector3<f64>| (way - axis * axis.dot(&way)).normalize();
    Some(Body {
        middle: newel.foot + axis * fixing.up.mm(),
        out: square(out),
        side: square(side),
        half: half.as_mm() / 2.0,
        straight: false,
    })
}

/// A rail's body: the middle of its section at either end.
struct Bar {
    ends: [Point3<f64>; 2],
    along: Vector3<f64>,
    up: Vector3<f64>,
    left: Vector3<f64>,
    width: f64,
    depth: f64,
}

impl Bar {
    fn of(rail: &RailSet, under: bool) -> Self {
        // A bottom rail is told by its underside.
        let middle = if under { 0.5 } else { -0.5 };
        let size = [rail.width.as_mm(), rail.depth.as_mm()];
        Self::between([rail.lower, rail.upper], size, middle)
    }

    fn of_wall(rail: &WallRailSet) -> Self {
        let size = [rail.width.as_mm(), rail.depth.as_mm()];
        Self::between([rail.lower, rail.upper], size, -0.5)
    }

    fn between(ends: [Point3<f64>; 2], [width, depth]: [f64; 2], middle: f64) -> Self {
        let along = (ends[1] - ends[0]).normalize();
        let left = Vector3::z().cross(&along).normalize();
        let up = along.cross(&left);
        Self {
            ends: ends.map(|end| end + up * (depth * middle)),
            along,
            up,
            left,
            width,
            depth,
        }
    }
}

fn of_rail(run: &Run<'_>, bar: &Bar, fixing: &Fixing) -> Option<Body> {
    let open = bar.left * run.solid.site.outward;
    let place = fixing.up.mm();
    let along = bar.ends[0] + bar.along * place;
    let on_end = |end: Point3<f64>, out: Vector3<f64>| Body {
        middle: end + bar.up * (place - bar.depth / 2.0),
        out,
        side: open,
        half: 0.0,
        straight: true,
    };
    let on_side = |out: Vector3<f64>, side: Vector3<f64>, size: f64| Body {
        middle: along,
        out,
        side,
        half: size / 2.0,
        straight: false,
    };
    let body = match fixing.face {
        FixingFace::Downhill => on_end(bar.ends[0], -bar.along),
        FixingFace::Uphill => on_end(bar.ends[1], bar.along),
        FixingFace::Open => on_side(open, bar.up, bar.width),
        FixingFace::Wall => on_side(-open, bar.up, bar.width),
        FixingFace::Top => on_side(bar.up, open, bar.depth),
        FixingFace::Under => on_side(-bar.up, open, bar.depth),
    };
    body.middle
        .coords
        .iter()
        .all(|at| at.is_finite())
        .then_some(body)
}
