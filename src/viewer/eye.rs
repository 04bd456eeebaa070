//! The eye in Bevy: input turns it, looks move it to a goal, and its state is copied to the camera.

use bevy::camera::ScalingMode;
use bevy::input::mouse::{AccumulatedMouseMotion, AccumulatedMouseScroll, MouseScrollUnit};
use bevy::math::{Mat3, Quat, Vec4};
use bevy::prelude::{
    App, ButtonInput, Camera, Camera3d, IntoScheduleConfigs as _, KeyCode, Local, MessageReader,
    MessageWriter, MouseButton, OrthographicProjection, PerspectiveProjection, Projection, Query,
    Res, ResMut, Resource, Time, Transform, Update, Vec2, With, Without,
};
use bevy::window::RequestRedraw;
use bevy_egui::input::EguiWantsInput;
use nalgebra::Point3;

use super::acts::Act;
use super::acts::chord::typed;
use super::camera::{Eye, Free, Lens};
use super::divide::OtherEye;
use super::lookout;
use super::scene::Shown;
use super::session::Action;
use super::{Cause, Pick, Solved, ViewerSystems, Viewpoint, convert, travel};
use crate::chain::Chain;
use crate::solids::Solids;

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
/// What lies nearer to the eye than this is not drawn, mm.
const NEAR_MM: f64 = 20.0;
/// Nor what lies farther beyond the target than this.
const FAR_MM: f64 = 100_000.0;
/// An eye far back needs nothing drawn that stands farther before its target than this, mm: so the
/// depths of what it looks at stay apart.
const BEFORE_MM: f64 = 25_000.0;
/// A section is cut from this far before it, mm: beyond any stair.
const OPEN_MM: f64 = 12_000.0;
/// A cut that has come this near to its place is there, mm.
const THERE_MM: f64 = 0.5;
/// The eye on its way stays this far above the floor, mm.
const ABOVE_FLOOR_MM: f64 = 60.0;

/// Where to look next.
#[derive(Clone, Debug)]
pub(super) enum Look {
    /// From a viewpoint.
    From(Viewpoint),
    /// At a part or a trouble.
    At(Pick),
    /// At some places, mm, from a direction about the plumb line, radians, where one is given.
    Near {
        /// The places.
        points: Vec<Point3<f64>>,
        /// The direction.
        yaw: Option<f64>,
    },
    /// At a trouble and the cause that is pointed at, both in one picture.
    Both(Option<Pick>, Cause),
    /// At some places, from a way about the plumb line and above level, radians.
    Close(Vec<Point3<f64>>, f64, f64),
}

/// What can be asked of the eye itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ask {
    /// Nearer is larger, or true to scale: the other of the two.
    OtherLens,
}

/// The eye and where it is going.
#[derive(Resource, Clone, Debug)]
pub(super) struct View {
    /// Where it is; none before the first result.
    pub(super) eye: Option<Eye>,
    /// Where it goes.
    pub(super) goal: Option<Eye>,
    /// What was asked for and waits for the next frame.
    pub(super) look: Option<Look>,
    /// What it goes by way of, so as not to go through a floor.
    pub(super) via: Option<Eye>,
    /// The part of the picture without panels.
    pub(super) free: Option<Free>,
    /// What lies before the target is cut away.
    pub(super) cut: bool,
    /// One walks, so hands and arrows move feet and head.
    pub(super) walks: bool,
    /// The lens was chosen by hand, so a turn does not change it.
    pub(super) held_lens: bool,
    /// How far before the target things are drawn, mm: nothing where a section is cut.
    pub(super) before: f64,
}

impl Default for View {
    fn default() -> Self {
        Self {
            eye: None,
            goal: None,
            look: None,
            via: None,
            free: None,
            cut: false,
            walks: false,
            held_lens: false,
            before: OPEN_MM,
        }
    }
}

impl View {
    /// True while something is cut away, or on its way back.
    pub(super) fn opened(&self) -> bool {
        self.before < OPEN_MM
    }

    /// Cuts further towards the section, or less, over a share of the way that is left.
    fn cut_on(&mut self, share: f64) {
        let goal = if self.cut { 0.0 } else { OPEN_MM };
        let left = (goal - self.before) * (1.0 - share);
        let before = if left.abs() < THERE_MM {
            goal
        } else {
            goal - left
        };
        if (self.before - before).abs() > 0.0 {
            self.before = before;
        }
    }

    /// True while the eye is on its way.
    pub(super) fn moving(&self) -> bool {
        let cutting = self.before > 0.0 && (self.cut || self.opened());
        let going = match (self.eye, self.goal) {
            (Some(eye), Some(goal)) => !eye.at(&goal),
            (None, Some(_)) => true,
            _ => self.look.is_some(),
        };
        going || cutting
    }

    /// Goes to another eye, not through a floor.
    pub(super) fn go_to(&mut self, goal: Eye, chain: &Chain, solids: &Solids) {
        self.goal = Some(goal);
        self.held_lens = false;
        let free = self.free(1.6);
        self.via = self.eye.and_then(|from| {
            let around = [Viewpoint::Front, Viewpoint::Above];
            let around = around
                .iter()
                .filter_map(|one| lookout::eye(one, chain, solids, &free));
            travel::by_way_of(&from, &goal, around, &travel::floors(solids), &free)
        });
    }

    fn free(&self, aspect: f64) -> Free {
        self.free.unwrap_or(Free::whole(aspect))
    }
}

/// The camera of the way that is shown; another one sees what stands beside it.
pub(super) type Mine = (With<Camera3d>, Without<OtherEye>);

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
fn moved(goal: Eye, hands: &Hands, view: &View) -> Eye {
    let mut goal = goal;
    let mut hands = *hands;
    if view.cut {
        // A section is looked at square on: what would turn it slides it.
        hands.slide.0 += hands.turn.0 / TURN_PER_HEIGHT;
        hands.slide.1 += hands.turn.1 / TURN_PER_HEIGHT;
        hands.turn = (0.0, 0.0);
    }
    if hands.turn != (0.0, 0.0) {
        goal = goal.turned(hands.turn.0, hands.turn.1);
        if goal.lens == Lens::Level && !view.held_lens {
            // A turned elevation is no elevation any more.
            goal = goal.through(Lens::Perspective);
        }
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
    cameras: Query<&Camera, Mine>,
    mut grabbed: Local<bool>,
    mut view: ResMut<View>,
) {
    let (Some(goal), Ok(camera)) = (view.goal, cameras.single()) else {
        return;
    };
    if view.walks {
        return;
    }
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
        goal = moved(goal, &hands, &view);
    }
    let control = input
        .keys
        .any_pressed([KeyCode::ControlLeft, KeyCode::ControlRight]);
    if !input.wants.wants_keyboard_input() && !control {
        goal = moved(
            goal,
            &from_keys(&input.keys, input.time.delta_secs_f64().min(0.1)),
            &view,
        );
    }
    if view.goal != Some(goal) {
        view.goal = Some(goal);
        view.via = None;
    }
}

/// Turns a look into a goal.
pub(super) fn look(
    solved: Option<Res<Solved>>,
    shown: Option<Res<Shown>>,
    cameras: Query<&Camera, Mine>,
    mut view: ResMut<View>,
) {
    let (Some(solved), Some(shown), Ok(camera)) = (solved, shown, cameras.single()) else {
        return;
    };
    // Only what is written counts as changed.
    let wanted = match &view.look {
        Some(wanted) => wanted.clone(),
        None if view.goal.is_none() => Look::From(Viewpoint::Front),
        None => return,
    };
    view.look = None;
    let size = camera.logical_viewport_size().unwrap_or(Vec2::ONE);
    let free = view.free(f64::from(size.x / size.y.max(1.0)));
    let near = |points: Vec<Point3<f64>>| {
        let outward = solved.found.first().site.outward;
        Some(lookout::near(&points, outward, &free))
    };
    let goal = match &wanted {
        Look::From(viewpoint) => lookout::eye(viewpoint, &solved.found, &shown.solids, &free),
        Look::Near { points, yaw } => {
            let framed = near(points.clone());
            let turned = framed.map(|eye| Eye {
                yaw: yaw.unwrap_or(eye.yaw),
                ..eye
            });
            turned.map(|eye| eye.framing(points, &free))
        }
        Look::At(pick) => near(shown.points_of(pick, &solved.found)),
        Look::Close(points, yaw, pitch) => Some(lookout::close((*yaw, *pitch), points, &free)),
        Look::Both(pick, cause) => {
            let picked = pick.iter();
            let mut points: Vec<_> = picked
                .flat_map(|pick| shown.points_of(pick, &solved.found))
                .collect();
            points.extend(shown.points_of_cause(cause));
            near(points)
        }
    };
    if let Some(goal) = goal {
        view.go_to(goal, &solved.found, &shown.solids);
    }
}

/// Changes what is asked of the eye itself.
fn ask(mut actions: MessageReader<Action>, mut view: ResMut<View>) {
    for action in actions.read() {
        if let (Action::Eye(Ask::OtherLens), Some(goal)) = (action, view.goal) {
            let other = match goal.lens {
                Lens::Level => Lens::Perspective,
                Lens::Perspective | Lens::Angle(_) => Lens::Level,
            };
            view.goal = Some(goal.through(other));
            view.held_lens = true;
        }
    }
}

/// Its key.
pub(super) const ACTS: &[Act] = &[Act::new(
    typed('o'),
    "look with depth, or true to scale",
    "lens perspective orthographic level parallel",
    |knows| (!knows.view.walks).then_some(Action::Eye(Ask::OtherLens)),
)];

/// The eye a share of the way on: it goes round rather than down through the floor.
fn on_the_way(eye: &Eye, goal: &Eye, share: f64, floor: f64) -> Eye {
    let next = eye.towards(goal, share);
    // One that sees true to scale stands nowhere.
    if goal.lens == Lens::Level {
        return next;
    }
    let stands = |eye: &Eye| eye.stands(&Free::whole(1.0)).z;
    // One who looks up from below means to.
    let below = stands(goal) < floor || stands(eye) < floor - 1.0;
    if below { next } else { next.above(floor) }
}

/// Moves the eye to its goal and the camera to the eye.
pub(super) fn follow(
    time: Res<Time>,
    shown: Option<Res<Shown>>,
    mut view: ResMut<View>,
    mut cameras: Query<(&Camera, &mut Transform, &mut Projection), Mine>,
    mut redraw: MessageWriter<RequestRedraw>,
    mut drawn: Local<Option<(Eye, f64)>>,
) {
    let (Some(goal), Ok((camera, mut transform, mut projection))) =
        (view.goal, cameras.single_mut())
    else {
        return;
    };
    let share = 1.0 - 0.5_f64.powf(time.delta_secs_f64() / HALF_WAY_S);
    if view.moving() {
        redraw.write(RequestRedraw);
        // The first eye is there at once, and what it looks at is cut.
        let share = if view.eye.is_none() { 1.0 } else { share };
        view.cut_on(share);
    }
    let eye = match view.eye {
        Some(eye) if !eye.at(&goal) => {
            if view.via.is_some_and(|via| travel::passes(&eye, &via)) {
                view.via = None;
            }
            let goal = view.via.unwrap_or(goal);
            let floor = shown.map_or(f64::NEG_INFINITY, |shown| shown.lowest());
            on_the_way(&eye, &goal, share, floor + ABOVE_FLOOR_MM)
        }
        _ => goal,
    };
    if view.eye != Some(eye) {
        view.eye = Some(eye);
    }
    let size = camera.logical_viewport_size().unwrap_or(Vec2::ONE);
    let free = view.free(f64::from(size.x / size.y.max(1.0)));
    transform.set_if_changed(placed(&eye, &free));
    let now = Some((eye, view.before));
    if std::mem::replace(&mut *drawn, now) != now {
        *projection = lens(&eye, view.before);
    }
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

/// Where Bevy's camera stands.
fn placed(eye: &Eye, free: &Free) -> Transform {
    let axes = eye.axes();
    let stands = eye.stands(free);
    let turn = Mat3::from_cols(
        convert::direction(&axes.right),
        convert::direction(&axes.up),
        convert::direction(&axes.back),
    );
    Transform::from_translation(convert::point(&stands)).with_rotation(Quat::from_mat3(&turn))
}

/// How Bevy's camera draws depth; what lies farther than `before` before the target is not drawn.
fn lens(eye: &Eye, before: f64) -> Projection {
    let off = eye.stand_off();
    let most = if before < OPEN_MM { before } else { BEFORE_MM };
    let near = convert::length((off - most).max(NEAR_MM));
    let far = convert::length(off + FAR_MM);
    match eye.lens {
        Lens::Perspective | Lens::Angle(_) => Projection::Perspective(PerspectiveProjection {
            fov: convert::single(eye.lens.angle()),
            near,
            far,
            near_clip_plane: Vec4::new(0.0, 0.0, -1.0, -near),
            ..PerspectiveProjection::default()
        }),
        Lens::Level => Projection::Orthographic(OrthographicProjection {
            scaling_mode: ScalingMode::FixedVertical {
                viewport_height: convert::length(2.0 * eye.half_height()),
            },
            near,
            far,
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
    app.add_systems(
        Update,
        (
            hold.run_if(super::drag::free).in_set(ViewerSystems::Input),
            ask.in_set(ViewerSystems::Edit),
        ),
    );
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

    fn elevation() -> Eye {
        Eye {
            target: Point3::new(1500.0, 0.0, 1200.0),
            yaw: 1.5,
            pitch: 0.0,
            reach: 5000.0,
            lens: Lens::Level,
            keeps: 0.0,
        }
    }

    #[test]
    fn a_turned_elevation_gets_depth_unless_the_lens_was_chosen() {
        let hands = Hands {
            turn: (0.1, 0.0),
            zoom: 1.0,
            ..Hands::default()
        };
        let mut view = View::default();
        assert_eq!(moved(elevation(), &hands, &view).lens, Lens::Perspective);
        view.held_lens = true;
        assert_eq!(moved(elevation(), &hands, &view).lens, Lens::Level);
        // A section stays square on, and slides.
        view.cut = true;
        let slid = moved(elevation(), &hands, &view);
        approx::assert_relative_eq!(slid.yaw, elevation().yaw);
        assert!((slid.target - elevation().target).norm() > 1.0);
    }

    #[test]
    fn the_way_between_two_eyes_above_the_floor_stays_above_it() {
        // From low before the stair to low behind it, the target at the floor on the way.
        let low = |yaw: f64, target: f64| Eye {
            target: Point3::new(target, 0.0, 900.0),
            yaw,
            pitch: -0.12,
            reach: 6000.0,
            lens: Lens::Perspective,
            ..elevation()
        };
        let (mut eye, goal) = (
            low(0.3, 0.0),
            Eye {
                reach: 900.0,
                ..low(2.0, 3000.0)
            },
        );
        let mut frames = 0;
        while !eye.at(&goal) && frames < 200 {
            eye = on_the_way(&eye, &goal, 0.12, 60.0);
            assert!(eye.stands(&Free::whole(1.0)).z > 59.0);
            frames += 1;
        }
        assert!(eye.at(&goal));
    }

    #[test]
    fn a_cut_opens_and_closes_by_degrees_and_then_rests() {
        let mut view = View {
            cut: true,
            ..View::default()
        };
        let mut last = view.before;
        for _ in 0..200 {
            view.cut_on(0.2);
            assert!(view.before <= last);
            last = view.before;
        }
        assert!(view.before.abs() < f64::EPSILON && view.opened());
        view.cut = false;
        for _ in 0..200 {
            view.cut_on(0.2);
        }
        assert!(!view.opened());
    }

    #[test]
    fn what_lies_before_a_section_is_not_drawn() {
        let Projection::Orthographic(level) = lens(&elevation(), 0.0) else {
            panic!("an elevation is level");
        };
        // The near plane stands at the target: 20 m before the eye of a level lens.
        approx::assert_relative_eq!(level.near, 20.0, epsilon = 1e-5);
        let deep = elevation().through(Lens::Perspective);
        let Projection::Perspective(deep) = lens(&deep, 0.0) else {
            panic!("a lens with depth");
        };
        approx::assert_relative_eq!(deep.near, 5.0, epsilon = 1e-5);
    }

    #[test]
    fn an_eye_that_looks_a_little_up_comes_to_see_true_to_scale() {
        let eye = Eye {
            pitch: -0.04,
            ..elevation().through(Lens::Perspective)
        };
        let goal = eye.through(Lens::Level);
        let mut now = eye;
        for _ in 0..200 {
            now = on_the_way(&now, &goal, 0.2, 0.0);
        }
        assert!(now.at(&goal), "{now:?}");
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
