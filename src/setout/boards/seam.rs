//! Corners and seams between boards: the plane that halves a corner, and where a level base meets a
//! rake of another width or thickness.

use nalgebra::Vector3;

use crate::job::Unequal;
use crate::measure::{Angle, Length};
use crate::setout::cut::saw;
use crate::setout::skirt::seam;

/// Saw settings, mitre and bevel, of a board at the corner where it meets another one: the cut
/// lies in the plane that halves the corner between their show faces.
///
/// `face` and `other` are the outward normals of the two show faces; `along` points along the first
/// board towards the corner. The board lies with its face flat on the table: the mitre is the turn
/// of the blade from square across, the bevel its tilt from square to the table. Elementary
/// geometry: the halving plane holds the line in which the faces meet.
#[must_use]
pub fn corner_cut(
    face: &Vector3<f64>,
    other: &Vector3<f64>,
    along: &Vector3<f64>,
) -> (Angle, Angle) {
    saw(&halving(face, other), along, face)
}

/// The normal of the plane that halves the corner between two faces with these outward normals,
/// out of the first board.
pub(super) fn halving(face: &Vector3<f64>, other: &Vector3<f64>) -> Vector3<f64> {
    other.normalize() - face.normalize()
}

/// How a level base and a raked skirt are cut where they meet.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamSet {
    /// The saw's turn from square across for the base. Negative where the base is so much wider
    /// that the seam leans back over it.
    pub base_mitre: Angle,
    /// The same for the skirt; both together are the turn.
    pub skirt_mitre: Angle,
    /// The same for cap mouldings on top of both, which are equally wide: half the turn.
    pub cap_mitre: Angle,
    /// Length of the seam.
    pub length: Length,
    /// How much thicker the skirt is than the base; negative where the base is.
    pub thicker: Length,
    /// What is done about that.
    pub unequal: Unequal,
}

/// Width and thickness of a board.
#[derive(Clone, Copy, Debug)]
pub(super) struct Section {
    pub(super) width: Length,
    pub(super) thickness: Length,
}

/// The seam between a base and a skirt that turn by an angle: the seam runs from the crossing of
/// their upper edges to that of their lower ones.
pub(super) fn base_to_rake(
    base: Section,
    skirt: Section,
    turn: Angle,
    unequal: Unequal,
) -> SeamSet {
    let square = Angle::degrees(90.0);
    let (of_base, of_skirt) = seam(base.width, skirt.width, Angle::degrees(180.0) - turn);
    SeamSet {
        base_mitre: square - of_base,
        skirt_mitre: square - of_skirt,
        cap_mitre: Angle::radians(turn.as_radians() / 2.0),
        length: base.width / of_base.as_radians().sin(),
        thicker: skirt.thickness - base.thickness,
        unequal,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use nalgebra::{Matrix2, Rotation3, Vector2};

    #[test]
    fn the_seam_joins_the_crossings_of_the_edges() {
        // Rebuilt from the edges alone: the base level from the left, the skirt climbing by the
        // turn; crossings by two-by-two systems.
        let cross = |p: Vector2<f64>, u: Vector2<f64>, q: Vector2<f64>, v: Vector2<f64>| {
            let solved = Matrix2::from_columns(&[u, -v])
                .lu()
                .solve(&(q - p))
                .unwrap();
            p + u * solved.x
        };
        for (base, skirt, turn) in [
            (5.25, 11.0, 36.87),
            (11.0, 5.25, 36.87),
            (3.5, 3.5, 30.0),
            (7.25, 9.25, 42.5),
        ] {
            let turn = Angle::degrees(turn);
            let (sin, cos) = turn.as_radians().sin_cos();
            let (level, rake) = (Vector2::x(), Vector2::new(cos, sin));
            let up = Vector2::new(-sin, cos);
            // Upper edges meet at the origin.
            let lower = cross(Vector2::y() * -base, level, up * -skirt, rake);
            let told = base_to_rake(
                Section {
                    width: Length::mm(base),
                    thickness: Length::mm(1.0),
                },
                Section {
                    width: Length::mm(skirt),
                    thickness: Length::mm(0.75),
                },
                turn,
                Unequal::StepBack,
            );
            assert_relative_eq!(told.length.as_mm(), lower.norm(), epsilon = 1e-9);
            // The angle of each cut from square across its board.
            let seam = lower.normalize();
            let from_square = |along: Vector2<f64>| seam.dot(&along).abs().asin().to_degrees();
            assert_relative_eq!(
                told.base_mitre.as_degrees().abs(),
                from_square(level),
                epsilon = 1e-9
            );
            assert_relative_eq!(
                told.skirt_mitre.as_degrees().abs(),
                from_square(rake),
                epsilon = 1e-9
            );
            assert_relative_eq!(
                (told.base_mitre + told.skirt_mitre).as_degrees(),
                turn.as_degrees(),
                epsilon = 1e-9
            );
            assert_relative_eq!(told.thicker.as_mm(), -0.25, epsilon = 1e-12);
        }
    }

    #[test]
    fn two_sloping_boards_at_a_corner_as_in_the_published_charts() {
        // The compound-angle chart printed in several power-saw manuals, to 0.01 degree (pitch of
        // the sides from level, number of sides, mitre, bevel), and the spring-angle tables of
        // geocities.ws/xpf51 crown_examples (38 spring is pitch 52; corner 90 is four sides).
        let chart = [
            (15.0, 4.0, 44.01, 10.55),
            (45.0, 4.0, 35.26, 30.00),
            (75.0, 4.0, 14.51, 43.08),
            (60.0, 6.0, 16.10, 25.66),
            (45.0, 8.0, 16.32, 15.70),
            (30.0, 5.0, 32.18, 17.09),
            (52.0, 4.0, 31.619, 33.863),
            (52.0, 8.0, 14.306, 17.551),
        ];
        for (pitch, sides, mitre, bevel) in chart {
            // Both boards by turning one about the plumb line; no corner plane is given.
            let tip = Rotation3::from_axis_angle(&Vector3::x_axis(), f64::to_radians(pitch));
            let turn =
                Rotation3::from_axis_angle(&Vector3::z_axis(), std::f64::consts::TAU / sides);
            let face = tip * Vector3::z();
            let (found_mitre, found_bevel) = corner_cut(&face, &(turn * face), &Vector3::x());
            let off = |found: Angle, told: f64| (found.as_degrees().abs() - told).abs();
            assert!(
                off(found_mitre, mitre) < 0.006,
                "{pitch} {sides}: {found_mitre:?}"
            );
            assert!(
                off(found_bevel, bevel) < 0.006,
                "{pitch} {sides}: {found_bevel:?}"
            );
        }
    }
}
