//! Drawing departures larger than they are.

use nalgebra::{Point3, Vector3};

use crate::solids::{Convex, Part, Solids};

/// The stair as found with every departure from the true one `factor` times as large.
pub(super) fn stretched(found: &Solids, ideal: &Solids, factor: f64) -> Solids {
    let parts = found
        .parts
        .iter()
        .map(|part| {
            let meant = ideal.parts.iter().find(|other| other.name == part.name);
            meant.map_or_else(|| part.clone(), |meant| apart(part, meant, factor))
        })
        .collect();
    Solids {
        parts,
        joints: found.joints.clone(),
    }
}

fn apart(found: &Part, meant: &Part, factor: f64) -> Part {
    let same = found.pieces.len() == meant.pieces.len();
    let pieces = found.pieces.iter().enumerate().map(|(index, piece)| {
        let twin = meant.pieces.get(index).filter(|twin| same && twin.faces() == piece.faces());
        match twin {
            Some(twin) => corner_by_corner(piece, twin, factor),
            None => moved(piece, middle(found) - middle(meant), factor - 1.0),
        }
    });
    Part {
        name: found.name.clone(),
        kind: found.kind,
        pieces: pieces.collect(),
    }
}

fn corner_by_corner(found: &Convex, meant: &Convex, factor: f64) -> Convex {
    let corners = found.corners().iter().zip(meant.corners());
    let corners = corners.map(|(found, meant)| meant + (found - meant) * factor).collect();
    Convex::from_faces(corners, found.faces().to_vec()).unwrap_or_else(|| found.clone())
}

fn moved(piece: &Convex, by: Vector3<f64>, times: f64) -> Convex {
    let corners = piece.corners().iter().map(|corner| corner + by * times).collect();
    Convex::from_faces(corners, piece.faces().to_vec()).unwrap_or_else(|| piece.clone())
}

fn middle(part: &Part) -> Point3<f64> {
    let corners: Vec<_> = part.pieces.iter().flat_map(|piece| piece.corners()).collect();
    let sum: Vector3<f64> = corners.iter().map(|corner| corner.coords).sum();
    Point3::from(sum / corners.len().max(1) as f64)
}

/// Where a place is drawn: it goes with the nearest corner of some parts.
pub(super) fn carried(
    at: &Point3<f64>,
    names: &[String],
    found: &Solids,
    shown: &Solids,
) -> Point3<f64> {
    let named = |part: &Part| names.iter().any(|name| name == &part.name);
    let any = !found.parts.iter().any(named);
    let pairs = found.parts.iter().zip(&shown.parts).filter(|(part, _)| any || named(part));
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
    use crate::solids::PartKind;

    fn post(x: f64, lean: f64) -> Solids {
        let ring = |x: f64, z: f64| {
            [(0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)]
                .map(|(a, b)| Point3::new(x + a, b, z))
        };
        let piece = Convex::loft(&ring(x, 0.0), &ring(x + lean, 900.0)).unwrap();
        let part = Part { name: "B01".to_owned(), kind: PartKind::Baluster, pieces: vec![piece] };
        Solids { parts: vec![part], joints: Vec::new() }
    }

    #[test]
    fn a_departure_is_drawn_so_many_times_as_large() {
        let (meant, found) = (post(100.0, 0.0), post(102.0, 3.0));
        let drawn = stretched(&found, &meant, 8.0);
        let low = drawn.parts[0].pieces[0].bounds().low;
        // 2 mm up the flight becomes 16.
        approx::assert_relative_eq!(low.x, 116.0, epsilon = 1e-9);
        let high = drawn.parts[0].pieces[0].bounds().high;
        // The head: 2 + 3 mm off becomes 40.
        approx::assert_relative_eq!(high.x, 100.0 + 30.0 + 40.0, epsilon = 1e-9);
    }

    #[test]
    fn a_flag_goes_with_its_part() {
        let (meant, found) = (post(100.0, 0.0), post(102.0, 0.0));
        let drawn = stretched(&found, &meant, 5.0);
        let at = carried(&Point3::new(102.0, 0.0, 0.0), &["B01".to_owned()], &found, &drawn);
        approx::assert_relative_eq!(at.x, 110.0, epsilon = 1e-9);
    }
}
