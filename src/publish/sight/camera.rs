//! The eye: where one looks from, how it turns, and how a part is framed.
//!
//! The state and its changes are pure and in the flight's frame (mm, f64, z up); one system at the
//! end copies it into Bevy.

use nalgebra::{Point3, Vector3};

/// Upright angle of view of the perspective eye, radians: a long lens, so that plumb lines stay
/// near plumb in the picture.
const VIEW_ANGLE: f64 = 0.5;
/// The same of one who stands in the room: what an eye takes in without turning the head, near
/// enough. Common practice, no source.
const ROOM_ANGLE: f64 = 0.95;
/// A lens narrower than this cannot be told from a level one, radians.
const LEVEL_ANGLE: f64 = 0.01;
/// Passes by which an eye in a place is turned to what it looks at: each leaves less than a tenth of
/// what was off.
const TURNS: usize = 8;
/// An eye in a place takes no wider angle than this, radians; nor a narrower one than this.
const WIDEST: f64 = 1.15;
const NARROWEST: f64 = 0.12;
/// The eye never stands nearer to what it looks at, mm.
const NEAREST: f64 = 120.0;
/// Nor farther, mm.
const FARTHEST: f64 = 60_000.0;
/// It never looks straighter up than this from below, radians.
const LOWEST: f64 = -0.35;
/// Nor straighter down.
const HIGHEST: f64 = std::f64::consts::FRAC_PI_2;
/// An elevation's eye stands this far back, mm.
const LEVEL_MM: f64 = 20_000.0;
/// Room left around what is framed, as a share of it.
const MARGIN: f64 = 1.08;

/// How depth is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lens {
    /// Nearer is larger, by a long lens.
    Perspective,
    /// True to scale at any depth: elevation and plan.
    Level,
    /// Nearer is larger, by this upright angle of view, radians: in a room, and on the way from one
    /// lens to another.
    Angle(f64),
}

impl Lens {
    /// The lens of one who stands in the room.
    pub const ROOM: Self = Self::Angle(ROOM_ANGLE);

    /// A share of the way to another: the angle opens or closes evenly, so the eye draws back as it
    /// narrows and depth fades out of the picture or comes into it without a jump.
    fn towards(self, goal: Self, share: f64) -> Self {
        if self == goal {
            return goal;
        }
        let (from, to) = (self.angle(), goal.angle());
        Self::Angle((from + (to - from) * share).max(LEVEL_ANGLE / 2.0))
    }

    /// The upright angle of view, radians; a level lens has none.
    pub const fn angle(self) -> f64 {
        match self {
            Self::Perspective => VIEW_ANGLE,
            Self::Level => 0.0,
            Self::Angle(angle) => angle,
        }
    }
}

/// Where one looks from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eye {
    /// What it looks at, mm.
    pub target: Point3<f64>,
    /// Direction from target to eye about the plumb line, radians, anticlockwise from x.
    pub yaw: f64,
    /// The same above level.
    pub pitch: f64,
    /// How far from its target the eye would stand with the long lens, mm. With another it stands
    /// nearer or farther, so that the target keeps its size in the picture.
    pub reach: f64,
    /// How depth is drawn.
    pub lens: Lens,
    /// How far the eye keeps its place whatever panels stand beside the picture: 0 it slides so that
    /// its target is in the middle of the free part, 1 it stands where it stands.
    pub keeps: f64,
}

/// The part of the picture that is free of panels, as shares of its width and height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Free {
    /// Width over height of the whole picture.
    pub aspect: f64,
    /// Left and right edge, 0 to 1.
    pub across: [f64; 2],
    /// Upper and lower edge, 0 to 1 from the top.
    pub down: [f64; 2],
}

impl Free {
    /// A picture without panels.
    pub fn whole(aspect: f64) -> Self {
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
pub struct Axes {
    /// To the right in the picture.
    pub right: Vector3<f64>,
    /// Up in the picture.
    pub up: Vector3<f64>,
    /// From the target towards the eye.
    pub back: Vector3<f64>,
}

impl Eye {
    /// The axes of its picture.
    pub fn axes(&self) -> Axes {
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
    pub fn half_height(&self) -> f64 {
        self.reach * (VIEW_ANGLE / 2.0).tan()
    }

    /// How far from its target it stands, mm. A level eye stands nowhere; the distance at which
    /// nothing of a house lies behind it stands for that.
    pub fn stand_off(&self) -> f64 {
        match self.lens {
            Lens::Perspective => self.reach,
            Lens::Level => LEVEL_MM.max(self.reach),
            Lens::Angle(angle) => self.half_height() / (angle.max(LEVEL_ANGLE / 2.0) / 2.0).tan(),
        }
    }

    /// Where the eye stands so that its target appears in the middle of the free part, unless it
    /// keeps its place.
    pub fn stands(&self, free: &Free) -> Point3<f64> {
        let axes = self.axes();
        let (across, up) = free.middle();
        let half = self.half_height() * (1.0 - self.keeps);
        self.target + axes.back * self.stand_off()
            - axes.right * (across * half * free.aspect)
            - axes.up * (up * half)
    }

    /// The same direction, moved to show all of some points in the free part.
    pub fn framing(mut self, points: &[Point3<f64>], free: &Free) -> Self {
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
        let long = (VIEW_ANGLE / 2.0).tan();
        // Half the picture's height over the distance of the eye; with a level lens over the reach.
        let steep = match self.lens {
            Lens::Perspective | Lens::Level => long,
            Lens::Angle(angle) => (angle / 2.0).tan(),
        };
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
                Lens::Perspective | Lens::Angle(_) => from.dot(&axes.back),
                Lens::Level => 0.0,
            };
            let bounds = edges.iter().flat_map(|(axis, stretch, share, middle)| {
                let aside = from.dot(axis) / (steep * stretch);
                let (low, high) = (middle - share, middle + share);
                [(aside + high * near) / share, (-aside - low * near) / share]
            });
            bounds.fold(near + NEAREST, f64::max)
        };
        let reach = points.iter().map(needed).fold(0.0, f64::max) * MARGIN * steep / long;
        self.reach = reach.clamp(NEAREST, FARTHEST);
        self
    }

    /// The eye in a place, turned to show all of some points in the free part, as wide as it must.
    /// `None` where no point lies before it.
    pub fn standing(at: Point3<f64>, points: &[Point3<f64>], free: &Free) -> Option<Self> {
        let middle: Vector3<f64> =
            points.iter().map(|to| to - at).sum::<Vector3<f64>>() / points.len().max(1) as f64;
        let far = middle.norm();
        if far < NEAREST {
            return None;
        }
        let mut eye = Self::in_place(at, -middle, far, ROOM_ANGLE);
        let shares = [
            (free.across[1] - free.across[0]) * free.aspect,
            free.down[1] - free.down[0],
        ];
        let wanted = free.middle();
        let mut steep: f64 = 0.0;
        for _ in 0..TURNS {
            let axes = eye.axes();
            let seen = |axis: &Vector3<f64>| {
                let ahead = points.iter().map(|to| to - at);
                let ahead = ahead.filter(|to| -to.dot(&axes.back) > NEAREST / 2.0);
                let slopes = ahead.map(|to| to.dot(axis) / -to.dot(&axes.back));
                slopes.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                    (low.min(at), high.max(at))
                })
            };
            let spans = [seen(&axes.right), seen(&axes.up)];
            if spans.iter().any(|(low, high)| low > high) {
                return None;
            }
            let widths = spans.map(|(low, high)| high - low);
            let needed = (widths[0] / shares[0]).max(widths[1] / shares[1]) / 2.0;
            steep = (needed * MARGIN).clamp((NARROWEST / 2.0).tan(), (WIDEST / 2.0).tan());
            let off = spans.map(|(low, high)| f64::midpoint(low, high));
            eye.yaw -= (off[0] - wanted.0 * steep * free.aspect).atan();
            eye.pitch -= (off[1] - wanted.1 * steep).atan();
        }
        let axes = eye.axes();
        Some(Self::in_place(at, axes.back, far, 2.0 * steep.atan()))
    }

    /// The eye in a place, looking against `back`, with its target so far before it and so wide an
    /// upright angle of view, radians.
    pub fn in_place(at: Point3<f64>, back: Vector3<f64>, far: f64, angle: f64) -> Self {
        let back = back.normalize();
        Self {
            target: at - back * far,
            yaw: back.y.atan2(back.x),
            pitch: back.z.clamp(-1.0, 1.0).asin(),
            reach: far * (angle / 2.0).tan() / (VIEW_ANGLE / 2.0).tan(),
            lens: Lens::Angle(angle),
            keeps: 1.0,
        }
    }

    /// True where it takes as wide an angle as an eye in a place may, and so may not show all.
    pub fn is_widest(&self) -> bool {
        self.lens.angle() > WIDEST - LEVEL_ANGLE
    }

    /// After a turn by so much, radians.
    pub fn turned(mut self, yaw: f64, pitch: f64) -> Self {
        self.yaw += yaw;
        // One that looks steeper up already is not thrown back.
        let lowest = LOWEST.min(self.pitch);
        self.pitch = (self.pitch + pitch).clamp(lowest, HIGHEST);
        self
    }

    /// The same with another lens, its target as large in the picture as it is.
    pub fn through(mut self, lens: Lens) -> Self {
        self.lens = lens;
        self
    }

    /// The same brought up until it stands no lower than a floor, mm, by looking more from above.
    pub fn above(mut self, floor: f64) -> Self {
        let lowest = ((floor - self.target.z) / self.stand_off()).clamp(-1.0, 1.0);
        if self.lens != Lens::Level {
            self.pitch = self.pitch.max(lowest.asin());
        }
        self
    }

    /// After a slide by so many picture heights, to the right and up.
    pub fn slid(mut self, right: f64, up: f64) -> Self {
        let axes = self.axes();
        let height = 2.0 * self.half_height();
        self.target += axes.right * (right * height) + axes.up * (up * height);
        self
    }

    /// Nearer (under 1) or farther (over 1).
    pub fn zoomed(mut self, factor: f64) -> Self {
        self.reach = (self.reach * factor).clamp(NEAREST, FARTHEST);
        self
    }

    /// A share of the way to another eye.
    pub fn towards(&self, goal: &Self, share: f64) -> Self {
        let between = |from: f64, to: f64| from + (to - from) * share;
        Self {
            target: self.target + (goal.target - self.target) * share,
            yaw: self.yaw + short_way(goal.yaw - self.yaw) * share,
            pitch: between(self.pitch, goal.pitch),
            // Reach feels even by its ratio.
            reach: between(self.reach.ln(), goal.reach.ln()).exp(),
            lens: self.lens.towards(goal.lens, share),
            keeps: between(self.keeps, goal.keeps),
        }
    }

    /// True where the eye and its goal cannot be told apart in a picture.
    pub fn at(&self, goal: &Self) -> bool {
        let lens = (goal.lens.angle() - self.lens.angle()).abs();
        lens < LEVEL_ANGLE && self.off(goal) < 1e-3
    }

    /// How far it is off another: moved over its reach, turned in radians, zoomed by the logarithm,
    /// together.
    pub fn off(&self, goal: &Self) -> f64 {
        let moved = (goal.target - self.target).norm() / self.reach;
        let turned = short_way(goal.yaw - self.yaw).abs() + (goal.pitch - self.pitch).abs();
        let zoomed = (goal.reach / self.reach).ln().abs() + (goal.keeps - self.keeps).abs();
        moved + turned + zoomed
    }
}

/// A turn brought to between minus and plus half a turn.
fn short_way(turn: f64) -> f64 {
    use std::f64::consts::{PI, TAU};
    (turn + PI).rem_euclid(TAU) - PI
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Where a point lands in the picture, -1 to 1 across and up.
    fn lands(eye: &Eye, free: &Free, point: &Point3<f64>) -> (f64, f64) {
        let axes = eye.axes();
        let from = point - eye.stands(free);
        let (half, depth) = match eye.lens {
            Lens::Level => ((VIEW_ANGLE / 2.0).tan(), eye.reach),
            lens => ((lens.angle() / 2.0).tan(), -from.dot(&axes.back)),
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
            keeps: 0.0,
        }
    }

    #[test]
    fn the_way_from_a_long_lens_to_a_level_one_keeps_the_target_and_draws_back_without_a_jump() {
        let free = Free::whole(1.6);
        let from = eye(0.7, 0.3, Lens::Perspective);
        let (mut now, goal) = (from, from.through(Lens::Level));
        // A place 400 mm nearer to the eye: how much larger it is drawn than at the target's depth.
        let larger = |eye: &Eye| match eye.lens {
            Lens::Level => 1.0,
            _ => eye.stand_off() / (eye.stand_off() - 400.0),
        };
        let mut last = larger(&now);
        approx::assert_relative_eq!(last, 1000.0 / 600.0, epsilon = 1e-12);
        let mut frames = 0;
        while !now.at(&goal) {
            now = now.towards(&goal, 0.15);
            frames += 1;
            assert!(frames < 100);
            let (across, up) = lands(&now, &free, &now.target);
            assert!(
                across.abs() + up.abs() < 1e-9,
                "the target stays where it is"
            );
            approx::assert_relative_eq!(now.half_height(), from.half_height(), epsilon = 1e-9);
            let here = larger(&now);
            assert!(here <= last && last - here < 0.17, "{last} {here}");
            last = here;
        }
        // What is left at the end: half the height, 255 mm, over half of 0.01 is 51 m; 0.4 m of that.
        assert!(last - 1.0 < 0.008, "{last}");
        // And back again.
        let mut back = goal;
        while !back.at(&from) {
            back = back.towards(&from, 0.15);
        }
        approx::assert_relative_eq!(back.stand_off(), from.reach, max_relative = 0.03);
    }

    #[test]
    fn the_way_never_dips_through_the_floor() {
        let low = eye(0.2, -0.3, Lens::Perspective);
        let stands = low.above(50.0).stands(&Free::whole(1.0));
        approx::assert_relative_eq!(stands.z, 50.0, epsilon = 1e-9);
        let high = eye(0.2, 0.4, Lens::Perspective);
        assert_eq!(high.above(50.0), high);
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
        fn an_eye_in_a_place_shows_every_point_in_the_free_part_and_stays_there(
            left in 0.0..0.3_f64,
            right in 0.7..1.0_f64,
            points in prop::collection::vec(
                (2500.0..6000.0_f64, -900.0..900.0_f64, -1200.0..1200.0_f64), 2..20),
        ) {
            let free = Free { aspect: 1.6, across: [left, right], down: [0.05, 1.0] };
            let points: Vec<_> = points.into_iter().map(|(x, y, z)| Point3::new(x, y, z)).collect();
            let place = Point3::new(-100.0, 20.0, 30.0);
            let eye = Eye::standing(place, &points, &free).unwrap();
            prop_assert!((eye.stands(&free) - place).norm() < 1e-6);
            for point in &points {
                let (across, up) = lands(&eye, &free, point);
                let (x, y) = (f64::midpoint(across, 1.0), 1.0 - f64::midpoint(up, 1.0));
                prop_assert!(free.across[0] - 1e-3 <= x && x <= free.across[1] + 1e-3, "{x}");
                prop_assert!(free.down[0] - 1e-3 <= y && y <= free.down[1] + 1e-3, "{y}");
            }
        }

        #[test]
        fn framing_shows_every_point_in_the_free_part(
            yaw in -3.0..3.0_f64,
            pitch in -0.3..1.5_f64,
            lens in 0..3_usize,
            left in 0.0..0.3_f64,
            right in 0.7..1.0_f64,
            points in prop::collection::vec(
                (-4000.0..4000.0_f64, -2000.0..2000.0_f64, 0.0..3000.0_f64), 2..20),
        ) {
            let free = Free { aspect: 1.6, across: [left, right], down: [0.05, 1.0] };
            let points: Vec<_> = points.into_iter().map(|(x, y, z)| Point3::new(x, y, z)).collect();
            let lens = [Lens::Level, Lens::Perspective, Lens::ROOM][lens];
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
