//! Newels, rails, rosette and balusters as solids, from their set-out.

use nalgebra::{Point2, Point3, Vector3};

use crate::job::Job;
use crate::measure::{Angle, Length};
use crate::setout::{BalusterSet, NewelSet, ROSETTE_THICKNESS, RailSet, SetOut, WallLanding, plan};
use crate::site::Site;

use super::{Convex, Part, PartKind, Plane, fitting};

/// A piece along an axis between two distances from a foot, its ring given in plan.
fn post(
    ring: &[Point2<f64>],
    foot_z: f64,
    axis: &Vector3<f64>,
    from: f64,
    to: f64,
) -> Option<Convex> {
    let place = |distance: f64| {
        ring.iter()
            .map(|point| Point3::new(point.x, point.y, foot_z) + axis * distance)
            .collect::<Vec<_>>()
    };
    Convex::loft(&place(from), &place(to))
}

/// The body of a newel below its cap.
pub(super) fn newel_body(newel: &NewelSet) -> Option<Convex> {
    post(
        &newel.footprint,
        newel.foot.z,
        &newel.axis,
        0.0,
        newel.height.as_mm(),
    )
}

/// A newel with its cap, or cut to the underside of the rail that lies on it.
pub(super) fn newel_part(newel: &NewelSet, rail: &RailSet) -> Part {
    let pieces = if rail.over.iter().any(|over| over.newel == newel.name) {
        under_rail(newel, rail).into_iter().collect()
    } else {
        capped(newel)
    };
    Part {
        name: newel.name.clone(),
        kind: PartKind::Newel,
        pieces,
    }
}

/// A newel that a rail lies on.
fn under_rail(newel: &NewelSet, rail: &RailSet) -> Option<Convex> {
    let (point, up) = rail.underside(newel.foot.x + newel.axis.x * newel.height.as_mm());
    let spare = newel.along.as_mm() + newel.across.as_mm();
    let height = newel.height.as_mm() + spare;
    post(&newel.footprint, newel.foot.z, &newel.axis, 0.0, height)?
        .clip(&Plane::through(point, up)?)
}

fn capped(newel: &NewelSet) -> Vec<Convex> {
    let height = newel.height.as_mm();
    let cap = &newel.cap;
    let slab_from = height - cap.height().as_mm();
    let point_from = slab_from + cap.slab.as_mm();
    let grown = |by: f64| {
        let (along, across) = (newel.along.as_mm() + by, newel.across.as_mm() + by);
        plan::section(newel.foot.xy(), along, across, newel.round, newel.twist)
    };
    let body = post(&newel.footprint, newel.foot.z, &newel.axis, 0.0, slab_from);
    let outline = grown(2.0 * cap.out.as_mm());
    let slab = post(&outline, newel.foot.z, &newel.axis, slab_from, point_from);
    let ring = |points: &[Point2<f64>], distance: f64| {
        points
            .iter()
            .map(|point| Point3::new(point.x, point.y, newel.foot.z) + *newel.axis * distance)
            .collect::<Vec<_>>()
    };
    // The point runs in to a quarter of the newel's own size.
    let low_share = newel.along.as_mm() * 0.25 - newel.along.as_mm();
    let point = Convex::loft(
        &ring(&outline, point_from),
        &ring(&grown(low_share), height),
    );
    [body, slab, point].into_iter().flatten().collect()
}

/// The directions of a rail: along it, level to its left, and square up.
pub(super) fn frame(rail: &RailSet) -> [Vector3<f64>; 3] {
    let along = (rail.upper - rail.lower).normalize();
    let left = Vector3::z().cross(&along).normalize();
    [along, left, along.cross(&left)]
}

/// A rail's section as (left, up) points from the middle of its reference edge.
pub(super) fn rail_ring(width: Length, up: [f64; 2], bevel: f64) -> Vec<(f64, f64)> {
    let half = width.as_mm() / 2.0;
    let [low, high] = up;
    if bevel > 0.0 {
        vec![
            (-half, low),
            (half, low),
            (half, high - bevel),
            (half - bevel, high),
            (bevel - half, high),
            (-half, high - bevel),
        ]
    } else {
        vec![(-half, low), (half, low), (half, high), (-half, high)]
    }
}

/// A rail between its end cuts.
fn rail_body(rail: &RailSet, ring: &[(f64, f64)]) -> Option<Convex> {
    let [along, left, up] = frame(rail);
    // Long enough that any end cut falls inside it.
    let spare = along * (rail.width.as_mm() + rail.depth.as_mm()) * 4.0;
    let start = rail.lower - spare;
    let corners: Vec<_> = ring
        .iter()
        .map(|&(l, u)| start + left * l + up * u)
        .collect();
    let bar = Convex::prism(&corners, rail.upper + spare - start)?;
    [&rail.lower_cut, &rail.upper_cut]
        .into_iter()
        .try_fold(bar, |bar, cut| {
            bar.clip(&Plane::through(cut.point, cut.normal.into_inner())?)
        })
}

/// The rail.
pub(super) fn rail_part(job: &Job, rail: &RailSet) -> Part {
    let ring = rail_ring(
        rail.width,
        [-rail.depth.as_mm(), 0.0],
        job.design.rail.bevel.mm(),
    );
    let pieces = rail_body(rail, &ring)
        .into_iter()
        .chain(fitting::pieces(rail, &ring))
        .collect();
    Part {
        name: rail.name.clone(),
        kind: PartKind::Rail,
        pieces,
    }
}

/// A bottom rail.
pub(super) fn bottom_rail_part(rail: &RailSet) -> Part {
    let ring = rail_ring(rail.width, [0.0, rail.depth.as_mm()], 0.0);
    let pieces = rail_body(rail, &ring).into_iter().collect();
    Part {
        name: rail.name.clone(),
        kind: PartKind::BottomRail,
        pieces,
    }
}

/// A rail as an obstacle that reaches `up` (from, to) square from its reference edge: for openings
/// that must not be judged past the rail.
pub(super) fn rail_obstacle(rail: &RailSet, up: [f64; 2]) -> Option<Convex> {
    rail_body(rail, &rail_ring(rail.width, up, 0.0))
}

/// The rosettes where the rail lands on walls.
pub(super) fn rosette_parts(job: &Job, site: &Site, setout: &SetOut) -> Vec<Part> {
    let landings = crate::setout::landings(job, site, &setout.rail);
    landings
        .iter()
        .filter_map(|landing| rosette_part(site, landing))
        .collect()
}

fn rosette_part(site: &Site, landing: &WallLanding<'_>) -> Option<Part> {
    let normal = site
        .wall(landing.wall)?
        .normal(landing.along, landing.point.z);
    let left = Vector3::z().cross(&normal).normalize();
    let up = normal.cross(&left);
    let half = landing.rosette.mm() / 2.0;
    let ring: Vec<_> = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .iter()
        .map(|&(l, u)| landing.point + left * (l * half) + up * (u * half))
        .collect();
    let pieces = Convex::prism(&ring, normal * ROSETTE_THICKNESS)
        .into_iter()
        .collect();
    let name = format!("rosette on {}", landing.wall);
    Some(Part {
        name,
        kind: PartKind::Rosette,
        pieces,
    })
}

/// A baluster between what it stands on and the rail, with its peg below and its seat above.
pub(super) fn baluster_part(site: &Site, setout: &SetOut, one: &BalusterSet) -> Part {
    let mut pieces = baluster_body(site, setout, one);
    pieces.extend(peg(site, setout, one));
    Part {
        name: one.name.clone(),
        kind: PartKind::Baluster,
        pieces,
    }
}

fn baluster_body(site: &Site, setout: &SetOut, one: &BalusterSet) -> Vec<Convex> {
    let spare = one.along.as_mm() + one.across.as_mm();
    let length = (one.top - one.foot).norm();
    let (_, up) = setout.rail.underside(one.top.x);
    let seat = Vector3::z() * one.seat.as_mm();
    let head = Plane::through(one.top + seat, up);
    let (Some(ground), Some(head)) = (ground_plane(site, setout, one), head) else {
        return Vec::new();
    };
    super::turned::pieces(one, -spare, length + spare)
        .iter()
        .filter_map(|piece| piece.clip(&ground)?.clip(&head))
        .collect()
}

/// The plane that a baluster stands on, its outward side downwards.
fn ground_plane(site: &Site, setout: &SetOut, one: &BalusterSet) -> Option<Plane> {
    let shoe = setout.base.as_ref().map(|base| &base.shoe);
    if let Some(under) = setout.bottom_rail.as_ref().or(shoe) {
        let [_, _, up] = frame(under);
        return Plane::through(one.foot, -up);
    }
    let (climb, tilt) = site.slopes(one.step);
    Plane::through(one.foot, Vector3::new(climb, tilt * site.outward, -1.0))
}

/// The peg, its end cut parallel to what it stands in, so that it is as deep all round.
fn peg(site: &Site, setout: &SetOut, one: &BalusterSet) -> Option<Convex> {
    let (length, diameter) = (one.peg.0.as_mm(), one.peg.1.as_mm());
    if length <= 0.0 {
        return None;
    }
    let axis = (one.top - one.foot).normalize();
    let ring = plan::section(one.foot.xy(), diameter, diameter, true, Angle::ZERO);
    let rough = post(&ring, one.foot.z, &axis, -length - diameter, diameter)?;
    let ground = ground_plane(site, setout, one)?;
    let down = ground.normal.into_inner();
    let in_ground = rough.clip(&ground.flipped())?;
    in_ground.clip(&Plane::through(one.foot + down * length, down)?)
}
