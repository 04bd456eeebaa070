//! [`Piece`]: a convex solid made ready for distance questions, in the cell's own frame.
//!
//! In: a [`Convex`] in the flight's frame, mm. Out: its signed distance from a point, mm, negative
//! inside. The signed distance of a convex solid is a convex function everywhere, which is what
//! every bound in this module rests on.

use nalgebra::{Isometry3, Point3, Vector3};

use crate::measure::tolerance::SLIVER_MM;
use crate::solids::{Bounds, Convex};

/// How far a solid is from a point, and which way is away from it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Near {
    /// Signed distance, mm; negative inside.
    pub(super) distance: f64,
    /// Unit vector along which the distance grows fastest.
    pub(super) away: Vector3<f64>,
}

#[derive(Clone, Debug)]
struct Face {
    normal: Vector3<f64>,
    offset: f64,
    edges: std::ops::Range<usize>,
}

#[derive(Clone, Debug)]
struct Edge {
    start: Point3<f64>,
    along: Vector3<f64>,
    length: f64,
    /// In the face's plane, pointing out of the face.
    out: Vector3<f64>,
    out_offset: f64,
}

/// A convex solid in the cell's frame, with what a distance needs worked out beforehand.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    faces: Vec<Face>,
    edges: Vec<Edge>,
    bounds: Bounds,
    corners: Vec<Point3<f64>>,
}

impl Piece {
    /// `to_cell` carries the flight's frame to the cell's.
    pub(super) fn new(solid: &Convex, to_cell: &Isometry3<f64>) -> Self {
        let corners: Vec<_> = solid
            .corners()
            .iter()
            .map(|corner| to_cell * corner)
            .collect();
        let bounds = Bounds::around(&corners).unwrap_or(Bounds {
            low: Point3::origin(),
            high: Point3::origin(),
        });
        let mut piece = Self {
            faces: Vec::new(),
            edges: Vec::new(),
            bounds,
            corners,
        };
        for ring in solid.faces() {
            piece.add_face(ring);
        }
        piece
    }

    fn add_face(&mut self, ring: &[usize]) {
        let at = |i: usize| self.corners[ring[i % ring.len()]];
        let origin = at(0);
        // Measured from a corner of the face itself, so that narrow faces keep their normal.
        let area: Vector3<f64> = (1..ring.len() - 1)
            .map(|i| (at(i) - origin).cross(&(at(i + 1) - origin)))
            .sum();
        let round: f64 = (0..ring.len()).map(|i| (at(i + 1) - at(i)).norm()).sum();
        let size = area.norm();
        if size <= SLIVER_MM * round {
            return;
        }
        let normal = area / size;
        let edges: Vec<_> = (0..ring.len())
            .filter_map(|i| edge(at(i), at(i + 1), &normal))
            .collect();
        let first = self.edges.len();
        self.edges.extend(edges);
        let offset = normal.dot(&origin.coords);
        self.faces.push(Face {
            normal,
            offset,
            edges: first..self.edges.len(),
        });
    }

    pub(super) fn corners(&self) -> &[Point3<f64>] {
        &self.corners
    }

    /// The signed distance from a point.
    pub(super) fn near(&self, point: &Point3<f64>) -> Near {
        let height = |face: &Face| face.normal.dot(&point.coords) - face.offset;
        let Some((top, seen)) = self
            .faces
            .iter()
            .map(|face| (height(face), face))
            .reduce(|best, next| if next.0 > best.0 { next } else { best })
        else {
            return Near {
                distance: f64::INFINITY,
                away: Vector3::y(),
            };
        };
        // Inside, or straight above the face seen most squarely: the common cases.
        if top <= 0.0 || self.over(seen, point) {
            return Near {
                distance: top,
                away: seen.normal,
            };
        }
        let mut nearest = f64::INFINITY;
        let mut away = seen.normal;
        for face in self.faces.iter().filter(|face| height(face) > 0.0) {
            let mut over = true;
            for edge in &self.edges[face.edges.clone()] {
                if edge.out.dot(&point.coords) > edge.out_offset {
                    over = false;
                    let from = edge.from(point);
                    let square = from.norm_squared();
                    if square < nearest {
                        (nearest, away) = (square, from);
                    }
                }
            }
            if over {
                return Near {
                    distance: height(face),
                    away: face.normal,
                };
            }
        }
        let distance = nearest.sqrt();
        if distance > f64::MIN_POSITIVE {
            Near {
                distance,
                away: away / distance,
            }
        } else {
            Near {
                distance: 0.0,
                away: seen.normal,
            }
        }
    }

    /// Whether the foot of the plumb from a point on a face's plane lies in the face.
    fn over(&self, face: &Face, point: &Point3<f64>) -> bool {
        self.edges[face.edges.clone()]
            .iter()
            .all(|edge| edge.out.dot(&point.coords) <= edge.out_offset)
    }

    /// A quick lower bound on the square of the distance from a point: to the box around.
    pub(super) fn box_square(&self, point: &Point3<f64>) -> f64 {
        let below = (self.bounds.low - point).sup(&Vector3::zeros());
        let above = (*point - self.bounds.high).sup(&Vector3::zeros());
        below.norm_squared() + above.norm_squared()
    }

    /// A quick lower bound on the distance from a whole segment: one face's plane must part them.
    pub(super) fn parted(&self, start: &Point3<f64>, end: &Point3<f64>) -> f64 {
        self.faces
            .iter()
            .map(|face| {
                face.normal
                    .dot(&start.coords)
                    .min(face.normal.dot(&end.coords))
                    - face.offset
            })
            .fold(f64::NEG_INFINITY, f64::max)
    }
}

impl Edge {
    /// From the nearest point of the edge to a point.
    fn from(&self, point: &Point3<f64>) -> Vector3<f64> {
        let from_start = point - self.start;
        let reach = from_start.dot(&self.along).clamp(0.0, self.length);
        from_start - self.along * reach
    }
}

fn edge(start: Point3<f64>, end: Point3<f64>, normal: &Vector3<f64>) -> Option<Edge> {
    let length = (end - start).norm();
    // Corners that fell together leave no edge; the two beside it meet there.
    let along = (end - start).try_normalize(f64::MIN_POSITIVE)?;
    let out = along.cross(normal);
    Some(Edge {
        start,
        along,
        length,
        out_offset: out.dot(&start.coords),
        out,
    })
}
