//! The plane of a face, and its own frame: u along the datum edge, v square to it. mm.

use nalgebra::{Point2, Point3, Vector2, Vector3};

use crate::measure::Length;
use crate::setout::dry_fit::{BoardFace, Edge};

use super::{Distance, Named, Stroke, StrokeKind};

/// A plane with its frame, seen from outside the wood.
#[derive(Clone, Copy, Debug)]
pub(super) struct Plane {
    pub(super) origin: Point3<f64>,
    pub(super) right: Vector3<f64>,
    pub(super) up: Vector3<f64>,
}

impl Plane {
    /// The plane of a face, its datum the edge of a number. `wood_up`: the wood lies above it.
    /// The origin lies where both edges cross.
    pub(super) fn of(face: &BoardFace, datum: usize, wood_up: bool) -> Option<Self> {
        let (_, [from, to]) = face.edges[datum];
        let (_, [other, other_to]) = face.edges[1 - datum];
        let way = (to - from).try_normalize(f64::MIN_POSITIVE)?;
        let count = face.corners.len() as f64;
        let middle = face
            .corners
            .iter()
            .fold(Vector3::zeros(), |sum, at| sum + at.coords)
            / count;
        let inside = middle - from.coords;
        let into = (inside - way * inside.dot(&way)).try_normalize(f64::MIN_POSITIVE)?;
        let up = if wood_up { into } else { -into };
        let run = other_to - other;
        let share = (from - other).dot(&up) / run.dot(&up);
        let origin = other + run * share;
        share.is_finite().then(|| Self {
            origin,
            right: up.cross(&face.normal),
            up,
        })
    }

    /// A point in the plane's own frame; what lies off it falls square on it.
    pub(super) fn flat(&self, at: &Point3<f64>) -> Point2<f64> {
        let from = at - self.origin;
        Point2::new(from.dot(&self.right), from.dot(&self.up))
    }
}

/// A face of a board in its plane.
#[derive(Clone, Debug)]
pub(super) struct FlatBoard {
    pub(super) corners: Vec<Point2<f64>>,
    pub(super) edges: [(Edge, [Point2<f64>; 2]); 2],
}

impl FlatBoard {
    pub(super) fn of(face: &BoardFace, plane: &Plane) -> Self {
        let flat = |at: &Point3<f64>| plane.flat(at);
        Self {
            corners: face.corners.iter().map(flat).collect(),
            edges: face
                .edges
                .map(|(edge, ends)| (edge, ends.map(|at| flat(&at)))),
        }
    }

    /// Its sides as strokes: the datum of this number, the other named edge, and the rest.
    pub(super) fn strokes(&self, datum: usize) -> Vec<Stroke> {
        let count = self.corners.len();
        let sides = (0..count).map(|i| [self.corners[i], self.corners[(i + 1) % count]]);
        sides
            .map(|[from, to]| {
                let is = |(_, ends): &&(Edge, [Point2<f64>; 2])| on(ends, from) && on(ends, to);
                let named = self.edges.iter().find(is).map(|(edge, _)| *edge);
                let kind = if named == Some(self.edges[datum].0) {
                    StrokeKind::Datum
                } else {
                    StrokeKind::Edge
                };
                let name = named.map_or(Named::Nothing, Named::Edge);
                Stroke::line(kind, name, from, to)
            })
            .collect()
    }

    /// How far a point lies from one of its named edges, square to it.
    pub(super) fn distance(&self, edge: Edge, at: Point2<f64>) -> Option<Distance> {
        let (_, ends) = self.edges.iter().find(|(one, _)| *one == edge)?;
        let foot = foot(ends, at)?;
        Some(Distance {
            edge,
            from: foot,
            to: at,
            is: Length::mm((at - foot).norm()),
        })
    }
}

/// The point of a line nearest to another one.
pub(super) fn foot([from, to]: &[Point2<f64>; 2], at: Point2<f64>) -> Option<Point2<f64>> {
    let way = (to - from).try_normalize(f64::MIN_POSITIVE)?;
    Some(from + way * (at - from).dot(&way))
}

fn on(ends: &[Point2<f64>; 2], at: Point2<f64>) -> bool {
    foot(ends, at).is_some_and(|foot| (at - foot).norm() < ON_MM)
}

/// A corner this near to a named edge lies on it: corners and edges are the same numbers, so only
/// arithmetic parts them.
const ON_MM: f64 = crate::measure::tolerance::SAME_POINT_MM;

/// What folds over an edge of a face, in the plane of the face: the same distance along the edge, and
/// as far out as it lies down the other face.
#[derive(Clone, Copy, Debug)]
pub(super) struct Flap {
    from: Point3<f64>,
    way: Vector3<f64>,
    flat_from: Point2<f64>,
    flat_way: Vector2<f64>,
    flat_out: Vector2<f64>,
}

impl Flap {
    /// Over an edge between two points; `inside` is a point of the face.
    pub(super) fn over(plane: &Plane, ends: [Point3<f64>; 2], inside: Point2<f64>) -> Option<Self> {
        let [from, to] = ends;
        let [flat_from, flat_to] = ends.map(|at| plane.flat(&at));
        let flat_way = (flat_to - flat_from).try_normalize(f64::MIN_POSITIVE)?;
        let square = Vector2::new(-flat_way.y, flat_way.x);
        let out = if square.dot(&(inside - flat_from)) > 0.0 {
            -square
        } else {
            square
        };
        Some(Self {
            from,
            way: (to - from).try_normalize(f64::MIN_POSITIVE)?,
            flat_from,
            flat_way,
            flat_out: out,
        })
    }

    /// A point of the other face, unfolded.
    pub(super) fn flat(&self, at: &Point3<f64>) -> Point2<f64> {
        let from = at - self.from;
        let along = from.dot(&self.way);
        let down = (from - self.way * along).norm();
        self.flat_from + self.flat_way * along + self.flat_out * down
    }
}
