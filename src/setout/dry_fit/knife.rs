//! Where a newel's sides meet a face: the outline of the waste, and the lines to knife.

use nalgebra::{Point3, Vector3};

use crate::measure::Length;
use crate::setout::notch::Body;
use crate::site::Site;

use super::boards::{Face, Hook};
use super::{FitSide, KnifeFace, KnifeLine};

/// A face with less waste than this is only touched, mm^2.
const TOUCHED_MM2: f64 = 1.0;
/// A line shorter than this is a corner, mm.
const SPECK_MM: f64 = 0.5;

/// A plane of a newel's side: a point on it, and out of the newel.
#[derive(Clone, Copy, Debug)]
pub(super) struct SidePlane {
    pub(super) side: FitSide,
    pub(super) point: Point3<f64>,
    pub(super) out: Vector3<f64>,
}

impl SidePlane {
    fn distance(&self, at: &Point3<f64>) -> f64 {
        (at - self.point).dot(&self.out)
    }
}

/// The planes of a newel's sides.
pub(super) fn sides(site: &Site, body: &Body<'_>, round: bool) -> Vec<SidePlane> {
    let ring = body.ring;
    (0..ring.len())
        .map(|i| {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            let along = Vector3::new(b.x - a.x, b.y - a.y, 0.0);
            // The ring runs anticlockwise, so this points out of the newel.
            let out = along.cross(&body.axis).normalize();
            SidePlane {
                side: if round {
                    FitSide::Round
                } else {
                    side_of(site, &out)
                },
                point: Point3::new(a.x, a.y, body.foot.z),
                out,
            }
        })
        .collect()
}

fn side_of(site: &Site, out: &Vector3<f64>) -> FitSide {
    let outward = out.y * site.outward;
    match (out.x.abs() >= outward.abs(), out.x > 0.0, outward > 0.0) {
        (true, true, _) => FitSide::Uphill,
        (true, false, _) => FitSide::Downhill,
        (false, _, true) => FitSide::Outward,
        (false, _, false) => FitSide::Inward,
    }
}

/// A corner of an outline, and what the side that begins at it lies along: a plane of the newel, or
/// the board's own edge.
#[derive(Clone, Copy, Debug)]
struct Corner {
    at: Point3<f64>,
    along: Option<usize>,
}

/// The part of an outline inside a plane (Sutherland and Hodgman, Reentrant polygon clipping, 1974).
fn inside(ring: &[Corner], planes: &[SidePlane], number: usize) -> Vec<Corner> {
    let plane = &planes[number];
    let mut kept = Vec::with_capacity(ring.len() + 1);
    for (i, corner) in ring.iter().enumerate() {
        let next = &ring[(i + 1) % ring.len()];
        let (here, there) = (plane.distance(&corner.at), plane.distance(&next.at));
        let crossing = || corner.at + (next.at - corner.at) * (here / (here - there));
        if here <= 0.0 {
            kept.push(*corner);
            if there > 0.0 {
                let at = crossing();
                kept.push(Corner {
                    at,
                    along: Some(number),
                });
            }
        } else if there < 0.0 {
            kept.push(Corner {
                at: crossing(),
                ..*corner
            });
        }
    }
    kept
}

/// The area of a flat outline, mm^2.
fn area(ring: &[Corner]) -> f64 {
    let Some(first) = ring.first() else {
        return 0.0;
    };
    let fans = ring.windows(2);
    let sum: Vector3<f64> = fans
        .map(|pair| (pair[0].at - first.at).cross(&(pair[1].at - first.at)))
        .sum();
    sum.norm() / 2.0
}

/// What a newel takes out of a face; `None` where it does not meet it. `deep` is how far it goes in
/// behind it.
pub(super) fn face(
    face: &Face,
    planes: &[SidePlane],
    body: &Body<'_>,
    deep: f64,
) -> Option<KnifeFace> {
    let whole = face
        .corners
        .iter()
        .map(|at| Corner {
            at: *at,
            along: None,
        })
        .collect();
    let ring: Vec<Corner> = (0..planes.len()).fold(whole, |ring, i| inside(&ring, planes, i));
    if area(&ring) < TOUCHED_MM2 {
        return None;
    }
    let lines = (0..ring.len()).filter_map(|i| {
        let plane = &planes[ring[i].along?];
        line(face, plane, ring[i].at, ring[(i + 1) % ring.len()].at)
    });
    let round = planes.iter().any(|plane| plane.side == FitSide::Round);
    Some(KnifeFace {
        part: face.part.clone(),
        step: face.step,
        on: face.on,
        ring: ring.iter().map(|corner| corner.at).collect(),
        normal: face.normal,
        lines: lines.collect(),
        centre: round.then(|| centre(face, body)).flatten(),
        deep: Length::mm(deep),
        board: face.whole(),
    })
}

/// Where a round newel's middle meets a face, and how far from its two edges.
fn centre(face: &Face, body: &Body<'_>) -> Option<super::types::Centre> {
    let slant = face.normal.dot(&body.axis);
    let first = face.corners.first()?;
    let up = (first - body.foot).dot(&face.normal) / slant;
    let at = body.foot + *body.axis * up;
    // Along a kick the middle never meets the face.
    let hooked = |hook: &Hook| (hook.edge, Length::mm(hook.distance(&at)));
    (slant.abs() > LEAST_SLANT).then(|| (at, [hooked(&face.hooks[0]), hooked(&face.hooks[1])]))
}

/// A newel whose axis runs nearer along a face than this sine has no centre on it: 30 degrees.
const LEAST_SLANT: f64 = 0.5;

/// The line of one side on a face, between two ends.
fn line(face: &Face, plane: &SidePlane, from: Point3<f64>, to: Point3<f64>) -> Option<KnifeLine> {
    let run = to - from;
    if run.norm() < SPECK_MM {
        return None;
    }
    let [a, b] = &face.hooks;
    let level_with = |hook: &Hook| hook.way().dot(&run).abs();
    let (beside, away) = if level_with(a) >= level_with(b) {
        (a, b)
    } else {
        (b, a)
    };
    let (near, far) = if away.distance(&from) <= away.distance(&to) {
        (from, to)
    } else {
        (to, from)
    };
    let read = |hook: &Hook| {
        let at = [near, far].map(|end| Length::mm(hook.distance(&end)));
        (hook.edge, at)
    };
    let into = plane.out - face.normal * plane.out.dot(&face.normal);
    Some(KnifeLine {
        side: plane.side,
        from: near,
        to: far,
        off: read(beside),
        along: read(away),
        into: into.normalize(),
    })
}
