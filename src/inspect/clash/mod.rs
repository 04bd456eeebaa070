//! Clashes: parts that stand in each other's place, beyond what their joint allows.
//!
//! In: [`Solids`], mm in the flight's frame. Out: one [`Clash`] per pair of parts, in the order of
//! the parts; [`nearest`] for a clearance.
//! Does not: know limits, rules or what to do about it.

mod features;
mod nearest;
mod parry;
mod separate;
#[cfg(test)]
mod tests;

use nalgebra::{Point3, Vector3};

pub use nearest::{Gap, closest, nearest, nearest_pieces};
pub use separate::{Separation, overlap_volume, separate};

use self::separate::{Faceted, Push, least_push, shared_point};
use crate::measure::tolerance::CONTACT_MM;
use crate::solids::{Bounds, JointKind, Solids};

/// Two parts that overlap beyond their seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clash {
    /// The first part, as an index into [`Solids::parts`]; less than `b`.
    pub a: usize,
    /// The second part.
    pub b: usize,
    /// How deep they overlap beyond the seat, mm.
    ///
    /// The overlap is the least travel that parts the deepest pair of pieces. That is exact for
    /// parts of one piece and never more than the travel that parts the whole parts.
    pub depth: f64,
    /// How deep the joint lets them overlap, mm; zero without a joint.
    pub seat: f64,
    /// The way `b` would move to part from `a`: a unit vector.
    pub direction: Vector3<f64>,
    /// A point inside both, mm.
    pub at: Point3<f64>,
    /// The joint that was overrun, where one was declared.
    pub joint: Option<JointKind>,
}

/// Every pair of parts that overlap deeper than their seat and more than touching faces do.
///
/// The pieces of one part never clash with each other.
#[must_use]
pub fn clashes(solids: &Solids) -> Vec<Clash> {
    let seats = Seats::of(solids);
    let pieces: Vec<(usize, Faceted<'_>)> = solids
        .parts
        .iter()
        .enumerate()
        .flat_map(|(part, of)| {
            of.pieces
                .iter()
                .map(move |piece| (part, Faceted::of(piece)))
        })
        .collect();
    let boxes: Vec<Bounds> = pieces
        .iter()
        .map(|(_, piece)| piece.solid().bounds())
        .collect();
    let mut found: Vec<Deepest> = Vec::new();
    for (i, j) in parry::touching_boxes(&boxes) {
        // Pieces stand in the order of their parts, so the lesser piece has the lesser part.
        let ((a, piece_a), (b, piece_b)) = (&pieces[i], &pieces[j]);
        if a == b {
            continue;
        }
        // Piece pairs of one part pair need not follow one another.
        let known = found
            .iter()
            .rposition(|deepest| (deepest.a, deepest.b) == (*a, *b));
        let enough = known.map_or_else(|| seats.allowance(*a, *b), |index| found[index].push.depth);
        let Some(push) = least_push(piece_a, piece_b, enough) else {
            continue;
        };
        let deepest = Deepest {
            a: *a,
            b: *b,
            push,
            pieces: (i, j),
        };
        match known {
            Some(index) => found[index] = deepest,
            None => found.push(deepest),
        }
    }
    found.sort_by_key(|deepest| (deepest.a, deepest.b));
    found
        .iter()
        .map(|deepest| deepest.clash(&seats, &pieces))
        .collect()
}

/// The deepest pair of pieces of two parts.
struct Deepest {
    a: usize,
    b: usize,
    push: Push,
    pieces: (usize, usize),
}

impl Deepest {
    fn clash(&self, seats: &Seats, pieces: &[(usize, Faceted<'_>)]) -> Clash {
        let (first, second) = (
            pieces[self.pieces.0].1.solid(),
            pieces[self.pieces.1].1.solid(),
        );
        let (seat, joint) = seats.between(self.a, self.b);
        Clash {
            a: self.a,
            b: self.b,
            depth: self.push.depth - seat,
            seat,
            direction: self.push.direction.into_inner(),
            at: shared_point(first, second).unwrap_or_else(|| nearest::boxes_meet(first, second)),
            joint,
        }
    }
}

/// The declared joints, sorted by their parts.
struct Seats {
    joints: Vec<((usize, usize), f64, JointKind)>,
}

impl Seats {
    fn of(solids: &Solids) -> Self {
        let key = |a: usize, b: usize| (a.min(b), a.max(b));
        let mut joints: Vec<_> = solids
            .joints
            .iter()
            .map(|joint| (key(joint.a, joint.b), joint.seat, joint.kind))
            .collect();
        // Should a pair be declared twice, its deepest seat stands last and is taken.
        joints.sort_by(|p, q| p.0.cmp(&q.0).then(p.1.total_cmp(&q.1)));
        Self { joints }
    }

    fn between(&self, a: usize, b: usize) -> (f64, Option<JointKind>) {
        let end = self.joints.partition_point(|(pair, ..)| *pair <= (a, b));
        match end.checked_sub(1).map(|last| &self.joints[last]) {
            Some((pair, seat, kind)) if *pair == (a, b) => (*seat, Some(*kind)),
            _ => (0.0, None),
        }
    }

    /// How deep two parts may overlap before it is a clash, mm.
    fn allowance(&self, a: usize, b: usize) -> f64 {
        self.between(a, b).0 + CONTACT_MM
    }
}
