//! Flags and labels go with the part that they are about when departures are stretched.

use nalgebra::Point3;

use crate::solids::{Part, Solids};

/// Where a place is drawn: it goes with the nearest corner of some parts.
pub(super) fn carried(
    at: &Point3<f64>,
    names: &[String],
    found: &Solids,
    shown: &Solids,
) -> Point3<f64> {
    if std::ptr::eq(found, shown) {
        return *at;
    }
    let named = |part: &Part| names.iter().any(|name| name == &part.name);
    let any = !found.parts.iter().any(named);
    let pairs = found
        .parts
        .iter()
        .zip(&shown.parts)
        .filter(|(part, _)| any || named(part));
    let corners = pairs.flat_map(|(from, to)| {
        let pieces = from.pieces.iter().zip(&to.pieces);
        pieces.flat_map(|(from, to)| from.corners().iter().zip(to.corners()))
    });
    let nearest = corners.min_by(|(a, _), (b, _)| (*a - at).norm().total_cmp(&(*b - at).norm()));
    nearest.map_or(*at, |(from, to)| at + (to - from))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids::{Convex, PartKind, stretch};

    fn post(x: f64, lean: f64) -> Solids {
        let ring = |x: f64, z: f64| {
            [(0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)]
                .map(|(a, b)| Point3::new(x + a, b, z))
        };
        let piece = Convex::loft(&ring(x, 0.0), &ring(x + lean, 900.0)).unwrap();
        let part = Part {
            name: "B01".to_owned(),
            kind: PartKind::Baluster,
            pieces: vec![piece],
        };
        Solids {
            runs: vec![0; 1],
            parts: vec![part],
            joints: Vec::new(),
        }
    }

    #[test]
    fn a_flag_goes_with_its_part() {
        let (meant, found) = (post(100.0, 0.0), post(102.0, 0.0));
        let drawn = stretch(&found, &meant, 5.0);
        let at = carried(
            &Point3::new(102.0, 0.0, 0.0),
            &["B01".to_owned()],
            &found,
            &drawn,
        );
        approx::assert_relative_eq!(at.x, 110.0, epsilon = 1e-9);
    }
}
