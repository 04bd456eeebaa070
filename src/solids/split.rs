//! Splitting a plan outline into convex pieces, each of which can be made a solid.

use nalgebra::Point2;

use crate::measure::tolerance::SAME_POINT_MM;

/// Convex rings that together fill a simple anticlockwise ring, sharing its corners: ears are cut
/// off (Meisters, Polygons have ears, 1975), then neighbours are joined while what they make is
/// convex (Hertel and Mehlhorn, Fast triangulation of simple polygons, 1983).
#[must_use]
pub fn convex_rings(ring: &[Point2<f64>]) -> Vec<Vec<Point2<f64>>> {
    let mut pieces: Vec<Vec<usize>> = Vec::new();
    let mut rest: Vec<usize> = (0..ring.len()).collect();
    while rest.len() > 3 {
        let count = rest.len();
        let ear = (0..count).find(|&at| is_ear(ring, &rest, at));
        // A simple ring has an ear; one that crosses itself may not, and is cut all the same.
        let at = ear.unwrap_or(0);
        let (before, next) = ((at + count - 1) % count, (at + 1) % count);
        pieces.push(vec![rest[before], rest[at], rest[next]]);
        rest.remove(at);
    }
    if rest.len() == 3 {
        pieces.push(rest);
    }
    pieces.retain(|piece| area(&corners(ring, piece)) > SAME_POINT_MM.powi(2));
    join(ring, pieces)
        .iter()
        .map(|piece| corners(ring, piece))
        .collect()
}

fn corners(ring: &[Point2<f64>], piece: &[usize]) -> Vec<Point2<f64>> {
    piece.iter().map(|&at| ring[at]).collect()
}

fn area(ring: &[Point2<f64>]) -> f64 {
    crate::setout::plan::area(ring)
}

/// Twice the area of a triangle: positive where it runs anticlockwise.
fn turn(a: &Point2<f64>, b: &Point2<f64>, c: &Point2<f64>) -> f64 {
    (b - a).perp(&(c - b))
}

fn is_ear(ring: &[Point2<f64>], rest: &[usize], at: usize) -> bool {
    let count = rest.len();
    let [a, b, c] = [
        rest[(at + count - 1) % count],
        rest[at],
        rest[(at + 1) % count],
    ];
    let [p, q, r] = [a, b, c].map(|at| ring[at]);
    if turn(&p, &q, &r) <= 0.0 {
        return false;
    }
    let inside = |point: &Point2<f64>| {
        turn(&p, &q, point) >= 0.0 && turn(&q, &r, point) >= 0.0 && turn(&r, &p, point) >= 0.0
    };
    !rest
        .iter()
        .filter(|&&other| other != a && other != b && other != c)
        .any(|&other| inside(&ring[other]))
}

/// Joins neighbours while what they make stays convex.
fn join(ring: &[Point2<f64>], mut pieces: Vec<Vec<usize>>) -> Vec<Vec<usize>> {
    'again: loop {
        for first in 0..pieces.len() {
            for second in first + 1..pieces.len() {
                if let Some(joined) = joined(ring, &pieces[first], &pieces[second]) {
                    pieces[first] = joined;
                    pieces.remove(second);
                    continue 'again;
                }
            }
        }
        return pieces;
    }
}

/// Two rings that share a side as one, where that is convex.
fn joined(ring: &[Point2<f64>], a: &[usize], b: &[usize]) -> Option<Vec<usize>> {
    let side = |ring: &[usize], at: usize| (ring[at], ring[(at + 1) % ring.len()]);
    let (at_a, at_b) = (0..a.len())
        .flat_map(|at_a| (0..b.len()).map(move |at_b| (at_a, at_b)))
        .find(|&(at_a, at_b)| {
            let ((p, q), (r, s)) = (side(a, at_a), side(b, at_b));
            p == s && q == r
        })?;
    // Round the first from the end of the shared side, then round the second likewise.
    let mut whole: Vec<usize> = (1..=a.len()).map(|on| a[(at_a + on) % a.len()]).collect();
    whole.extend((2..b.len()).map(|on| b[(at_b + on) % b.len()]));
    let count = whole.len();
    let convex = (0..count).all(|at| {
        let [p, q, r] = [at, at + 1, at + 2].map(|at| ring[whole[at % count]]);
        let (into, on) = ((q - p).norm(), (r - q).norm());
        turn(&p, &q, &r) >= -STRAIGHT * into * on
    });
    convex.then_some(whole)
}

/// A corner that turns the wrong way by less than this (the sine) is straight.
const STRAIGHT: f64 = 1e-12;

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn ring(points: &[(f64, f64)]) -> Vec<Point2<f64>> {
        points.iter().map(|&(x, y)| Point2::new(x, y)).collect()
    }

    fn total(pieces: &[Vec<Point2<f64>>]) -> f64 {
        pieces.iter().map(|piece| area(piece)).sum()
    }

    #[test]
    fn a_convex_ring_stays_whole() {
        let square = ring(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]);
        let pieces = convex_rings(&square);
        assert_eq!(pieces.len(), 1);
        assert_relative_eq!(total(&pieces), 12.0, epsilon = 1e-12);
    }

    #[test]
    fn a_corner_notched_out_leaves_two_convex_pieces_of_the_same_area() {
        // A square of 6 less a square of 2: 32, by elementary geometry. One reflex corner needs
        // one cut.
        let notched = ring(&[
            (2.0, 0.0),
            (6.0, 0.0),
            (6.0, 6.0),
            (0.0, 6.0),
            (0.0, 2.0),
            (2.0, 2.0),
        ]);
        let pieces = convex_rings(&notched);
        assert_eq!(pieces.len(), 2);
        assert_relative_eq!(total(&pieces), 32.0, epsilon = 1e-12);
        for piece in &pieces {
            assert!(area(piece) > 0.0);
        }
    }
}
