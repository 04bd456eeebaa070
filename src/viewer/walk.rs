//! The walk: up and down the stair at eye height.
//!
//! Feet follow the ground as the core has it ([`Ground`]); the eye climbs along the nosing line. One
//! stops at walls, at rails and at the edge of floors, and goes along them where one can.

use bevy::input::mouse::AccumulatedMouseMotion;
use bevy::prelude::{
    App, ButtonInput, Camera, IntoScheduleConfigs as _, KeyCode, Local, MessageReader, MouseButton,
    Query, Res, ResMut, Resource, Time, Update,
};
use bevy_egui::egui::{Align2, CornerRadius, FontId, LayerId, Painter, vec2};
use bevy_egui::input::EguiWantsInput;
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use nalgebra::{Point3, Vector2, Vector3};

use crate::chain::Chain;
use crate::measure::Length;
use crate::solids::Ground;

use super::acts::Act;
use super::acts::chord::{Stroke, plain, typed};
use super::camera::{Eye, Lens};
use super::eye::{Mine, View};
use super::flags::FreeRect;
use super::look::{self, ink};
use super::lookout::EYE_MM;
use super::section::sends_eye;
use super::session::Action;
use super::{Solved, ViewerSystems};

/// How fast one walks in a house, mm a second, and how fast one turns by keys, radians a second.
const WALK_MM_S: f64 = 1100.0;
const TURN_PER_S: f64 = 1.3;
/// A stride is walked in bits no longer than this, mm: well under a going, so that no tread is missed.
const BIT_MM: f64 = 40.0;
/// Where one cannot go straight on, one goes along what is in the way: these turns off the way are
/// tried, radians.
const ALONG: [f64; 4] = [0.5, -0.5, 1.1, -1.1];
/// What one looks at lies this far ahead, mm.
const AHEAD_MM: f64 = 2500.0;
/// One looks no steeper up or down than this, radians.
const STEEPEST: f64 = 1.2;
/// One begins this far before the first nosing, mm, or nearer where something is in the way.
const BEFORE_MM: [f64; 4] = [620.0, 480.0, 360.0, 260.0];
/// Longest frame that is walked through whole, seconds.
const LONGEST_S: f64 = 0.25;
/// The ground is taken over this share of a going around the feet (see [`Ground::climbing`]).
const AROUND: f64 = 0.61;

/// One who walks.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Walker {
    /// Where the feet stand, mm.
    feet: Point3<f64>,
    /// The way one faces about the plumb line, radians, anticlockwise from x.
    facing: f64,
    /// How far up one looks, radians.
    up: f64,
}

/// What legs and head do in one frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Stride {
    /// Ahead and to the right, mm.
    by: (f64, f64),
    /// Turn of the head, to the left and up, radians.
    turn: (f64, f64),
}

impl Walker {
    /// One who stands before the foot of the first flight and faces it.
    fn at_the_foot(chain: &Chain, ground: &Ground) -> Option<Self> {
        let site = &chain.first().site;
        let first = site.steps.first()?;
        let q = f64::midpoint(first.wall_q, 0.0);
        let stands = |before: f64| {
            let x = first.nosing_x() - before;
            let over = site.at(x, q, site.lower_floor(x, q));
            ground.step(&over, &over.xy())
        };
        Some(Self {
            feet: BEFORE_MM.into_iter().find_map(stands)?,
            facing: 0.0,
            up: 0.0,
        })
    }

    /// After a stride.
    fn after(mut self, stride: &Stride, ground: &Ground) -> Self {
        use std::f64::consts::{PI, TAU};
        self.facing = (self.facing + stride.turn.0 + PI).rem_euclid(TAU) - PI;
        self.up = (self.up + stride.turn.1).clamp(-STEEPEST, STEEPEST);
        let (sin, cos) = self.facing.sin_cos();
        let (ahead, right) = stride.by;
        let by = Vector2::new(cos, sin) * ahead + Vector2::new(sin, -cos) * right;
        let bits = (by.norm() / BIT_MM).ceil().max(1.0);
        for _ in 0..bits as u32 {
            self.feet = gone(ground, &self.feet, &(by / bits));
        }
        self
    }

    /// Where the eye is and what it sees. `going` is that of the stair, mm.
    fn eye(&self, ground: &Ground, going: f64) -> Eye {
        let climbs = ground.climbing(&self.feet, Length::mm(AROUND * going));
        let height = climbs.map_or(self.feet.z, Length::as_mm) + EYE_MM;
        let at = Point3::new(self.feet.x, self.feet.y, height);
        let (sin, cos) = self.facing.sin_cos();
        let (sin_up, cos_up) = self.up.sin_cos();
        let ahead = Vector3::new(cos * cos_up, sin * cos_up, sin_up);
        Eye::in_place(at, -ahead, AHEAD_MM, Lens::ROOM.angle())
    }
}

/// Where the feet are after a bit of the way: straight on, or along what is in the way.
fn gone(ground: &Ground, feet: &Point3<f64>, by: &Vector2<f64>) -> Point3<f64> {
    if by.norm() < f64::EPSILON {
        return *feet;
    }
    let turned = |turn: f64| {
        // What goes aside is slower.
        nalgebra::Rotation2::new(turn) * by * turn.cos()
    };
    let mut ways = std::iter::once(0.0).chain(ALONG);
    ways.find_map(|turn| ground.step(feet, &(feet.xy() + turned(turn))))
        .unwrap_or(*feet)
}

/// The walk, while one walks.
#[derive(Resource, Default)]
pub(super) struct Walk {
    walker: Option<Walker>,
    before: Option<Eye>,
    /// The ground, and the result that it is of.
    ground: Option<(u64, Ground)>,
    /// The usual going of the stair, mm.
    going: f64,
}

impl Walk {
    /// True while one walks.
    pub(super) fn on(&self) -> bool {
        self.walker.is_some()
    }

    /// The ground of what was found, made once for each result.
    fn ground(&mut self, solved: &Solved) -> &Ground {
        if self
            .ground
            .as_ref()
            .is_none_or(|(of, _)| *of != solved.generation)
        {
            self.ground = Some((solved.generation, Ground::of(&solved.found.solids)));
            self.going = usual_going(&solved.found);
        }
        let none = || (0, Ground::default());
        &self.ground.get_or_insert_with(none).1
    }

    /// Begins at the foot of the stair.
    fn begin(&mut self, solved: &Solved, view: &mut View) {
        let ground = self.ground(solved);
        let walker = Walker::at_the_foot(&solved.found, ground);
        self.walker = walker;
        self.before = view.goal;
        if let (Some(walker), Some((_, ground))) = (walker, &self.ground) {
            let eye = walker.eye(ground, self.going);
            view.go_to(eye, &solved.found, &solved.found.solids);
        }
    }

    /// Ends, and goes back to where one looked from.
    fn end(&mut self, solved: &Solved, view: &mut View) {
        self.walker = None;
        if let Some(before) = self.before.take() {
            view.go_to(before, &solved.found, &solved.found.solids);
        }
    }
}

/// The mean going of the steps, mm.
fn usual_going(chain: &Chain) -> f64 {
    let steps = chain.stairs().flat_map(|(_, run)| {
        let treads = run.site.steps.len().saturating_sub(1);
        run.site.steps.iter().take(treads)
    });
    let goings: Vec<f64> = steps.map(|step| step.going).collect();
    goings.iter().sum::<f64>() / goings.len().max(1) as f64
}

/// What can be asked of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ask {
    /// Walks from the foot of the stair, or goes back to where one looked from.
    Turn,
}

/// Whether an action looks somewhere else, so that the walk is over.
const fn looks_away(action: &Action) -> bool {
    sends_eye(action) || matches!(action, Action::Section(_))
}

/// Carries out what is asked.
fn ask(
    mut actions: MessageReader<Action>,
    solved: Option<Res<Solved>>,
    mut walk: ResMut<Walk>,
    mut view: ResMut<View>,
) {
    for action in actions.read() {
        let Some(solved) = &solved else { continue };
        match action {
            Action::Walk(Ask::Turn) if walk.on() => walk.end(solved, &mut view),
            Action::Walk(Ask::Turn) => walk.begin(solved, &mut view),
            other if looks_away(other) && walk.on() => {
                walk.walker = None;
                walk.before = None;
            }
            _ => {}
        }
    }
    let walks = walk.on();
    if view.walks != walks {
        view.walks = walks;
    }
}

/// What keys ask for, over a time in seconds.
fn from_keys(keys: &ButtonInput<KeyCode>, seconds: f64) -> Stride {
    // In a slow frame a key may be up again already.
    let down = |key| keys.pressed(key) || keys.just_pressed(key);
    let held = |key| f64::from(u8::from(down(key)));
    let right = held(KeyCode::ArrowRight) - held(KeyCode::ArrowLeft);
    let ahead = held(KeyCode::ArrowUp) - held(KeyCode::ArrowDown);
    let far = WALK_MM_S * seconds;
    if down(KeyCode::ShiftLeft) || down(KeyCode::ShiftRight) {
        Stride {
            by: (ahead * far, right * far),
            turn: (0.0, 0.0),
        }
    } else {
        Stride {
            by: (ahead * far, 0.0),
            turn: (-right * TURN_PER_S * seconds, 0.0),
        }
    }
}

/// Hands and feet, as the walk reads them.
#[derive(bevy::ecs::system::SystemParam)]
struct Input<'w> {
    keys: Res<'w, ButtonInput<KeyCode>>,
    buttons: Res<'w, ButtonInput<MouseButton>>,
    motion: Res<'w, AccumulatedMouseMotion>,
    wants: Res<'w, EguiWantsInput>,
    time: Res<'w, Time>,
}

/// Walks on.
fn go(
    input: Input,
    solved: Option<Res<Solved>>,
    cameras: Query<&Camera, Mine>,
    mut grabbed: Local<bool>,
    mut walk: ResMut<Walk>,
    mut view: ResMut<View>,
) {
    let (Some(walker), Some(solved)) = (walk.walker, solved) else {
        return;
    };
    let on_panel = input.wants.is_pointer_over_area() || input.wants.wants_pointer_input();
    if input.buttons.get_just_pressed().next().is_some() {
        *grabbed = !on_panel;
    }
    *grabbed &= input.buttons.get_pressed().next().is_some();
    let seconds = input.time.delta_secs_f64().min(LONGEST_S);
    let mut stride = if input.wants.wants_keyboard_input() {
        Stride::default()
    } else {
        from_keys(&input.keys, seconds)
    };
    if *grabbed {
        let size = cameras
            .single()
            .ok()
            .and_then(Camera::logical_viewport_size);
        let height = size.map_or(1.0, |size| f64::from(size.y).max(1.0));
        // What is under the hand goes with it.
        let look = |by: f32| f64::from(by) / height * Lens::ROOM.angle();
        let moved = input.motion.delta;
        stride.turn.0 += look(moved.x);
        stride.turn.1 += look(moved.y);
    }
    let going = walk.going;
    let ground = walk.ground(&solved);
    let next = walker.after(&stride, ground);
    let eye = next.eye(ground, going);
    if walk.walker != Some(next) {
        walk.walker = Some(next);
    }
    if view.goal != Some(eye) {
        view.goal = Some(eye);
    }
}

/// Its keys.
pub(super) const ACTS: &[Act] = &[
    Act::new(
        typed('e'),
        "walk the stair at eye height, or go back",
        "walk through climb first person inside",
        |_| Some(Action::Walk(Ask::Turn)),
    ),
    Act::new(
        plain(Stroke::Escape),
        "end the walk",
        "back leave",
        |knows| knows.walk.on().then_some(Action::Walk(Ask::Turn)),
    ),
];

/// Says how one walks, for nobody sees keys.
fn words(
    mut contexts: EguiContexts,
    walk: Res<Walk>,
    free: Option<Res<FreeRect>>,
) -> bevy::prelude::Result {
    if !walk.on() {
        return Ok(());
    }
    let ctx = contexts.ctx_mut()?;
    let free = free.map_or(ctx.content_rect(), |free| free.0);
    let painter = Painter::new(ctx.clone(), LayerId::background(), free);
    let text =
        "arrows walk and turn; with Shift they go sideways; drag to look round; E or Esc goes back";
    let font = FontId::proportional(13.0);
    let galley = painter.layout(
        text.to_owned(),
        font,
        ink(look::PENCIL),
        free.width() - 40.0,
    );
    let at = free.center_top() + vec2(0.0, 14.0);
    let rect = Align2::CENTER_TOP
        .anchor_size(at, galley.size())
        .expand2(vec2(6.0, 3.0));
    painter.rect_filled(
        rect,
        CornerRadius::same(2),
        ink(look::CARD).gamma_multiply(0.9),
    );
    painter.galley(rect.min + vec2(6.0, 3.0), galley, ink(look::PENCIL));
    Ok(())
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Walk>()
        .add_systems(
            Update,
            (
                go.in_set(ViewerSystems::Input),
                ask.in_set(ViewerSystems::Edit),
            ),
        )
        .add_systems(EguiPrimaryContextPass, words.after(super::panels::draw));
}

#[cfg(test)]
mod tests {
    use std::f64::consts::FRAC_PI_2;

    use super::*;

    fn chain(text: &str) -> Chain {
        let document = crate::job::Document::parse(text, "test.ron").unwrap();
        crate::chain::run(document.job()).unwrap()
    }

    /// Walks on in a direction for so many mm, and tells the heights of the feet and of the eye.
    fn walked(
        ground: &Ground,
        walker: &mut Walker,
        going: f64,
        (facing, mm): (f64, f64),
    ) -> Vec<(f64, f64)> {
        walker.facing = facing;
        let stride = Stride {
            by: (20.0, 0.0),
            turn: (0.0, 0.0),
        };
        let mut seen = Vec::new();
        for _ in 0..(mm / 20.0) as usize {
            *walker = walker.after(&stride, ground);
            let eye = walker.eye(ground, going);
            let stands = eye.stands(&super::super::camera::Free::whole(1.0));
            seen.push((walker.feet.z, stands.z));
        }
        seen
    }

    #[test]
    fn a_half_turn_is_walked_up_and_down_again_without_a_jump() {
        // Eight rises of 7 1/2 in to the landing, seven more to the upper floor: plumb and level.
        let chain = chain(include_str!("../../scenes/half-turn.ron"));
        let ground = Ground::of(&chain.solids);
        let going = usual_going(&chain);
        approx::assert_relative_eq!(going, 10.25 * 25.4, epsilon = 1e-6);
        let mut walker = Walker::at_the_foot(&chain, &ground).unwrap();
        let start = walker.feet;
        let rise = 7.5 * 25.4;
        let mut heights = Vec::new();
        // Up, round to the left over the landing, and up the other way; then all the way back.
        heights.extend(walked(&ground, &mut walker, going, (0.0, 3200.0)));
        approx::assert_relative_eq!(walker.feet.z, 8.0 * rise, epsilon = 1e-6);
        heights.extend(walked(&ground, &mut walker, going, (FRAC_PI_2, 1150.0)));
        let up = walked(&ground, &mut walker, going, (std::f64::consts::PI, 3600.0));
        heights.extend(up);
        approx::assert_relative_eq!(walker.feet.z, 15.0 * rise, epsilon = 1e-6);
        heights.extend(walked(&ground, &mut walker, going, (0.0, 3600.0)));
        heights.extend(walked(&ground, &mut walker, going, (-FRAC_PI_2, 1150.0)));
        heights.extend(walked(
            &ground,
            &mut walker,
            going,
            (std::f64::consts::PI, 3800.0),
        ));
        approx::assert_relative_eq!(walker.feet.z, start.z, epsilon = 1e-6);
        for pair in heights.windows(2) {
            // 20 mm on climb 15 mm along a pitch of 7 1/2 in 10 1/4; a kick is 190 mm.
            let eye = (pair[1].1 - pair[0].1).abs();
            assert!(eye < 30.0, "{eye}");
        }
        for (feet, eye) in &heights {
            assert!((eye - feet - EYE_MM).abs() <= rise * 0.75, "{feet} {eye}");
        }
    }

    #[test]
    fn one_stops_at_the_wall_at_the_rail_and_at_the_end_of_the_floor() {
        let chain = chain(include_str!("../../scenes/half-turn.ron"));
        let ground = Ground::of(&chain.solids);
        let going = usual_going(&chain);
        let mut walker = Walker::at_the_foot(&chain, &ground).unwrap();
        walked(&ground, &mut walker, going, (0.0, 1800.0));
        let tread = walker.feet.z;
        assert!(tread > 500.0);
        // Into the wall on the right, 35 3/4 in from the baluster line, and the balusters on the left.
        walked(&ground, &mut walker, going, (-FRAC_PI_2, 1500.0));
        assert!(walker.feet.y > -35.75 * 25.4 + 150.0, "{}", walker.feet.y);
        walked(&ground, &mut walker, going, (FRAC_PI_2, 2500.0));
        assert!(walker.feet.y < -150.0, "{}", walker.feet.y);
        assert!((walker.feet.z - tread).abs() < 400.0);
        // Backwards off the end of the lower floor.
        let mut walker = Walker::at_the_foot(&chain, &ground).unwrap();
        walked(&ground, &mut walker, going, (std::f64::consts::PI, 3000.0));
        assert!(walker.feet.z.abs() < 1e-6 && walker.feet.x > -900.0);
    }

    #[test]
    fn two_storeys_are_climbed_to_the_top() {
        let chain = chain(include_str!("../../scenes/two-storeys.ron"));
        let ground = Ground::of(&chain.solids);
        let going = usual_going(&chain);
        let mut walker = Walker::at_the_foot(&chain, &ground).unwrap();
        walked(&ground, &mut walker, going, (0.0, 6000.0));
        walked(&ground, &mut walker, going, (FRAC_PI_2, 1200.0));
        walked(&ground, &mut walker, going, (std::f64::consts::PI, 6000.0));
        let top = chain.stairs().map(|(_, run)| {
            let steps = run.site.steps.last();
            run.frame.origin.z + steps.map_or(0.0, |step| step.height)
        });
        let top = top.fold(0.0, f64::max);
        approx::assert_relative_eq!(walker.feet.z, top, epsilon = 1.0);
    }

    #[test]
    fn by_keys_one_walks_up_the_demo_and_goes_back_to_where_one_looked_from() {
        use crate::viewer::drive::{DEMO, Driven};
        let mut window = Driven::open(DEMO);
        let before = window.get::<View>().goal.unwrap();
        window.key("e");
        window.settle();
        for _ in 0..30 {
            window.key("Up");
        }
        window.settle();
        let feet = window.get::<Walk>().walker.unwrap().feet;
        let site = &window.solved().found.first().site;
        let step = site.step(site.tread_under(feet.x)).unwrap();
        assert!(step.number > 2, "{feet}");
        // On the plane of that tread as found.
        let top = step.top(feet.x, site.outward * feet.y);
        approx::assert_relative_eq!(feet.z, top, epsilon = 1e-6);
        let eye = window.get::<View>().eye.unwrap();
        let stands = eye.stands(&crate::viewer::camera::Free::whole(1.6));
        assert!((stands.z - top - EYE_MM).abs() < step.rise);
        window.key("Esc");
        window.settle();
        assert!(!window.get::<Walk>().on());
        assert!(window.get::<View>().eye.unwrap().at(&before));
    }

    #[test]
    fn shift_goes_sideways_and_arrows_alone_turn() {
        let mut keys = ButtonInput::default();
        keys.press(KeyCode::ArrowRight);
        let turn = from_keys(&keys, 0.1);
        assert!(turn.turn.0 < 0.0 && turn.by == (0.0, 0.0));
        keys.press(KeyCode::ShiftLeft);
        let aside = from_keys(&keys, 0.1);
        approx::assert_relative_eq!(aside.by.1, 110.0, epsilon = 1e-9);
        assert_eq!(aside.turn, (0.0, 0.0));
    }
}
