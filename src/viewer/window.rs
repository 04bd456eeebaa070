//! The window: Bevy's plugins, ours, keys, picking by mouse, the title.

use std::path::PathBuf;
use std::sync::Arc;

use bevy::app::{AppExit, PluginGroup};
use bevy::camera::{Camera3d, ClearColor};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::log::LogPlugin;
use bevy::picking::events::{Click, Pointer};
use bevy::picking::mesh_picking::{MeshPickingCamera, MeshPickingPlugin, MeshPickingSettings};
use bevy::picking::pointer::PointerButton;
use bevy::prelude::{
    App, ButtonInput, Commands, DefaultPlugins, IntoScheduleConfigs as _, Local, MessageWriter,
    Msaa, On, Query, Res, ResMut, Single, Startup, Update, Vec2, Window, With,
};
use bevy::render::error_handler::RenderErrorHandler;
use bevy::window::{PrimaryWindow, WindowPlugin};
use bevy::winit::{EventLoopProxyWrapper, WinitUserEvent};
use bevy_egui::EguiPlugin;

use crate::job::Document;

use super::files::{self, Files};
use super::recompute::Waker;
use super::scene::{Gathered, Gathers, PartRef, Shown};
use super::session::{Action, Session};
use super::{
    Pick, Showing, ViewerError, ViewerSystems, acts, client, climb, clipboard, compounding,
    convert, device, divide, drag, dress, eye, fit, fit_words, flags, ground, order, panels,
    read_here, recompute, rest, scene, section, session, sheets, sift, span, sure, text_size, tour,
    walk, ways,
};

/// Size of the window when it opens, points.
const SIZE: (u32, u32) = (1360, 820);
/// A press that moved farther than this before it was let go turned the stair and picks nothing.
const STILL: f32 = 5.0;

/// Opens the window; ends when it is closed.
pub(super) fn open(document: Document, path: Option<PathBuf>) -> Result<(), ViewerError> {
    let display = device::display()?;
    device::driver()?;
    let plugins = DefaultPlugins.set(window()).set(quiet_log());
    let ending = device::Ending::default();
    let mut app = app(plugins, document, path);
    app.insert_resource(Files::at(files::state_folder()))
        .insert_resource(ending.clone())
        .insert_resource(RenderErrorHandler(device::lost));
    let ended = app.run();
    drop(display);
    match (ended, ending.said()) {
        (_, Some(says)) => Err(ViewerError::Lost(says)),
        (AppExit::Success, None) => Ok(()),
        (AppExit::Error(_), None) => Err(ViewerError::Ended),
    }
}

/// The window as it opens.
pub(super) fn window() -> WindowPlugin {
    WindowPlugin {
        primary_window: Some(Window {
            title: "Rakewell".to_owned(),
            name: Some("rakewell".to_owned()),
            resolution: SIZE.into(),
            ..Window::default()
        }),
        // What is not saved is asked about first.
        close_when_requested: false,
        ..WindowPlugin::default()
    }
}

/// The whole of the window, on Bevy's own plugins as given: the tests drive it without a display.
pub(super) fn app(plugins: impl PluginGroup, document: Document, path: Option<PathBuf>) -> App {
    let mut app = App::new();
    app.add_plugins(plugins)
        .add_plugins((MeshPickingPlugin, EguiPlugin::default()))
        .init_resource::<ClearColor>()
        .insert_resource(Session::new(document, path))
        .init_resource::<Showing>();
    order(&mut app);
    app.add_plugins((
        session::plugin,
        recompute::plugin,
        scene::plugin,
        eye::plugin,
        eye::hands_plugin,
        (section::plugin, section::hands_plugin, walk::plugin),
        acts::plugin,
        rest::plugin,
        panels::plugin,
        panels::acts::plugin,
        flags::plugin,
        plugin,
    ));
    // Features, a line for each.
    app.add_plugins(scene::governor_plugin);
    app.add_plugins((ground::plugin, dress::plugin));
    app.add_plugins(ways::plugin);
    app.add_plugins(sure::plugin);
    app.add_plugins((climb::plugin, climb::notes::plugin));
    app.add_plugins((drag::plugin, panels::steps::plugin));
    app.add_plugins((sift::plugin, span::plugin));
    app.add_plugins((divide::plugin, divide::hands_plugin));
    app.add_plugins((read_here::plugin, compounding::plugin));
    app.add_plugins((fit::plugin, fit_words::plugin, sheets::plugin));
    app.add_plugins((files::plugin, tour::plugin, text_size::plugin));
    app.add_plugins((client::plugin, clipboard::plugin));
    app
}

/// Only what goes wrong is worth a line in a terminal.
pub(super) fn quiet_log() -> LogPlugin {
    LogPlugin {
        filter: "error,bevy_winit=off".to_owned(),
        ..LogPlugin::default()
    }
}

fn set_up(mut commands: Commands, proxy: Option<Res<EventLoopProxyWrapper>>) {
    commands.spawn((
        Camera3d::default(),
        Msaa::Sample4,
        Tonemapping::None,
        MeshPickingCamera,
    ));
    // Without a window of its own nothing sleeps, and nothing is to be woken.
    let Some(proxy) = proxy.map(|proxy| (**proxy).clone()) else {
        commands.insert_resource(Waker(Arc::new(|| ())));
        return;
    };
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
    (parts, several): (Query<&PartRef>, Query<&Gathered>),
    shown: Option<Res<Shown>>,
    (pressed, laying): (Res<Pressed>, Res<span::Laying>),
    mut actions: MessageWriter<Action>,
) {
    // The tape is hooked on what is clicked.
    if laying.out {
        return;
    }
    let here = click.pointer_location.position;
    let still = pressed.0.is_some_and(|there| there.distance(here) < STILL);
    let gathered = || {
        let at = convert::back(click.hit.position?);
        let name = several.get(click.entity).ok()?.at(shown.as_ref()?, &at)?;
        Some(name.to_owned())
    };
    let part = parts.get(click.entity).ok().map(|part| part.0.clone());
    let Some(part) = part.or_else(gathered) else {
        return;
    };
    if still && click.button == PointerButton::Primary {
        let pick = Pick::Part(part);
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

fn plugin(app: &mut App) {
    app.init_resource::<Pressed>()
        .insert_resource(Gathers(true))
        .insert_resource(MeshPickingSettings {
            require_markers: false,
            ..MeshPickingSettings::default()
        })
        .add_observer(click)
        .add_systems(Startup, set_up)
        .add_systems(Update, note_press.in_set(ViewerSystems::Input))
        .add_systems(Update, title.in_set(ViewerSystems::Sync));
}
