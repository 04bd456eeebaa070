//! How much a part is: its pieces without what they share, volume, centre of mass, and length along
//! its long axis.
//!
//! In: the convex pieces of one part, mm. Out: mm, mm^2 and mm^3 in the same frame, exact for flat
//! faces but for rounding. Does not: weigh anything; no density is known.

use nalgebra::{Matrix3, Point3, SymmetricEigen, Vector3};

use crate::measure::Length;
use crate::measure::tolerance::{OVERLAP_MM3, SAME_POINT_MM};

use super::edges::drawn_edges;
use super::{Bounds, Convex};

/// The pieces of a part without what several of them share.
#[derive(Clone, Debug, Default)]
pub struct Apart {
    /// Pieces that do not overlap and together fill what the given ones fill.
    pub pieces: Vec<Convex>,
    /// How much more the given pieces come to, mm^3; 0 where none overlap.
    pub shared: f64,
}

/// Takes what pieces of one part share out of all but the first of them. Pieces that only touch stay
/// as they are.
#[must_use]
pub fn apart(pieces: &[Convex]) -> Apart {
    let mut kept: Vec<(Bounds, Convex)> = Vec::with_capacity(pieces.len());
    for piece in pieces {
        let before: Vec<&Convex> = kept
            .iter()
            .filter(|(bounds, _)| bounds.meets(&piece.bounds(), 0.0))
            .map(|(_, other)| other)
            .collect();
        let mut rest = vec![piece.clone()];
        for other in before {
            rest = rest
                .into_iter()
                .flat_map(|one| {
                    if overlap(&one, other) {
                        one.without(other.planes())
                    } else {
                        vec![one]
                    }
                })
                .collect();
        }
        kept.extend(rest.into_iter().map(|one| (one.bounds(), one)));
    }
    let kept: Vec<Convex> = kept.into_iter().map(|(_, one)| one).collect();
    let volume = |pieces: &[Convex]| pieces.iter().map(Convex::volume).sum::<f64>();
    let shared = volume(pieces) - volume(&kept);
    Apart {
        pieces: kept,
        shared: if shared > OVERLAP_MM3 { shared } else { 0.0 },
    }
}

fn overlap(one: &Convex, other: &Convex) -> bool {
    one.common(other.planes())
        .is_some_and(|both| both.volume() > OVERLAP_MM3)
}

/// Volume, centre and length of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mass {
    /// Volume, mm^3.
    pub volume: f64,
    /// The centre of mass of a body that is alike throughout.
    pub centre: Point3<f64>,
    /// From end to end along its long axis, so between its farthest points.
    pub length: Length,
}

/// Measures a part from pieces that do not overlap. `None` where it has no volume.
///
/// The long axis is the one about which it has the least moment of inertia, laid along those of its
/// edges that run within three degrees of it, if any do.
#[must_use]
pub fn mass(pieces: &[Convex]) -> Option<Mass> {
    let moments = Moments::of(pieces)?;
    let axis = long_axis(pieces, &moments)?;
    let along: Vec<f64> = pieces
        .iter()
        .flat_map(Convex::corners)
        .map(|corner| axis.dot(&(corner - moments.centre)))
        .collect();
    let (low, high) = along.iter().fold((0.0_f64, 0.0_f64), |(low, high), &at| {
        (low.min(at), high.max(at))
    });
    Some(Mass {
        volume: moments.volume,
        centre: moments.centre,
        length: Length::mm(high - low),
    })
}

/// Volume, centre, and second moments about the centre, mm^5.
struct Moments {
    volume: f64,
    centre: Point3<f64>,
    spread: Matrix3<f64>,
}

impl Moments {
    /// Sums over the tetrahedra that every face makes with one corner of the part. Over one with
    /// corners v and volume V the integral of x x' is V/20 (sum of v v' + s s'), s the sum of v.
    fn of(pieces: &[Convex]) -> Option<Self> {
        let origin = *pieces.first()?.corners().first()?;
        let (mut volume, mut first) = (0.0, Vector3::zeros());
        let mut second = Matrix3::zeros();
        for piece in pieces {
            for face in 0..piece.faces().len() {
                let ring: Vec<Vector3<f64>> = piece.ring(face).map(|at| at - origin).collect();
                for pair in ring[1..].windows(2) {
                    let [a, b, c] = [ring[0], pair[0], pair[1]];
                    let part = a.dot(&b.cross(&c)) / 6.0;
                    let sum = a + b + c;
                    volume += part;
                    first += sum * (part / 4.0);
                    let squares = [a, b, c, sum].map(|v| v * v.transpose());
                    second += squares.iter().sum::<Matrix3<f64>>() * (part / 20.0);
                }
            }
        }
        if volume <= SAME_POINT_MM.powi(3) {
            return None;
        }
        let centre = first / volume;
        Some(Self {
            volume,
            centre: origin + centre,
            spread: second - centre * centre.transpose() * volume,
        })
    }
}

/// Edges this near to the axis of inertia are what the part runs along: the cosine of 3 degrees.
const NEAR_AXIS: f64 = 0.998_629_534_754_573_9;
/// Where the greatest spread is less than this share over the next, no axis is the long one by
/// itself.
const CLEARLY_LONG: f64 = 1.05;

fn long_axis(pieces: &[Convex], moments: &Moments) -> Option<Vector3<f64>> {
    let eigen = SymmetricEigen::new(moments.spread);
    let mut order = [0, 1, 2];
    order.sort_by(|&a, &b| eigen.eigenvalues[b].total_cmp(&eigen.eigenvalues[a]));
    let [most, next] = [order[0], order[1]];
    let axis: Vector3<f64> = eigen.eigenvectors.column(most).into_owned();
    let clear = eigen.eigenvalues[most] > CLEARLY_LONG * eigen.eigenvalues[next];
    let ways = ways_of(pieces);
    let near = ways
        .iter()
        .filter(|(way, _)| !clear || way.dot(&axis).abs() > NEAR_AXIS);
    // The first of several alike: which one must not turn on the last digit.
    let best = near.fold(None, |best: Option<&(Vector3<f64>, f64)>, one| match best {
        Some(best) if one.1 <= best.1 * (1.0 + 1e-6) => Some(best),
        _ => Some(one),
    });
    best.map(|(way, _)| *way)
        .or(Some(axis))
        .and_then(|way| way.try_normalize(f64::MIN_POSITIVE))
}

/// The directions that the edges of a part run in, as unit vectors, with the length of all edges
/// that run so. Seams between pieces are no edges.
fn ways_of(pieces: &[Convex]) -> Vec<(Vector3<f64>, f64)> {
    let mut ways: Vec<(Vector3<f64>, f64)> = Vec::new();
    for (from, to) in drawn_edges(pieces) {
        let edge = to - from;
        let Some(way) = edge.try_normalize(SAME_POINT_MM) else {
            continue;
        };
        let known = ways
            .iter_mut()
            .find(|(known, _)| known.cross(&way).norm() < SAME_WAY);
        match known {
            Some((_, length)) => *length += edge.norm(),
            None => ways.push((way, edge.norm())),
        }
    }
    ways
}

/// Edges whose directions differ by less run the same way: 0.06 mm in a metre.
const SAME_WAY: f64 = 6e-5;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids::Plane;
    use approx::assert_relative_eq;

    fn block(low: [f64; 3], high: [f64; 3]) -> Convex {
        Convex::cuboid(Point3::from(low), Point3::from(high)).unwrap()
    }

    #[test]
    fn pieces_that_share_a_corner_come_to_their_union() {
        // Inclusion and exclusion: two cubes of 10 that share a cube of 4.
        let pieces = [block([0.0; 3], [10.0; 3]), block([6.0; 3], [16.0; 3])];
        let told = apart(&pieces);
        let union: f64 = told.pieces.iter().map(Convex::volume).sum();
        assert_relative_eq!(union, 2000.0 - 64.0, epsilon = 1e-9);
        assert_relative_eq!(told.shared, 64.0, epsilon = 1e-9);
        for (at, one) in told.pieces.iter().enumerate() {
            for other in &told.pieces[at + 1..] {
                assert!(!overlap(one, other));
            }
        }
    }

    #[test]
    fn pieces_that_touch_stay_as_they_are() {
        let pieces = [
            block([0.0; 3], [10.0; 3]),
            block([10.0, 0.0, 0.0], [20.0; 3]),
        ];
        let told = apart(&pieces);
        assert_eq!(told.pieces, pieces);
        assert!(told.shared.abs() < f64::EPSILON);
    }

    #[test]
    fn a_mitred_bar_has_its_volume_centre_and_length_over_its_long_points() {
        // A bar of 40 by 20, mitred 45 degrees over its 40 at one end: the volume is that of the
        // mean length; the centre of a trapezium by the two-piece sum.
        let plane =
            Plane::through(Point3::new(300.0, 0.0, 0.0), Vector3::new(1.0, 1.0, 0.0)).unwrap();
        let bar = block([0.0; 3], [400.0, 40.0, 20.0]).clip(&plane).unwrap();
        let told = mass(&[bar]).unwrap();
        assert_relative_eq!(told.volume, 280.0 * 40.0 * 20.0, max_relative = 1e-12);
        assert_relative_eq!(told.length.as_mm(), 300.0, epsilon = 1e-9);
        let (square, corner) = (260.0 * 40.0, 40.0 * 40.0 / 2.0);
        let x = (square * 130.0 + corner * (260.0 + 40.0 / 3.0)) / (square + corner);
        let y = (square * 20.0 + corner * (40.0 / 3.0)) / (square + corner);
        assert_relative_eq!(told.centre, Point3::new(x, y, 10.0), epsilon = 1e-9);
    }

    #[test]
    fn a_leaning_post_is_as_long_as_it_is_and_not_as_it_stands() {
        let turn = nalgebra::Rotation3::from_euler_angles(0.1, 0.2, 0.3);
        let move_by = nalgebra::Isometry3::from_parts(
            nalgebra::Translation3::new(1e3, -2e3, 3e3),
            turn.into(),
        );
        let post = block([0.0; 3], [89.0, 89.0, 1200.0]).moved(&move_by);
        let told = mass(&[post]).unwrap();
        assert_relative_eq!(told.length.as_mm(), 1200.0, epsilon = 1e-6);
        // A square plate has no long axis: its side, and never its diagonal.
        let plate = block([0.0; 3], [90.0, 90.0, 10.0]).moved(&move_by);
        assert_relative_eq!(mass(&[plate]).unwrap().length.as_mm(), 90.0, epsilon = 1e-6);
    }
}
