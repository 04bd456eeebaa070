//! [`Place`]: a cell and the pieces round it, in the first run's frame, mm.

use std::borrow::Cow;

use nalgebra::{Isometry3, Point3, Vector3};

use crate::inspect::ball::Cell;
use crate::inspect::bodies::placed;
use crate::site::{Frame, Site};
use crate::solids::{Bounds, Convex};

/// How far the cell reaches out on either side of the pieces: more than the radius of any ball
/// that a rule names, so that the ball starts and ends clear of them.
pub(super) const REACH_THROUGH: f64 = 120.0;
/// How far obstacles reach past the cell, so that the ball cannot slip round their ends.
const REACH_PAST: f64 = 200.0;

/// One opening to measure.
pub(super) struct Place<'a> {
    pub(super) cell: Cell,
    pieces: Vec<Cow<'a, Convex>>,
    /// Pieces further out than this bound no ball that could pass.
    near: Bounds,
}

impl<'a> Place<'a> {
    /// Nothing in it yet. `reach` is half as wide as a ball can be, at least.
    pub(super) fn empty(cell: Cell, reach: f64) -> Self {
        let turn = cell.frame.rotation.to_rotation_matrix();
        let half = turn.matrix().abs() * cell.half + Vector3::repeat(reach.max(REACH_THROUGH));
        let middle = Point3::from(cell.frame.translation.vector);
        let near = Bounds {
            low: middle - half,
            high: middle + half,
        };
        Self {
            cell,
            pieces: Vec::new(),
            near,
        }
    }

    pub(super) fn pieces(&self) -> Vec<&Convex> {
        self.pieces.iter().map(Cow::as_ref).collect()
    }

    /// Puts in those pieces of a part that come near, in the first run's frame already.
    pub(super) fn add(&mut self, part: Cow<'a, [Convex]>) {
        let near = |piece: &Convex| piece.bounds().meets(&self.near, 0.0);
        match part {
            Cow::Borrowed(pieces) => {
                let near = pieces.iter().filter(|piece| near(piece));
                self.pieces.extend(near.map(Cow::Borrowed));
            }
            Cow::Owned(pieces) => {
                let near = pieces.into_iter().filter(near);
                self.pieces.extend(near.map(Cow::Owned));
            }
        }
    }

    /// Puts in obstacles of a run's frame.
    pub(super) fn block(&mut self, frame: &Frame, pieces: impl IntoIterator<Item = Convex>) {
        self.add(Cow::Owned(placed(pieces.into_iter().collect(), frame)));
    }
}

/// The bounds of an opening along the flight, across it (outward) and up.
#[derive(Clone, Copy, Debug)]
pub(super) struct Extent {
    pub(super) x: [f64; 2],
    pub(super) q: [f64; 2],
    pub(super) z: [f64; 2],
}

impl Extent {
    /// As a cell in the first run's frame.
    pub(super) fn cell(&self, site: &Site, frame: &Frame) -> Cell {
        let middle = |pair: [f64; 2]| f64::midpoint(pair[0], pair[1]);
        let half = |pair: [f64; 2]| (pair[1] - pair[0]) / 2.0;
        let centre = site.at(middle(self.x), middle(self.q), middle(self.z));
        let here = Isometry3::translation(centre.x, centre.y, centre.z);
        Cell {
            frame: if *frame == Frame::default() {
                here
            } else {
                frame.motion() * here
            },
            half: Vector3::new(half(self.x), half(self.q), half(self.z)),
        }
    }

    /// The same with room for a ball to start and end beside the row.
    pub(super) fn through(&self) -> Self {
        Self {
            q: [self.q[0] - REACH_THROUGH, self.q[1] + REACH_THROUGH],
            ..*self
        }
    }

    /// How far obstacles reach across.
    pub(super) fn past(&self) -> [f64; 2] {
        [self.q[0] - REACH_PAST, self.q[1] + REACH_PAST]
    }

    /// The box around it in the first run's frame.
    pub(super) fn bounds(&self, site: &Site, frame: &Frame) -> Bounds {
        let ends = |x: f64, q: f64, z: f64| frame.to_first(&site.at(x, q, z));
        let corners = [0, 1, 2, 3, 4, 5, 6, 7]
            .map(|i: usize| ends(self.x[i & 1], self.q[i >> 1 & 1], self.z[i >> 2]));
        Bounds::around(&corners).unwrap_or(Bounds {
            low: corners[0],
            high: corners[0],
        })
    }
}
