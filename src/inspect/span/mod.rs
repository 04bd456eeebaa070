//! [`span`]: a tape laid between two things, and what it reads: clear, plumb, level, along the rake,
//! and the angle between them.
//!
//! In: what the tape is held to, mm in the first run's frame, and how steeply the flight goes.
//! Out: [`Span`]. Does not: know what the things are called (that is [`hooks`]).

mod hooks;
#[cfg(test)]
mod tests;

use nalgebra::{Point3, Unit, Vector3};

use super::clash::{Found, Gap, closest_hulls, features::closest_on_edges, is_parted};
use crate::measure::{Angle, Length, Pitch, tolerance::SAME_POINT_MM};
use crate::site::Frame;

pub use hooks::{Hook, find, hooks, whole};

/// What a tape is held to: pieces of it, each all that its corners span (a point, a line, a flat face
/// or a solid).
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// The corners of each piece, mm.
    pub pieces: Vec<Vec<Point3<f64>>>,
    /// The direction that it has, where it has one.
    pub way: Option<Way>,
}

/// A direction that something has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Way {
    /// Along a line.
    Along(Unit<Vector3<f64>>),
    /// Square to a face.
    SquareTo(Unit<Vector3<f64>>),
}

/// Which way a flight goes, and how steeply.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rake {
    /// The frame of its run.
    pub frame: Frame,
    /// The steepness of its rail; level for a level run.
    pub pitch: Pitch,
}

/// What a tape between two things reads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// The nearest place of the first, mm.
    pub from: Point3<f64>,
    /// The nearest place of the second.
    pub to: Point3<f64>,
    /// The clear distance: the tape's own length, straight. Nothing where they touch or overlap.
    pub clear: Length,
    /// How much higher `to` is; negative where it is lower.
    pub plumb: Length,
    /// How far apart they are, level.
    pub level: Length,
    /// Of that, the way up the flight; negative down it.
    pub up_flight: Length,
    /// And square to the flight, to the left of one going up; negative to the right.
    pub aside: Length,
    /// Along the rake between plumb lines through both ends: the way up the flight over the cosine of
    /// its pitch, as marks are carried to a rail.
    pub along_rake: Length,
    /// The angle between the directions of the two, where both have one: 0 to 90 degrees.
    pub angle: Option<Angle>,
}

impl Span {
    /// The angle as a rise in so much run. `None` where there is no angle, or it is nearer to square
    /// than to 80 degrees, where nobody tells it so.
    #[must_use]
    pub fn rise_in(&self, run: Length) -> Option<Length> {
        const STEEPEST_DEG: f64 = 80.0;
        let angle = self.angle?;
        (angle.as_degrees() < STEEPEST_DEG).then(|| run * angle.as_radians().tan())
    }
}

/// Lays a tape between two things. `None` where one of them has no place.
#[must_use]
pub fn span(a: &Hold, b: &Hold, rake: &Rake) -> Option<Span> {
    let gap = clear(a, b)?;
    let pulled = gap.on_b - gap.on_a;
    let own = rake.frame.way_from_first(&pulled);
    let up_flight = Length::mm(own.x);
    Some(Span {
        from: gap.on_a,
        to: gap.on_b,
        clear: Length::mm(gap.distance),
        plumb: Length::mm(own.z),
        level: Length::mm(own.xy().norm()),
        up_flight,
        aside: Length::mm(own.y),
        along_rake: rake.pitch.rake_over(up_flight.abs()),
        angle: a.way.zip(b.way).map(|(a, b)| between(a, b)),
    })
}

/// The angle between two directions, from 0 to 90 degrees: of two lines, of two faces, or of a line
/// and a face.
fn between(a: Way, b: Way) -> Angle {
    let (Way::Along(u) | Way::SquareTo(u), Way::Along(v) | Way::SquareTo(v)) = (a, b);
    // Near 0 and 90 degrees too, which a cosine alone is not.
    let (along, aside) = (u.dot(&v).abs(), u.cross(&v).norm());
    let of_one_sort = matches!(
        (a, b),
        (Way::Along(_), Way::Along(_)) | (Way::SquareTo(_), Way::SquareTo(_))
    );
    Angle::radians(if of_one_sort {
        aside.atan2(along)
    } else {
        along.atan2(aside)
    })
}

/// The corners of a piece.
type Corners = [Point3<f64>];

/// The nearest places of two things.
fn clear(a: &Hold, b: &Hold) -> Option<Gap> {
    let mut best: Option<(Gap, &Corners, &Corners)> = None;
    for one in &a.pieces {
        for other in &b.pieces {
            let Some(gap) = of_hulls(one, other) else {
                continue;
            };
            if best.is_none_or(|(best, ..)| gap.distance < best.distance) {
                best = Some((gap, one, other));
            }
        }
    }
    best.map(|(gap, one, other)| middle(gap, one, other))
}

/// The nearest places of what some corners span. The search's answer is proven by the slab between
/// its ends; where that fails, every pair of edges and every corner on every triangle is tried.
fn of_hulls(a: &[Point3<f64>], b: &[Point3<f64>]) -> Option<Gap> {
    let found = closest_hulls(a, b);
    if let Found::Apart(on_a, on_b) = found {
        let gap = Gap::between(on_a, on_b);
        if is_parted(a, b, &gap) {
            return Some(gap);
        }
    }
    let gap = one_by_one(a, b)?;
    if matches!(found, Found::Together) && gap.distance > SAME_POINT_MM {
        // One lies within the other, so that no edges of theirs meet.
        let inside = if a.len() <= b.len() {
            gap.on_a
        } else {
            gap.on_b
        };
        return Some(Gap::between(inside, inside));
    }
    Some(gap)
}

/// The least of all pairs of lines between corners, and of all corners on all triangles of corners:
/// these hold the nearest features, and nothing that is not of the two.
fn one_by_one(a: &[Point3<f64>], b: &[Point3<f64>]) -> Option<Gap> {
    let lines = |of: &[Point3<f64>]| -> Vec<[Point3<f64>; 2]> {
        if let [only] = of {
            return vec![[*only, *only]];
        }
        let pairs = (0..of.len()).flat_map(|i| (i + 1..of.len()).map(move |j| (i, j)));
        pairs.map(|(i, j)| [of[i], of[j]]).collect()
    };
    let (of_a, of_b) = (lines(a), lines(b));
    let edges = of_a.iter().flat_map(|p| {
        of_b.iter().map(|q| {
            let (on_a, on_b) = closest_on_edges(*p, *q);
            Gap::between(on_a, on_b)
        })
    });
    let on_b = a.iter().filter_map(|corner| on_triangles(corner, b));
    let on_a = b.iter().filter_map(|corner| on_triangles(corner, a));
    let turned = |gap: Gap| Gap {
        on_a: gap.on_b,
        on_b: gap.on_a,
        ..gap
    };
    edges
        .chain(on_b)
        .chain(on_a.map(turned))
        .min_by(|p, q| p.distance.total_cmp(&q.distance))
}

/// The foot of a point on the nearest triangle of some corners that it stands over.
fn on_triangles(point: &Point3<f64>, corners: &[Point3<f64>]) -> Option<Gap> {
    let count = corners.len();
    let triples = (0..count)
        .flat_map(|i| (i + 1..count).flat_map(move |j| (j + 1..count).map(move |k| [i, j, k])));
    triples
        .filter_map(|places| {
            let [p, q, r] = places.map(|at| corners[at]);
            let square = (q - p)
                .cross(&(r - p))
                .try_normalize(SAME_POINT_MM.powi(2))?;
            let foot = point - square * square.dot(&(point - p));
            let within = [(p, q), (q, r), (r, p)]
                .iter()
                .all(|(from, to)| (to - from).cross(&(foot - from)).dot(&square) >= -SAME_POINT_MM);
            within.then(|| Gap::between(*point, foot))
        })
        .min_by(|p, q| p.distance.total_cmp(&q.distance))
}

/// Of all places where two things come as near as this, the middle: faces that run beside each other
/// have the tape between their middles and not at a corner.
fn middle(gap: Gap, a: &[Point3<f64>], b: &[Point3<f64>]) -> Gap {
    if gap.distance < SAME_POINT_MM {
        return gap;
    }
    let across = gap.on_b - gap.on_a;
    let near = |of: &[Point3<f64>], way: &Vector3<f64>| -> Vec<Point3<f64>> {
        let reach = |at: &Point3<f64>| way.dot(&at.coords);
        let most = of.iter().map(reach).fold(f64::NEG_INFINITY, f64::max);
        let flat = NEAR_MM * way.norm();
        let near = of.iter().filter(|at| reach(at) > most - flat);
        near.copied().collect()
    };
    let (face_a, face_b) = (near(a, &across), near(b, &-across));
    let holds = |corners: &[Point3<f64>], at: &Point3<f64>| {
        of_hulls(corners, &[*at]).is_some_and(|gap| gap.distance < NEAR_MM)
    };
    let mut places: Vec<Point3<f64>> = Vec::new();
    places.extend(face_a.iter().filter(|at| holds(&face_b, &(*at + across))));
    let back = face_b.iter().map(|at| at - across);
    places.extend(back.filter(|at| holds(&face_a, at)));
    if places.is_empty() {
        return gap;
    }
    let sum: Vector3<f64> = places.iter().map(|at| at.coords).sum();
    let on_a = Point3::from(sum / places.len() as f64);
    Gap {
        on_a,
        on_b: on_a + across,
        ..gap
    }
}

/// Places that come this near to the nearest count as near as it, mm: below what a tape tells.
const NEAR_MM: f64 = 1e-3;
