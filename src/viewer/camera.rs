//! The eye: where one looks from, how it turns, and how a part is framed.
//!
//! The state and its changes are pure and in the flight's frame (mm, f64, z up); one system at the
//! end copies it into Bevy.

use nalgebra::{Point3, Vector3};

/// Upright angle of view of the perspective eye, radians: a long lens, so that plumb lines stay
/// near plumb in the picture.
const VIEW_ANGLE: f64 = 0.5;
/// The eye never stands nearer to what it looks at, mm.
const NEAREST: f64 = 120.0;
/// Nor farther, mm.
const FARTHEST: f64 = 60_000.0;
/// It never looks straighter up than this from below, radians.
const LOWEST: f64 = -0.35;
/// Nor straighter down.
const HIGHEST: f64 = std::f64::consts::FRAC_PI_2;
/// Room left around what is framed, as a share of it.
const MARGIN: f64 = 1.08;

/// How depth is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lens {
    /// Nearer is larger.
    Perspective,
    /// True to scale at any depth: elevation and plan.
    Level,
}

/// Where one looks from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Eye {
    /// What it looks at, mm.
    pub(super) target: Point3<f64>,
    /// Direction from target to eye about the plumb line, radians, anticlockwise from x.
    pub(super) yaw: f64,
    /// The same above level.
    pub(super) pitch: f64,
    /// Distance from target to eye, mm.
    pub(super) reach: f64,
    /// How depth is drawn.
    pub(super) lens: Lens,
}

/// The part of the picture that is free of panels, as shares of its width and height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Free {
    /// Width over height of the whole picture.
    pub(super) aspect: f64,
    /// Left and right edge, 0 to 1.
    pub(super) across: [f64; 2],
    /// Upper and lower edge, 0 to 1 from the top.
    pub(super) down: [f64; 2],
}

impl Free {
    /// A picture without panels.
    pub(super) fn whole(aspect: f64) -> Self {
        Self {
            aspect,
            across: [0.0, 1.0],
            down: [0.0, 1.0],
        }
    }

    /// The middle of the free part, -1 to 1 across and up.
    fn middle(&self) -> (f64, f64) {
        (
            self.across[0] + self.across[1] - 1.0,
            1.0 - self.down[0] - self.down[1],
        )
    }
}

/// The axes of a picture, unit vectors of the flight's frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Axes {
    /// To the right in the picture.
    pub(super) right: Vector3<f64>,
    /// Up in the picture.
    pub(super) up: Vector3<f64>,
    /// From the target towards the eye.
    pub(super) back: Vector3<f64>,
}

impl Eye {
    /// The axes of its picture.
    pub(super) fn axes(&self) -> Axes {
        let (sin_yaw, cos_yaw) = self.yaw.sin_cos();
        let (sin_pitch, cos_pitch) = self.pitch.sin_cos();
        let back = Vector3::new(cos_pitch * cos_yaw, cos_pitch * sin_yaw, sin_pitch);
        let right = Vector3::new(-sin_yaw, cos_yaw, 0.0);
        Axes {
            right,
            up: back.cross(&right),
            back,
        }
    }

    /// Half the height of the picture at the target's depth, mm.
    pub(super) fn half_height(&self) -> f64 {
        self.reach * (VIEW_ANGLE / 2.0).tan()
    }

    /// Where the eye stands so that its target appears in the middle of the free part.
    pub(super) fn stands(&self, free: &Free) -> Point3<f64> {
        let axes = self.axes();
        let (across, up) = free.middle();
        let half = self.half_height();
        self.target + axes.back * self.reach
            - axes.right * (across * half * free.aspect)
            - axes.up * (up * half)
    }

    /// The same direction, moved to show all of some points in the free part.
    pub(super) fn framing(mut self, points: &[Point3<f64>], free: &Free) -> Self {
        if points.is_empty() {
            return self;
        }
        let axes = self.axes();
        let span = |axis: &Vector3<f64>| {
            let along = points.iter().map(|point| axis.dot(&point.coords));
            along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                (low.min(at), high.max(at))
            })
        };
        let middle = |(low, high): (f64, f64)| f64::midpoint(low, high);
        let (across, up, back) = (span(&axes.right), span(&axes.up), span(&axes.back));
        self.target = Point3::from(
            axes.right * middle(across) + axes.up * middle(up) + axes.back * middle(back),
        );
        let (middle_across, middle_up) = free.middle();
        let steep = (VIEW_ANGLE / 2.0).tan();
        // The eye slides with its reach to keep the target in the middle of the free part, so each
        // edge bounds the reach of each point from below by a fraction.
        let edges = [
            (
                axes.right,
                free.aspect,
                free.across[1] - free.across[0],
                middle_across,
            ),
            (axes.up, 1.0, free.down[1] - free.down[0], middle_up),
        ];
        let needed = |point: &Point3<f64>| {
            let from = point - self.target;
            let near = match self.lens {
                Lens::Perspective => from.dot(&axes.back),
                Lens::Level => 0.0,
            };
            let bounds = edges.iter().flat_map(|(axis, stretch, share, middle)| {
                let aside = from.dot(axis) / (steep * stretch);
                let (low, high) = (middle - share, middle + share);
                [(aside + high * near) / share, (-aside - low * near) / share]
            });
            bounds.fold(near + NEAREST, f64::max)
        };
        let reach = points.iter().map(needed).fold(0.0, f64::max) * MARGIN;
        self.reach = reach.clamp(NEAREST, FARTHEST);
        self
    }

    /// After a turn by so much, radians.
    pub(super) fn turned(mut self, yaw: f64, pitch: f64) -> Self {
        self.yaw += yaw;
        self.pitch = (self.pitch + pitch).clamp(LOWEST, HIGHEST);
        // A turned elevation is no elevation any more.
        self.lens = Lens::Perspective;
        self
    }

    /// After a slide by so many picture heights, to the right and up.
    pub(super) fn slid(mut self, right: f64, up: f64) -> Self {
        let axes = self.axes();
        let height = 2.0 * self.half_height();
        self.target += axes.right * (right * height) + axes.up * (up * height);
        self
    }

    /// Nearer (under 1) or farther (over 1).
    pub(super) fn zoomed(mut self, factor: f64) -> Self {
        self.reach = (self.reach * factor).clamp(NEAREST, FARTHEST);
        self
    }

    /// A share of the way to another eye.
    pub(super) fn towards(&self, goal: &Self, share: f64) -> Self {
        let between = |from: f64, to: f64| from + (to - from) * share;
        Self {
            target: self.target + (goal.target - self.target) * share,
            yaw: self.yaw + short_way(goal.yaw - self.yaw) * share,
            pitch: between(self.pitch, goal.pitch),
            // Reach feels even by its ratio.
            reach: between(self.reach.ln(), goal.reach.ln()).exp(),
            lens: goal.lens,
        }
    }

    /// True where the eye and its goal cannot be told apart in a picture.
    pub(super) fn at(&self, goal: &Self) -> bool {
        let moved = (goal.target - self.target).norm() / self.reach;
        let turned = short_way(goal.yaw - self.yaw).abs() + (goal.pitch - self.pitch).abs();
        let zoomed = (goal.reach / self.reach).ln().abs();
        self.lens == goal.lens && moved + turned + zoomed < 1e-3
    }
}

/// A turn brought to between minus and plus half a turn.
fn short_way(turn: f64) -> f64 {
    use std::f64::consts::{PI, TAU};
    (turn + PI).rem_euclid(TAU) - PI
}

/// The upright angle of view, radians.
pub(super) const fn view_angle() -> f64 {
    VIEW_ANGLE
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Where a point lands in the picture, -1 to 1 across and up.
    fn lands(eye: &Eye, free: &Free, point: &Point3<f64>) -> (f64, f64) {
        let axes = eye.axes();
        let from = point - eye.stands(free);
        let half = (VIEW_ANGLE / 2.0).tan();
        let depth = match eye.lens {
            Lens::Perspective => -from.dot(&axes.back),
            Lens::Level => eye.reach,
        };
        (
            from.dot(&axes.right) / (depth * half * free.aspect),
            from.dot(&axes.up) / (depth * half),
        )
    }

    fn eye(yaw: f64, pitch: f64, lens: Lens) -> Eye {
        Eye {
            target: Point3::origin(),
            yaw,
            pitch,
            reach: 1000.0,
            lens,
        }
    }

    #[test]
    fn the_axes_are_a_right_handed_frame_and_plumb_stays_upright() {
        let axes = eye(0.7, 0.3, Lens::Perspective).axes();
        approx::assert_relative_eq!(axes.right.cross(&axes.up), axes.back, epsilon = 1e-12);
        assert!(axes.up.z > 0.0 && axes.right.z.abs() < 1e-12);
    }

    #[test]
    fn a_plan_has_the_flight_running_to_the_right() {
        let plan = eye(-std::f64::consts::FRAC_PI_2, HIGHEST, Lens::Level).axes();
        approx::assert_relative_eq!(plan.right, Vector3::x(), epsilon = 1e-12);
        approx::assert_relative_eq!(plan.up, Vector3::y(), epsilon = 1e-12);
    }

    #[test]
    fn the_way_round_is_the_short_one() {
        let from = eye(3.0, 0.0, Lens::Perspective);
        let to = eye(-3.0, 0.0, Lens::Perspective);
        let halfway = from.towards(&to, 0.5);
        approx::assert_relative_eq!(halfway.yaw, std::f64::consts::PI, epsilon = 1e-9);
    }

    proptest! {
        #[test]
        fn framing_shows_every_point_in_the_free_part(
            yaw in -3.0..3.0_f64,
            pitch in -0.3..1.5_f64,
            level in any::<bool>(),
            left in 0.0..0.3_f64,
            right in 0.7..1.0_f64,
            points in prop::collection::vec(
                (-4000.0..4000.0_f64, -2000.0..2000.0_f64, 0.0..3000.0_f64), 2..20),
        ) {
            let free = Free { aspect: 1.6, across: [left, right], down: [0.05, 1.0] };
            let points: Vec<_> = points.into_iter().map(|(x, y, z)| Point3::new(x, y, z)).collect();
            let lens = if level { Lens::Level } else { Lens::Perspective };
            let framed = eye(yaw, pitch, lens).framing(&points, &free);
            for point in &points {
                let (across, up) = lands(&framed, &free, point);
                let (x, y) = (f64::midpoint(across, 1.0), 1.0 - f64::midpoint(up, 1.0));
                prop_assert!(free.across[0] - 1e-9 <= x && x <= free.across[1] + 1e-9, "{x}");
                prop_assert!(free.down[0] - 1e-9 <= y && y <= free.down[1] + 1e-9, "{y}");
            }
        }
    }
}
