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
    IntoScheduleConfigs as _, Last, Local, MessageReader, MessageWriter, Messages, Msaa, On, Query,
    Res, ResMut, Single, Startup, Update, Vec2, Window, With,
};
use bevy::window::{CursorMoved, PrimaryWindow, RequestRedraw, WindowPlugin, WindowResized};
use bevy::winit::{EventLoopProxyWrapper, WinitSettings, WinitUserEvent};
use bevy_egui::EguiPlugin;

use crate::job::Document;

use super::eye::View;
use super::recompute::{Advised, Explained, Waker};
use super::scene::PartRef;
use super::session::{Action, Session};
use super::sure::Sure;
use super::ways::Ways;
use super::{
    Pick, Showing, Solved, ViewerError, ViewerSystems, acts, climb, device, eye, flags, ground,
    order, panels, recompute, scene, session, sure, ways,
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
    .init_resource::<ClearColor>()
    .insert_resource(Session::new(document, path))
    .init_resource::<Showing>();
    order(&mut app);
    app.add_plugins((
        session::plugin,
        ground::plugin,
        recompute::plugin,
        ways::plugin,
        sure::plugin,
        climb::plugin,
        climb::notes::plugin,
        scene::plugin,
        eye::plugin,
        eye::hands_plugin,
        acts::plugin,
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
        .add_systems(Update, note_press.in_set(ViewerSystems::Input))
        .add_systems(Update, title.in_set(ViewerSystems::Sync));
}
