//! The eye in Bevy: input turns it, looks move it to a goal, and its state is copied to the camera.

use bevy::camera::ScalingMode;
use bevy::input::mouse::{AccumulatedMouseMotion, AccumulatedMouseScroll, MouseScrollUnit};
use bevy::math::{Mat3, Quat};
use bevy::prelude::{
    App, ButtonInput, Camera, Camera3d, IntoScheduleConfigs as _, KeyCode, Local, MessageWriter,
    MouseButton, OrthographicProjection, PerspectiveProjection, Projection, Query, Res, ResMut,
    Resource, Time, Transform, Update, Vec2, With,
};
use bevy::window::RequestRedraw;
use bevy_egui::input::EguiWantsInput;
use nalgebra::Point3;

use super::camera::{self, Eye, Free, Lens};
use super::scene::Shown;
use super::viewpoint;
use super::{Cause, Pick, Solved, ViewerSystems, Viewpoint, convert};

/// How long the eye takes to go half the way to its goal, seconds.
const HALF_WAY_S: f64 = 0.07;
/// A drag across the whole height of the picture turns by this, radians.
const TURN_PER_HEIGHT: f64 = 3.0;
/// One notch of the wheel.
const ZOOM_PER_LINE: f64 = 0.88;
/// Keys turn so much in a second, radians.
const TURN_PER_S: f64 = 1.4;
/// Keys slide so many picture heights in a second.
const SLIDE_PER_S: f64 = 0.5;
/// An elevation's camera stands this far back, mm.
const LEVEL_MM: f64 = 20_000.0;
/// Planes between which things are drawn, metres.
const NEAR_M: f32 = 0.02;
const FAR_M: f32 = 120.0;

/// Where to look next.
#[derive(Clone, Debug)]
pub(super) enum Look {
    /// From a viewpoint.
    From(Viewpoint),
    /// At a part or a trouble.
    At(Pick),
    /// At a trouble and the cause that is pointed at, both in one picture.
    Both(Option<Pick>, Cause),
}

/// The eye and where it is going.
#[derive(Resource, Clone, Debug, Default)]
pub(super) struct View {
    /// Where it is; none before the first result.
    pub(super) eye: Option<Eye>,
    /// Where it goes.
    pub(super) goal: Option<Eye>,
    /// What was asked for and waits for the next frame.
    pub(super) look: Option<Look>,
    /// The part of the picture without panels.
    pub(super) free: Option<Free>,
}

impl View {
    /// True while the eye is on its way.
    pub(super) fn moving(&self) -> bool {
        match (self.eye, self.goal) {
            (Some(eye), Some(goal)) => !eye.at(&goal),
            (None, Some(_)) => true,
            _ => self.look.is_some(),
        }
    }

    fn free(&self, aspect: f64) -> Free {
        self.free.unwrap_or(Free::whole(aspect))
    }
}

/// What the hands do in one frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Hands {
    /// Turn, radians.
    turn: (f64, f64),
    /// Slide, in picture heights.
    slide: (f64, f64),
    /// Nearer or farther.
    zoom: f64,
}

/// The goal after what the hands did.
fn moved(goal: Eye, hands: &Hands) -> Eye {
    let mut goal = goal;
    if hands.turn != (0.0, 0.0) {
        goal = goal.turned(hands.turn.0, hands.turn.1);
    }
    goal.slid(hands.slide.0, hands.slide.1).zoomed(hands.zoom)
}

/// What keys ask for, over a time in seconds.
fn from_keys(keys: &ButtonInput<KeyCode>, seconds: f64) -> Hands {
    let held = |key| f64::from(u8::from(keys.pressed(key)));
    let right = held(KeyCode::ArrowRight) - held(KeyCode::ArrowLeft);
    let up = held(KeyCode::ArrowUp) - held(KeyCode::ArrowDown);
    let nearer = held(KeyCode::Equal) + held(KeyCode::NumpadAdd);
    let farther = held(KeyCode::Minus) + held(KeyCode::NumpadSubtract);
    let shift = keys.any_pressed([KeyCode::ShiftLeft, KeyCode::ShiftRight]);
    let (turn, slide) = if shift {
        (
            (0.0, 0.0),
            (right * SLIDE_PER_S * seconds, up * SLIDE_PER_S * seconds),
        )
    } else {
        (
            (right * TURN_PER_S * seconds, up * TURN_PER_S * seconds),
            (0.0, 0.0),
        )
    };
    Hands {
        turn,
        slide,
        zoom: ((farther - nearer) * seconds * 1.5).exp(),
    }
}

/// What the mouse asks for, in a picture so many pixels high.
fn from_mouse(
    buttons: &ButtonInput<MouseButton>,
    shift: bool,
    moved: Vec2,
    lines: f64,
    height: f64,
) -> Hands {
    let (x, y) = (f64::from(moved.x) / height, f64::from(moved.y) / height);
    let left = buttons.pressed(MouseButton::Left);
    let sliding = buttons.any_pressed([MouseButton::Right, MouseButton::Middle]) || (left && shift);
    let mut hands = Hands {
        zoom: ZOOM_PER_LINE.powf(lines),
        ..Hands::default()
    };
    if sliding {
        hands.slide = (-x, y);
    } else if left {
        hands.turn = (-x * TURN_PER_HEIGHT, y * TURN_PER_HEIGHT);
    }
    hands
}

/// Lines that the wheel turned.
fn lines(scroll: &AccumulatedMouseScroll) -> f64 {
    let by = f64::from(scroll.delta.y);
    match scroll.unit {
        MouseScrollUnit::Line => by,
        MouseScrollUnit::Pixel => by / 40.0,
    }
}

/// Input that the eye reads.
#[derive(bevy::ecs::system::SystemParam)]
struct Input<'w> {
    keys: Res<'w, ButtonInput<KeyCode>>,
    buttons: Res<'w, ButtonInput<MouseButton>>,
    motion: Res<'w, AccumulatedMouseMotion>,
    scroll: Res<'w, AccumulatedMouseScroll>,
    wants: Res<'w, EguiWantsInput>,
    time: Res<'w, Time>,
}

/// Hands on the eye, unless they are on a panel.
fn hold(
    input: Input,
    cameras: Query<&Camera, With<Camera3d>>,
    mut grabbed: Local<bool>,
    mut view: ResMut<View>,
) {
    let (Some(goal), Ok(camera)) = (view.goal, cameras.single()) else {
        return;
    };
    let on_panel = input.wants.is_pointer_over_area() || input.wants.wants_pointer_input();
    let down = input.buttons.get_pressed().next().is_some();
    if input.buttons.get_just_pressed().next().is_some() {
        *grabbed = !on_panel;
    }
    *grabbed &= down;
    let height = camera
        .logical_viewport_size()
        .map_or(1.0, |size| f64::from(size.y).max(1.0));
    let mut goal = goal;
    if *grabbed || !on_panel {
        let shift = input
            .keys
            .any_pressed([KeyCode::ShiftLeft, KeyCode::ShiftRight]);
        let motion = if *grabbed {
            input.motion.delta
        } else {
            Vec2::ZERO
        };
        let hands = from_mouse(&input.buttons, shift, motion, lines(&input.scroll), height);
        goal = moved(goal, &hands);
    }
    let control = input
        .keys
        .any_pressed([KeyCode::ControlLeft, KeyCode::ControlRight]);
    if !input.wants.wants_keyboard_input() && !control {
        goal = moved(
            goal,
            &from_keys(&input.keys, input.time.delta_secs_f64().min(0.1)),
        );
    }
    if view.goal != Some(goal) {
        view.goal = Some(goal);
    }
}

/// Turns a look into a goal.
fn look(
    solved: Option<Res<Solved>>,
    shown: Option<Res<Shown>>,
    cameras: Query<&Camera, With<Camera3d>>,
    mut view: ResMut<View>,
) {
    let (Some(solved), Some(shown), Ok(camera)) = (solved, shown, cameras.single()) else {
        return;
    };
    let wanted = match view.look.take() {
        Some(wanted) => wanted,
        None if view.goal.is_none() => Look::From(Viewpoint::Front),
        None => return,
    };
    let size = camera.logical_viewport_size().unwrap_or(Vec2::ONE);
    let free = view.free(f64::from(size.x / size.y.max(1.0)));
    let near = |points: Vec<Point3<f64>>| {
        let outward = solved.found.first().site.outward;
        Some(viewpoint::near(&points, outward, &free))
    };
    let goal = match &wanted {
        Look::From(viewpoint) => viewpoint::eye(viewpoint, &solved.found, &shown.solids, &free),
        Look::At(pick) => near(shown.points_of(pick, &solved.found)),
        Look::Both(pick, cause) => {
            let picked = pick.iter();
            let mut points: Vec<_> = picked
                .flat_map(|pick| shown.points_of(pick, &solved.found))
                .collect();
            points.extend(shown.points_of_cause(cause));
            near(points)
        }
    };
    view.goal = goal.or(view.goal);
}

/// Moves the eye to its goal and the camera to the eye.
fn follow(
    time: Res<Time>,
    mut view: ResMut<View>,
    mut cameras: Query<(&Camera, &mut Transform, &mut Projection), With<Camera3d>>,
    mut redraw: MessageWriter<RequestRedraw>,
) {
    let (Some(goal), Ok((camera, mut transform, mut projection))) =
        (view.goal, cameras.single_mut())
    else {
        return;
    };
    let eye = match view.eye {
        Some(eye) if !eye.at(&goal) => {
            redraw.write(RequestRedraw);
            let share = 1.0 - 0.5_f64.powf(time.delta_secs_f64() / HALF_WAY_S);
            eye.towards(&goal, share)
        }
        _ => goal,
    };
    if view.eye != Some(eye) {
        view.eye = Some(eye);
    }
    let size = camera.logical_viewport_size().unwrap_or(Vec2::ONE);
    let free = view.free(f64::from(size.x / size.y.max(1.0)));
    transform.set_if_changed(placed(&eye, &free));
    *projection = lens(&eye);
}

/// Writes only what differs, so that a still eye changes nothing.
trait SetIfChanged {
    fn set_if_changed(&mut self, to: Transform);
}

impl SetIfChanged for bevy::prelude::Mut<'_, Transform> {
    fn set_if_changed(&mut self, to: Transform) {
        if **self != to {
            **self = to;
        }
    }
}

/// How far from its target the camera stands, mm. An elevation stands well back, for near and far
/// look alike to it and nothing may lie behind the eye.
pub(super) fn stand_off(eye: &Eye) -> f64 {
    match eye.lens {
        Lens::Perspective => eye.reach,
        Lens::Level => LEVEL_MM.max(eye.reach),
    }
}

/// Where Bevy's camera stands.
fn placed(eye: &Eye, free: &Free) -> Transform {
    let axes = eye.axes();
    let stands = eye.stands(free) + axes.back * (stand_off(eye) - eye.reach);
    let turn = Mat3::from_cols(
        convert::direction(&axes.right),
        convert::direction(&axes.up),
        convert::direction(&axes.back),
    );
    Transform::from_translation(convert::point(&stands)).with_rotation(Quat::from_mat3(&turn))
}

/// How Bevy's camera draws depth.
fn lens(eye: &Eye) -> Projection {
    match eye.lens {
        Lens::Perspective => Projection::Perspective(PerspectiveProjection {
            fov: convert::single(camera::view_angle()),
            near: NEAR_M,
            far: FAR_M,
            ..PerspectiveProjection::default()
        }),
        Lens::Level => Projection::Orthographic(OrthographicProjection {
            scaling_mode: ScalingMode::FixedVertical {
                viewport_height: convert::length(2.0 * eye.half_height()),
            },
            near: NEAR_M,
            far: FAR_M,
            ..OrthographicProjection::default_3d()
        }),
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<View>().add_systems(
        Update,
        (look, follow)
            .chain()
            .in_set(ViewerSystems::Sync)
            .after(super::scene::ready),
    );
}

/// The hands, which a picture does not have.
pub(super) fn hands_plugin(app: &mut App) {
    let turns = hold.run_if(super::drag::free);
    app.add_systems(Update, turns.in_set(ViewerSystems::Input));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dragging_to_the_right_turns_the_stair_with_the_hand() {
        let mut buttons = ButtonInput::default();
        buttons.press(MouseButton::Left);
        let hands = from_mouse(&buttons, false, Vec2::new(80.0, 0.0), 0.0, 800.0);
        // The eye goes left round the stair, so the stair turns to the right.
        assert!(hands.turn.0 < 0.0 && hands.turn.1 == 0.0);
        assert_eq!(hands.slide, (0.0, 0.0));
    }

    #[test]
    fn shift_makes_a_slide_of_a_turn() {
        let mut buttons = ButtonInput::default();
        buttons.press(MouseButton::Left);
        let hands = from_mouse(&buttons, true, Vec2::new(80.0, 40.0), 0.0, 800.0);
        assert_eq!(hands.turn, (0.0, 0.0));
        assert_eq!(hands.slide, (-0.1, 0.05));
    }

    #[test]
    fn the_wheel_goes_nearer_and_back_again() {
        let buttons = ButtonInput::default();
        let near = from_mouse(&buttons, false, Vec2::ZERO, 3.0, 800.0).zoom;
        let far = from_mouse(&buttons, false, Vec2::ZERO, -3.0, 800.0).zoom;
        assert!(near < 1.0);
        approx::assert_relative_eq!(near * far, 1.0, epsilon = 1e-12);
    }
}
