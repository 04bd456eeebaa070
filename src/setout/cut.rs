//! Saw settings of an end cut, from the plane it must lie in.

use nalgebra::{Point3, Unit, Vector3};

use crate::measure::Angle;

use super::EndCut;

/// Mitre and bevel of a cut on a piece that lies with one face on the saw's table.
///
/// `normal` is the outward normal of the cut, `along` points along the piece towards that end, and
/// `table` is the normal of the face that lies on the table. The mitre is the turn of the blade
/// about `table` from square across, the bevel its tilt from square to the table.
#[must_use]
pub fn saw(normal: &Vector3<f64>, along: &Vector3<f64>, table: &Vector3<f64>) -> (Angle, Angle) {
    let across = table.cross(along);
    let mitre = normal.dot(&across).atan2(normal.dot(along));
    let bevel = (normal.dot(table) / normal.norm()).clamp(-1.0, 1.0).asin();
    (Angle::radians(mitre), Angle::radians(bevel))
}

/// The cut of a rail end: the rail lies on its side. The mitre is positive where the rail's upper
/// edge is the longer at this end; the bevel is positive where its right-hand edge (looking up the
/// flight) is.
#[must_use]
pub(super) fn end_cut(
    point: Point3<f64>,
    normal: Unit<Vector3<f64>>,
    along: &Vector3<f64>,
    left: &Vector3<f64>,
) -> EndCut {
    // The piece's own up is `along x left` or the other way about, by the end that it is; whichever
    // looks upwards, on a level or a falling piece too.
    let square = along.cross(left);
    let up = if square.z < 0.0 { -square } else { square };
    let mitre = -(normal.dot(&up) / normal.dot(along)).atan();
    let (_, bevel) = saw(&normal, along, left);
    EndCut {
        mitre: Angle::radians(mitre),
        bevel,
        point,
        normal,
    }
}
