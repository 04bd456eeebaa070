//! Rail fittings, half newels and the handrail on the wall side as solids.

use nalgebra::{Point3, Vector3};

use crate::job::Job;
use crate::setout::{Fitting, FittingKind, HalfNewelSet, RailSet, WallRailSet};

use super::railing::{frame, rail_ring};
use super::{Convex, Part, PartKind, Plane};

/// A bend is drawn in pieces that turn this much, degrees: on an 8 in easing a chord is 0.1 mm off.
const PIECE_DEGREES: f64 = 3.0;
/// How far obstacles reach up: taller than any guard.
const REACH: f64 = 1500.0;

/// The pieces of a rail's fittings, with its own section.
pub(super) fn pieces(rail: &RailSet, ring: &[(f64, f64)]) -> Vec<Convex> {
    let [_, left, _] = frame(rail);
    let starts = rail.fittings.iter().enumerate().map(|(at, fitting)| {
        let before = at.checked_sub(1).and_then(|at| rail.fittings.get(at));
        before
            .filter(|before| before.upper == fitting.upper)
            .map_or(fitting.start_way, |before| before.end_cut)
    });
    rail.fittings
        .iter()
        .zip(starts)
        .flat_map(|(fitting, start)| {
            if fitting.centre.is_some() {
                bend(fitting, ring, left)
            } else {
                straight(fitting, ring, left, start).into_iter().collect()
            }
        })
        .collect()
}

/// The section of a rail at a point of its top.
fn section(
    ring: &[(f64, f64)],
    at: (Point3<f64>, Vector3<f64>),
    left: Vector3<f64>,
) -> Vec<Point3<f64>> {
    ring.iter()
        .map(|&(l, u)| at.0 + left * l + at.1 * u)
        .collect()
}

fn bend(fitting: &Fitting, ring: &[(f64, f64)], left: Vector3<f64>) -> Vec<Convex> {
    let sections: Vec<_> = stations(fitting)
        .map(|share| section(ring, fitting.at(share), left))
        .collect();
    sections
        .windows(2)
        .filter_map(|pair| Convex::loft(&pair[0], &pair[1]))
        .collect()
}

/// Shares of a fitting's length at which it is drawn.
fn stations(fitting: &Fitting) -> impl Iterator<Item = f64> {
    let count = (fitting.turn.as_degrees() / PIECE_DEGREES).ceil().max(1.0);
    (0..=count as u32).map(move |number| f64::from(number) / count)
}

fn straight(
    fitting: &Fitting,
    ring: &[(f64, f64)],
    left: Vector3<f64>,
    start: Vector3<f64>,
) -> Option<Convex> {
    let way = fitting.start_way;
    let spare = ring
        .iter()
        .fold(0.0_f64, |most, &(l, u)| most.max(l.abs()).max(u.abs()));
    let (from, up) = fitting.at(0.0);
    let corners = section(ring, (from - way * spare * 4.0, up), left);
    let bar = Convex::prism(&corners, fitting.end - fitting.start + way * spare * 8.0)?;
    bar.clip(&Plane::through(fitting.start, -start)?)?
        .clip(&Plane::through(fitting.end, fitting.end_cut)?)
}

/// What nothing passes over: everything plumb above the underside of a rail's fittings, and of the
/// straight rail beside them.
#[must_use]
pub fn fittings_up(rail: &RailSet) -> Vec<Convex> {
    let [along, left, up] = frame(rail);
    let half = left * (rail.width.as_mm() / 2.0);
    let depth = rail.depth.as_mm();
    let mut blocks = Vec::new();
    for upper in [false, true] {
        let end = if upper { rail.upper } else { rail.lower };
        let back = if upper { -along } else { along };
        let here = rail.fittings.iter().filter(|one| one.upper == upper);
        let under = here.flat_map(|fitting| {
            stations(fitting).map(|share| {
                let (point, up) = fitting.at(share);
                point - up * depth
            })
        });
        let mut points: Vec<Point3<f64>> = under.collect();
        if points.is_empty() {
            continue;
        }
        points.insert(0, end + back * REACH - up * depth);
        let strips = points.windows(2).filter_map(|pair| {
            let ring = |point: Point3<f64>| {
                let high = Vector3::z() * REACH;
                [
                    point - half,
                    point + half,
                    point + half + high,
                    point - half + high,
                ]
            };
            let level = (pair[1] - pair[0]).xy().norm();
            (level > LEVEL_LEAST).then(|| Convex::loft(&ring(pair[0]), &ring(pair[1])))?
        });
        blocks.extend(strips);
    }
    blocks
}

/// Two points closer than this in plan stand over each other.
const LEVEL_LEAST: f64 = 1e-3;

/// The level height that the fittings reach between two places up the flight, if any are there.
#[must_use]
pub fn fittings_top(rail: &RailSet, x: [f64; 2]) -> Option<f64> {
    let here = rail.fittings.iter().filter(|one| {
        let (a, b) = (one.start.x.min(one.end.x), one.start.x.max(one.end.x));
        a < x[1] && b > x[0] || one.kind == FittingKind::Gooseneck && (x[0]..x[1]).contains(&a)
    });
    here.map(|one| one.start.z.max(one.end.z))
        .max_by(f64::total_cmp)
}

/// A half newel.
pub(super) fn half_newel_part(half: &HalfNewelSet) -> Part {
    let side = Vector3::z().cross(&half.normal) * (half.across.as_mm() / 2.0);
    let back = half.normal * half.thickness.as_mm();
    let ring = [
        half.face - side - back,
        half.face + side - back,
        half.face + side,
        half.face - side,
    ];
    Part {
        name: half.name.clone(),
        kind: PartKind::Newel,
        pieces: Convex::prism(&ring, Vector3::z() * half.height.as_mm())
            .into_iter()
            .collect(),
    }
}

/// The handrail on the wall side, its returns and its brackets.
pub(super) fn wall_rail_parts(job: &Job, rail: &WallRailSet) -> Vec<Part> {
    let bevel = job
        .design
        .wall_rail
        .as_ref()
        .map_or(0.0, |design| design.bevel.mm());
    let mut parts = vec![wall_rail_part(rail, bevel)];
    parts.extend((1..).zip(&rail.brackets).map(|(number, bracket)| {
        // Its top lies against the rail's underside.
        let along = (rail.upper - rail.lower).normalize() * (BRACKET_MM / 2.0);
        let down = Vector3::z() * BRACKET_MM;
        let end = bracket.under_rail;
        let ring = [
            end - along,
            end + along,
            end + along - down,
            end - along - down,
        ];
        Part {
            name: format!("bracket {number} of {}", rail.name),
            kind: PartKind::Rosette,
            pieces: Convex::prism(&ring, bracket.on_wall - end)
                .into_iter()
                .collect(),
        }
    }));
    parts
}

/// A bracket is drawn as a bar this thick: 3/4 in, common practice, no source.
const BRACKET_MM: f64 = 19.05;

fn wall_rail_part(rail: &WallRailSet, bevel: f64) -> Part {
    let along = (rail.upper - rail.lower).normalize();
    let left = Vector3::z().cross(&along).normalize();
    let up = along.cross(&left);
    let (width, depth) = (rail.width.as_mm(), rail.depth.as_mm());
    let ring = rail_ring(rail.width, [-depth, 0.0], bevel);
    let spare = (width + depth) * 4.0;
    let cuts = [&rail.lower_cut, &rail.upper_cut];
    let bar = Convex::prism(
        &section(&ring, (rail.lower - along * spare, up), left),
        rail.upper - rail.lower + along * spare * 2.0,
    );
    let bar = cuts.iter().try_fold(bar, |bar, cut| {
        let plane = Plane::through(cut.point, cut.normal.into_inner())?;
        Some(bar.and_then(|bar| bar.clip(&plane)))
    });
    let returned = rail.returns.iter().zip(cuts).filter_map(|(one, cut)| {
        let one = one.as_ref()?;
        let way = (one.on_wall - one.corner).normalize();
        // Its section is the rail's, turned about the mitre: rolled by the pitch.
        let across = up.cross(&way).try_normalize(f64::MIN_POSITIVE)?;
        let roof = way.cross(&across);
        let corners = section(&ring, (one.corner - way * spare, roof), across);
        let bar = Convex::prism(&corners, one.on_wall - one.corner + way * spare * 2.0)?;
        let mitre = Plane::through(cut.point, -cut.normal.into_inner())?;
        let wall = &one.wall_cut;
        bar.clip(&mitre)?
            .clip(&Plane::through(wall.point, wall.normal.into_inner())?)
    });
    Part {
        name: rail.name.clone(),
        kind: PartKind::Rail,
        pieces: bar.flatten().into_iter().chain(returned).collect(),
    }
}
