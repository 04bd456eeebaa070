//! Newels and half newels, and the blocks that newels need.

use nalgebra::{Point2, Vector3};

use crate::job::{RailEnd, RoughOf};
use crate::measure::Length;
use crate::setout::{BlockNeeded, HalfNewelSet, NewelSet, meets};
use crate::site::Site;

use super::rails::fixings;
use super::saw::{Stands, upright_cut};
use super::{CutPiece, Cutter, Detail, Edge, EndOf, EndWork, FaceUp, PieceKind, SawCut};

/// The newels of a run, and what they need.
pub(super) fn all(cutter: &Cutter<'_>) -> Vec<CutPiece> {
    let setout = cutter.setout;
    let newels = setout.newels.iter().map(|newel| one(cutter, newel));
    let halves = setout
        .half_newels
        .iter()
        .map(|half| half_newel(cutter, half));
    // A newel that an earlier run set needs blocks in this run's stair too.
    let blocks = setout.all_newels().flat_map(|newel| {
        let needs = newel.needs.iter();
        needs.map(move |need| block(cutter, newel, need))
    });
    newels.chain(halves).chain(blocks).collect()
}

/// The surface that a newel's foot stands at: the one whose height is nearest.
pub(crate) fn stands_at(site: &Site, newel: &NewelSet) -> u32 {
    let off = |step: u32| {
        let height = site.height_of(step, newel.foot.x, site.outward * newel.foot.y);
        (height - newel.foot.z).abs()
    };
    let steps = site.steps.iter().map(|step| step.number);
    std::iter::once(0)
        .chain(steps)
        .min_by(|a, b| off(*a).total_cmp(&off(*b)))
        .unwrap_or(0)
}

fn stands(cutter: &Cutter<'_>, newel: &NewelSet) -> Stands {
    let outward = cutter.site.outward;
    let (sin, cos) = newel.twist.as_radians().sin_cos();
    let turned = |x: f64, y: f64| Vector3::new(x * cos - y * sin, x * sin + y * cos, 0.0);
    Stands {
        axis: newel.axis,
        face: (turned(-1.0, 0.0), [Edge::Downhill, Edge::Uphill]),
        side: (turned(0.0, outward), cutter.open_and_wall()),
    }
}

fn one(cutter: &Cutter<'_>, newel: &NewelSet) -> CutPiece {
    let rail = &cutter.setout.rail;
    let carries = rail.over.iter().any(|over| over.newel == newel.name);
    let body = newel.height - newel.cap.height();
    let surface = stands_at(cutter.site, newel);
    let (climb, tilt) = cutter.site.slopes(surface);
    let ground = Vector3::new(-climb, -tilt * cutter.site.outward, 1.0).normalize();
    let stands = stands(cutter, newel);
    let lies = |newel: &NewelSet| {
        let (_, up) = rail.underside(newel.foot.x + newel.axis.x * newel.height.as_mm());
        up
    };
    let over = if carries {
        lies(newel)
    } else {
        newel.axis.into_inner()
    };
    let foot = upright_cut(&stands, false, &ground);
    let head = if carries {
        upright_cut(&stands, true, &over)
    } else {
        SawCut::SQUARE
    };
    let (long, short) = lengths(newel, body, &ground, &over);
    let ends = [
        EndWork {
            scribed: true,
            ..EndWork::one(EndOf::Foot, Some(cutter.site.surface_name(surface)), foot)
        },
        EndWork::one(EndOf::Head, carries.then(|| rail.name.clone()), head),
    ];
    let mut piece = cutter
        .piece(
            (&newel.name, PieceKind::Newel),
            [newel.along, newel.across],
            (long, RoughOf::Newel),
            ends,
        )
        .between(long, short);
    piece.up = FaceUp::Downhill;
    piece.bores = fixings(cutter, &newel.name);
    let told = [&piece.ends[0], &piece.ends[1]];
    let handed = told
        .iter()
        .flat_map(|end| &end.cuts)
        .any(|cut| cut.mitre_long.is_some());
    piece.hand = handed.then(|| cutter.open_hand());
    piece.detail = Detail::Newel {
        cap: newel.cap.height(),
        rails: rails(cutter, newel),
        above: newel.reveals.map(|reveals| reveals.above),
        below: newel.reveals.and_then(|reveals| reveals.below),
    };
    piece
}

/// Along the newel between the farthest and the nearest corners of its cuts; its body is the length
/// in its middle.
fn lengths(
    newel: &NewelSet,
    body: Length,
    ground: &Vector3<f64>,
    over: &Vector3<f64>,
) -> (Length, Length) {
    let axis = newel.axis.into_inner();
    let reach = |point: &Point2<f64>| {
        let off = Vector3::new(point.x - newel.foot.x, point.y - newel.foot.y, 0.0);
        let below = -off.dot(ground) / axis.dot(ground);
        let above = body.as_mm() - off.dot(over) / axis.dot(over);
        (below, above)
    };
    let far = (f64::NEG_INFINITY, f64::INFINITY);
    let (mut feet, mut heads) = (far, far);
    for (below, above) in newel.footprint.iter().map(reach) {
        feet = (feet.0.max(below), feet.1.min(below));
        heads = (heads.0.max(above), heads.1.min(above));
    }
    let (high, low) = (heads.0 - feet.1, heads.1 - feet.0);
    if low.is_finite() && high.is_finite() {
        (Length::mm(high), Length::mm(low.max(0.0)))
    } else {
        (body, body)
    }
}

/// Where rails meet it, up from its foot along it: the highest and the lowest point of each.
fn rails(cutter: &Cutter<'_>, newel: &NewelSet) -> Vec<(String, [Length; 2])> {
    let design = &cutter.job.design.rail;
    let own = [(&design.lower, false), (&design.upper, true)]
        .into_iter()
        .filter(|(end, _)| matches!(end, RailEnd::Newel(name) if *name == newel.name))
        .filter_map(|(_, upper)| meets(newel, &cutter.setout.rail, upper));
    let turns = cutter.setout.turns.iter();
    let others = turns
        .filter(|turn| turn.newel == newel.name)
        .map(|turn| turn.meets[1].clone());
    own.chain(others)
        .map(|meets| (meets.rail, [meets.top, meets.underside]))
        .collect()
}

fn half_newel(cutter: &Cutter<'_>, half: &HalfNewelSet) -> CutPiece {
    let mut piece = cutter.piece(
        (&half.name, PieceKind::HalfNewel),
        [half.across, half.thickness],
        (half.height, RoughOf::Newel),
        EndWork::both([EndOf::Foot, EndOf::Head]),
    );
    piece.up = FaceUp::Show;
    piece.detail = Detail::Scribe([half.scribe.0, half.scribe.1]);
    piece
}

/// A block has no name of its own in the picture: it goes by its newel's.
fn block(cutter: &Cutter<'_>, newel: &NewelSet, need: &BlockNeeded) -> CutPiece {
    let mut sizes = [need.along, need.across, need.height];
    sizes.sort_by(|a, b| b.total_cmp(a));
    let [length, wide, thick] = sizes;
    let mut piece = cutter.piece(
        (&newel.name, PieceKind::Block),
        [wide, thick],
        (length, RoughOf::Small),
        EndWork::both([EndOf::Lower, EndOf::Upper]),
    );
    piece.up = FaceUp::Any;
    let several = cutter.chain.runs.len() > 1;
    let run = several.then(|| cutter.run.run.name.clone());
    piece.detail = Detail::Backs(need.side, run);
    piece
}
