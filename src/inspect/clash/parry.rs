//! The one place where our points meet parry's: the tree of boxes and the distance search.
//!
//! In and out: nalgebra, mm in the flight's frame. Inside: parry3d's f64 build, whose vectors are
//! glam's. Only its distances and its tree are used, never its contact normals: those are arbitrary
//! where faces touch, and touching faces are what a stair is made of.

use nalgebra::{Point3, Vector3};
use parry3d::bounding_volume::Aabb;
use parry3d::math::{Pose, Vector};
use parry3d::partitioning::{Bvh, BvhBuildStrategy};
use parry3d::query::ClosestPoints;
use parry3d::query::details::closest_points_support_map_support_map;
use parry3d::shape::SupportMap;

use crate::solids::{Bounds, Convex};

fn to_parry(point: &Point3<f64>) -> Vector {
    Vector::new(point.x, point.y, point.z)
}

/// A tree over boxes.
pub(in crate::inspect) struct Boxes {
    boxes: Vec<Aabb>,
    tree: Bvh,
}

impl Boxes {
    pub(in crate::inspect) fn of(boxes: &[Bounds]) -> Self {
        let boxes: Vec<Aabb> = boxes
            .iter()
            .map(|bounds| Aabb::new(to_parry(&bounds.low), to_parry(&bounds.high)))
            .collect();
        let tree = Bvh::from_leaves(BvhBuildStrategy::Binned, &boxes);
        Self { boxes, tree }
    }

    /// The boxes after this one that touch it, in order.
    pub(super) fn touching(&self, number: usize) -> Vec<usize> {
        let mut after = self.boxes.get(number).map_or_else(Vec::new, |bounds| {
            let leaves = self.tree.intersect_aabb(bounds);
            leaves
                .map(|leaf| leaf as usize)
                .filter(|&other| other > number)
                .collect()
        });
        // The tree answers in its own order.
        after.sort_unstable();
        after
    }

    /// The boxes that come as near to this one, mm, on every axis, in order.
    pub(in crate::inspect) fn near(&self, bounds: &Bounds, by: f64) -> Vec<usize> {
        let by = Vector3::repeat(by);
        let asked = Aabb::new(to_parry(&(bounds.low - by)), to_parry(&(bounds.high + by)));
        let leaves = self.tree.intersect_aabb(&asked);
        let mut near: Vec<usize> = leaves.map(|leaf| leaf as usize).collect();
        near.sort_unstable();
        near
    }
}

/// A piece as parry's search sees it: its furthest corner in a direction, about a middle point so
/// that no digits go to the place in the house.
struct Corners {
    corners: Vec<Vector>,
}

impl Corners {
    fn about(middle: &Point3<f64>, corners: &[Point3<f64>]) -> Self {
        let from_middle = |corner: &Point3<f64>| {
            let arm = corner - middle;
            Vector::new(arm.x, arm.y, arm.z)
        };
        Self {
            corners: corners.iter().map(from_middle).collect(),
        }
    }
}

impl SupportMap for Corners {
    fn local_support_point(&self, dir: Vector) -> Vector {
        let furthest = self
            .corners
            .iter()
            .max_by(|a, b| a.dot(dir).total_cmp(&b.dot(dir)));
        furthest.copied().unwrap_or(Vector::ZERO)
    }
}

/// What parry says about two pieces.
pub(in crate::inspect) enum Found {
    /// They touch or overlap.
    Together,
    /// The nearest points, on the first and on the second.
    Apart(Point3<f64>, Point3<f64>),
    /// The search gave up after its hundredth step.
    Lost,
}

/// Parry's nearest points of two pieces.
pub(super) fn closest(a: &Convex, b: &Convex) -> Found {
    closest_hulls(a.corners(), b.corners())
}

/// The same of what some corners span, flat or straight or one point too.
pub(in crate::inspect) fn closest_hulls(a: &[Point3<f64>], b: &[Point3<f64>]) -> Found {
    let Some(bounds) = Bounds::around(a.iter().chain(b)) else {
        return Found::Lost;
    };
    let middle = bounds.centre();
    let (corners_a, corners_b) = (Corners::about(&middle, a), Corners::about(&middle, b));
    // Parry asserts that what it sees is finite; numbers are checked when a job is read.
    if corners_a
        .corners
        .iter()
        .chain(&corners_b.corners)
        .any(|corner| !corner.is_finite())
    {
        return Found::Lost;
    }
    let back = |point: Vector| middle + Vector3::new(point.x, point.y, point.z);
    match closest_points_support_map_support_map(&Pose::IDENTITY, &corners_a, &corners_b, f64::MAX)
    {
        ClosestPoints::Intersecting => Found::Together,
        ClosestPoints::WithinMargin(on_a, on_b) => Found::Apart(back(on_a), back(on_b)),
        ClosestPoints::Disjoint => Found::Lost,
    }
}
