//! The general engine: widest path over an adaptive tree of boxes.
//!
//! Boxes are reached from the source face in descending order of their upper bounds, split only
//! where the way into them cannot be shown to be nearly that wide. At any moment every path must
//! still pass one of the open boxes beside those reached, so the widest of these bounds all paths
//! from above; once a sink box is reached, the explicit way to it bounds them from below. This is
//! the widest path with upper bounds and with lower bounds in one pass: a box is opened by its
//! upper bound and entered by a certified segment.

use std::collections::BinaryHeap;

use nalgebra::Point3;

use super::curtain::uneven;
use super::hull::{EVERY, Hull, Mask};
use super::queue::Ranked;
use super::scene::{Scene, Tight};

/// What a search proves about the clearance, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    /// No path is wider.
    pub(super) upper: f64,
    /// The way found, if one was, at its tightest.
    pub(super) way: Option<Tight>,
    /// Boxes made.
    pub(super) spent: usize,
}

/// What the search is given.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sought {
    /// A known upper bound on the clearance of any path, mm.
    pub(super) upper: f64,
    /// Stop once no path can be wider than this, mm.
    pub(super) enough: f64,
    /// How far under the bound the way into a box may be, mm.
    pub(super) slack: f64,
    /// Boxes that may be made.
    pub(super) budget: usize,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum State {
    /// Not beside any reached box.
    Waiting,
    /// Beside a reached box or the source face.
    Open,
    Reached,
    Split,
}

#[derive(Clone, Debug)]
struct Block {
    low: Point3<f64>,
    high: Point3<f64>,
    source: bool,
    sink: bool,
    hull: Hull,
    /// The widest point known in it.
    at: Point3<f64>,
    /// The tightest spot of the way from the source face to `at`, once reached.
    way: Tight,
    beside: Vec<usize>,
    state: State,
}

struct Search<'a> {
    scene: &'a Scene,
    blocks: Vec<Block>,
    open: BinaryHeap<Ranked<usize>>,
}

/// Finds the widest way through, or shows that there is none wider than wanted, or stops at its
/// budget with what it knows.
pub(super) fn widest(scene: &Scene, sought: &Sought) -> Found {
    let (low, high) = (Point3::from(-scene.half), Point3::from(scene.half));
    let mut root = block(scene, low, high, EVERY);
    (root.source, root.sink, root.state) = (true, true, State::Open);
    let mut search = Search {
        scene,
        blocks: Vec::new(),
        open: BinaryHeap::new(),
    };
    search.add(root);
    let mut upper = sought.upper;
    while let Some(Ranked { rank, item: index }) = search.open.pop() {
        if search.blocks[index].state != State::Open {
            continue;
        }
        upper = upper.min(rank);
        let spent = search.blocks.len();
        if upper <= sought.enough || spent >= sought.budget {
            return Found {
                upper,
                way: None,
                spent,
            };
        }
        if let Some(way) = search.enter(index, upper - sought.slack) {
            search.blocks[index].way = way;
            if search.blocks[index].sink {
                return Found {
                    upper,
                    way: Some(way),
                    spent,
                };
            }
            search.reach(index);
        } else {
            search.split(index);
        }
    }
    // The boxes fill the cell, so one with the sink face is always open until one is reached.
    Found {
        upper,
        way: None,
        spent: search.blocks.len(),
    }
}

impl Search<'_> {
    fn add(&mut self, block: Block) -> usize {
        let index = self.blocks.len();
        if block.state == State::Open {
            self.open.push(Ranked {
                rank: block.hull.upper,
                item: index,
            });
        }
        self.blocks.push(block);
        index
    }

    /// A way into a box (and out by the sink, where it has that face) at least `floor` wide.
    fn enter(&self, index: usize, floor: f64) -> Option<Tight> {
        let block = &self.blocks[index];
        if self.scene.clearance(&block.at) < floor {
            return None;
        }
        let face = |v: f64| Point3::new(block.at.x, v, block.at.z);
        let half = self.scene.half.y;
        let out = if block.sink {
            self.scene.along(block.at, face(half), floor)
        } else {
            Tight {
                clearance: f64::INFINITY,
                at: block.at,
            }
        };
        if out.clearance < floor {
            return None;
        }
        let straight = block
            .source
            .then(|| self.scene.along(face(-half), block.at, floor));
        let ways = block.beside.iter().map(|&beside| &self.blocks[beside]);
        let mut ways = ways
            .filter(|beside| beside.state == State::Reached)
            .map(|beside| {
                beside
                    .way
                    .tighter(self.scene.along(beside.at, block.at, floor))
            });
        straight
            .filter(|way| way.clearance >= floor)
            .or_else(|| ways.find(|way| way.clearance >= floor))
            .map(|way| way.tighter(out))
    }

    fn reach(&mut self, index: usize) {
        self.blocks[index].state = State::Reached;
        for beside in self.blocks[index].beside.clone() {
            let neighbour = &mut self.blocks[beside];
            if neighbour.state == State::Waiting {
                neighbour.state = State::Open;
                self.open.push(Ranked {
                    rank: neighbour.hull.upper,
                    item: beside,
                });
            }
        }
    }

    fn split(&mut self, index: usize) {
        let parent = self.blocks[index].clone();
        self.blocks[index].state = State::Split;
        let (axis, cut) = cut(self.scene, &parent);
        let mut halves = [(parent.low, parent.high), (parent.low, parent.high)];
        halves[0].1[axis] = cut;
        halves[1].0[axis] = cut;
        let across = axis == 1;
        let mut made = Vec::with_capacity(2);
        for (side, (low, high)) in halves.into_iter().enumerate() {
            let mut half = block(self.scene, low, high, parent.hull.mask);
            half.hull.upper = half.hull.upper.min(parent.hull.upper);
            half.source = parent.source && !(across && side == 1);
            half.sink = parent.sink && !(across && side == 0);
            let beside = parent.beside.iter().copied().filter(|&beside| {
                let other = &self.blocks[beside];
                other.state != State::Split && touching(&half, other)
            });
            let beside: Vec<usize> = made.iter().copied().chain(beside).collect();
            half.beside = beside;
            let reached = |&beside: &usize| self.blocks[beside].state == State::Reached;
            if half.source || half.beside.iter().any(reached) {
                half.state = State::Open;
            }
            let beside = half.beside.clone();
            let new = self.add(half);
            for other in beside {
                self.blocks[other].beside.push(new);
            }
            made.push(new);
        }
        for beside in parent.beside {
            self.blocks[beside].beside.retain(|&other| other != index);
        }
    }
}

fn block(scene: &Scene, low: Point3<f64>, high: Point3<f64>, mask: Mask) -> Block {
    let ends = [low, high];
    let corner = |i: usize| Point3::new(ends[i & 1].x, ends[i >> 1 & 1].y, ends[i >> 2].z);
    let corners: [Point3<f64>; 8] = std::array::from_fn(corner);
    let hull = Hull::new(scene, &corners, mask);
    let middle = nalgebra::center(&low, &high);
    let likely = hull.likely;
    let at = if scene.clearance(&likely) > scene.clearance(&middle) {
        likely
    } else {
        middle
    };
    let way = Tight {
        clearance: f64::NEG_INFINITY,
        at,
    };
    Block {
        low,
        high,
        source: false,
        sink: false,
        hull,
        at,
        way,
        beside: Vec::new(),
        state: State::Waiting,
    }
}

/// Which way to cut a box, and where: across the way in which the distances curve most.
fn cut(scene: &Scene, block: &Block) -> (usize, f64) {
    let mid = nalgebra::center(&block.low, &block.high);
    let also = scene.nearest(&mid).0;
    let sag = |axis: usize| {
        let mut ends = [mid, mid];
        ends[0][axis] = block.low[axis];
        ends[1][axis] = block.high[axis];
        block.hull.sag(scene, ends, &mid, also)
    };
    let sags = [sag(0), sag(1), sag(2)];
    let long = [0, 1, 2].map(|axis| block.high[axis] - block.low[axis]);
    let sagging = sags.iter().any(|&sag| sag > super::ROUNDING);
    let measure = if sagging { sags } else { long };
    let axis = (0..3)
        .max_by(|&a, &b| measure[a].total_cmp(&measure[b]))
        .unwrap_or(0);
    (
        axis,
        uneven([block.low[axis], block.high[axis]], block.hull.likely[axis]),
    )
}

fn touching(a: &Block, b: &Block) -> bool {
    (0..3).all(|axis| a.low[axis] <= b.high[axis] && b.low[axis] <= a.high[axis])
}
