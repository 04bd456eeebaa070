//! The lines: edges of pieces where the eye sees them, without those between pieces of one surface.

use nalgebra::{Point3, Vector3};

use super::flat::{At, half};
use super::piece::{FLAT, Met, Piece};

/// A piece hides what lies this far inside it, so that what only touches it is seen, mm.
const INSIDE: f64 = 0.05;
/// Lines shorter than this are not drawn, mm.
const SHORTEST: f64 = 0.1;
/// How far beside a line the surfaces are compared, mm.
const BESIDE: f64 = 0.2;
/// A line is looked at anew after this length, mm.
const ANEW: f64 = 60.0;
/// Two faces of one part that turn by less than this look round, and no line parts them: the cosine
/// of 37 degrees; turned parts have faces that turn by less.
const ROUND: f64 = 0.8;
/// Surfaces nearer than this in depth beside a line are one, mm.
const LEVEL: f64 = 2.0;

/// A line in the picture.
pub(in crate::publish) type Line = (At, At);

/// Every line that is seen, in a fixed order.
pub(in crate::publish) fn lines(pieces: &[Piece]) -> Vec<Line> {
    let shelf = Shelf::new(pieces);
    let mut lines = Vec::new();
    for piece in pieces {
        for (a, b) in outlines(piece) {
            seen(&shelf, piece.part, (a, b), &mut lines);
        }
    }
    distinct(lines)
}

/// Pieces by where they stand across the picture, so that few are looked at.
struct Shelf<'a> {
    pieces: &'a [Piece],
    left: f64,
    wide: f64,
    slots: Vec<Vec<usize>>,
}

impl<'a> Shelf<'a> {
    fn new(pieces: &'a [Piece]) -> Self {
        let left = pieces
            .iter()
            .map(|p| p.frame.low.0)
            .fold(f64::INFINITY, f64::min);
        let right = pieces.iter().map(|p| p.frame.high.0).fold(left, f64::max);
        let count = pieces.len().clamp(1, 512);
        let mut shelf = Self {
            pieces,
            left,
            wide: ((right - left) / count as f64).max(1.0),
            slots: vec![Vec::new(); count],
        };
        for (at, piece) in pieces.iter().enumerate() {
            let (first, last) = (
                shelf.slot(piece.frame.low.0),
                shelf.slot(piece.frame.high.0),
            );
            for slot in &mut shelf.slots[first..=last] {
                slot.push(at);
            }
        }
        shelf
    }

    fn slot(&self, x: f64) -> usize {
        let slot = ((x - self.left) / self.wide).max(0.0) as usize;
        slot.min(self.slots.len() - 1)
    }

    /// Pieces that may stand between two places across, each once.
    fn between(&self, low: f64, high: f64) -> impl Iterator<Item = &'a Piece> + '_ {
        let (first, last) = (self.slot(low), self.slot(high));
        (first..=last).flat_map(move |slot| {
            let here = self.slots[slot].iter().map(|at| &self.pieces[*at]);
            here.filter(move |piece| slot == first.max(self.slot(piece.frame.low.0)))
        })
    }

    /// What the eye meets first at a place.
    fn met(&self, at: At) -> Option<Met> {
        self.between(at.0, at.0)
            .filter_map(|piece| piece.met(at))
            .max_by(|a, b| a.depth.total_cmp(&b.depth))
    }
}

/// The edges of a piece that may be seen: those of a face that looks at the eye, but not those that
/// round it.
fn outlines(piece: &Piece) -> Vec<(Point3<f64>, Point3<f64>)> {
    let solid = &piece.solid;
    let mut sides: Vec<((usize, usize), usize)> = Vec::new();
    for (face, ring) in solid.faces().iter().enumerate() {
        for (place, &from) in ring.iter().enumerate() {
            let to = ring[(place + 1) % ring.len()];
            sides.push(((from.min(to), from.max(to)), face));
        }
    }
    sides.sort_unstable();
    let normal = |face: usize| solid.planes()[face].normal.into_inner();
    sides
        .chunk_by(|a, b| a.0 == b.0)
        .filter(|faces| {
            let normals: Vec<Vector3<f64>> = faces.iter().map(|(_, face)| normal(*face)).collect();
            let looks = normals.iter().any(|normal| normal.z > FLAT);
            let round = match normals.as_slice() {
                [a, b] => a.z > FLAT && b.z > FLAT && a.dot(b) > ROUND,
                _ => false,
            };
            looks && !round
        })
        .map(|faces| {
            let (a, b) = faces[0].0;
            (solid.corners()[a], solid.corners()[b])
        })
        .collect()
}

/// Adds what is seen of an edge of a part.
fn seen(
    shelf: &Shelf<'_>,
    part: usize,
    (from, to): (Point3<f64>, Point3<f64>),
    lines: &mut Vec<Line>,
) {
    let way = to - from;
    let long = way.xy().norm();
    if long < SHORTEST {
        return;
    }
    let mut hidden: Vec<(f64, f64)> = shelf
        .between(from.x.min(to.x), from.x.max(to.x))
        .filter_map(|piece| hidden_by(piece, from, way))
        .collect();
    hidden.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut at = 0.0;
    for (first, last) in hidden.into_iter().chain([(1.0, 1.0)]) {
        if (first - at) * long > SHORTEST {
            let mut own = Vec::new();
            for stretch in stretches(shelf, part, (from, way), (at, first)) {
                parted(shelf, from, way, stretch, &mut own);
            }
            join(own, lines);
        }
        at = f64::max(at, last);
    }
}

/// The share of an edge that a piece hides.
fn hidden_by(piece: &Piece, from: Point3<f64>, way: Vector3<f64>) -> Option<(f64, f64)> {
    let to = from + way;
    let frame = &piece.frame;
    let beside = from.x.max(to.x) <= frame.low.0
        || from.x.min(to.x) >= frame.high.0
        || from.y.max(to.y) <= frame.low.1
        || from.y.min(to.y) >= frame.high.1;
    let deepest = from.z.min(to.z);
    if beside || piece.near <= deepest + INSIDE {
        return None;
    }
    // Along the edge, and from it towards the eye.
    let tall = piece.near - deepest + 1.0;
    let mut ring = vec![(0.0, INSIDE), (1.0, INSIDE), (1.0, tall), (0.0, tall)];
    for plane in piece.solid.planes() {
        let normal = plane.normal.into_inner();
        let room = plane.offset - INSIDE - normal.dot(&from.coords);
        ring = half(&ring, (normal.dot(&way), normal.z), room);
        if ring.len() < 3 {
            return None;
        }
    }
    let ends = ring.iter().map(|p| p.0);
    let first = ends.clone().fold(f64::INFINITY, f64::min);
    let last = ends.fold(f64::NEG_INFINITY, f64::max);
    (last > first).then_some((first, last))
}

/// A seen stretch of an edge, parted where other pieces of its own part begin and end before the eye: what
/// is one surface there is none beside it.
fn stretches(
    shelf: &Shelf<'_>,
    part: usize,
    (from, way): (Point3<f64>, Vector3<f64>),
    (first, last): (f64, f64),
) -> Vec<(f64, f64)> {
    let at = |share: f64| (from.x + way.x * share, from.y + way.y * share);
    let (a, b) = (at(first), at(last));
    let long = (b.0 - a.0).hypot(b.1 - a.1);
    let own = shelf.between(a.0.min(b.0), a.0.max(b.0));
    let ends = own
        .filter(|piece| piece.part == part)
        .filter_map(|piece| crosses(&piece.ring, a, b))
        .flat_map(<[f64; 2]>::from);
    let inside = ends.filter(|share| share.min(1.0 - share) * long > SHORTEST);
    let mut shares: Vec<f64> = inside.chain([0.0, 1.0]).collect();
    shares.sort_by(f64::total_cmp);
    shares.dedup_by(|a, b| (*a - *b).abs() * long <= SHORTEST);
    let whole = |share: f64| first + (last - first) * share;
    let pairs = shares.windows(2);
    pairs.map(|pair| (whole(pair[0]), whole(pair[1]))).collect()
}

/// Adds lines along one edge, those that go on from one another as one.
fn join(own: Vec<Line>, lines: &mut Vec<Line>) {
    let mut joined: Vec<Line> = Vec::with_capacity(own.len());
    for line in own {
        match joined.last_mut() {
            Some(last) if (last.1.0 - line.0.0).hypot(last.1.1 - line.0.1) < SHORTEST => {
                last.1 = line.1;
            }
            _ => joined.push(line),
        }
    }
    lines.extend(joined);
}

/// The shares of a segment at which it enters and leaves a ring that runs anticlockwise.
fn crosses(ring: &[At], a: At, b: At) -> Option<(f64, f64)> {
    let way = (b.0 - a.0, b.1 - a.1);
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (place, from) in ring.iter().enumerate() {
        let to = ring[(place + 1) % ring.len()];
        let normal = (to.1 - from.1, from.0 - to.0);
        let room = normal.0 * (from.0 - a.0) + normal.1 * (from.1 - a.1);
        let along = normal.0 * way.0 + normal.1 * way.1;
        if along > 0.0 {
            last = last.min(room / along);
        } else if along < 0.0 {
            first = first.max(room / along);
        } else if room < 0.0 {
            return None;
        }
    }
    (first < last).then_some((first, last))
}

/// Adds the parts of a seen edge at which two surfaces meet.
fn parted(
    shelf: &Shelf<'_>,
    from: Point3<f64>,
    way: Vector3<f64>,
    (first, last): (f64, f64),
    lines: &mut Vec<Line>,
) {
    let long = way.xy().norm();
    let side = (-way.y / long * BESIDE, way.x / long * BESIDE);
    let count = ((last - first) * long / ANEW).ceil().clamp(1.0, 64.0);
    let step = (last - first) / count;
    let place = |share: f64| (from.x + way.x * share, from.y + way.y * share);
    let mut begun: Option<f64> = None;
    for part in 0..count as u32 {
        let start = first + step * f64::from(part);
        let (x, y) = place(start + step / 2.0);
        let a = shelf.met((x + side.0, y + side.1));
        let b = shelf.met((x - side.0, y - side.1));
        if one_surface(a, b) {
            if let Some(begin) = begun.take() {
                lines.push((place(begin), place(start)));
            }
        } else if begun.is_none() {
            begun = Some(start);
        }
    }
    if let Some(begin) = begun {
        lines.push((place(begin), place(last)));
    }
}

fn one_surface(a: Option<Met>, b: Option<Met>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => {
            // A face that is nearly square to the picture goes far in depth within a hair's breadth.
            let steep = |met: &Met| met.normal.xy().norm() / met.normal.z.max(FLAT);
            let goes = LEVEL + 4.0 * BESIDE * steep(&a).max(steep(&b));
            a.part == b.part && a.normal.dot(&b.normal) > ROUND && (a.depth - b.depth).abs() < goes
        }
        (None, None) => true,
        _ => false,
    }
}

/// Every line once: pieces that meet share theirs.
fn distinct(lines: Vec<Line>) -> Vec<Line> {
    let hundredths = |x: f64| (x * 100.0).round() as i64;
    let key = |at: At| (hundredths(at.0), hundredths(at.1));
    let mut keyed: Vec<_> = lines
        .into_iter()
        .map(|(a, b)| if key(b) < key(a) { (b, a) } else { (a, b) })
        .map(|line| ((key(line.0), key(line.1)), line))
        .collect();
    keyed.sort_by_key(|(key, _)| *key);
    keyed.dedup_by_key(|(key, _)| *key);
    keyed.into_iter().map(|(_, line)| line).collect()
}

#[cfg(test)]
mod tests {
    use nalgebra::Vector3;

    use super::super::eye::Eye;
    use super::super::washes::order;
    use super::*;
    use crate::solids::{Convex, Part, PartKind};

    /// A box by its least and greatest corner, x right, y up, z towards the eye.
    fn slab(low: [f64; 3], high: [f64; 3]) -> Convex {
        Convex::cuboid(low.into(), high.into()).unwrap()
    }

    fn pieces(parts: &[Vec<Convex>]) -> Vec<Piece> {
        let eye = Eye::new(Vector3::x(), Vector3::y());
        let numbered = parts.iter().enumerate();
        numbered
            .flat_map(|(number, pieces)| {
                let part = Part {
                    name: format!("P{number}"),
                    kind: PartKind::Tread,
                    pieces: pieces.clone(),
                };
                Piece::of(&eye, number, &part)
            })
            .collect()
    }

    fn long(parts: &[Vec<Convex>]) -> f64 {
        let drawn = lines(&pieces(parts));
        drawn
            .iter()
            .map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1))
            .sum()
    }

    const NEAR: f64 = 6.0 * INSIDE;

    #[test]
    fn what_stands_in_front_hides_what_is_behind() {
        let back = slab([0.0, 0.0, 0.0], [100.0, 100.0, 10.0]);
        let front = slab([40.0, -10.0, 20.0], [60.0, 110.0, 30.0]);
        // The square without twice 20, and the strip of 20 by 120.
        let whole = 400.0 - 40.0 + 280.0;
        let drawn = long(&[vec![back.clone()], vec![front.clone()]]);
        assert!((drawn - whole).abs() < NEAR, "{drawn} for {whole}");
        // The other way about the square hides all of the strip but its ends.
        let behind = slab([40.0, -10.0, -30.0], [60.0, 110.0, -20.0]);
        let drawn = long(&[vec![back], vec![behind]]);
        assert!((drawn - (400.0 + 80.0)).abs() < NEAR, "{drawn}");
    }

    #[test]
    fn a_peg_in_its_hole_shows_only_where_it_comes_out() {
        let tread = slab([0.0, 0.0, 0.0], [100.0, 20.0, 100.0]);
        let baluster = slab([40.0, 5.0, 40.0], [60.0, 120.0, 60.0]);
        // The tread, and three sides of 100 by 20 over it.
        let drawn = long(&[vec![tread], vec![baluster]]);
        assert!((drawn - (240.0 + 220.0)).abs() < NEAR, "{drawn}");
    }

    #[test]
    fn no_line_parts_the_pieces_of_one_part() {
        let left = slab([0.0, 0.0, 0.0], [100.0, 100.0, 10.0]);
        let right = slab([100.0, 0.0, 0.0], [200.0, 100.0, 10.0]);
        let one = long(&[vec![left.clone(), right.clone()]]);
        assert!((one - 600.0).abs() < NEAR, "{one}");
        let two = long(&[vec![left], vec![right]]);
        assert!((two - 700.0).abs() < NEAR, "{two}");
    }

    #[test]
    fn a_cap_keeps_its_lower_edge_beside_the_post_under_it() {
        // A cap flush with its post before the eye, and wider: its lower edge is a line on either side of
        // the post, 20 each, and none over it.
        let post = slab([20.0, 0.0, 0.0], [60.0, 100.0, 10.0]);
        let cap = slab([0.0, 100.0, 0.0], [80.0, 120.0, 10.0]);
        let drawn = long(&[vec![post, cap]]);
        let whole = 40.0 + 2.0 * 100.0 + 2.0 * 20.0 + 2.0 * 20.0 + 80.0;
        assert!((drawn - whole).abs() < NEAR, "{drawn} for {whole}");
    }

    #[test]
    fn what_is_in_front_is_painted_last() {
        // Their middles lie the other way about: only where they overlap decides.
        let long_back = slab([0.0, 0.0, -10.0], [100.0, 10.0, 0.0]);
        let front = slab([0.0, 0.0, 1.0], [10.0, 10.0, 2.0]);
        let deep = slab([50.0, 0.0, -200.0], [60.0, 10.0, 5.0]);
        let pieces = pieces(&[vec![front], vec![deep], vec![long_back]]);
        let painted = order(&pieces);
        let place = |piece: usize| painted.iter().position(|at| *at == piece);
        assert!(place(2) < place(0) && place(2) < place(1), "{painted:?}");
    }
}
