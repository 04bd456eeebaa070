//! Winders as solids: treads and the kicks under them.
//!
//! mm in the winders' frame ([`crate::site::winders`]). Treads run from their nosing to the next
//! kick's face; kicks stand behind the tread below and under the tread above.

use nalgebra::{Point2, Point3};

use crate::setout::boards::{Stood, winders};
use crate::site::winders::{EdgeAcross, Winder, WinderSite};
use crate::site::{Frame, PlacedTurn};

use super::carcass::notched;
use super::split::convex_rings;
use super::{Convex, Part, PartKind, Plane, Run, railing};

/// The parts of a turn in its place in the first run's frame, cut for every newel of the stair that goes
/// through them, one left out where it is named. The kick that the flight before has is not among them.
pub(super) fn placed_parts(
    turn: &PlacedTurn,
    runs: &[Run<'_>],
    frames: &[Frame],
    but: Option<&str>,
) -> Vec<Part> {
    let motion = turn.frame.motion();
    let skipped = turn.kick_name(1);
    let parts = winder_parts(&turn.site, &turn.mark).into_iter();
    let mut parts: Vec<Part> = parts
        .filter(|part| turn.has_first_kick || part.name != skipped)
        .map(|part| {
            let pieces = part.pieces.iter();
            let pieces = pieces.map(|piece| piece.moved(&motion)).collect();
            Part { pieces, ..part }
        })
        .collect();
    let stood = runs.iter().zip(frames).flat_map(|(run, frame)| {
        let own = run.setout.newels.iter();
        own.map(move |newel| Stood { newel, frame })
    });
    let stood: Vec<Stood<'_>> = stood
        .filter(|one| but != Some(one.newel.name.as_str()))
        .collect();
    for tread in winders(turn, None).treads {
        let kick = turn.kick_name(tread.number);
        for one in &stood {
            let Some(body) = railing::newel_body(one.newel) else {
                continue;
            };
            let body = body.moved(&one.frame.motion());
            let mut cut = |name: &str, planes: &[Plane]| {
                let planes = [planes.to_vec()];
                if let Some(part) = parts.iter_mut().find(|part| part.name == name) {
                    let whole = part.clone();
                    *part = notched(whole, &planes);
                }
            };
            if one.in_tread(turn, &tread).is_some() {
                // Right through, wherever between its faces the foot stands.
                cut(&tread.name, &sides(&body));
            }
            if one.in_kick(turn, &tread).is_some() {
                cut(&kick, body.planes());
            }
        }
    }
    parts
}

/// The planes of a newel's sides, without its foot and head.
fn sides(body: &Convex) -> Vec<Plane> {
    let along = |plane: &&Plane| plane.normal.z.abs() < STEEP;
    body.planes().iter().filter(along).copied().collect()
}

/// Between a newel's sides, which stand nearly plumb, and its ends: the sine of 45 degrees.
const STEEP: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// Every tread and kick, their names with a mark before them: `2.T1`, `2.K1` for the mark `2.`.
/// The kick behind the last tread belongs to what the turn reaches.
#[must_use]
pub fn winder_parts(site: &WinderSite, mark: &str) -> Vec<Part> {
    let mut below: Option<&Winder> = None;
    let mut parts = Vec::with_capacity(site.treads.len() * 2);
    for (tread, face) in site.treads.iter().zip(&site.kicks) {
        parts.push(Part {
            name: format!("{mark}T{}", tread.number),
            kind: PartKind::Tread,
            pieces: tread_pieces(tread),
        });
        parts.push(Part {
            name: format!("{mark}K{}", tread.number),
            kind: PartKind::Kick,
            pieces: kick_pieces(site, face, below, tread),
        });
        below = Some(tread);
    }
    parts
}

fn tread_pieces(tread: &Winder) -> Vec<Convex> {
    pieces(
        &tread.outline,
        |at| tread.top(at) - tread.thickness,
        |at| tread.top(at),
    )
}

/// A kick's board, from under the tread below to under its own.
fn kick_pieces(
    site: &WinderSite,
    face: &EdgeAcross,
    below: Option<&Winder>,
    above: &Winder,
) -> Vec<Convex> {
    let Some(back) = site.parallel(face, site.kick_thickness) else {
        return Vec::new();
    };
    // What the first kick rises from is as thick as a tread, and level.
    let foot =
        |at: &Point2<f64>| below.map_or(-above.thickness, |tread| tread.top(at) - tread.thickness);
    pieces(&site.outline(face, &back), foot, |at| {
        above.top(at) - above.thickness
    })
}

/// A plan outline carried up from one plane to another, in convex pieces.
pub(super) fn pieces(
    outline: &[Point2<f64>],
    foot: impl Fn(&Point2<f64>) -> f64,
    head: impl Fn(&Point2<f64>) -> f64,
) -> Vec<Convex> {
    let lift = |ring: &[Point2<f64>], height: &dyn Fn(&Point2<f64>) -> f64| {
        ring.iter()
            .map(|at| Point3::new(at.x, at.y, height(at)))
            .collect::<Vec<_>>()
    };
    convex_rings(outline)
        .iter()
        .filter_map(|ring| Convex::loft(&lift(ring, &foot), &lift(ring, &head)))
        .collect()
}
