//! Winders as solids: treads and the kicks under them.
//!
//! mm in the winders' frame ([`crate::site::winders`]). Treads run from their nosing to the next
//! kick's face; kicks stand behind the tread below and under the tread above.

use nalgebra::{Point2, Point3};

use crate::site::winders::{EdgeAcross, Winder, WinderSite};

use super::split::convex_rings;
use super::{Convex, Part, PartKind};

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
