//! Curtains: every way through a cell crosses a surface hung across it, so the greatest clearance
//! on any one such surface bounds every ball from above.
//!
//! The surface is `v` as a bilinear function of `u` and `w`, four heights at the cell's corners:
//! it can pass through the axes of two posts that lean differently. A patch of it lies in the hull
//! of its own four corners, which is all that the bound of [`Hull`] needs.

use std::collections::BinaryHeap;

use nalgebra::{Matrix4, Point3, Vector4};

use super::game::Row;
use super::hull::{EVERY, Hull, Mask, rows, uneven};
use super::queue::Ranked;
use super::scene::Scene;

/// Patches looked at on one curtain before what is known so far is taken.
const PATCHES: usize = 600;

/// A surface across the cell: `v = a + b u + c w + d u w`, with u and w in half sides of the cell.
#[derive(Clone, Copy, Debug)]
pub(super) struct Curtain(Vector4<f64>);

/// What a curtain proves.
#[derive(Clone, Copy, Debug)]
pub(super) struct Top {
    /// No point of the curtain has a greater clearance, mm.
    pub(super) upper: f64,
    /// The best point found, and its clearance.
    pub(super) at: Point3<f64>,
    pub(super) clearance: f64,
}

impl Curtain {
    pub(super) fn flat(v: f64) -> Self {
        Self(Vector4::new(v, 0.0, 0.0, 0.0))
    }

    /// The curtain that runs through the middle of the pieces that hold the first curtain's bound,
    /// as nearly as a bilinear surface can.
    pub(super) fn through_the_middle(scene: &Scene) -> Self {
        let first = Self::flat(0.0);
        let whole = Patch::whole(scene, &first);
        let mut normal = Matrix4::identity() * RIDGE;
        let mut right = Vector4::zeros();
        for piece in whole.hull.holding() {
            for corner in scene.pieces[piece].corners() {
                // Treads and walls run on far beyond the cell; only what stands in it counts.
                if corner.y.abs() > scene.half.y {
                    continue;
                }
                let row = first.row(scene, corner.x, corner.z);
                let v = corner.y;
                normal += row * row.transpose();
                right += row * v;
            }
        }
        normal
            .cholesky()
            .map_or(first, |solved| Self(solved.solve(&right)).inside(scene))
    }

    /// The same curtain drawn aside, no more than it must be, to pass through up to four points, or
    /// close by: pins one above the other, all but in line, must not swing it about that line.
    pub(super) fn pinned(&self, scene: &Scene, pins: &[Point3<f64>]) -> Self {
        let mut normal = Matrix4::from_diagonal(&Vector4::new(RIDGE, STIFF, RIDGE, STIFF));
        let mut right = Vector4::zeros();
        for pin in pins {
            let row = self.row(scene, pin.x, pin.z);
            normal += row * row.transpose();
            right += row * (pin.y - row.dot(&self.0));
        }
        normal
            .cholesky()
            .map_or(*self, |solved| Self(self.0 + solved.solve(&right)))
    }

    fn row(&self, scene: &Scene, u: f64, w: f64) -> Vector4<f64> {
        let share = |value: f64, half: f64| if half > 0.0 { value / half } else { 0.0 };
        let (u, w) = (share(u, scene.half.x), share(w, scene.half.z));
        Vector4::new(1.0, u, w, u * w)
    }

    /// The curtain with its four heights kept in the cell.
    fn inside(&self, scene: &Scene) -> Self {
        let [a, b, c, d] = [self.0.x, self.0.y, self.0.z, self.0.w];
        let kept = |v: f64| v.clamp(-scene.half.y, scene.half.y);
        let (ll, lh) = (kept(a - b - c + d), kept(a - b + c - d));
        let (hl, hh) = (kept(a + b - c - d), kept(a + b + c + d));
        Self(
            Vector4::new(
                ll + lh + hl + hh,
                hl + hh - ll - lh,
                lh + hh - ll - hl,
                ll + hh - lh - hl,
            ) / 4.0,
        )
    }

    fn point(&self, scene: &Scene, u: f64, w: f64) -> Point3<f64> {
        let v = self.row(scene, u, w).dot(&self.0);
        // Rounding must not carry it out of the cell.
        Point3::new(u, v.clamp(-scene.half.y, scene.half.y), w)
    }

    /// The greatest clearance on the curtain. Stops when it is known to within `slack`, or when
    /// its greatest clearance is known to be at least `beaten`, or at most `enough`.
    pub(super) fn top(&self, scene: &Scene, slack: f64, beaten: f64, enough: f64) -> Top {
        let curtain = self.inside(scene);
        let mut top = Top {
            upper: 0.0,
            at: Point3::origin(),
            clearance: f64::NEG_INFINITY,
        };
        let whole = Patch::whole(scene, &curtain);
        let mut open = BinaryHeap::new();
        open.push(Ranked {
            rank: whole.hull.upper,
            item: whole,
        });
        for _ in 0..PATCHES {
            let Some(Ranked { rank, item }) = open.pop() else {
                break;
            };
            // Of a patch that cannot be the widest nobody needs to know how wide it is.
            let likely = curtain.point(scene, item.hull.likely.x, item.hull.likely.z);
            for at in [likely, item.middle(scene, &curtain)] {
                let clearance = scene.clearance(&at);
                if clearance > top.clearance {
                    top = Top {
                        at,
                        clearance,
                        ..top
                    };
                }
                if rank <= top.clearance + slack {
                    break;
                }
            }
            top.upper = rank.max(top.clearance);
            if rank <= top.clearance + slack || top.clearance >= beaten || rank <= enough {
                break;
            }
            let halves = item.split(scene, &curtain);
            open.extend(halves.map(|item| Ranked {
                rank: item.hull.upper,
                item,
            }));
        }
        top
    }
}

/// How unwilling a pinned curtain is to turn about the upright: a hundredth of what a pin at the
/// cell's side pulls with.
const STIFF: f64 = 1e-2;

/// Keeps the fit solvable where the pieces leave a slope open; far below any real corner's share.
const RIDGE: f64 = 1e-6;

/// A piece of a curtain, with what is known over it.
#[derive(Clone, Debug)]
struct Patch {
    u: [f64; 2],
    w: [f64; 2],
    /// The pieces' distances from its corners: near u and w, near u, near w, far.
    rows: Vec<Row>,
    hull: Hull,
}

impl Patch {
    fn whole(scene: &Scene, curtain: &Curtain) -> Self {
        let (u, w) = ([-scene.half.x, scene.half.x], [-scene.half.z, scene.half.z]);
        let rows = rows(scene, &corners(scene, curtain, u, w), EVERY);
        Self::new(scene, curtain, (u, w), rows, EVERY)
    }

    fn new(
        scene: &Scene,
        curtain: &Curtain,
        (u, w): ([f64; 2], [f64; 2]),
        rows: Vec<Row>,
        mask: Mask,
    ) -> Self {
        let hull = Hull::of(&rows, &corners(scene, curtain, u, w), mask);
        Self { u, w, rows, hull }
    }

    fn middle(&self, scene: &Scene, curtain: &Curtain) -> Point3<f64> {
        curtain.point(
            scene,
            f64::midpoint(self.u[0], self.u[1]),
            f64::midpoint(self.w[0], self.w[1]),
        )
    }

    /// Two halves, cut near the likely point. Only the ends of the cut are new corners.
    fn split(&self, scene: &Scene, curtain: &Curtain) -> [Self; 2] {
        let mid = self.middle(scene, curtain);
        let ends = [
            self.u.map(|u| curtain.point(scene, u, mid.z)),
            self.w.map(|w| curtain.point(scene, mid.x, w)),
        ];
        let along_u = self.hull.cut(scene, &mid, ends) == 0;
        // Corners of the near half that lie on the cut, and those of the far half.
        let (spans, cut, far) = if along_u {
            let cut = uneven(self.u, self.hull.likely.x);
            let spans = [([self.u[0], cut], self.w), ([cut, self.u[1]], self.w)];
            (spans, self.w.map(|w| curtain.point(scene, cut, w)), [2, 3])
        } else {
            let cut = uneven(self.w, self.hull.likely.z);
            let spans = [(self.u, [self.w[0], cut]), (self.u, [cut, self.w[1]])];
            (spans, self.u.map(|u| curtain.point(scene, u, cut)), [1, 3])
        };
        let near = [3 - far[1], 3 - far[0]];
        let mut halves = [Vec::new(), Vec::new()];
        for row in &self.rows {
            if self.hull.mask & (1 << row.piece) == 0 {
                continue;
            }
            let solid = &scene.pieces[row.piece];
            let on_cut = cut.map(|at| solid.near(&at).distance);
            for (half, takes) in halves.iter_mut().zip([far, near]) {
                let mut row = *row;
                for (corner, distance) in takes.into_iter().zip(on_cut) {
                    row.at[corner] = distance;
                }
                half.push(row);
            }
        }
        let [first, second] = halves;
        [(spans[0], first), (spans[1], second)].map(|(span, rows)| {
            let mut half = Self::new(scene, curtain, span, rows, self.hull.mask);
            half.hull.upper = half.hull.upper.min(self.hull.upper);
            half
        })
    }
}

fn corners(scene: &Scene, curtain: &Curtain, u: [f64; 2], w: [f64; 2]) -> [Point3<f64>; 4] {
    [(0, 0), (0, 1), (1, 0), (1, 1)].map(|(i, j)| curtain.point(scene, u[i], w[j]))
}
