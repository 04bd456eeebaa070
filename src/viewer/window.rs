//! The window: Bevy's plugins, ours, keys, picking by mouse, the title.

use std::path::PathBuf;
use std::sync::Arc;

use bevy::app::{AppExit, PluginGroup as _};
use bevy::camera::{Camera3d, ClearColor};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::input::keyboard::KeyboardInput;
use bevy::input::mouse::{MouseButtonInput, MouseWheel};
use bevy::log::LogPlugin;
use bevy::picking::events::{Click, Pointer};
use bevy::picking::mesh_picking::{MeshPickingCamera, MeshPickingPlugin, MeshPickingSettings};
use bevy::picking::pointer::PointerButton;
use bevy::prelude::{
    App, AssetEvent, ButtonInput, Commands, DefaultPlugins, DetectChanges, Image,
    IntoScheduleConfigs as _, KeyCode, Last, Local, MessageReader, MessageWriter, Messages, Msaa,
    On, Query, Res, ResMut, Single, Startup, Update, Vec2, Window, With,
};
use bevy::window::{CursorMoved, PrimaryWindow, RequestRedraw, WindowPlugin, WindowResized};
use bevy::winit::{EventLoopProxyWrapper, WinitSettings, WinitUserEvent};
use bevy_egui::EguiPlugin;
use bevy_egui::input::EguiWantsInput;

use crate::job::{Document, Job};

use super::eye::View;
use super::panels::{Typing, nudge};
use super::recompute::{Advised, Explained, Waker, Work};
use super::scene::PartRef;
use super::session::{Action, Session};
use super::sure::{Standing, Sure};
use super::ways::Ways;
use super::{
    Cause, Mood, Pick, Place, Showing, Solved, ViewerError, ViewerSystems, Viewpoint, device, eye,
    flags, look, order, panels, recompute, scene, session, sure, ways,
};

/// Size of the window when it opens, points.
const SIZE: (u32, u32) = (1360, 820);
/// A press that moved farther than this before it was let go turned the stair and picks nothing.
const STILL: f32 = 5.0;

/// Opens the window; ends when it is closed.
pub(super) fn open(document: Document, path: Option<PathBuf>) -> Result<(), ViewerError> {
    device::display()?;
    device::driver()?;
    let mut app = App::new();
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin {
                primary_window: Some(Window {
                    title: "Rakewell".to_owned(),
                    name: Some("rakewell".to_owned()),
                    resolution: SIZE.into(),
                    ..Window::default()
                }),
                ..WindowPlugin::default()
            })
            .set(quiet_log()),
    )
    .add_plugins((MeshPickingPlugin, EguiPlugin::default()))
    .insert_resource(WinitSettings::desktop_app())
    .insert_resource(ClearColor(look::colour(look::PAPER)))
    .insert_resource(Session::new(document, path))
    .init_resource::<Showing>();
    order(&mut app);
    app.add_plugins((
        session::plugin,
        recompute::plugin,
        ways::plugin,
        sure::plugin,
        scene::plugin,
        eye::plugin,
        eye::hands_plugin,
        panels::plugin,
        flags::plugin,
        plugin,
    ));
    match app.run() {
        AppExit::Success => Ok(()),
        AppExit::Error(_) => Err(ViewerError::Ended),
    }
}

/// Only what goes wrong is worth a line in a terminal.
pub(super) fn quiet_log() -> LogPlugin {
    LogPlugin {
        filter: "error,bevy_winit=off".to_owned(),
        ..LogPlugin::default()
    }
}

fn set_up(mut commands: Commands, proxy: Res<EventLoopProxyWrapper>) {
    commands.spawn((
        Camera3d::default(),
        Msaa::Sample4,
        Tonemapping::None,
        MeshPickingCamera,
    ));
    let proxy = (**proxy).clone();
    // The window may be gone already when work is done; then nobody waits for it.
    commands.insert_resource(Waker(Arc::new(move || {
        let _gone = proxy.send_event(WinitUserEvent::WakeUp);
    })));
}

/// Keys that act once per press.
fn keys(
    keys: Res<ButtonInput<KeyCode>>,
    wants: Res<EguiWantsInput>,
    (session, showing): (Res<Session>, Res<Showing>),
    typing: Res<Typing>,
    (ways, work, sure): (Res<Ways>, Res<Work>, Res<Sure>),
    (solved, explained): (Option<Res<Solved>>, Res<Explained>),
    mut actions: MessageWriter<Action>,
) {
    let control = held(&keys, [KeyCode::ControlLeft, KeyCode::ControlRight]);
    let shift = held(&keys, [KeyCode::ShiftLeft, KeyCode::ShiftRight]);
    for key in keys.get_just_pressed() {
        if control {
            // What is typed on the sheet is kept or taken back there first.
            if !typing.readings.typed() {
                actions.write_batch(with_control(*key, shift));
            }
        } else if *key == KeyCode::F2 {
            actions.write(to(Place::Readings, showing.place));
        } else if *key == KeyCode::F3 {
            let some = !session.document.job().alternatives.is_empty();
            if some || showing.place == Place::Ways {
                actions.write(to(Place::Ways, showing.place));
            }
        } else if *key == KeyCode::F4 {
            actions.write(to(Place::Sure, showing.place));
        } else if wants.wants_keyboard_input() {
            // The keys are typed text.
        } else if let Some(action) = of_draws(*key, showing.place, sure.standing()) {
            actions.write(action);
        } else if showing.place == Place::Ways && matches!(key, KeyCode::Period | KeyCode::Comma) {
            // What is shown there need not be the job as it stands, so no newel is moved.
            let there = ways.of(work.stood);
            let next = there.map(|all| ways::next(all, showing.way, *key == KeyCode::Comma));
            actions.write_batch(next.map(Action::Way));
        } else if *key == KeyCode::KeyC {
            let causes = solved
                .as_ref()
                .map(|solved| explained.causes(solved, &showing));
            let next = causes.and_then(|causes| next_cause(&causes, showing.cause.as_ref()));
            actions.write_batch(next.map(|cause| Action::Point(Some(cause))));
        } else {
            actions.write_batch(plain(*key, session.document.job(), &showing));
        }
    }
}

/// What a key does in the place that says how sure the stair is: it draws, or ends that.
fn of_draws(key: KeyCode, place: Place, standing: Standing) -> Option<Action> {
    let still = standing == Standing::Still;
    match key {
        _ if place != Place::Sure => None,
        KeyCode::Enter | KeyCode::NumpadEnter if still => Some(Action::Draw(true)),
        KeyCode::Escape if !still => Some(Action::Draw(false)),
        _ => None,
    }
}

/// The cause after the one that is pointed at.
fn next_cause(causes: &[Cause], pointed: Option<&Cause>) -> Option<Cause> {
    let at = pointed.and_then(|cause| causes.iter().position(|one| one == cause));
    let next = at.map_or(0, |at| (at + 1) % causes.len().max(1));
    causes.get(next).cloned()
}

/// To a place of the window, or back where it is open.
fn to(place: Place, open: Place) -> Action {
    Action::Place(if open == place { Place::SetOut } else { place })
}

/// True where one of these keys was down at any time of the frame: in a slow one it may be up again.
fn held(keys: &ButtonInput<KeyCode>, either: [KeyCode; 2]) -> bool {
    let just = keys.any_just_pressed(either) || keys.any_just_released(either);
    just || keys.any_pressed(either)
}

/// What a key does while Ctrl is held.
fn with_control(key: KeyCode, shift: bool) -> Option<Action> {
    match (key, shift) {
        (KeyCode::KeyS, _) => Some(Action::Save),
        (KeyCode::KeyZ, false) => Some(Action::Undo),
        (KeyCode::KeyZ, true) | (KeyCode::KeyY, _) => Some(Action::Redo),
        _ => None,
    }
}

/// What a key does alone.
fn plain(key: KeyCode, job: &Job, showing: &Showing) -> Option<Action> {
    const DIGITS: [KeyCode; 6] = [
        KeyCode::Digit1,
        KeyCode::Digit2,
        KeyCode::Digit3,
        KeyCode::Digit4,
        KeyCode::Digit5,
        KeyCode::Digit6,
    ];
    if let Some(place) = DIGITS.iter().position(|digit| *digit == key) {
        return Some(Action::Look(Viewpoint::PLAIN[place].clone()));
    }
    match key {
        KeyCode::KeyF | KeyCode::Home => Some(Action::Look(Viewpoint::Front)),
        KeyCode::KeyN => Some(Action::NextTrouble { backwards: false }),
        KeyCode::KeyP => Some(Action::NextTrouble { backwards: true }),
        KeyCode::KeyG => Some(Action::Ghost(!showing.ghost)),
        KeyCode::KeyD => Some(Action::Fan(!showing.fan)),
        KeyCode::KeyM => Some(Action::Mood(match showing.mood {
            Mood::Work => Mood::Show,
            Mood::Show => Mood::Work,
        })),
        KeyCode::BracketRight => Some(Action::Stretch(showing.stretch + 1.0)),
        KeyCode::BracketLeft => Some(Action::Stretch(showing.stretch - 1.0)),
        KeyCode::Period => nudge(job, showing.picked.as_ref(), 1.0),
        KeyCode::Comma => nudge(job, showing.picked.as_ref(), -1.0),
        KeyCode::Escape if showing.place != Place::SetOut => Some(Action::Place(Place::SetOut)),
        KeyCode::Escape if showing.moment => Some(Action::Moment(false)),
        KeyCode::Escape if showing.cause.is_some() => Some(Action::Point(None)),
        KeyCode::Escape => Some(Action::Pick(None)),
        KeyCode::KeyT if showing.cause.is_some() => Some(Action::Moment(!showing.moment)),
        _ => None,
    }
}

/// Where the mouse went down.
#[derive(bevy::prelude::Resource, Default)]
struct Pressed(Option<Vec2>);

fn note_press(
    buttons: Res<ButtonInput<bevy::prelude::MouseButton>>,
    window: Single<&Window, With<PrimaryWindow>>,
    mut pressed: ResMut<Pressed>,
) {
    if buttons.get_just_pressed().next().is_some() {
        pressed.0 = window.cursor_position();
    }
}

/// A click on a part picks it; a second click frames it.
fn click(
    click: On<Pointer<Click>>,
    parts: Query<&PartRef>,
    pressed: Res<Pressed>,
    mut actions: MessageWriter<Action>,
) {
    let here = click.pointer_location.position;
    let still = pressed.0.is_some_and(|there| there.distance(here) < STILL);
    let Ok(part) = parts.get(click.entity) else {
        return;
    };
    if still && click.button == PointerButton::Primary {
        let pick = Pick::Part(part.0.clone());
        let again = click.count > 1;
        actions.write(if again {
            Action::Frame(pick)
        } else {
            Action::Pick(Some(pick))
        });
    }
}

/// The title: the job's file, and whether it is saved.
fn title(
    session: Res<Session>,
    mut window: Single<&mut Window, With<PrimaryWindow>>,
    mut before: Local<String>,
) {
    let file = session.path.as_ref().and_then(|path| path.file_name());
    let name = file.map_or_else(
        || "demo".to_owned(),
        |name| name.to_string_lossy().into_owned(),
    );
    let mark = if session.unsaved() {
        " (not saved)"
    } else {
        ""
    };
    let title = format!("{name}{mark} - Rakewell");
    if *before != title {
        window.title.clone_from(&title);
        *before = title;
    }
}

/// Frames drawn after the last input or result: panels settle in that many.
const SETTLING: u32 = 4;

/// What makes the picture change.
#[derive(bevy::ecs::system::SystemParam)]
struct Stirs<'w, 's> {
    asked: MessageReader<'w, 's, Action>,
    moved: MessageReader<'w, 's, CursorMoved>,
    pressed: MessageReader<'w, 's, MouseButtonInput>,
    turned: MessageReader<'w, 's, MouseWheel>,
    typed: MessageReader<'w, 's, KeyboardInput>,
    sized: MessageReader<'w, 's, WindowResized>,
    /// Letters that were not drawn before come into the panels' picture of letters a frame late.
    drawn: MessageReader<'w, 's, AssetEvent<Image>>,
    view: Res<'w, View>,
    solved: Option<Res<'w, Solved>>,
    explained: Res<'w, Explained>,
    advised: Res<'w, Advised>,
    ways: Res<'w, Ways>,
    sure: Res<'w, Sure>,
}

impl Stirs<'_, '_> {
    /// True where something happened in this frame.
    fn any(&mut self) -> bool {
        let counts = [
            self.asked.read().count(),
            self.moved.read().count(),
            self.pressed.read().count(),
            self.turned.read().count(),
            self.typed.read().count(),
            self.sized.read().count(),
            self.drawn.read().count(),
        ];
        let fresh = self.solved.as_ref().is_some_and(DetectChanges::is_changed);
        // News of draws that go on needs the one frame that it wakes the window for, and no more.
        let told = self.explained.is_changed()
            || self.advised.is_changed()
            || self.ways.is_changed()
            || self.sure.is_changed();
        counts.iter().any(|count| *count > 0) || fresh || told
    }
}

/// Draws on while something moves, and rests otherwise. The panels' library asks for a further
/// frame in every frame, which would keep a machine without a graphics card busy for nothing.
fn rest(mut stirs: Stirs, mut redraws: ResMut<Messages<RequestRedraw>>, mut settling: Local<u32>) {
    *settling = if stirs.any() {
        SETTLING
    } else {
        settling.saturating_sub(1)
    };
    redraws.clear();
    if *settling > 0 || stirs.view.moving() {
        redraws.write(RequestRedraw);
    }
}

fn plugin(app: &mut App) {
    app.add_systems(Last, rest)
        .init_resource::<Pressed>()
        .insert_resource(MeshPickingSettings {
            require_markers: false,
            ..MeshPickingSettings::default()
        })
        .add_observer(click)
        .add_systems(Startup, set_up)
        .add_systems(Update, (note_press, keys).in_set(ViewerSystems::Input))
        .add_systems(Update, title.in_set(ViewerSystems::Sync));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_let_go_within_the_frame_still_counts() {
        let mut keys = ButtonInput::default();
        keys.press(KeyCode::ControlLeft);
        keys.release(KeyCode::ControlLeft);
        assert!(held(&keys, [KeyCode::ControlLeft, KeyCode::ControlRight]));
    }

    #[test]
    fn enter_draws_and_escape_ends_that_before_it_leaves_the_place() {
        use crate::doubt::Progress;
        let drawing = Standing::Drawing(
            Progress {
                done: 50,
                most: 500,
            },
            false,
        );
        let in_place = |key, standing| of_draws(key, Place::Sure, standing);
        let begins = in_place(KeyCode::Enter, Standing::Still);
        assert!(matches!(begins, Some(Action::Draw(true))));
        assert!(in_place(KeyCode::Enter, drawing).is_none());
        let ends = in_place(KeyCode::Escape, drawing);
        assert!(matches!(ends, Some(Action::Draw(false))));
        // Then Escape is free to leave it.
        assert!(in_place(KeyCode::Escape, Standing::Still).is_none());
        assert!(of_draws(KeyCode::Enter, Place::SetOut, Standing::Still).is_none());
    }

    #[test]
    fn control_s_saves_and_plain_s_does_not() {
        assert!(matches!(
            with_control(KeyCode::KeyS, false),
            Some(Action::Save)
        ));
        assert!(matches!(
            with_control(KeyCode::KeyZ, true),
            Some(Action::Redo)
        ));
        assert!(with_control(KeyCode::KeyQ, false).is_none());
    }
}
