//! [`Piece`]: one convex piece of a part as the eye sees it.

use super::eye::Eye;
use super::flat::{At, Box2, hull};
use crate::solids::{Convex, Part, PartKind};

/// A convex piece in the eye's frame.
#[derive(Clone, Debug)]
pub(in crate::publish) struct Piece {
    /// Which part it belongs to.
    pub(in crate::publish) part: usize,
    pub(in crate::publish) kind: PartKind,
    pub(in crate::publish) solid: Convex,
    /// What it covers in the picture, anticlockwise.
    pub(in crate::publish) ring: Vec<At>,
    pub(in crate::publish) frame: Box2,
    /// Its depths: farthest and nearest.
    pub(in crate::publish) far: f64,
    pub(in crate::publish) near: f64,
}

/// What the eye meets first at a place.
#[derive(Clone, Copy, Debug)]
pub(in crate::publish) struct Met {
    pub(in crate::publish) part: usize,
    /// How near to the eye.
    pub(in crate::publish) depth: f64,
    /// The outward direction of the face, as seen.
    pub(in crate::publish) normal: nalgebra::Vector3<f64>,
}

impl Piece {
    /// The pieces of a part.
    pub(in crate::publish) fn of(eye: &Eye, number: usize, part: &Part) -> Vec<Self> {
        part.pieces
            .iter()
            .filter_map(|piece| Self::new(piece.moved(eye.motion()), number, part.kind))
            .collect()
    }

    fn new(solid: Convex, part: usize, kind: PartKind) -> Option<Self> {
        let places: Vec<At> = solid.corners().iter().map(|p| (p.x, p.y)).collect();
        let ring = hull(&places);
        let bounds = solid.bounds();
        (ring.len() >= 3).then_some(Self {
            part,
            kind,
            ring,
            frame: Box2 {
                low: (bounds.low.x, bounds.low.y),
                high: (bounds.high.x, bounds.high.y),
            },
            far: bounds.low.z,
            near: bounds.high.z,
            solid,
        })
    }

    /// What of it the eye meets at a place, if anything.
    pub(in crate::publish) fn met(&self, at: At) -> Option<Met> {
        if !self.frame.holds(at) {
            return None;
        }
        let (mut nearest, mut farthest) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut facing = None;
        for plane in self.solid.planes() {
            let normal = plane.normal.into_inner();
            let room = plane.offset - normal.x * at.0 - normal.y * at.1;
            if normal.z.abs() < FLAT {
                if room < 0.0 {
                    return None;
                }
            } else if normal.z > 0.0 {
                let depth = room / normal.z;
                if depth < nearest {
                    (nearest, facing) = (depth, Some(normal));
                }
            } else {
                farthest = farthest.max(room / normal.z);
            }
        }
        let normal = facing.filter(|_| nearest >= farthest)?;
        Some(Met {
            part: self.part,
            depth: nearest,
            normal,
        })
    }
}

/// A face whose normal leans less than this towards the eye is seen along its plane.
pub(in crate::publish) const FLAT: f64 = 1e-9;
