//! Hatching: what is cut through, each material by its own lines, so that no colour is needed.

use crate::publish::drawing::At;
use crate::publish::pdf::{Canvas, Pen, Shade};
use crate::solids::PartKind;

/// A hatching: how far its lines stand apart (mm on the paper), which way they lean, and whether
/// they are broken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hatch {
    apart: f64,
    /// Rise over run on the paper, downwards.
    leans: f64,
    broken: bool,
}

/// The hatching of a part that is cut: timber finely across, the other way for boards that stand on
/// edge, framing widely, plaster broken.
pub(super) const fn of(kind: PartKind) -> Hatch {
    let (apart, leans, broken) = match kind {
        PartKind::Tread | PartKind::Rail | PartKind::BottomRail | PartKind::Shoe => {
            (1.1, -1.0, false)
        }
        PartKind::Kick | PartKind::Skirt | PartKind::Baluster | PartKind::Panel => {
            (1.1, 1.0, false)
        }
        PartKind::Newel | PartKind::Rosette => (0.8, -2.0, false),
        PartKind::Stringer | PartKind::Floor => (2.4, 0.5, false),
        PartKind::Wall | PartKind::HalfWall => (1.8, -1.0, true),
    };
    Hatch {
        apart,
        leans,
        broken,
    }
}

/// Hatches a convex ring on the paper. The lines of neighbouring rings run on into one another.
pub(super) fn hatch(canvas: &mut Canvas, ring: &[At], hatch: Hatch) {
    let pen = Pen::new(Shade::BLACK, 0.1);
    let pen = if hatch.broken {
        pen.dashed(1.1, 0.9)
    } else {
        pen
    };
    for line in lines(ring, hatch) {
        canvas.line(&line, pen);
    }
}

/// The lines of a hatching within a convex ring.
fn lines(ring: &[At], hatch: Hatch) -> Vec<[At; 2]> {
    // Along the lines, and square to them.
    let long = hatch.leans.hypot(1.0);
    let way = (1.0 / long, hatch.leans / long);
    let across = |p: &At| p.1 * way.0 - p.0 * way.1;
    let (low, high) = ring
        .iter()
        .map(across)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at), high.max(at))
        });
    if !(low.is_finite() && high.is_finite()) {
        return Vec::new();
    }
    let first = (low / hatch.apart).floor() as i64 + 1;
    let last = (high / hatch.apart).ceil() as i64 - 1;
    (first..=last)
        .filter_map(|number| {
            let at = number as f64 * hatch.apart;
            let mut met = Vec::with_capacity(2);
            for (place, from) in ring.iter().enumerate() {
                let to = &ring[(place + 1) % ring.len()];
                let (a, b) = (across(from) - at, across(to) - at);
                if (a < 0.0) != (b < 0.0) {
                    let share = a / (a - b);
                    met.push((
                        from.0 + (to.0 - from.0) * share,
                        from.1 + (to.1 - from.1) * share,
                    ));
                }
            }
            match met.as_slice() {
                [a, b] => Some([*a, *b]),
                _ => None,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lines_of_a_hatching_cover_the_ring_evenly() {
        // The mean of many lines, each as wide as they stand apart, is the area.
        let ring = [(0.0, 0.0), (60.0, 5.0), (70.0, 40.0), (10.0, 50.0)];
        // The shoelace formula.
        let area = (0..4)
            .map(|i| (ring[i], ring[(i + 1) % 4]))
            .map(|(a, b): (At, At)| (a.0 * b.1 - a.1 * b.0) / 2.0)
            .sum::<f64>();
        for kind in [PartKind::Tread, PartKind::Newel, PartKind::Stringer] {
            let of = of(kind);
            let long: f64 = lines(&ring, of)
                .iter()
                .map(|[a, b]| (a.0 - b.0).hypot(a.1 - b.1))
                .sum();
            assert!((long * of.apart - area).abs() < 0.03 * area, "{kind:?}");
        }
    }
}
