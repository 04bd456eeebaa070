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

use super::hull::{EVERY, Hull, Mask, uneven};
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
    /// The widest point known in it, and its clearance.
    at: Point3<f64>,
    clearance: f64,
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
    (root.source, root.sink) = (true, true);
    let mut search = Search {
        scene,
        blocks: Vec::new(),
        open: BinaryHeap::new(),
    };
    search.place(root, &[]);
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
        let floor = upper - sought.slack;
        if let Some(way) = search.enter(index, floor) {
            search.blocks[index].way = way;
            if search.blocks[index].sink {
                return Found {
                    upper,
                    way: Some(way),
                    spent,
                };
            }
            search.reach(index);
        } else if let Some(coarse) = search.too_coarse(index, floor) {
            search.split(coarse);
            search.open.push(Ranked { rank, item: index });
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

/// The axis from source to sink.
const THROUGH: usize = 1;

impl Block {
    fn size(&self) -> f64 {
        (self.high - self.low).norm()
    }
}

impl Search<'_> {
    /// A way into a box (and out by the sink, where it has that face) at least `floor` wide.
    fn enter(&self, index: usize, floor: f64) -> Option<Tight> {
        let block = &self.blocks[index];
        if block.clearance < floor {
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

    /// The reached box that hinders the way into a box by being larger: its own way ends at one
    /// point, which may lie round a corner from the rest of it.
    fn too_coarse(&self, index: usize, floor: f64) -> Option<usize> {
        let block = &self.blocks[index];
        if block.clearance < floor {
            return None;
        }
        let reached = block
            .beside
            .iter()
            .copied()
            .filter(|&beside| self.blocks[beside].state == State::Reached);
        let largest =
            reached.max_by(|&a, &b| self.blocks[a].size().total_cmp(&self.blocks[b].size()))?;
        (self.blocks[largest].size() > block.size()).then_some(largest)
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

    /// Cuts a box in two. Of a reached box the part with the end of its way stays reached.
    fn split(&mut self, index: usize) {
        let parent = self.blocks[index].clone();
        self.blocks[index].state = State::Split;
        for &beside in &parent.beside {
            self.blocks[beside].beside.retain(|&other| other != index);
        }
        let (axis, cut) = cut(self.scene, &parent);
        let mut spans = [(parent.low, parent.high), (parent.low, parent.high)];
        spans[0].1[axis] = cut;
        spans[1].0[axis] = cut;
        let holds = usize::from(parent.at[axis] > cut);
        let mut beside = parent.beside.clone();
        for (side, (low, high)) in spans.into_iter().enumerate() {
            let mut half = block(self.scene, low, high, parent.hull.mask);
            half.hull.upper = half.hull.upper.min(parent.hull.upper);
            half.source = parent.source && (axis != THROUGH || side == 0);
            half.sink = parent.sink && (axis != THROUGH || side == 1);
            if parent.state == State::Reached && side == holds {
                half.state = State::Reached;
                (half.at, half.clearance, half.way) = (parent.at, parent.clearance, parent.way);
            }
            beside.push(self.place(half, &beside));
        }
    }

    /// Puts a new box among those that may be beside it.
    fn place(&mut self, mut block: Block, near: &[usize]) -> usize {
        let new = self.blocks.len();
        block.beside = near
            .iter()
            .copied()
            .filter(|&other| beside(&block, &self.blocks[other]))
            .collect();
        for &other in &block.beside {
            self.blocks[other].beside.push(new);
        }
        let reached = block.state == State::Reached;
        let at_reached = |&other: &usize| self.blocks[other].state == State::Reached;
        if !reached && (block.source || block.beside.iter().any(at_reached)) {
            block.state = State::Open;
            self.open.push(Ranked {
                rank: block.hull.upper,
                item: new,
            });
        }
        self.blocks.push(block);
        if reached {
            self.reach(new);
        }
        new
    }
}

fn block(scene: &Scene, low: Point3<f64>, high: Point3<f64>, mask: Mask) -> Block {
    let ends = [low, high];
    let corner = |i: usize| Point3::new(ends[i & 1].x, ends[i >> 1 & 1].y, ends[i >> 2].z);
    let corners: [Point3<f64>; 8] = std::array::from_fn(corner);
    let hull = Hull::new(scene, &corners, mask);
    let [likely, middle] =
        [hull.likely, nalgebra::center(&low, &high)].map(|at| (scene.clearance(&at), at));
    let (clearance, at) = if likely.0 > middle.0 { likely } else { middle };
    let way = Tight {
        clearance: f64::NEG_INFINITY,
        at,
    };
    let (state, beside) = (State::Waiting, Vec::new());
    Block {
        low,
        high,
        source: false,
        sink: false,
        hull,
        at,
        clearance,
        way,
        beside,
        state,
    }
}

/// Which way to cut a box, and where.
fn cut(scene: &Scene, block: &Block) -> (usize, f64) {
    let mid = nalgebra::center(&block.low, &block.high);
    let ends = [0, 1, 2].map(|axis| {
        [block.low, block.high].map(|end| {
            let mut point = mid;
            point[axis] = end[axis];
            point
        })
    });
    let axis = block.hull.cut(scene, &mid, ends);
    (
        axis,
        uneven([block.low[axis], block.high[axis]], block.hull.likely[axis]),
    )
}

/// Whether two boxes share part of a face; a shared edge or corner belongs to other boxes too.
fn beside(a: &Block, b: &Block) -> bool {
    let mut meeting = 0;
    for axis in 0..3 {
        let overlap = a.high[axis].min(b.high[axis]) - a.low[axis].max(b.low[axis]);
        let thick = a.low[axis] < a.high[axis] && b.low[axis] < b.high[axis];
        if overlap < 0.0 {
            return false;
        }
        meeting += usize::from(thick && overlap <= 0.0);
    }
    meeting <= 1
}
