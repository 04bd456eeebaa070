//! What would stand open, were a newel cut in square instead of to its lines: by how much a notch
//! opens, closed forms all.

use nalgebra::{Point3, Vector3};

use crate::job::{Job, Kicks};
use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;
use crate::setout::notch::{Body, kick_end};
use crate::setout::plan;
use crate::site::Site;

use super::boards::{Face, Hook, kick_face};
use super::knife::SidePlane;
use super::{Board, FitGap, FitSide, GapWhy, KnifeFace, KnifeLine, Strip};

/// What a shim makes up: a newel that stands farther from a kick than this is not meant to touch it;
/// 1/8 in, common practice, no source.
const SHIM_MM: f64 = 3.175;
/// A strip narrower than this breaks at the saw: 1 in, common practice, no source.
const STRIP_MM: f64 = 25.4;

/// The gaps along the lines of one face.
pub(super) fn along(face: &Face, cut: &KnifeFace, planes: &[SidePlane]) -> Vec<FitGap> {
    let square = cut.lines.iter().filter(|line| line.side != FitSide::Round);
    let square = square.filter_map(|line| {
        let hook = face.hooks.iter().find(|hook| hook.edge == line.off.0)?;
        to_edge(cut, line, hook)
    });
    let through = cut.lines.iter().filter_map(|line| {
        let plane = planes
            .iter()
            .find(|plane| plane.side == line.side && lies_on(line, plane))?;
        to_face(cut, line, plane)
    });
    square.chain(through).collect()
}

fn lies_on(line: &KnifeLine, plane: &SidePlane) -> bool {
    let off = |at: &Point3<f64>| (at - plane.point).dot(&plane.out).abs();
    off(&line.from).max(off(&line.to)) < SAME_POINT_MM
}

/// Laid out square to the edge beside it, through the end of the line that lies farther into the
/// wood, the notch stands open at the other end by as much as the line runs out of square.
fn to_edge(cut: &KnifeFace, line: &KnifeLine, hook: &Hook) -> Option<FitGap> {
    let by = line.out_of_square().as_mm();
    // Square to the edge, into the wood.
    let foot = hook.foot(&nalgebra::center(&line.from, &line.to));
    let square = foot.try_normalize(SAME_POINT_MM).unwrap_or(line.into);
    let square = square * square.dot(&line.into).signum();
    let deep = |at: &Point3<f64>| square.dot(&at.coords);
    let (tight, loose) = if deep(&line.from) >= deep(&line.to) {
        (line.from, line.to)
    } else {
        (line.to, line.from)
    };
    (by > SAME_POINT_MM).then(|| FitGap {
        part: cut.part.clone(),
        side: line.side,
        why: GapWhy::SquareToEdge(hook.edge),
        greatest: Length::mm(by),
        at: loose + square * (by / 2.0),
        wedge: vec![tight, loose, loose + square * by],
        // What is marked on a nose or end is the same cut as on the top.
        shows: matches!(cut.on, Board::Top | Board::Kick | Board::Skirt),
    })
}

/// Sawn square to the face through the board, the cut leaves the newel's side by the board's
/// thickness times the tangent of their angle: where it would bind below it must be opened, and shows.
fn to_face(cut: &KnifeFace, line: &KnifeLine, plane: &SidePlane) -> Option<FitGap> {
    let slant = plane.out.dot(&cut.normal);
    let by = cut.deep.as_mm() * slant / (1.0 - slant * slant).sqrt();
    if by.abs() <= SAME_POINT_MM || matches!(cut.on, Board::Nose | Board::End) {
        return None;
    }
    let opened = line.into * by;
    let (shows, lift) = if by > 0.0 {
        (true, Vector3::zeros())
    } else {
        (false, cut.normal * -cut.deep.as_mm() - opened)
    };
    let (from, to) = (line.from + lift, line.to + lift);
    Some(FitGap {
        part: cut.part.clone(),
        side: line.side,
        why: GapWhy::SquareToFace,
        greatest: Length::mm(by.abs()),
        at: nalgebra::center(&from, &to) + opened / 2.0,
        wedge: vec![from, to, to + opened, from + opened],
        shows,
    })
}

/// Under a foot cut square to the newel: it stands on the highest place, and is open over the others.
pub(super) fn under_foot(foot: &KnifeFace, body: &Body<'_>) -> Vec<FitGap> {
    // Plumb from the surface up to the plane of the foot, for each corner that is seen.
    let up = |at: &Point3<f64>| {
        let level = at.xy() - body.foot.xy();
        let plane = body.foot.z - (body.axis.xy().dot(&level)) / body.axis.z;
        plane - at.z
    };
    let least = foot.ring.iter().map(up).fold(f64::INFINITY, f64::min);
    let open = |at: &Point3<f64>| up(at) - least;
    foot.lines
        .iter()
        .filter_map(|line| {
            let [a, b] = [line.from, line.to].map(|at| (at, open(&at)));
            let (widest, by) = if a.1 >= b.1 { a } else { b };
            let raised = |(at, by): (Point3<f64>, f64)| at + Vector3::z() * by;
            (by > SAME_POINT_MM).then(|| FitGap {
                part: foot.part.clone(),
                side: line.side,
                why: GapWhy::SquareFoot,
                greatest: Length::mm(by),
                at: widest + Vector3::z() * (by / 2.0),
                wedge: vec![a.0, b.0, raised(b), raised(a)],
                shows: true,
            })
        })
        .collect()
}

/// Where a newel's uphill side stands against a kick (or in it, not through it) and the two are not
/// parallel: open at one end by what they run apart over the height.
pub(super) fn against_kick(
    job: &Job,
    site: &Site,
    surface: u32,
    body: &Body<'_>,
) -> Option<FitGap> {
    let step = site.step(surface + 1)?;
    if job.flight.kicks != Kicks::Closed {
        return None;
    }
    let low = body.foot.z;
    let high = step.top(step.kick_x, site.outward * body.foot.y) - step.thickness;
    // The newel's farthest point up the flight within the kick's width, and how far before its face.
    let stands = |z: f64| {
        let ring = body.at(z);
        let (inner, outer) = plan::extent(&ring, |point| site.outward * point.y);
        let inner = inner.max(step.wall_q);
        let (_, far) = plan::extent(&ring, |point| point.x);
        let face = kick_face(job, site, step, inner, z);
        (inner < outer.min(kick_end(step))).then(|| (site.at(far, inner, z), face - far))
    };
    let (foot, head) = (stands(low)?, stands(high)?);
    let least = foot.1.min(head.1);
    let through = foot.1.max(head.1) < -step.kick_thickness;
    let by = (foot.1 - head.1).abs();
    if through || least > SHIM_MM || high <= low || by <= SAME_POINT_MM {
        return None;
    }
    let (tight, loose) = if foot.1 < head.1 {
        (foot.0, head.0)
    } else {
        (head.0, foot.0)
    };
    let open = Vector3::x() * by;
    Some(FitGap {
        part: site.kick_name(step.number),
        side: FitSide::Uphill,
        why: GapWhy::AgainstKick,
        greatest: Length::mm(by),
        at: loose + open / 2.0,
        wedge: vec![tight, loose, loose + open],
        shows: true,
    })
}

/// What would be left between a notch and an edge, too narrow to stand.
pub(super) fn strips(face: &Face, cut: &KnifeFace) -> Vec<Strip> {
    if cut.on != Board::Top {
        return Vec::new();
    }
    let lines = cut.lines.iter().filter(|line| line.side != FitSide::Round);
    lines
        .filter_map(|line| {
            let hook = face.hooks.iter().find(|hook| hook.edge == line.off.0)?;
            let [a, b] = line.off.1;
            let width = a.min(b);
            // The strip lies on the wood's side of the line.
            let towards = -hook.foot(&nalgebra::center(&line.from, &line.to));
            let left = towards.dot(&line.into) > 0.0 && width.as_mm() < STRIP_MM;
            (left && width.as_mm() > SAME_POINT_MM).then(|| Strip {
                part: cut.part.clone(),
                edge: hook.edge,
                width,
                length: line.length(),
            })
        })
        .collect()
}
