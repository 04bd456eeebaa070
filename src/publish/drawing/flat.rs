//! Polygons and segments in the picture's plane.

/// A place in the picture's plane, mm.
pub(in crate::publish) type At = (f64, f64);

/// An upright box: least and greatest corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::publish) struct Box2 {
    pub(in crate::publish) low: At,
    pub(in crate::publish) high: At,
}

impl Box2 {
    pub(in crate::publish) fn about((x, y): At, (half_x, half_y): (f64, f64)) -> Self {
        Self {
            low: (x - half_x, y - half_y),
            high: (x + half_x, y + half_y),
        }
    }

    pub(in crate::publish) fn size(&self) -> (f64, f64) {
        (self.high.0 - self.low.0, self.high.1 - self.low.1)
    }

    pub(in crate::publish) fn union(&self, other: &Self) -> Self {
        Self {
            low: (self.low.0.min(other.low.0), self.low.1.min(other.low.1)),
            high: (self.high.0.max(other.high.0), self.high.1.max(other.high.1)),
        }
    }

    pub(in crate::publish) fn grown(&self, by: f64) -> Self {
        Self {
            low: (self.low.0 - by, self.low.1 - by),
            high: (self.high.0 + by, self.high.1 + by),
        }
    }

    pub(in crate::publish) fn meets(&self, other: &Self) -> bool {
        self.low.0 < other.high.0
            && other.low.0 < self.high.0
            && self.low.1 < other.high.1
            && other.low.1 < self.high.1
    }

    pub(in crate::publish) fn holds(&self, (x, y): At) -> bool {
        (self.low.0..=self.high.0).contains(&x) && (self.low.1..=self.high.1).contains(&y)
    }

    /// A convex polygon within the box; empty where nothing of it is.
    pub(in crate::publish) fn clip(&self, ring: &[At]) -> Vec<At> {
        let sides: [(At, f64); 4] = [
            ((-1.0, 0.0), -self.low.0),
            ((1.0, 0.0), self.high.0),
            ((0.0, -1.0), -self.low.1),
            ((0.0, 1.0), self.high.1),
        ];
        sides.iter().fold(ring.to_vec(), |ring, (normal, offset)| {
            half(&ring, *normal, *offset)
        })
    }

    /// The part of a segment within the box, as shares of its length.
    pub(in crate::publish) fn clip_segment(&self, from: At, to: At) -> Option<(f64, f64)> {
        let way = (to.0 - from.0, to.1 - from.1);
        let sides = [
            (-way.0, from.0 - self.low.0),
            (way.0, self.high.0 - from.0),
            (-way.1, from.1 - self.low.1),
            (way.1, self.high.1 - from.1),
        ];
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        for (along, room) in sides {
            if along.abs() < f64::MIN_POSITIVE {
                if room < 0.0 {
                    return None;
                }
            } else if along < 0.0 {
                first = first.max(room / along);
            } else {
                last = last.min(room / along);
            }
        }
        (first < last).then_some((first, last))
    }
}

/// What of a convex ring lies where `normal . p <= offset`.
pub(in crate::publish) fn half(ring: &[At], normal: At, offset: f64) -> Vec<At> {
    let over = |p: &At| normal.0 * p.0 + normal.1 * p.1 - offset;
    let mut kept = Vec::with_capacity(ring.len() + 1);
    for (place, here) in ring.iter().enumerate() {
        let next = &ring[(place + 1) % ring.len()];
        let (a, b) = (over(here), over(next));
        if a <= 0.0 {
            kept.push(*here);
        }
        if a * b < 0.0 {
            let share = a / (a - b);
            kept.push((
                here.0 + (next.0 - here.0) * share,
                here.1 + (next.1 - here.1) * share,
            ));
        }
    }
    kept
}

/// Twice the area of a ring; positive where it runs anticlockwise (y up).
pub(in crate::publish) fn twice_area(ring: &[At]) -> f64 {
    (0..ring.len())
        .map(|i| {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            a.0 * b.1 - a.1 * b.0
        })
        .sum()
}

/// What two convex rings, both anticlockwise, have in common.
pub(in crate::publish) fn common(a: &[At], b: &[At]) -> Vec<At> {
    let mut ring = a.to_vec();
    for (place, from) in b.iter().enumerate() {
        let to = b[(place + 1) % b.len()];
        // The outward normal of an edge of an anticlockwise ring.
        let normal = (to.1 - from.1, from.0 - to.0);
        ring = half(&ring, normal, normal.0 * from.0 + normal.1 * from.1);
        if ring.len() < 3 {
            return Vec::new();
        }
    }
    ring
}

/// The mean of a ring's corners: inside it where it is convex.
pub(in crate::publish) fn middle(ring: &[At]) -> At {
    let count = ring.len().max(1) as f64;
    let sum = ring
        .iter()
        .fold((0.0, 0.0), |sum, p| (sum.0 + p.0, sum.1 + p.1));
    (sum.0 / count, sum.1 / count)
}

/// Coordinates nearer than this are one, mm: what a turn of the picture leaves between the near and the far
/// corners of a post, which would part the chains of a hull.
const ONE: f64 = 1e-6;

/// Values of which those that are one are the least of them.
fn snapped(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut order: Vec<(usize, f64)> = values.enumerate().collect();
    order.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut snapped = vec![0.0; order.len()];
    let mut least = f64::NEG_INFINITY;
    for (place, value) in order {
        if value - least > ONE {
            least = value;
        }
        snapped[place] = least;
    }
    snapped
}

/// The convex hull of some places, anticlockwise (Andrew's monotone chain).
pub(in crate::publish) fn hull(places: &[At]) -> Vec<At> {
    let across = snapped(places.iter().map(|at| at.0));
    let up = snapped(places.iter().map(|at| at.1));
    let mut places: Vec<At> = across.into_iter().zip(up).collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let chain = |places: &mut dyn Iterator<Item = At>| {
        let mut ring: Vec<At> = Vec::new();
        for p in places {
            while ring.len() >= 2 {
                let (a, b) = (ring[ring.len() - 2], ring[ring.len() - 1]);
                if (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0) > 1e-9 {
                    break;
                }
                ring.pop();
            }
            ring.push(p);
        }
        ring.pop();
        ring
    };
    let mut ring = chain(&mut places.iter().copied());
    ring.extend(chain(&mut places.iter().rev().copied()));
    ring
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [At; 4] = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)];

    #[test]
    fn a_square_and_one_moved_by_half_have_a_quarter_in_common() {
        let moved: Vec<At> = SQUARE.iter().map(|p| (p.0 + 2.0, p.1 + 2.0)).collect();
        let both = common(&SQUARE, &moved);
        assert!((twice_area(&both) / 2.0 - 4.0).abs() < 1e-12);
        assert!(common(&SQUARE, &[(9.0, 9.0), (10.0, 9.0), (9.0, 10.0)]).is_empty());
    }

    #[test]
    fn a_hull_leaves_out_what_lies_inside() {
        let mut places = SQUARE.to_vec();
        places.extend([(1.0, 1.0), (2.0, 3.0), (2.0, 0.0), (4.0, 2.0)]);
        let ring = hull(&places);
        assert_eq!(ring.len(), 4);
        assert!((twice_area(&ring) / 2.0 - 16.0).abs() < 1e-12);
    }

    #[test]
    fn corners_a_hair_apart_are_one() {
        // The near and far corners of a slab whose picture was turned: the rounding of a turn lies between
        // them, and in whatever order they are sorted the hull is the rectangle.
        let hairs = [0.0, 1e-14, -1e-14, 2e-13, -2e-13];
        for seed in 0..625_usize {
            let hair = |at: usize| hairs[(seed / [1, 5, 25, 125][at % 4] + at) % 5];
            let corners = [
                (0.0, 1482.95),
                (104.9, 1482.95),
                (104.9, 1502.0),
                (0.0, 1502.0),
            ];
            let both = corners.iter().chain(&corners).enumerate();
            let places = both.map(|(at, p)| (p.0 + hair(at), p.1 + hair(at + 3)));
            let ring = hull(&places.collect::<Vec<_>>());
            let area = twice_area(&ring) / 2.0;
            assert_eq!(ring.len(), 4, "{ring:?}");
            assert!((area - 104.9 * 19.05).abs() < 1e-6, "{area}");
        }
    }

    #[test]
    fn a_segment_is_cut_at_the_box() {
        let frame = Box2::about((2.0, 2.0), (2.0, 2.0));
        let (first, last) = frame.clip_segment((-4.0, 2.0), (12.0, 2.0)).unwrap();
        assert!((first - 0.25).abs() < 1e-12 && (last - 0.5).abs() < 1e-12);
        assert_eq!(frame.clip_segment((-1.0, 5.0), (9.0, 5.0)), None);
        assert_eq!(frame.clip(&[(5.0, 5.0), (6.0, 5.0), (5.0, 6.0)]), []);
    }
}
