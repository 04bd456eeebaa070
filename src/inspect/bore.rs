//! Lines through parts, and bores in them: how deep, how far from the edges of the part as cut.
//!
//! mm, all in one frame.

use nalgebra::{Point3, Vector3};

use crate::measure::tolerance::SAME_POINT_MM;
use crate::solids::{Convex, Part, Plane};

use super::clash::features::closest_on_edges;

/// A step out of a face that is sure to leave the piece, and to land in the one that shares a seam
/// with it.
const STEP_OUT_MM: f64 = 0.01;

/// Where a line runs inside a part: from and to along it, in order, pieces that touch as one.
pub(super) fn intervals(part: &Part, from: &Point3<f64>, way: &Vector3<f64>) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = part
        .pieces
        .iter()
        .filter_map(|piece| interval(piece, from, way))
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut joined: Vec<(f64, f64)> = Vec::with_capacity(found.len());
    for (begin, end) in found {
        match joined.last_mut() {
            Some(last) if begin <= last.1 + SAME_POINT_MM => last.1 = last.1.max(end),
            _ => joined.push((begin, end)),
        }
    }
    joined
}

/// Where a line runs inside a piece.
fn interval(piece: &Convex, from: &Point3<f64>, way: &Vector3<f64>) -> Option<(f64, f64)> {
    let (mut begin, mut end) = (f64::NEG_INFINITY, f64::INFINITY);
    for plane in piece.planes() {
        let (height, climb) = (plane.distance(from), plane.normal.dot(way));
        if climb.abs() < f64::EPSILON {
            if height > 0.0 {
                return None;
            }
            continue;
        }
        let at = -height / climb;
        if climb < 0.0 {
            begin = begin.max(at);
        } else {
            end = end.min(at);
        }
    }
    (end - begin > SAME_POINT_MM).then_some((begin, end))
}

/// Whether a point lies in a part.
pub(super) fn holds(part: &Part, point: &Point3<f64>) -> bool {
    let mut pieces = part.pieces.iter();
    pieces.any(|piece| {
        piece
            .planes()
            .iter()
            .all(|plane| plane.distance(point) < 0.0)
    })
}

/// A round bore.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bore {
    /// The middle of its mouth.
    pub(super) from: Point3<f64>,
    /// Its way into the part, a unit vector.
    pub(super) way: Vector3<f64>,
    /// How deep it goes.
    pub(super) deep: f64,
    /// Half its diameter.
    pub(super) radius: f64,
}

impl Bore {
    /// Its middle line.
    pub(super) fn line(&self) -> [Point3<f64>; 2] {
        [self.from, self.from + self.way * self.deep]
    }

    /// What is left between the sides of two bores; negative where they run into each other.
    pub(super) fn between(&self, other: &Self) -> (f64, Point3<f64>) {
        let (here, there) = closest_on_edges(self.line(), other.line());
        let clear = (there - here).norm() - self.radius - other.radius;
        (clear, nalgebra::center(&here, &there))
    }

    /// The least wood between the side of the bore and a side of the part as cut, and where; what
    /// it starts from and what it runs straight at are not its sides. Where another piece of the
    /// part lies against a face, that is none.
    ///
    /// A face that another piece covers in part is looked at from [`SAMPLES`] places along the bore
    /// besides the nearest one.
    pub(super) fn wood_beside(&self, part: &Part) -> Option<(f64, Point3<f64>)> {
        let [from, to] = self.line();
        let places =
            (0..=SAMPLES).map(|at| from + (to - from) * (f64::from(at) / f64::from(SAMPLES)));
        let mut lines: Vec<[Point3<f64>; 2]> = places.map(|point| [point, point]).collect();
        lines.push([from, to]);
        let runs = intervals(part, &from, &self.way);
        let inside = runs.iter().rev().find(|(begin, _)| *begin < self.deep);
        let out = inside.map(|(_, end)| from + self.way * *end);
        let mut least: Option<(f64, Point3<f64>)> = None;
        for (number, piece) in part.pieces.iter().enumerate() {
            for (face, plane) in piece.planes().iter().enumerate() {
                let ring: Vec<_> = piece.ring(face).collect();
                let nearest = lines
                    .iter()
                    .filter_map(|line| nearest_on_face(*line, &ring, plane));
                for (on_line, on_face) in nearest {
                    let wood = (on_face - on_line).norm() - self.radius;
                    if least.is_none_or(|(found, _)| wood < found)
                        && !self.runs_at(plane, &on_face, out.as_ref())
                        && !is_seam(part, number, plane, [&on_line, &on_face])
                    {
                        least = Some((wood, on_face));
                    }
                }
            }
        }
        least
    }

    /// Whether the bore starts from this face, or runs at it, where this point is. A face straight
    /// before its end, where its line would come out, is run at all over, in however many pieces it is.
    fn runs_at(&self, plane: &Plane, point: &Point3<f64>, out: Option<&Point3<f64>>) -> bool {
        let turned = plane.normal.dot(&self.way);
        let comes_out = out.is_some_and(|out| plane.distance(out).abs() < STEP_OUT_MM);
        let ahead = turned > END && comes_out;
        let starts = turned < -SIDE && plane.distance(&self.from).abs() < STEP_OUT_MM;
        let off = point - self.from;
        let beside = (off - self.way * off.dot(&self.way)).norm();
        starts || ahead || turned.abs() > END && beside < self.radius
    }
}

/// Whether another piece of the part lies against a face of this one at a point. What is looked at
/// lies a little out of the face and a little on from the bore: in the inner corner of a notch the
/// one leads along another piece's face and the other out of it.
fn is_seam(part: &Part, number: usize, plane: &Plane, [bore, point]: [&Point3<f64>; 2]) -> bool {
    let on = (point - bore).try_normalize(f64::MIN_POSITIVE);
    let beyond = point
        + plane.normal.into_inner() * (2.0 * STEP_OUT_MM)
        + on.unwrap_or_default() * STEP_OUT_MM;
    let mut others = part.pieces.iter().enumerate();
    others.any(|(other, piece)| {
        let mut planes = piece.planes().iter();
        other != number && planes.all(|plane| plane.distance(&beyond) < SAME_POINT_MM)
    })
}

/// Places along a bore from which faces are looked at: on a bore of 4 in an eighth of an inch apart.
const SAMPLES: u32 = 32;
/// A face turned further than this to a bore (the cosine of 25 degrees) is what it starts from or
/// runs at.
const END: f64 = 0.906;
/// A face that a bore starts from may be turned as far as a plumb cut on a steep rail (the cosine
/// of 70 degrees).
const SIDE: f64 = 0.342;

/// The nearest points of a segment and a flat convex face, on either.
fn nearest_on_face(
    line: [Point3<f64>; 2],
    ring: &[Point3<f64>],
    plane: &Plane,
) -> Option<(Point3<f64>, Point3<f64>)> {
    let count = ring.len();
    let edges = (0..count).map(|at| closest_on_edges(line, [ring[at], ring[(at + 1) % count]]));
    let heights = line.map(|point| plane.distance(&point));
    let mut over: Vec<Point3<f64>> = line.to_vec();
    if heights[0] * heights[1] < 0.0 {
        over.push(line[0] + (line[1] - line[0]) * (heights[0] / (heights[0] - heights[1])));
    }
    let feet = over.into_iter().filter_map(|point| {
        let foot = point - plane.normal.into_inner() * plane.distance(&point);
        let inside = (0..count).all(|at| {
            let (from, to) = (ring[at], ring[(at + 1) % count]);
            (to - from).cross(&(foot - from)).dot(&plane.normal) >= 0.0
        });
        inside.then_some((point, foot))
    });
    edges
        .chain(feet)
        .min_by(|p, q| (p.1 - p.0).norm().total_cmp(&(q.1 - q.0).norm()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids::PartKind;
    use approx::assert_relative_eq;

    fn post(pieces: Vec<Convex>) -> Part {
        Part {
            name: "N1".to_owned(),
            kind: PartKind::Newel,
            pieces,
        }
    }

    fn cuboid(low: [f64; 3], high: [f64; 3]) -> Convex {
        Convex::cuboid(Point3::from(low), Point3::from(high)).unwrap()
    }

    fn bore(y: f64, z: f64) -> Bore {
        Bore {
            from: Point3::new(0.0, y, z),
            way: Vector3::x(),
            deep: 60.0,
            radius: 5.0,
        }
    }

    #[test]
    fn wood_beside_a_bore_in_a_square_post() {
        // 90 square, 1000 tall: 40 from one side and 50 from the other, less half of 10.
        let whole = post(vec![cuboid([0.0; 3], [90.0, 90.0, 1000.0])]);
        let (wood, at) = bore(40.0, 500.0).wood_beside(&whole).unwrap();
        assert_relative_eq!(wood, 35.0, epsilon = 1e-9);
        assert_relative_eq!(at.y, 0.0, epsilon = 1e-9);
        // 20 above the foot: 15.
        let (wood, _) = bore(40.0, 20.0).wood_beside(&whole).unwrap();
        assert_relative_eq!(wood, 15.0, epsilon = 1e-9);
        // Outside the post by 3: none, and 8 missing.
        let (wood, _) = bore(-3.0, 500.0).wood_beside(&whole).unwrap();
        assert_relative_eq!(wood, -2.0, epsilon = 1e-9);
    }

    #[test]
    fn a_seam_is_no_edge_and_a_notch_is_one() {
        // The same post in two pieces, and a notch 30 deep cut from its far half above z = 540.
        let seam = post(vec![
            cuboid([0.0; 3], [90.0, 90.0, 520.0]),
            cuboid([0.0, 0.0, 520.0], [90.0, 90.0, 1000.0]),
        ]);
        let (wood, _) = bore(45.0, 510.0).wood_beside(&seam).unwrap();
        assert_relative_eq!(wood, 40.0, epsilon = 1e-9);
        let notched = post(vec![
            cuboid([0.0; 3], [90.0, 90.0, 540.0]),
            cuboid([0.0, 0.0, 540.0], [50.0, 90.0, 1000.0]),
        ]);
        // The notch's floor is 30 over the bore: 25, though the bore starts under the seam.
        let (wood, at) = bore(45.0, 510.0).wood_beside(&notched).unwrap();
        assert_relative_eq!(wood, 25.0, epsilon = 1e-9);
        assert_relative_eq!(at.z, 540.0, epsilon = 1e-9);
        // One that stops 10 short of it: the notch's edge is 10 on and 30 up.
        let short = Bore {
            deep: 40.0,
            ..bore(45.0, 510.0)
        };
        let (wood, _) = short.wood_beside(&notched).unwrap();
        assert_relative_eq!(wood, 10.0_f64.hypot(30.0) - 5.0, epsilon = 1e-9);
    }

    #[test]
    fn a_line_through_touching_pieces_runs_in_one() {
        let part = post(vec![
            cuboid([0.0; 3], [90.0, 90.0, 520.0]),
            cuboid([0.0, 0.0, 520.0], [90.0, 90.0, 1000.0]),
        ]);
        let found = intervals(&part, &Point3::new(45.0, 45.0, -100.0), &Vector3::z());
        assert_eq!(found.len(), 1);
        assert_relative_eq!(found[0].0, 100.0, epsilon = 1e-9);
        assert_relative_eq!(found[0].1, 1100.0, epsilon = 1e-9);
        assert!(intervals(&part, &Point3::new(95.0, 45.0, 0.0), &Vector3::z()).is_empty());
    }
}
