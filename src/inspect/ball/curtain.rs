//! Curtains: every way through a cell crosses a surface hung across it, so the greatest clearance
//! on any one such surface bounds every ball from above.
//!
//! The surface is `v` as a bilinear function of `u` and `w`, four heights at the cell's corners:
//! it can pass through the axes of two posts that lean differently. A patch of it lies in the hull
//! of its own four corners, which is all that the bound of [`Hull`] needs.

use std::collections::BinaryHeap;

use nalgebra::{Matrix4, Point3, Vector4};

use super::hull::{EVERY, Hull, Mask, uneven};
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
                let row = first.row(scene, corner.x, corner.z);
                // Treads and walls run on far beyond the cell; only what is in it counts.
                let v = corner.y.clamp(-scene.half.y, scene.half.y);
                normal += row * row.transpose();
                right += row * v;
            }
        }
        normal
            .cholesky()
            .map_or(first, |solved| Self(solved.solve(&right)))
    }

    /// The same curtain drawn aside, no more than it must be, to pass through up to four points.
    pub(super) fn pinned(&self, scene: &Scene, pins: &[Point3<f64>]) -> Self {
        let mut normal = Matrix4::identity() * RIDGE;
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
        let mut open = BinaryHeap::new();
        let mut next = vec![Patch::whole(scene, &curtain)];
        for _ in 0..PATCHES {
            for patch in next.drain(..) {
                let likely = curtain.point(scene, patch.hull.likely.x, patch.hull.likely.z);
                for at in [likely, patch.middle(scene, &curtain)] {
                    let clearance = scene.clearance(&at);
                    if clearance > top.clearance {
                        top = Top {
                            at,
                            clearance,
                            ..top
                        };
                    }
                }
                open.push(Ranked {
                    rank: patch.hull.upper,
                    item: patch,
                });
            }
            let Some(Ranked { rank, item }) = open.pop() else {
                break;
            };
            top.upper = rank.max(top.clearance);
            if rank <= top.clearance + slack || top.clearance >= beaten || rank <= enough {
                break;
            }
            next.extend(item.split(scene, &curtain));
        }
        top
    }
}

/// Keeps the fit solvable where the pieces leave a slope open; far below any real corner's share.
const RIDGE: f64 = 1e-6;

#[derive(Clone, Copy, Debug)]
struct Patch {
    u: [f64; 2],
    w: [f64; 2],
    hull: Hull,
}

impl Patch {
    fn whole(scene: &Scene, curtain: &Curtain) -> Self {
        let (u, w) = (scene.half.x, scene.half.z);
        Self::new(scene, curtain, [-u, u], [-w, w], EVERY)
    }

    fn new(scene: &Scene, curtain: &Curtain, u: [f64; 2], w: [f64; 2], mask: Mask) -> Self {
        let corners =
            [(0, 0), (0, 1), (1, 0), (1, 1)].map(|(i, j)| curtain.point(scene, u[i], w[j]));
        Self {
            u,
            w,
            hull: Hull::new(scene, &corners, mask),
        }
    }

    fn middle(&self, scene: &Scene, curtain: &Curtain) -> Point3<f64> {
        curtain.point(
            scene,
            f64::midpoint(self.u[0], self.u[1]),
            f64::midpoint(self.w[0], self.w[1]),
        )
    }

    /// Two halves, cut near the likely point.
    fn split(&self, scene: &Scene, curtain: &Curtain) -> [Self; 2] {
        let mid = self.middle(scene, curtain);
        let ends = [
            self.u.map(|u| curtain.point(scene, u, mid.z)),
            self.w.map(|w| curtain.point(scene, mid.x, w)),
        ];
        let spans = if self.hull.cut(scene, &mid, ends) == 0 {
            let cut = uneven(self.u, self.hull.likely.x);
            [([self.u[0], cut], self.w), ([cut, self.u[1]], self.w)]
        } else {
            let cut = uneven(self.w, self.hull.likely.z);
            [(self.u, [self.w[0], cut]), (self.u, [cut, self.w[1]])]
        };
        spans.map(|(u, w)| {
            let mut half = Self::new(scene, curtain, u, w, self.hull.mask);
            half.hull.upper = half.hull.upper.min(self.hull.upper);
            half
        })
    }
}
