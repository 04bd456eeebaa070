//! Which edges of a part a pencil would draw.
//!
//! In: the convex pieces of one part, mm, flight's frame. Out: line segments, mm.
//! Left out: edges where the part's surface runs on flat, that is seams between pieces of one part
//! and the flats of a round post.

use std::sync::LazyLock;

use nalgebra::{Point3, Vector3};

use super::{Bounds, Convex};

/// A line from one point to another, mm.
pub type Segment = (Point3<f64>, Point3<f64>);

/// Directions looked into around an edge.
const LOOKS: usize = 32;
/// Cosine and sine of each, the same for every edge; half a step off, so that no look runs along a
/// square face.
static TURNS: LazyLock<[(f64, f64); LOOKS]> = LazyLock::new(|| {
    std::array::from_fn(|look| {
        let turn = (look as f64 + 0.5) * std::f64::consts::TAU / LOOKS as f64;
        (turn.cos(), turn.sin())
    })
});
/// Looks that fall inside where the surface is flat across the edge: half of them, give or take the
/// turn between the flats of a sixteen-sided round.
const FLAT: std::ops::RangeInclusive<usize> = 14..=18;
/// How far from the edge it is looked, mm: nearer than any real arris is to the next.
const LOOK_MM: f64 = 0.2;
/// A point this little outside a piece counts as inside it, mm: pieces of one part share seams.
const SEAM_MM: f64 = 0.01;
/// Bits of an edge shorter than this are not drawn, mm.
const SPECK_MM: f64 = 0.5;

/// The lines that a pencil would draw for one part.
#[must_use]
pub fn drawn_edges(pieces: &[Convex]) -> Vec<Segment> {
    let bounds: Vec<Bounds> = pieces.iter().map(Convex::bounds).collect();
    let mut lines = Vec::new();
    for (index, piece) in pieces.iter().enumerate() {
        let others: Vec<&Convex> = (0..pieces.len())
            .filter(|&other| other != index && touches(&bounds[index], &bounds[other]))
            .map(|other| &pieces[other])
            .collect();
        for (a, b) in piece.edges() {
            let edge = (piece.corners()[a], piece.corners()[b]);
            lines.extend(split(edge, &others).filter(|bit| shows(*bit, piece, &others)));
        }
    }
    lines
}

/// True where two boxes have a point in common.
fn touches(a: &Bounds, b: &Bounds) -> bool {
    (0..3)
        .all(|axis| a.low[axis] <= b.high[axis] + SEAM_MM && b.low[axis] <= a.high[axis] + SEAM_MM)
}

/// An edge cut where it crosses a plane of a neighbour, so that each bit is of one sort.
fn split(edge: Segment, others: &[&Convex]) -> impl Iterator<Item = Segment> + use<> {
    let (from, to) = edge;
    let mut cuts = vec![0.0, 1.0];
    for plane in others.iter().flat_map(|other| other.planes()) {
        let (start, end) = (plane.distance(&from), plane.distance(&to));
        if start * end < 0.0 {
            cuts.push(start / (start - end));
        }
    }
    cuts.sort_by(f64::total_cmp);
    let bits: Vec<Segment> = cuts
        .windows(2)
        .map(|pair| (from + (to - from) * pair[0], from + (to - from) * pair[1]))
        .filter(|(start, end)| (end - start).norm() > SPECK_MM)
        .collect();
    bits.into_iter()
}

/// True where the surface of the whole part turns at this bit of an edge.
fn shows(bit: Segment, own: &Convex, others: &[&Convex]) -> bool {
    let middle = nalgebra::center(&bit.0, &bit.1);
    let along = bit.1 - bit.0;
    let Some((u, v)) = across(&along) else {
        return false;
    };
    let inside = TURNS
        .iter()
        .filter(|&&(cos, sin)| {
            let at = middle + (u * cos + v * sin) * LOOK_MM;
            std::iter::once(own)
                .chain(others.iter().copied())
                .any(|piece| {
                    piece
                        .planes()
                        .iter()
                        .all(|plane| plane.distance(&at) <= SEAM_MM)
                })
        })
        .count();
    inside < LOOKS && !FLAT.contains(&inside)
}

/// Two unit vectors square to a direction and to each other.
fn across(along: &Vector3<f64>) -> Option<(Vector3<f64>, Vector3<f64>)> {
    let along = along.try_normalize(f64::MIN_POSITIVE)?;
    let helper = if along.x.abs() < 0.6 {
        Vector3::x()
    } else {
        Vector3::y()
    };
    let u = along.cross(&helper).normalize();
    Some((u, along.cross(&u)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(low: [f64; 3], high: [f64; 3]) -> Convex {
        Convex::cuboid(Point3::from(low), Point3::from(high)).unwrap()
    }

    fn total(lines: &[Segment]) -> f64 {
        lines.iter().map(|(a, b)| (b - a).norm()).sum()
    }

    #[test]
    fn a_single_box_shows_its_twelve_edges() {
        let lines = drawn_edges(&[block([0.0; 3], [100.0, 20.0, 30.0])]);
        assert_eq!(lines.len(), 12);
        approx::assert_relative_eq!(total(&lines), 4.0 * 150.0, epsilon = 1e-9);
    }

    #[test]
    fn two_halves_of_one_board_show_no_seam() {
        let halves = [
            block([0.0; 3], [60.0, 20.0, 30.0]),
            block([60.0, 0.0, 0.0], [100.0, 20.0, 30.0]),
        ];
        // The same pencil length as the whole board.
        approx::assert_relative_eq!(total(&drawn_edges(&halves)), 600.0, epsilon = 1e-6);
    }

    #[test]
    fn an_inside_corner_is_drawn_and_its_seam_is_not() {
        // An L: a long foot and an upright flush with its end. Every edge of the L once: the
        // two L-shaped ends (perimeter 2 * (100 + 60)) and six edges across, 20 each.
        let pieces = [
            block([0.0; 3], [100.0, 20.0, 20.0]),
            block([0.0, 0.0, 20.0], [30.0, 20.0, 60.0]),
        ];
        let lines = drawn_edges(&pieces);
        let once: f64 = 2.0 * 320.0 + 6.0 * 20.0;
        // The inside corner belongs to the foot's top (split there) and the upright's foot: it may
        // be drawn from either piece, so at most once more.
        let drawn = total(&lines);
        assert!((once..=once + 20.0 + 1e-6).contains(&drawn), "{drawn}");
    }

    #[test]
    fn a_round_post_shows_only_its_rims() {
        let ring: Vec<_> = (0..24)
            .map(|i| {
                let turn = f64::from(i) * std::f64::consts::TAU / 24.0;
                Point3::new(20.0 * turn.cos(), 20.0 * turn.sin(), 0.0)
            })
            .collect();
        let post = Convex::prism(&ring, Vector3::new(0.0, 0.0, 900.0)).unwrap();
        let upright = drawn_edges(&[post])
            .into_iter()
            .filter(|(a, b)| (a.z - b.z).abs() > 1.0)
            .count();
        assert_eq!(upright, 0);
    }
}
