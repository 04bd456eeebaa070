//! Balusters and panels.

use nalgebra::{Unit, Vector3};

use crate::job::RoughOf;
use crate::measure::Length;
use crate::setout::{BalusterSet, PanelSet, RailSet};

use super::saw::{Stands, upright_cut};
use super::{CutFor, CutPiece, Cutter, Detail, Edge, EndOf, EndWork, FaceUp, PieceKind, SawCut};

/// The balusters and panels of a run.
pub(super) fn all(cutter: &Cutter<'_>) -> Vec<CutPiece> {
    let setout = cutter.setout;
    let balusters = setout.balusters.iter().map(|one| baluster(cutter, one));
    let panels = setout.panels.iter().flat_map(|run| &run.panels);
    balusters
        .chain(panels.map(|one| panel(cutter, one)))
        .collect()
}

/// The directions of a piece along the slope: along it, and square up out of it.
fn up_of(piece: &RailSet) -> Vector3<f64> {
    let along = piece.upper - piece.lower;
    let level = Vector3::z().cross(&along);
    along.cross(&level).normalize()
}

/// The upward normal of what a baluster stands on.
fn ground(cutter: &Cutter<'_>, one: &BalusterSet) -> Vector3<f64> {
    let setout = cutter.setout;
    let shoe = setout.base.as_ref().map(|base| &base.shoe);
    if let Some(under) = setout.bottom_rail.as_ref().or(shoe) {
        return up_of(under);
    }
    let (climb, tilt) = cutter.site.slopes(one.step);
    Vector3::new(-climb, -tilt * cutter.site.outward, 1.0).normalize()
}

fn baluster(cutter: &Cutter<'_>, one: &BalusterSet) -> CutPiece {
    let outward = cutter.site.outward;
    let axis = Unit::try_new(one.top - one.foot, f64::MIN_POSITIVE);
    let stands = Stands {
        axis: axis.unwrap_or_else(Vector3::z_axis),
        face: (Vector3::y() * outward, cutter.open_and_wall()),
        side: (Vector3::x(), [Edge::Uphill, Edge::Downhill]),
    };
    let ground = ground(cutter, one);
    let (_, under_rail) = cutter.setout.rail.underside(one.top.x);
    let foot = upright_cut(&stands, false, &ground);
    let head = upright_cut(&stands, true, &under_rail);
    let on = cutter.setout.sill().map(|sill| sill.name.clone());
    let on = on.or_else(|| Some(cutter.site.surface_name(one.step)));
    let rail = cutter.setout.rail.name.clone();
    let ends = [
        EndWork::one(EndOf::Foot, on, foot),
        EndWork::one(EndOf::Head, Some(rail), head),
    ];
    // The seat is told plumb, the peg square to what it stands in.
    let seat = one.seat / stands.axis.z;
    let peg = one.peg.0 / stands.axis.dot(&ground);
    let (long, short) = farthest(one, &stands, (&ground, &under_rail));
    let whole = long + seat + peg;
    let mut piece = cutter
        .piece(
            (&one.name, PieceKind::Baluster),
            [one.along, one.across],
            (whole, RoughOf::Baluster),
            ends,
        )
        .between(long, short);
    piece.up = FaceUp::OpenSide;
    piece.hand = piece
        .ends
        .iter()
        .flat_map(|end| &end.cuts)
        .any(|cut| cut.bevel_long.is_some())
        .then(|| cutter.open_hand());
    piece.detail = Detail::Baluster {
        peg: [peg, one.peg.1],
        seat,
        lean: one.lean,
    };
    piece
}

/// Between its farthest and its nearest corners along it: where both ends are raked each edge is as long
/// as the others, and a corner of the head lies past them all.
fn farthest(
    one: &BalusterSet,
    stands: &Stands,
    (ground, head): (&Vector3<f64>, &Vector3<f64>),
) -> (Length, Length) {
    let axis = stands.axis.into_inner();
    let square = |way: Vector3<f64>| (way - axis * way.dot(&axis)).normalize();
    let up = square(stands.side.0) * (one.along.as_mm() / 2.0);
    let out = square(stands.face.0) * (one.across.as_mm() / 2.0);
    let corners = [up + out, up - out, out - up, -up - out];
    let reach = |off: Vector3<f64>, cut: &Vector3<f64>| -off.dot(cut) / axis.dot(cut);
    let feet = corners.map(|off| reach(off, ground));
    let heads = corners.map(|off| reach(off, head));
    let edges = [0, 1, 2, 3].map(|at| heads[at] - feet[at]);
    let most = |all: [f64; 4]| all.into_iter().fold(f64::NEG_INFINITY, f64::max);
    let least = |all: [f64; 4]| all.into_iter().fold(f64::INFINITY, f64::min);
    let past = most(heads) - least(feet) - most(edges);
    let short = least(edges) - (least(heads) - most(feet));
    (
        one.long_point + Length::mm(past),
        (one.short_point - Length::mm(short)).max(Length::ZERO),
    )
}

fn panel(cutter: &Cutter<'_>, one: &PanelSet) -> CutPiece {
    let pitch = one.pitch.angle();
    let rake = |long: [Edge; 2]| SawCut::mitred(CutFor::End, pitch, long);
    let ends = [
        EndWork::one(EndOf::Foot, None, rake([Edge::Downhill, Edge::Uphill])),
        EndWork::one(EndOf::Head, None, rake([Edge::Uphill, Edge::Downhill])),
    ];
    // What one edge lies higher than the other.
    let higher = one.width * one.pitch.slope().abs();
    let long = one.lower_end.max(one.upper_end) + higher;
    let short = (one.lower_end.min(one.upper_end) - higher).max(Length::ZERO);
    let mut piece = cutter
        .piece(
            (&one.name, PieceKind::Panel),
            [one.width, one.thickness],
            (long, RoughOf::Small),
            ends,
        )
        .between(long, short);
    piece.up = FaceUp::OpenSide;
    piece.detail = Detail::Panel {
        ends: [one.lower_end, one.upper_end],
        edges: [one.lower_edge, one.upper_edge],
    };
    piece
}
