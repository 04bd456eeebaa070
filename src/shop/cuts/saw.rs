//! Saw settings and framing-square settings of the cuts that the set-out gives.

use nalgebra::{Unit, Vector3};

use crate::measure::{Angle, Length, Tape, Unit as In};
use crate::setout::EndCut;
use crate::setout::cut::saw;

use super::{CutFor, Edge, SawCut, Square, Work};

/// Nothing sets a saw closer than this: a hundredth of a degree, what the printed compound tables
/// give.
const SQUARE_DEGREES: f64 = 0.005;

/// True for an angle that a saw cannot be set to, other than square.
pub(super) fn is_square(angle: Angle) -> bool {
    angle.abs().as_degrees() < SQUARE_DEGREES
}

impl SawCut {
    /// Square both ways.
    pub const SQUARE: Self = Self {
        what: CutFor::End,
        mitre: Angle::ZERO,
        mitre_long: None,
        bevel: Angle::ZERO,
        bevel_long: None,
        line: None,
    };

    /// From signed angles: the first of each pair of edges is the longer where its angle is positive.
    #[must_use]
    pub fn of(
        what: CutFor,
        (mitre, along): (Angle, [Edge; 2]),
        (bevel, through): (Angle, [Edge; 2]),
    ) -> Self {
        let long = |angle: Angle, edges: [Edge; 2]| {
            let [positive, negative] = edges;
            let edge = if angle > Angle::ZERO {
                positive
            } else {
                negative
            };
            (!is_square(angle)).then_some(edge)
        };
        Self {
            what,
            mitre: mitre.abs(),
            mitre_long: long(mitre, along),
            bevel: bevel.abs(),
            bevel_long: long(bevel, through),
            line: None,
        }
    }

    /// Turned only.
    #[must_use]
    pub fn mitred(what: CutFor, mitre: Angle, edges: [Edge; 2]) -> Self {
        Self::of(what, (mitre, edges), (Angle::ZERO, edges))
    }

    /// The cut of a rail's end, on its side: see [`EndCut`].
    #[must_use]
    pub fn of_rail(cut: &EndCut) -> Self {
        Self::of(
            CutFor::End,
            (cut.mitre, [Edge::Top, Edge::Under]),
            (cut.bevel, [Edge::Right, Edge::Left]),
        )
    }

    /// The same with the length of its line on the face that lies up.
    #[must_use]
    pub const fn with_line(mut self, line: Length) -> Self {
        self.line = Some(line);
        self
    }

    /// The saw work that it is.
    #[must_use]
    pub fn work(&self) -> Work {
        match (is_square(self.mitre), is_square(self.bevel)) {
            (true, true) => Work::Square,
            (false, true) => Work::Mitred,
            (true, false) => Work::Bevelled,
            (false, false) => Work::Compound,
        }
    }

    /// The mitre as a framing square is set on the face that lies up.
    #[must_use]
    pub fn mitre_square(&self, tape: Tape) -> Square {
        Square::of(self.mitre, tape)
    }

    /// The bevel as a framing square is set on the edge.
    #[must_use]
    pub fn bevel_square(&self, tape: Tape) -> Square {
        Square::of(self.bevel, tape)
    }
}

impl Square {
    /// An angle from square, under a right angle, as so much in 12 in (in 300 mm on a tape in
    /// millimetres); past half a right angle as 12 in in so much, so that it stays on the tongue.
    #[must_use]
    pub fn of(angle: Angle, tape: Tape) -> Self {
        let body = match tape.unit() {
            In::Inches => Length::inches(12.0),
            In::Millimetres => Length::mm(300.0),
        };
        let slope = angle.abs().as_radians().tan();
        if slope <= 1.0 {
            Self {
                rise: body * slope,
                run: body,
            }
        } else {
            Self {
                rise: body,
                run: body * (1.0 / slope),
            }
        }
    }
}

/// How an upright stands before one who cuts it: the level ways that two of its sides look along,
/// each with its name and that of the side behind it. Unit vectors in the run's frame.
#[derive(Clone, Copy, Debug)]
pub struct Stands {
    /// Along its length, upwards.
    pub axis: Unit<Vector3<f64>>,
    /// The side that lies up on the saw.
    pub face: (Vector3<f64>, [Edge; 2]),
    /// A side square to that one.
    pub side: (Vector3<f64>, [Edge; 2]),
}

/// The cut of an upright's foot or head in a plane, whose normal `up` looks upwards.
///
/// The mitre is that of the face that lies up, the bevel the tilt out of it ([`saw`]); elementary
/// geometry, no source.
#[must_use]
pub fn upright_cut(stands: &Stands, head: bool, up: &Vector3<f64>) -> SawCut {
    let sign = if head { 1.0 } else { -1.0 };
    let out = stands.axis.into_inner() * sign;
    let face = side_face(&stands.axis, &stands.face.0);
    let (mitre, bevel) = saw(&(up * sign), &out, &face);
    // A positive mitre cuts the side towards `across` short, a positive bevel the face itself.
    let across = face.cross(&out);
    let [here, behind] = stands.side.1;
    let edges = if across.dot(&stands.side.0) > 0.0 {
        [behind, here]
    } else {
        [here, behind]
    };
    let [face, back] = stands.face.1;
    SawCut::of(CutFor::End, (mitre, edges), (bevel, [back, face]))
}

/// The outward normal of an upright's side that looks along a level way: square to its length, and to
/// the level line across that way.
fn side_face(axis: &Unit<Vector3<f64>>, way: &Vector3<f64>) -> Unit<Vector3<f64>> {
    let level = Vector3::z().cross(way);
    Unit::try_new(level.cross(axis), f64::MIN_POSITIVE).unwrap_or_else(Vector3::x_axis)
}
