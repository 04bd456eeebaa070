//! [`WallField`]: how a wall's face departs from its meant plumb plane.
//!
//! A plane with free offset, splay and lean plus a smooth bow, as the adjustment finds them.
//! Lengths are mm.

use nalgebra::{Cholesky, DMatrix, DVector};

use super::prior;

/// The plane part of the field.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PlanePart {
    /// Offset at the wall's foot, half way along, mm.
    pub offset: f64,
    /// Offset gained per length along, no unit.
    pub splay: f64,
    /// Offset gained per height, no unit; positive leans into the room.
    pub lean: f64,
}

/// Offset of a wall's face from the meant plumb plane, positive towards the room, as a smooth
/// field over (along, up).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WallField {
    /// Half way along, where splay turns.
    middle: f64,
    /// The foot, where lean turns.
    foot: f64,
    plane: PlanePart,
    bow: Bow,
}

/// The bow: a sum of smooth bumps, one or more for each reading. Where there are many it is
/// tabulated, for a clash or a landing asks for it thousands of times.
#[derive(Clone, Debug, Default, PartialEq)]
struct Bow {
    bumps: Vec<Bump>,
    table: Option<Table>,
}

/// A place, along and up, and the weight of a bump there.
type Bump = ((f64, f64), f64);

/// From so many bumps on a table is made.
const MANY_BUMPS: usize = 64;
/// Spacing of the table: a sixteenth of the length over which a bow changes, so that a cubic between
/// its nodes is off by less than a thousandth of the bow.
const SPACING: f64 = prior::BOW_LENGTH / 16.0;
/// Within the last cell of a table, mm.
const NEAR_EDGE: f64 = 1e-6;
/// The table reaches so far beyond the wall.
const BEYOND: f64 = 4.0 * SPACING;

impl Bow {
    fn new(extent: Extent, bumps: &[Bump]) -> Self {
        let table = (bumps.len() >= MANY_BUMPS).then(|| Table::of(extent, bumps));
        Self {
            bumps: bumps.to_vec(),
            table,
        }
    }

    fn at(&self, place: (f64, f64)) -> f64 {
        let known = self.table.as_ref().and_then(|table| table.at(place));
        known.unwrap_or_else(|| match &self.table {
            // A drawn bow is nowhere but in its table: beyond it goes on as at its edge.
            Some(table) if self.bumps.is_empty() => table.at_nearest(place),
            _ => {
                let bumps = self.bumps.iter();
                bumps
                    .map(|&(at, weight)| weight * prior::bow(at, place))
                    .sum()
            }
        })
    }
}

/// The bow at the nodes of a grid over the wall.
#[derive(Clone, Debug, PartialEq)]
struct Table {
    from: (f64, f64),
    nodes: DMatrix<f64>,
}

impl Table {
    fn of((length, (foot, head)): Extent, bumps: &[Bump]) -> Self {
        let from = (-BEYOND, foot - BEYOND);
        // A bump is a product of one along and one up, so the table is a product of two matrices.
        let (columns, rows) = (table_nodes(length), table_nodes(head - foot));
        let many = bumps.len();
        let along = DMatrix::from_fn(columns, many, |node, bump| {
            let (place, weight) = bumps[bump];
            let x = from.0 + SPACING * node as f64;
            weight * prior::bow((x, 0.0), (place.0, 0.0))
        });
        let up = DMatrix::from_fn(many, rows, |bump, node| {
            let y = from.1 + SPACING * node as f64;
            prior::bow((0.0, y), (0.0, bumps[bump].0.1)) / prior::BOW.powi(2)
        });
        Self {
            from,
            nodes: along * up,
        }
    }

    /// The value at a place, or at the table's nearest.
    fn at_nearest(&self, (along, up): (f64, f64)) -> f64 {
        let inside = |place: f64, from: f64, nodes: usize| {
            let last = from + SPACING * (nodes as f64 - 2.0) - NEAR_EDGE;
            place.clamp(from + SPACING, last)
        };
        let along = inside(along, self.from.0, self.nodes.nrows());
        let up = inside(up, self.from.1, self.nodes.ncols());
        self.at((along, up)).unwrap_or_default()
    }

    /// The value at a place; `None` off the table.
    fn at(&self, (along, up): (f64, f64)) -> Option<f64> {
        let (i, s) = cell((along - self.from.0) / SPACING, self.nodes.nrows())?;
        let (j, t) = cell((up - self.from.1) / SPACING, self.nodes.ncols())?;
        let (across, upward) = (cubic(s), cubic(t));
        let mut sum = 0.0;
        for (b, upward) in upward.iter().enumerate() {
            for (a, across) in across.iter().enumerate() {
                sum += across * upward * self.nodes[(i + a - 1, j + b - 1)];
            }
        }
        Some(sum)
    }
}

/// The cell that a place lies in and the share of the way through it, where it has neighbours on
/// both sides.
fn cell(place: f64, nodes: usize) -> Option<(usize, f64)> {
    let inside = place >= 1.0 && place < nodes as f64 - 2.0;
    inside.then(|| (place as usize, place.fract()))
}

/// Weights of four neighbouring nodes at a share of the way from the second to the third: a cubic
/// with the slope of its neighbours (Catmull and Rom, 1974).
fn cubic(t: f64) -> [f64; 4] {
    let (t2, t3) = (t * t, t * t * t);
    [
        0.5 * (-t3 + 2.0 * t2 - t),
        0.5 * (3.0 * t3 - 5.0 * t2 + 2.0),
        0.5 * (-3.0 * t3 + 4.0 * t2 + t),
        0.5 * (t3 - t2),
    ]
}

/// The nodes that a wall's bow is drawn at: close enough that the bow between them is theirs.
///
/// A bow's covariance is a product of one along and one up, so with `k` and `l` its factors over the
/// nodes a draw is `k z l^T`, and between nodes it is the mean given the nodes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Grid {
    along: Line,
    up: Line,
}

/// The nodes along one side of a wall.
#[derive(Clone, Debug, PartialEq)]
struct Line {
    from: f64,
    apart: f64,
    count: usize,
    /// Lower factor of the covariance over the nodes, in units of the bow's own.
    factor: DMatrix<f64>,
    /// Its inverse's transpose times its inverse: the inverse of the covariance.
    inverse: DMatrix<f64>,
    /// Carries values at nodes to the places of a [`Table`].
    to_table: DMatrix<f64>,
}

/// Nodes stand apart by this share of the length over which a bow changes: what lies between is known
/// from them to a thousandth of the bow.
const NODES: f64 = 0.5;
/// Added to the diagonal so that close nodes can be told apart.
const NUGGET: f64 = 1e-8;

impl Line {
    fn over(from: f64, long: f64, table: usize) -> Self {
        let count = (long / (NODES * prior::BOW_LENGTH)).ceil().max(1.0) as usize + 1;
        let apart = long.max(1.0) / (count - 1) as f64;
        let node = |at: usize| from + apart * at as f64;
        let hangs = |a: f64, b: f64| (-0.5 * ((a - b) / prior::BOW_LENGTH).powi(2)).exp();
        let covariance = DMatrix::from_fn(count, count, |a, b| {
            hangs(node(a), node(b)) + if a == b { NUGGET } else { 0.0 }
        });
        let factor = Cholesky::new(covariance)
            .map_or_else(|| DMatrix::identity(count, count), Cholesky::unpack);
        let half = factor
            .solve_lower_triangular(&DMatrix::identity(count, count))
            .unwrap_or_else(|| DMatrix::identity(count, count));
        let inverse = half.transpose() * half;
        let place = |at: usize| from - BEYOND + SPACING * at as f64;
        let to_table = DMatrix::from_fn(table, count, |a, b| hangs(place(a), node(b))) * &inverse;
        Self {
            from,
            apart,
            count,
            factor,
            inverse,
            to_table,
        }
    }

    /// How a place hangs together with each node.
    fn hangs(&self, place: f64) -> DVector<f64> {
        let node = |at: usize| self.from + self.apart * at as f64;
        let hangs = |at: usize, _| (-0.5 * ((place - node(at)) / prior::BOW_LENGTH).powi(2)).exp();
        DVector::from_fn(self.count, hangs)
    }

    /// What each node's value counts for at a place.
    fn weights(&self, place: f64) -> DVector<f64> {
        &self.inverse * self.hangs(place)
    }
}

impl Grid {
    pub(super) fn over((length, (foot, head)): Extent) -> Self {
        Self {
            along: Line::over(0.0, length, table_nodes(length)),
            up: Line::over(foot, head - foot, table_nodes(head - foot)),
        }
    }

    /// How many nodes there are.
    pub(super) const fn nodes(&self) -> usize {
        self.along.count * self.up.count
    }

    /// The bow at the nodes, before anything is read.
    pub(super) fn drawn(&self, z: &[f64]) -> DMatrix<f64> {
        let z = DMatrix::from_column_slice(self.along.count, self.up.count, z);
        (&self.along.factor * z * self.up.factor.transpose()) * prior::BOW
    }

    /// The bow at a place.
    pub(super) fn value(&self, nodes: &DMatrix<f64>, (along, up): (f64, f64)) -> f64 {
        (self.along.weights(along).transpose() * nodes * self.up.weights(up)).x
    }

    /// What the bow at a place moves by for each number that it is drawn from.
    pub(super) fn moves(&self, (along, up): (f64, f64)) -> DMatrix<f64> {
        let along = self.along.factor.transpose() * self.along.weights(along);
        let up = self.up.factor.transpose() * self.up.weights(up);
        along * up.transpose() * prior::BOW
    }

    /// A drawn field: the bow at the nodes and what readings add to it.
    pub(super) fn field(
        &self,
        (middle, foot): (f64, f64),
        plane: PlanePart,
        drawn: &DMatrix<f64>,
        bumps: &[Bump],
    ) -> WallField {
        let mut nodes = drawn.clone();
        for &((along, up), weight) in bumps {
            let part = weight * prior::BOW.powi(2);
            nodes.ger(part, &self.along.hangs(along), &self.up.hangs(up), 1.0);
        }
        let table = Table {
            from: (self.along.from - BEYOND, self.up.from - BEYOND),
            nodes: &self.along.to_table * nodes * self.up.to_table.transpose(),
        };
        WallField {
            middle,
            foot,
            plane,
            bow: Bow {
                bumps: Vec::new(),
                table: Some(table),
            },
        }
    }
}

/// How many places a table has over a length.
fn table_nodes(long: f64) -> usize {
    ((long + 2.0 * BEYOND) / SPACING).ceil() as usize + 1
}

/// A wall's length, and the heights of its foot and head.
type Extent = (f64, (f64, f64));

impl WallField {
    /// A field from its plane and the weights of its bow. `extent` is the wall's length, and the
    /// heights of its foot and head.
    pub(super) fn new(extent: Extent, plane: PlanePart, bumps: &[Bump]) -> Self {
        let (length, (foot, _)) = extent;
        Self {
            middle: length / 2.0,
            foot,
            plane,
            bow: Bow::new(extent, bumps),
        }
    }

    /// The offset at a place, mm: `along` from the wall's beginning, `up` above the datum.
    #[must_use]
    pub fn offset(&self, along: f64, up: f64) -> f64 {
        let plane = self.plane.offset
            + self.plane.splay * (along - self.middle)
            + self.plane.lean * (up - self.foot);
        plane + self.bow(along, up)
    }

    /// What the bow adds at a place, mm.
    #[must_use]
    pub fn bow(&self, along: f64, up: f64) -> f64 {
        self.bow.at((along, up))
    }

    /// The plane part.
    #[must_use]
    pub const fn plane(&self) -> PlanePart {
        self.plane
    }

    /// The same wall with another plane part.
    #[must_use]
    pub fn with_plane(&self, plane: PlanePart) -> Self {
        Self {
            plane,
            ..self.clone()
        }
    }

    /// The same wall moved towards the room.
    pub(super) fn moved(&self, by: f64) -> Self {
        let mut plane = self.plane;
        plane.offset += by;
        self.with_plane(plane)
    }

    /// The same wall splayed more, about a place along it.
    pub(super) fn turned(&self, by: f64, along: f64) -> Self {
        let mut plane = self.plane;
        plane.splay += by;
        plane.offset -= by * (along - self.middle);
        self.with_plane(plane)
    }

    /// The same wall leaning more, about a height.
    pub(super) fn tipped(&self, by: f64, up: f64) -> Self {
        let mut plane = self.plane;
        plane.lean += by;
        plane.offset -= by * (up - self.foot);
        self.with_plane(plane)
    }

    /// The same wall without its bow.
    #[must_use]
    pub fn without_bow(&self) -> Self {
        Self {
            bow: Bow::default(),
            ..self.clone()
        }
    }

    /// True where it has a bow at all.
    #[must_use]
    pub fn is_bowed(&self) -> bool {
        let least = crate::measure::tolerance::SAME_POINT_MM / prior::BOW;
        self.bow
            .bumps
            .iter()
            .any(|(_, weight)| weight.abs() > least)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_the_sum_to_a_thousandth_of_the_bow() {
        let extent = (4200.0, (-300.0, 2600.0));
        let bumps: Vec<Bump> = (0..150)
            .map(|at| {
                let part = f64::from(at);
                let place = (
                    4200.0 * (part * 0.618).fract(),
                    2900.0 * (part * 0.733).fract(),
                );
                (place, (part * 1.7).sin())
            })
            .collect();
        let tabled = Bow::new(extent, &bumps);
        let summed = Bow {
            table: None,
            ..tabled.clone()
        };
        assert!(tabled.table.is_some());
        let places = (0..400).map(|at| {
            let part = f64::from(at);
            (
                4600.0 * (part * 0.417).fract() - 200.0,
                3300.0 * (part * 0.291).fract() - 500.0,
            )
        });
        let largest = places
            .clone()
            .map(|at| summed.at(at).abs())
            .fold(0.0, f64::max);
        for at in places {
            let off = (tabled.at(at) - summed.at(at)).abs();
            assert!(off < largest / 1000.0, "{at:?}: off by {off} of {largest}");
        }
    }
}
