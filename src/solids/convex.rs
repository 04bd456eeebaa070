//! [`Convex`]: a convex solid bounded by flat faces, the brick of every part.
//!
//! Coordinates are millimetres in the flight's frame. A solid is made as a prism and cut by
//! half-spaces; every square, bevel, mitre and notch cut is such a cut, so the result is exact and
//! watertight.

use nalgebra::{Point3, Unit, Vector3};

use crate::measure::tolerance::SAME_POINT_MM;

/// A plane with its outward side: points with `normal . p <= offset` are inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Unit normal, pointing out.
    pub normal: Unit<Vector3<f64>>,
    /// Distance of the plane from the origin along the normal, mm.
    pub offset: f64,
}

impl Plane {
    /// The plane through a point, its outward side where `normal` points. `None` where the normal
    /// has no length.
    #[must_use]
    pub fn through(point: Point3<f64>, normal: Vector3<f64>) -> Option<Self> {
        let normal = Unit::try_new(normal, f64::MIN_POSITIVE)?;
        Some(Self {
            normal,
            offset: normal.dot(&point.coords),
        })
    }

    /// How far outside the plane a point lies, mm; negative inside.
    #[must_use]
    pub fn distance(&self, point: &Point3<f64>) -> f64 {
        self.normal.dot(&point.coords) - self.offset
    }

    /// The same plane with its sides exchanged.
    #[must_use]
    pub fn flipped(&self) -> Self {
        Self {
            normal: -self.normal,
            offset: -self.offset,
        }
    }
}

/// A convex solid: corners, and faces as rings of corner indices, anticlockwise seen from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Convex {
    corners: Vec<Point3<f64>>,
    faces: Vec<Vec<usize>>,
    planes: Vec<Plane>,
}

/// The axis-aligned box around a solid, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The least coordinate on each axis.
    pub low: Point3<f64>,
    /// The greatest coordinate on each axis.
    pub high: Point3<f64>,
}

impl Bounds {
    /// The box around some points. `None` where there are none.
    #[must_use]
    pub fn around<'a>(points: impl IntoIterator<Item = &'a Point3<f64>>) -> Option<Self> {
        let mut points = points.into_iter();
        let first = *points.next()?;
        Some(points.fold(
            Self {
                low: first,
                high: first,
            },
            |bounds, point| Self {
                low: bounds.low.inf(point),
                high: bounds.high.sup(point),
            },
        ))
    }

    /// The box around two boxes.
    #[must_use]
    pub fn union(&self, other: &Self) -> Self {
        Self {
            low: self.low.inf(&other.low),
            high: self.high.sup(&other.high),
        }
    }

    /// Whether two boxes meet, or come as near as this, mm.
    #[must_use]
    pub fn meets(&self, other: &Self, near: f64) -> bool {
        (0..3).all(|axis| {
            self.low[axis] <= other.high[axis] + near && other.low[axis] <= self.high[axis] + near
        })
    }

    /// The middle of the box.
    #[must_use]
    pub fn centre(&self) -> Point3<f64> {
        nalgebra::center(&self.low, &self.high)
    }
}

impl Convex {
    /// A prism: a convex ring of points, in order, swept along `sweep`. The ring may run either
    /// way round. `None` where it has no area or the sweep lies in its plane.
    #[must_use]
    pub fn prism(ring: &[Point3<f64>], sweep: Vector3<f64>) -> Option<Self> {
        Self::loft(
            ring,
            &ring.iter().map(|point| point + sweep).collect::<Vec<_>>(),
        )
    }

    /// A solid between two convex rings with the same number of corners, corner to corner. Its
    /// sides must come out flat: true for prisms, tilted slabs and leaning posts.
    /// `None` where it has no volume.
    #[must_use]
    pub fn loft(near: &[Point3<f64>], far: &[Point3<f64>]) -> Option<Self> {
        let count = near.len();
        if count < 3 || far.len() != count {
            return None;
        }
        let corners: Vec<_> = near.iter().chain(far).copied().collect();
        let sweep = centroid(far) - centroid(near);
        let with_sweep = ring_normal(near).dot(&sweep) > 0.0;
        // Seen from outside, the near ring must run against the sweep.
        let mut faces = Vec::with_capacity(count + 2);
        let near_face: Vec<usize> = (0..count).collect();
        let far_face: Vec<usize> = (count..2 * count).collect();
        let reversed = |face: &Vec<usize>| face.iter().rev().copied().collect::<Vec<_>>();
        faces.push(if with_sweep {
            reversed(&near_face)
        } else {
            near_face.clone()
        });
        faces.push(if with_sweep {
            far_face.clone()
        } else {
            reversed(&far_face)
        });
        for corner in 0..count {
            let next = (corner + 1) % count;
            let side = vec![corner, next, next + count, corner + count];
            faces.push(if with_sweep { side } else { reversed(&side) });
        }
        Self::from_faces(corners, faces)
    }

    /// A box from its least and greatest corner.
    #[must_use]
    pub fn cuboid(low: Point3<f64>, high: Point3<f64>) -> Option<Self> {
        let ring = [
            low,
            Point3::new(high.x, low.y, low.z),
            Point3::new(high.x, high.y, low.z),
            Point3::new(low.x, high.y, low.z),
        ];
        Self::prism(&ring, Vector3::new(0.0, 0.0, high.z - low.z))
    }

    /// A solid from corners and outward faces. Faces without area are left out; `None` where fewer
    /// than four remain or there is no volume.
    #[must_use]
    pub fn from_faces(corners: Vec<Point3<f64>>, faces: Vec<Vec<usize>>) -> Option<Self> {
        let mut kept = Vec::with_capacity(faces.len());
        let mut planes = Vec::with_capacity(faces.len());
        for face in faces {
            let ring: Vec<_> = face.iter().map(|&index| corners[index]).collect();
            if let Some(plane) = Plane::through(centroid(&ring), ring_normal(&ring)) {
                kept.push(face);
                planes.push(plane);
            }
        }
        let solid = Self {
            corners,
            faces: kept,
            planes,
        };
        (solid.faces.len() >= 4 && solid.volume() > SAME_POINT_MM.powi(3)).then_some(solid)
    }

    /// The same solid moved rigidly.
    #[must_use]
    pub fn moved(&self, by: &nalgebra::Isometry3<f64>) -> Self {
        let plane = |plane: &Plane| {
            let normal = by.rotation * plane.normal;
            Plane {
                normal,
                offset: plane.offset + normal.dot(&by.translation.vector),
            }
        };
        Self {
            corners: self.corners.iter().map(|corner| by * corner).collect(),
            faces: self.faces.clone(),
            planes: self.planes.iter().map(plane).collect(),
        }
    }

    /// The corners, mm.
    #[must_use]
    pub fn corners(&self) -> &[Point3<f64>] {
        &self.corners
    }

    /// The faces: corner indices, anticlockwise seen from outside.
    #[must_use]
    pub fn faces(&self) -> &[Vec<usize>] {
        &self.faces
    }

    /// The outward planes, one per face, in the same order.
    #[must_use]
    pub fn planes(&self) -> &[Plane] {
        &self.planes
    }

    /// The corners of one face.
    pub fn ring(&self, face: usize) -> impl Iterator<Item = Point3<f64>> + '_ {
        self.faces[face].iter().map(|&index| self.corners[index])
    }

    /// Each edge once, as corner indices.
    #[must_use]
    pub fn edges(&self) -> Vec<(usize, usize)> {
        let mut edges: Vec<(usize, usize)> = self
            .faces
            .iter()
            .flat_map(|face| (0..face.len()).map(|i| (face[i], face[(i + 1) % face.len()])))
            .map(|(a, b)| (a.min(b), a.max(b)))
            .collect();
        edges.sort_unstable();
        edges.dedup();
        edges
    }

    /// The volume, mm^3.
    #[must_use]
    pub fn volume(&self) -> f64 {
        let Some(origin) = self.corners.first() else {
            return 0.0;
        };
        let mut six_volumes = 0.0;
        for face in &self.faces {
            let a = self.corners[face[0]] - origin;
            for pair in face[1..].windows(2) {
                let b = self.corners[pair[0]] - origin;
                let c = self.corners[pair[1]] - origin;
                six_volumes += a.dot(&b.cross(&c));
            }
        }
        six_volumes / 6.0
    }

    /// The box around it.
    #[must_use]
    pub fn bounds(&self) -> Bounds {
        Bounds::around(&self.corners).unwrap_or(Bounds {
            low: Point3::origin(),
            high: Point3::origin(),
        })
    }

    /// What is left inside a plane; `None` where nothing is.
    ///
    /// A plane that only grazes the solid leaves it whole.
    #[must_use]
    pub fn clip(&self, plane: &Plane) -> Option<Self> {
        let heights: Vec<f64> = self
            .corners
            .iter()
            .map(|corner| {
                let height = plane.distance(corner);
                // Corners on the plane are taken as exactly on it, so that no sliver is made.
                if height.abs() < SAME_POINT_MM {
                    0.0
                } else {
                    height
                }
            })
            .collect();
        if heights.iter().all(|&height| height <= 0.0) {
            return Some(self.clone());
        }
        if heights.iter().all(|&height| height >= 0.0) {
            return None;
        }
        let mut cut = Cut::new(self, &heights);
        let faces = self
            .faces
            .iter()
            .filter_map(|face| cut.face(face))
            .collect::<Vec<_>>();
        cut.close(faces, plane)
    }

    /// The parts of this solid outside a convex solid given by its outward planes, as convex
    /// pieces that do not overlap.
    #[must_use]
    pub fn without(&self, planes: &[Plane]) -> Vec<Self> {
        let mut pieces = Vec::new();
        let mut rest = Some(self.clone());
        for plane in planes {
            let Some(solid) = rest else { break };
            pieces.extend(solid.clip(&plane.flipped()));
            rest = solid.clip(plane);
        }
        pieces
    }

    /// What two solids have in common.
    #[must_use]
    pub fn common(&self, planes: &[Plane]) -> Option<Self> {
        planes
            .iter()
            .try_fold(self.clone(), |solid, plane| solid.clip(plane))
    }
}

/// One cut through a solid: new corners where edges cross the plane, each made once.
struct Cut<'a> {
    solid: &'a Convex,
    heights: &'a [f64],
    corners: Vec<Point3<f64>>,
    /// New corner index of each old corner that stays.
    kept: Vec<Option<usize>>,
    /// New corner index on each crossed edge, by its ordered old corners.
    crossed: Vec<((usize, usize), usize)>,
}

impl<'a> Cut<'a> {
    fn new(solid: &'a Convex, heights: &'a [f64]) -> Self {
        let mut corners = Vec::with_capacity(solid.corners.len() + 4);
        let kept = solid
            .corners
            .iter()
            .zip(heights)
            .map(|(corner, &height)| {
                (height <= 0.0).then(|| {
                    corners.push(*corner);
                    corners.len() - 1
                })
            })
            .collect();
        Self {
            solid,
            heights,
            corners,
            kept,
            crossed: Vec::new(),
        }
    }

    fn crossing(&mut self, a: usize, b: usize) -> usize {
        let key = (a.min(b), a.max(b));
        if let Some(&(_, index)) = self.crossed.iter().find(|(edge, _)| *edge == key) {
            return index;
        }
        let (p, q) = (self.solid.corners[key.0], self.solid.corners[key.1]);
        let (hp, hq) = (self.heights[key.0], self.heights[key.1]);
        self.corners.push(p + (q - p) * (hp / (hp - hq)));
        let index = self.corners.len() - 1;
        self.crossed.push((key, index));
        index
    }

    /// The part of one face that stays, as new corner indices.
    fn face(&mut self, face: &[usize]) -> Option<Vec<usize>> {
        let mut ring = Vec::with_capacity(face.len() + 1);
        for i in 0..face.len() {
            let (a, b) = (face[i], face[(i + 1) % face.len()]);
            if let Some(index) = self.kept[a] {
                ring.push(index);
            }
            if self.heights[a] * self.heights[b] < 0.0 {
                ring.push(self.crossing(a, b));
            }
        }
        (ring.len() >= 3).then_some(ring)
    }

    /// Closes the hole that the cut left with a face in the plane.
    fn close(self, mut faces: Vec<Vec<usize>>, plane: &Plane) -> Option<Convex> {
        let mut rim: Vec<usize> = self.crossed.iter().map(|&(_, index)| index).collect();
        let on_plane = self
            .kept
            .iter()
            .zip(self.heights)
            .filter_map(|(kept, &height)| kept.filter(|_| height.abs() < f64::MIN_POSITIVE));
        rim.extend(on_plane);
        let rim_points: Vec<_> = rim.iter().map(|&index| self.corners[index]).collect();
        let centre = centroid(&rim_points);
        // Anticlockwise about the outward normal.
        let normal = plane.normal.into_inner();
        let across = any_square_to(&normal);
        let up = normal.cross(&across);
        let turn = |index: usize| {
            let from_centre = self.corners[index] - centre;
            from_centre.dot(&up).atan2(from_centre.dot(&across))
        };
        rim.sort_by(|&a, &b| turn(a).total_cmp(&turn(b)));
        if rim.len() >= 3 {
            faces.push(rim);
        }
        Convex::from_faces(self.corners, faces)
    }
}

/// Some unit vector square to a unit vector.
pub(super) fn any_square_to(normal: &Vector3<f64>) -> Vector3<f64> {
    let axis = if normal.x.abs() < 0.6 {
        Vector3::x()
    } else {
        Vector3::y()
    };
    let across = axis - normal * normal.dot(&axis);
    across / across.norm()
}

/// The middle of some points.
pub(super) fn centroid(points: &[Point3<f64>]) -> Point3<f64> {
    let sum: Vector3<f64> = points.iter().map(|point| point.coords).sum();
    Point3::from(sum / points.len().max(1) as f64)
}

/// Twice the area vector of a ring (Newell's sum: right for rings that are not quite flat).
fn ring_normal(ring: &[Point3<f64>]) -> Vector3<f64> {
    (0..ring.len())
        .map(|i| ring[i].coords.cross(&ring[(i + 1) % ring.len()].coords))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn unit_box() -> Convex {
        Convex::cuboid(Point3::origin(), Point3::new(2.0, 3.0, 4.0)).unwrap()
    }

    #[test]
    fn a_box_has_the_volume_of_its_sides() {
        assert_relative_eq!(unit_box().volume(), 24.0, epsilon = 1e-12);
        assert_eq!(unit_box().edges().len(), 12);
    }

    #[test]
    fn a_prism_swept_either_way_has_positive_volume() {
        let ring = [
            Point3::origin(),
            Point3::new(3.0, 0.0, 0.0),
            Point3::new(0.0, 4.0, 0.0),
        ];
        for sweep in [5.0, -5.0] {
            let prism = Convex::prism(&ring, Vector3::new(1.0, 1.0, sweep)).unwrap();
            assert_relative_eq!(prism.volume(), 30.0, epsilon = 1e-12);
        }
    }

    #[test]
    fn a_slanted_cut_leaves_two_solids_that_add_up() {
        let plane =
            Plane::through(Point3::new(1.0, 1.0, 2.0), Vector3::new(1.0, 0.5, 2.0)).unwrap();
        let below = unit_box().clip(&plane).unwrap();
        let above = unit_box().clip(&plane.flipped()).unwrap();
        assert_relative_eq!(below.volume() + above.volume(), 24.0, epsilon = 1e-9);
        assert!(below.volume() > 1.0 && above.volume() > 1.0);
    }

    #[test]
    fn a_cut_through_corners_keeps_the_solid_closed() {
        // Euler's formula for convex solids: corners - edges + faces = 2.
        let plane =
            Plane::through(Point3::new(0.0, 0.0, 0.0), Vector3::new(3.0, -2.0, 0.0)).unwrap();
        let half = unit_box().clip(&plane).unwrap();
        assert_relative_eq!(half.volume(), 12.0, epsilon = 1e-9);
        let euler =
            half.corners().len() as i64 - half.edges().len() as i64 + half.faces().len() as i64;
        assert_eq!(euler, 2);
    }

    #[test]
    fn what_is_taken_out_and_what_stays_add_up() {
        let post =
            Convex::cuboid(Point3::new(1.0, -1.0, -1.0), Point3::new(5.0, 1.0, 9.0)).unwrap();
        let left: f64 = unit_box()
            .without(post.planes())
            .iter()
            .map(Convex::volume)
            .sum();
        let taken = unit_box().common(post.planes()).unwrap().volume();
        assert_relative_eq!(left + taken, 24.0, epsilon = 1e-9);
        assert_relative_eq!(taken, 4.0, epsilon = 1e-9);
    }
}
