//! [`separate`]: how far one convex piece must move to be clear of another.
//!
//! In: two convex pieces, mm in the flight's frame. Out: [`Separation`] in the same frame.
//!
//! Two convex solids overlap by the least support of their Minkowski difference, and that least
//! value lies on one of its facets: a face of one solid, a face of the other turned round, or a
//! facet swept by one edge of each (the separating axis theorem). Those directions are few and are
//! all tried, so the depth is exact, not the end of an iteration. The push along any unit direction
//! parts the pieces, so a direction lost to rounding could only make the depth too great.

use nalgebra::{Point3, Unit, Vector3};

use crate::measure::tolerance::{PARALLEL, SAME_POINT_MM};
use crate::solids::Convex;

/// How two pieces stand to each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Separation {
    /// The least travel that parts the pieces, mm. Zero or less where they do not overlap: then
    /// they are at least `-depth` apart.
    pub depth: f64,
    /// Where `b` must go to part from `a`, or lies already.
    pub direction: Unit<Vector3<f64>>,
    /// A point inside both, mm; `None` where they have no volume in common.
    pub at: Option<Point3<f64>>,
}

/// How far two pieces overlap, the way that parts them, and a point in both.
///
/// `None` only for a piece without faces, which [`Convex`] does not make.
#[must_use]
pub fn separate(a: &Convex, b: &Convex) -> Option<Separation> {
    let push = least_push(&Faceted::of(a), &Faceted::of(b), f64::NEG_INFINITY)?;
    let at = if push.depth > 0.0 {
        shared_point(a, b)
    } else {
        None
    };
    Some(Separation {
        depth: push.depth,
        direction: push.direction,
        at,
    })
}

/// The volume that two pieces have in common, mm^3.
#[must_use]
pub fn overlap_volume(a: &Convex, b: &Convex) -> f64 {
    a.common(b.planes()).map_or(0.0, |common| common.volume())
}

/// A point inside both pieces: the mean of the corners of what they have in common.
pub(super) fn shared_point(a: &Convex, b: &Convex) -> Option<Point3<f64>> {
    a.common(b.planes()).map(|common| mean_corner(&common))
}

/// The mean of a piece's corners, which lies inside it.
pub(super) fn mean_corner(piece: &Convex) -> Point3<f64> {
    let sum: Vector3<f64> = piece.corners().iter().map(|corner| corner.coords).sum();
    Point3::from(sum / piece.corners().len().max(1) as f64)
}

/// A piece with the directions its faces and edges give to the search.
#[derive(Debug)]
pub(super) struct Faceted<'a> {
    solid: &'a Convex,
    /// Edge directions, each once whichever way it runs: a prism has its ring's and its sweep.
    edges: Vec<Vector3<f64>>,
}

impl<'a> Faceted<'a> {
    pub(super) fn of(solid: &'a Convex) -> Self {
        let corners = solid.corners();
        let mut edges: Vec<Vector3<f64>> = Vec::with_capacity(8);
        for face in solid.faces() {
            for (i, &from) in face.iter().enumerate() {
                let to = face[(i + 1) % face.len()];
                // The neighbouring face runs the same edge the other way.
                if from > to {
                    continue;
                }
                let Some(edge) = (corners[to] - corners[from]).try_normalize(SAME_POINT_MM) else {
                    continue;
                };
                if edges
                    .iter()
                    .all(|known| known.cross(&edge).norm_squared() > PARALLEL * PARALLEL)
                {
                    edges.push(edge);
                }
            }
        }
        Self { solid, edges }
    }

    /// The least and greatest reach along a direction.
    fn reach(&self, along: &Vector3<f64>) -> (f64, f64) {
        self.solid.corners().iter().fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(low, high), corner| {
                let reach = along.dot(&corner.coords);
                (low.min(reach), high.max(reach))
            },
        )
    }
}

/// A travel of `b` that clears it from `a`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Push {
    pub(super) depth: f64,
    pub(super) direction: Unit<Vector3<f64>>,
}

/// The least push, unless some direction already parts the pieces with no more than `enough`: then
/// `None`, for nobody asks about so shallow an overlap.
pub(super) fn least_push(a: &Faceted<'_>, b: &Faceted<'_>, enough: f64) -> Option<Push> {
    let mut search = Search {
        a,
        b,
        enough,
        best: None,
    };
    for plane in a.solid.planes() {
        search.push_along(&plane.normal)?;
    }
    for plane in b.solid.planes() {
        search.push_along(&-plane.normal)?;
    }
    for edge_a in &a.edges {
        for edge_b in &b.edges {
            if let Some(square) = Unit::try_new(edge_a.cross(edge_b), PARALLEL) {
                search.push_either_way(&square)?;
            }
        }
    }
    search.best
}

struct Search<'a> {
    a: &'a Faceted<'a>,
    b: &'a Faceted<'a>,
    enough: f64,
    best: Option<Push>,
}

impl Search<'_> {
    fn push_along(&mut self, direction: &Unit<Vector3<f64>>) -> Option<()> {
        let depth = self.a.reach(direction).1 - self.b.reach(direction).0;
        self.offer(depth, *direction)
    }

    fn push_either_way(&mut self, direction: &Unit<Vector3<f64>>) -> Option<()> {
        let (low_a, high_a) = self.a.reach(direction);
        let (low_b, high_b) = self.b.reach(direction);
        self.offer(high_a - low_b, *direction)?;
        self.offer(high_b - low_a, -*direction)
    }

    /// Keeps the lesser push; `None` ends the search.
    fn offer(&mut self, depth: f64, direction: Unit<Vector3<f64>>) -> Option<()> {
        if depth <= self.enough {
            return None;
        }
        if self.best.is_none_or(|best| depth < best.depth) {
            self.best = Some(Push { depth, direction });
        }
        Some(())
    }
}
