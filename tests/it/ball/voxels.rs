//! Brute force: the widest path over a grid of voxels, with parry3d's distances, must agree with
//! the certified bounds within what the size of a voxel allows.

use nalgebra::Point3;
use parry3d::math::Vector;
use parry3d::query::PointQuery;
use parry3d::shape::ConvexPolyhedron;
use proptest::prelude::*;
use rakewell::inspect::ball::{Asked, largest_ball};

use super::properties::any_leaning;
use super::scenes::{Leaning, Scene, leaning_posts, stair_posts, triangle};

/// Side of a voxel at most, mm.
const VOXEL: f64 = 6.0;

struct Grid {
    count: [usize; 3],
    side: [f64; 3],
}

impl Grid {
    fn over(scene: &Scene) -> Self {
        let whole = [0, 1, 2].map(|axis| 2.0 * scene.cell.half[axis]);
        let count = whole.map(|side| (side / VOXEL).ceil() as usize);
        let side = [0, 1, 2].map(|axis| whole[axis] / count[axis] as f64);
        Self { count, side }
    }

    fn place(&self, index: usize) -> [usize; 3] {
        let [nu, nv, _] = self.count;
        [index % nu, index / nu % nv, index / (nu * nv)]
    }

    fn index(&self, [u, v, w]: [usize; 3]) -> usize {
        (w * self.count[1] + v) * self.count[0] + u
    }

    fn centre(&self, index: usize, scene: &Scene) -> Point3<f64> {
        let place = self.place(index);
        let at = |axis: usize| (place[axis] as f64 + 0.5) * self.side[axis] - scene.cell.half[axis];
        scene.cell.frame * Point3::new(at(0), at(1), at(2))
    }

    fn beside(&self, index: usize) -> impl Iterator<Item = usize> + '_ {
        let place = self.place(index);
        (0..6).filter_map(move |way| {
            let (axis, up) = (way / 2, way % 2 == 0);
            let mut next = place;
            next[axis] = if up {
                place[axis] + 1
            } else {
                place[axis].checked_sub(1)?
            };
            (next[axis] < self.count[axis]).then(|| self.index(next))
        })
    }
}

fn root(parents: &mut [usize], mut index: usize) -> usize {
    while parents[index] != index {
        parents[index] = parents[parents[index]];
        index = parents[index];
    }
    index
}

/// Twice the clearance at which voxels, opened from the widest down, first join source and sink.
fn percolation(scene: &Scene, grid: &Grid) -> f64 {
    let hulls: Vec<_> = scene
        .solids
        .iter()
        .map(|solid| {
            let corners: Vec<_> = solid
                .corners()
                .iter()
                .map(|p| Vector::new(p.x, p.y, p.z))
                .collect();
            ConvexPolyhedron::from_convex_hull(&corners).unwrap()
        })
        .collect();
    let total = grid.count.iter().product();
    let clearance: Vec<f64> = (0..total)
        .map(|index| {
            let at = grid.centre(index, scene);
            let at = Vector::new(at.x, at.y, at.z);
            hulls
                .iter()
                .map(|hull| hull.distance_to_local_point(at, true))
                .fold(f64::INFINITY, f64::min)
        })
        .collect();
    let mut order: Vec<usize> = (0..total).collect();
    order.sort_by(|&a, &b| clearance[b].total_cmp(&clearance[a]));
    let (source, sink) = (total, total + 1);
    let mut parents: Vec<usize> = (0..total + 2).collect();
    let mut open = vec![false; total];
    for index in order {
        open[index] = true;
        let v = grid.place(index)[1];
        let ends = [
            (v == 0).then_some(source),
            (v + 1 == grid.count[1]).then_some(sink),
        ];
        let beside: Vec<_> = grid.beside(index).filter(|&other| open[other]).collect();
        for other in beside.into_iter().chain(ends.into_iter().flatten()) {
            let (a, b) = (root(&mut parents, index), root(&mut parents, other));
            parents[a] = b;
        }
        if root(&mut parents, source) == root(&mut parents, sink) {
            return 2.0 * clearance[index];
        }
    }
    0.0
}

/// A point of the best path lies within half a diagonal of its voxel's centre; a chain of centres
/// is a path that strays from them by half a side. Clearance changes by no more than the distance.
fn assert_agrees(scene: &Scene) {
    let ball = largest_ball(&scene.pieces(), &scene.cell, &Asked::usual(None));
    let grid = Grid::over(scene);
    let voxels = percolation(scene, &grid);
    let diagonal = grid.side.iter().map(|side| side * side).sum::<f64>().sqrt();
    let side = grid.side.iter().copied().fold(0.0, f64::max);
    assert!(
        voxels >= ball.lower - diagonal,
        "{ball:?} against {voxels} by voxels"
    );
    assert!(
        voxels <= ball.upper + side,
        "{ball:?} against {voxels} by voxels"
    );
}

#[test]
fn voxels_agree_on_a_stair() {
    assert_agrees(&stair_posts(95.0));
    assert_agrees(&triangle(7.5, 10.0, 1.0, 0.5));
}

#[test]
fn voxels_agree_where_a_newel_is_twisted() {
    let lean = [[5.0, 0.0], [-3.0, 8.0]];
    let scene = Leaning {
        gap: 100.0,
        sides: 4,
        lean,
        turn: [0.0, 0.05],
        thick: 90.0,
        slope: 0.7,
    };
    assert_agrees(&leaning_posts(&scene));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn voxels_agree_between_leaning_posts(leaning in any_leaning()) {
        assert_agrees(&leaning_posts(&leaning));
    }
}
