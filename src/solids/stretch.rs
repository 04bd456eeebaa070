//! Departures drawn larger than they are, so that an eye can see them.

use nalgebra::Vector3;

use super::{Bounds, Convex, Part, Solids};

/// Every part moved away from its place on the true stair by `factor` times its departure: 1 gives
/// the stair as found, 0 the true one.
///
/// Where a part has the same corners on both stairs each corner is stretched on its own, so leans
/// and tilts show; where it has not (a notch that one of them lacks), the whole part is shifted by
/// the stretched departure of its middle. A part that the true stair lacks stays where it is.
#[must_use]
pub fn stretch(found: &Solids, ideal: &Solids, factor: f64) -> Solids {
    let parts = found
        .parts
        .iter()
        .map(
            |part| match ideal.parts.iter().find(|other| other.name == part.name) {
                Some(other) => stretch_part(part, other, factor),
                None => part.clone(),
            },
        )
        .collect();
    Solids {
        parts,
        runs: found.runs.clone(),
        joints: found.joints.clone(),
    }
}

fn stretch_part(part: &Part, ideal: &Part, factor: f64) -> Part {
    let corners = |part: &Part| {
        part.pieces
            .iter()
            .map(|piece| piece.corners().len())
            .collect::<Vec<_>>()
    };
    let cornerwise = (corners(part) == corners(ideal)).then(|| {
        let pairs = part.pieces.iter().zip(&ideal.pieces);
        pairs
            .map(|(piece, other)| stretch_piece(piece, other, factor))
            .collect::<Option<Vec<_>>>()
    });
    let pieces = cornerwise
        .flatten()
        .unwrap_or_else(|| shift(part, ideal, factor));
    Part {
        pieces,
        ..part.clone()
    }
}

fn stretch_piece(piece: &Convex, ideal: &Convex, factor: f64) -> Option<Convex> {
    if piece.faces() != ideal.faces() {
        return None;
    }
    let pairs = piece.corners().iter().zip(ideal.corners());
    let corners = pairs
        .map(|(found, meant)| meant + (found - meant) * factor)
        .collect();
    Convex::from_faces(corners, piece.faces().to_vec())
}

fn shift(part: &Part, ideal: &Part, factor: f64) -> Vec<Convex> {
    let middle = |part: &Part| {
        Bounds::around(part.pieces.iter().flat_map(Convex::corners)).map(|bounds| bounds.centre())
    };
    let by = match (middle(part), middle(ideal)) {
        (Some(found), Some(meant)) => (found - meant) * (factor - 1.0),
        _ => Vector3::zeros(),
    };
    part.pieces
        .iter()
        .filter_map(|piece| {
            let corners = piece.corners().iter().map(|corner| corner + by).collect();
            Convex::from_faces(corners, piece.faces().to_vec())
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids::PartKind;
    use approx::assert_relative_eq;
    use nalgebra::Point3;

    fn post(at: f64) -> Solids {
        let piece = Convex::cuboid(Point3::new(at, 0.0, 0.0), Point3::new(at + 1.0, 1.0, 1.0));
        let part = Part {
            name: "N1".to_owned(),
            kind: PartKind::Newel,
            pieces: piece.into_iter().collect(),
        };
        Solids {
            parts: vec![part],
            runs: vec![0],
            joints: Vec::new(),
        }
    }

    #[test]
    fn a_departure_grows_by_the_factor() {
        let stretched = stretch(&post(2.5), &post(2.0), 8.0);
        assert_relative_eq!(
            stretched.parts[0].pieces[0].bounds().low.x,
            6.0,
            epsilon = 1e-12
        );
    }
}
