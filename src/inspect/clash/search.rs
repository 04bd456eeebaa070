//! [`look`]: every pair of parts whose boxes meet, then every pair of their pieces.
//!
//! In: [`Solids`], mm in the flight's frame. Out: [`Looked`] in the same frame.
//!
//! The tree over the parts' boxes takes n log n for n parts, and the rest grows with the pairs that
//! do touch. Parts that all stand in one place touch all others, n^2 / 2 pairs of them: the search
//! then ends early and says so. It keeps no list of pairs.

use std::cell::OnceCell;

use nalgebra::{Isometry3, Unit, Vector3};

use super::parry::Boxes;
use super::points::witness_points;
use super::separate::{Faceted, Push, least_push};
use super::{Clash, nearest};
use crate::measure::tolerance::CONTACT_MM;
use crate::solids::{Bounds, Convex, JointKind, Solids};

/// More clashes than this are not looked for: a stair with as many is wrong as a whole, and each
/// of them is a line for somebody to read.
pub const MOST_CLASHES: usize = 2000;

/// More pairs of parts whose boxes meet than this are not looked at: a part of a stair touches a
/// dozen others or so, and this is room for a hundred thousand parts.
pub const MOST_LOOKED: usize = 2_000_000;

/// What was found, and whether all was looked at.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Looked {
    /// The clashes, in the order of their parts.
    pub clashes: Vec<Clash>,
    /// False where the search ended at [`MOST_CLASHES`] or [`MOST_LOOKED`]: then parts from
    /// `ended_at` on were not looked at against all that stand after them.
    pub whole: bool,
    /// The first part, as an index, that was not looked at against all others; the number of parts
    /// where all was.
    pub ended_at: usize,
    /// Parts without a body, as indices: nothing can be said about them.
    pub bodiless: Vec<usize>,
}

/// Looks for every pair of parts that overlap deeper than their seat and more than touching faces
/// do.
#[must_use]
pub fn look(solids: &Solids) -> Looked {
    let seats = Seats::of(solids);
    let (bodies, bodiless) = bodies(solids);
    let boxes: Vec<Bounds> = bodies.iter().map(|body| body.bounds).collect();
    let tree = Boxes::of(&boxes);
    let mut looked = Looked {
        whole: true,
        ended_at: solids.parts.len(),
        bodiless,
        ..Looked::default()
    };
    let mut pairs = 0;
    for (place, first) in bodies.iter().enumerate() {
        for other in tree.touching(place) {
            pairs += 1;
            if pairs > MOST_LOOKED || looked.clashes.len() >= MOST_CLASHES {
                looked.whole = false;
                looked.ended_at = first.part;
                return looked;
            }
            let second = &bodies[other];
            let (seat, joint) = seats.between(first.part, second.part);
            // Parts that are scribed to each other, however deep.
            if seat.is_infinite() {
                continue;
            }
            let deep = deep_pairs(first, second, seat + CONTACT_MM);
            looked
                .clashes
                .extend(clash(first, second, &deep, (seat, joint)));
        }
    }
    looked
}

/// A part with its boxes.
struct Body<'a> {
    part: usize,
    bounds: Bounds,
    pieces: Vec<Piece<'a>>,
}

/// A piece with its box, and with its directions once somebody asked for them.
struct Piece<'a> {
    solid: &'a Convex,
    bounds: Bounds,
    faceted: OnceCell<Faceted<'a>>,
}

impl<'a> Piece<'a> {
    fn faceted(&self) -> &Faceted<'a> {
        self.faceted.get_or_init(|| Faceted::of(self.solid))
    }
}

/// The parts that have a body, in order, and the indices of those that have none.
fn bodies(solids: &Solids) -> (Vec<Body<'_>>, Vec<usize>) {
    let mut bodiless = Vec::new();
    let mut bodies = Vec::with_capacity(solids.parts.len());
    for (part, of) in solids.parts.iter().enumerate() {
        let pieces: Vec<Piece<'_>> = of
            .pieces
            .iter()
            .map(|solid| Piece {
                solid,
                bounds: solid.bounds(),
                faceted: OnceCell::new(),
            })
            .collect();
        let boxes = pieces.iter().map(|piece| piece.bounds);
        match boxes.reduce(|a, b| a.union(&b)) {
            Some(bounds) => bodies.push(Body {
                part,
                bounds,
                pieces,
            }),
            None => bodiless.push(part),
        }
    }
    (bodies, bodiless)
}

/// Two pieces that overlap beyond the seat.
pub(super) struct Deep<'a> {
    pub(super) pieces: [&'a Convex; 2],
    pub(super) push: Push,
}

/// Every pair of pieces that overlap deeper than is allowed, the deepest first.
fn deep_pairs<'a>(first: &Body<'a>, second: &Body<'a>, allowed: f64) -> Vec<Deep<'a>> {
    let mut deep = Vec::new();
    for a in &first.pieces {
        if !a.bounds.meets(&second.bounds, 0.0) {
            continue;
        }
        for b in &second.pieces {
            if !a.bounds.meets(&b.bounds, 0.0) {
                continue;
            }
            let push = least_push(a.faceted(), b.faceted(), allowed);
            deep.extend(push.map(|push| Deep {
                pieces: [a.solid, b.solid],
                push,
            }));
        }
    }
    // Stable: of two as deep as each other the first piece's stands first.
    deep.sort_by(|p, q| q.push.depth.total_cmp(&p.push.depth));
    deep
}

fn clash(
    first: &Body<'_>,
    second: &Body<'_>,
    deep: &[Deep<'_>],
    (seat, joint): (f64, Option<JointKind>),
) -> Option<Clash> {
    let deepest = deep.first()?;
    let points = witness_points(deep);
    let [a, b] = deepest.pieces;
    let at = points
        .first()
        .copied()
        .unwrap_or_else(|| nearest::boxes_meet(a, b));
    let single = first.pieces.len() == 1 && second.pieces.len() == 1;
    let whole = if single {
        None
    } else {
        way_out(first, second, deep, seat)
    };
    let (direction, depth) = whole.unwrap_or((deepest.push.direction, deepest.push.depth - seat));
    Some(Clash {
        a: first.part,
        b: second.part,
        depth,
        seat,
        direction: direction.into_inner(),
        at,
        points,
        joint,
    })
}

/// So many ways out are tried, and on each so many pieces met one after another.
const WAYS_TRIED: usize = 24;
const MOST_MET: usize = 64;
/// Ways nearer to one another than this are one (the cosine of a degree and a half).
const ALIKE: f64 = 0.9996;

/// The shortest of the ways on which the second part as a whole comes clear of the first, but for
/// their seat: of those that part two of their pieces, and those square to their faces. A way that leads from one piece into the next
/// goes on until none is met. `None` where none of them leads out.
fn way_out(
    first: &Body<'_>,
    second: &Body<'_>,
    deep: &[Deep<'_>],
    seat: f64,
) -> Option<(Unit<Vector3<f64>>, f64)> {
    let mut ways: Vec<Unit<Vector3<f64>>> = Vec::new();
    // Where a seam of one part runs through the other, its pieces push aside along it, and the way
    // out is square to a face.
    let pushes = deep.iter().map(|one| one.push.direction);
    let faces = deep.iter().flat_map(|one| {
        let [a, b] = one.pieces;
        let of_a = a.planes().iter().map(|plane| plane.normal);
        of_a.chain(b.planes().iter().map(|plane| -plane.normal))
    });
    for way in pushes.chain(faces) {
        if ways.len() < WAYS_TRIED && ways.iter().all(|known| known.dot(&way) < ALIKE) {
            ways.push(way);
        }
    }
    let out = ways
        .into_iter()
        .filter_map(|way| Some((way, travel_out(first, second, way, seat)?)));
    out.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// How far the second part must go this way until no two pieces overlap beyond the seat, mm.
fn travel_out(
    first: &Body<'_>,
    second: &Body<'_>,
    way: Unit<Vector3<f64>>,
    seat: f64,
) -> Option<f64> {
    let reach = |piece: &Convex| {
        let along = piece.corners().iter().map(|corner| way.dot(&corner.coords));
        along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at), high.max(at))
        })
    };
    let mut go = 0.0;
    for _ in 0..MOST_MET {
        let motion = Isometry3::from_parts((way.into_inner() * go).into(), nalgebra::one());
        let mut further: Option<f64> = None;
        for b in &second.pieces {
            let moved = b.solid.moved(&motion);
            let bounds = moved.bounds();
            if !bounds.meets(&first.bounds, 0.0) {
                continue;
            }
            let faceted = Faceted::of(&moved);
            for a in first.pieces.iter().filter(|a| a.bounds.meets(&bounds, 0.0)) {
                if least_push(a.faceted(), &faceted, seat + CONTACT_MM).is_some() {
                    let more = reach(a.solid).1 - reach(&moved).0 - seat;
                    further = Some(further.map_or(more, |known: f64| known.max(more)));
                }
            }
        }
        match further {
            None => return Some(go),
            Some(more) => go += more.max(CONTACT_MM),
        }
    }
    None
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

    /// How deep two parts may overlap, mm, and by which joint.
    fn between(&self, a: usize, b: usize) -> (f64, Option<JointKind>) {
        let end = self.joints.partition_point(|(pair, ..)| *pair <= (a, b));
        match end.checked_sub(1).map(|last| &self.joints[last]) {
            Some((pair, seat, kind)) if *pair == (a, b) => (*seat, Some(*kind)),
            _ => (0.0, None),
        }
    }
}
