//! Pictures without a window.
//!
//! In: a job, a viewpoint, a size, a mood, a stretch. Out: PNG.

mod moving;
mod pixels;
mod request;
mod samples;
mod turn;

use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use bevy::app::{Last, PluginGroup as _, PostStartup, TerminalCtrlCHandlerPlugin};
use bevy::camera::visibility::Visibility;
use bevy::camera::{Camera, Camera3d, ClearColor, ImageRenderTarget, RenderTarget};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::image::Image;
use bevy::log::LogPlugin;
use bevy::prelude::{
    App, Assets, Color, Commands, DefaultPlugins, Entity, Msaa, On, Or, Query, Res, ResMut,
    Resource, Single, Startup, With,
};
use bevy::render::RenderPlugin;
use bevy::render::render_resource::TextureFormat;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::window::{ExitCondition, WindowPlugin};
use bevy::winit::WinitPlugin;
use bevy_egui::{EguiContexts, EguiPlugin, EguiPrimaryContextPass, egui};

use crate::chain::Chain;
use crate::explain::Makes;
use crate::publish::finish::framing_look;
use crate::publish::sight::cut::Plumb;

use super::camera::Free;
use super::eye::{Look, View};
use super::fit::Fit;
use super::ground::Ground;
use super::recompute::Computed;
use super::session::Action;
use super::window::quiet_log;
use super::{
    Cause, Pick, Place, Showing, Solved, Viewpoint, climb, convert, device, divide, dress, eye,
    fit, fit_words, flags, ground, lookout, order, panels, scene, section, span,
};

pub use moving::Moving;
pub use pixels::{Pixels, paint_sheet};
pub use request::{FitPicture, OtherWay, PictureError, PictureRequest, Shot};
use samples::sampled;

/// The smallest and the largest side of a picture, pixels.
const SIDE: std::ops::RangeInclusive<u32> = 64..=8192;
/// Frames in which everything is put in its place, and nothing drawn yet: a frame is dear on a
/// software driver.
const BLIND: u32 = 3;
/// Longest wait for the picture, generous for a software driver on a busy machine.
pub(super) const PATIENCE: Duration = Duration::from_secs(120);

/// What is logged is taken up once in a process.
static LOGS: AtomicBool = AtomicBool::new(false);
/// Held while a picture is drawn.
static ALONE: Mutex<()> = Mutex::new(());

/// Draws a picture and gives it as PNG.
///
/// # Errors
/// [`PictureError`]; where there is no driver it says what to install.
pub fn picture(request: &PictureRequest) -> Result<Vec<u8>, PictureError> {
    picture_told(request, &mut |_, _| ControlFlow::Continue(()))
}

/// The same, told after each look through the pixels how many are done and of how many; who is told
/// may break off.
///
/// # Errors
/// [`PictureError`], as for [`picture`], and [`PictureError::Ended`].
pub fn picture_told(
    request: &PictureRequest,
    told: &mut dyn FnMut(u32, u32) -> ControlFlow<()>,
) -> Result<Vec<u8>, PictureError> {
    request::check(request)?;
    let solved = Computed::of(&request.job)?.solved(1, (1, None));
    seen_from(&request.viewpoint, &solved)?;
    let newels = || solved.found.runs.iter().flat_map(|run| &run.setout.newels);
    if let Some(fit) = &request.fit
        && newels().all(|newel| newel.name != fit.newel)
    {
        let missing = format!("newel {} is not in this job", fit.newel);
        return Err(PictureError::Request(missing));
    }
    device::driver()?;
    let second = match &request.beside {
        Some(other) => Some(Computed::of(&other.job)?.solved(2, (2, None))),
        None => None,
    };
    let (_alone, mut app) = begun(request, &solved);
    if let (Some(other), Some(second)) = (&request.beside, second) {
        divide_in_two(&mut app, request, other, (&solved, second));
    }
    app.insert_resource(solved);
    app.finish();
    app.cleanup();
    Ok(sampled(&mut app, request, told)?.png(request.clear)?)
}

/// Draws several pictures of one job in one go, each from its viewpoint and in its look, and hands
/// each over as it is done, with its number from nought on. Who takes them may break off.
///
/// # Errors
/// [`PictureError`], as for [`picture`], and [`PictureError::Ended`].
pub fn pictures(
    request: &PictureRequest,
    each: &[Shot],
    take: &mut dyn FnMut(usize, Pixels) -> ControlFlow<()>,
) -> Result<(), PictureError> {
    request::check(request)?;
    let mut request = request.clone();
    if request.framing {
        // One look, of raw timber, stands for all.
        request.job.client.looks = vec![framing_look()];
    }
    let mut solved = Computed::of(&request.job)?.solved(1, (1, None));
    for shot in each {
        seen_from(&shot.viewpoint, &solved)?;
    }
    device::driver()?;
    let (_alone, mut app) = begun(&request, &solved);
    let found = solved.found.clone();
    // The whole stair is framed, whatever is drawn of it.
    let whole = solved.solids.clone();
    if request.framing {
        solved.solids = Arc::new(turn::framing(&whole));
    }
    app.insert_resource(solved);
    app.finish();
    app.cleanup();
    for (number, shot) in each.iter().enumerate() {
        look_from(&mut app, &shot.viewpoint, &found);
        let free = free(&request).unwrap_or(Free::whole(aspect(&request)));
        if (shot.round.is_some() || request.framing)
            && let Some(eye) = turn::eye(shot, (&found, &whole), &free)
        {
            let mut view = app.world_mut().resource_mut::<View>();
            (view.eye, view.goal, view.look) = (Some(eye), Some(eye), None);
        }
        let look = if request.framing { 0 } else { shot.look };
        app.world_mut().resource_mut::<Showing>().look = look;
        let whole = &mut |_, _| ControlFlow::Continue(());
        if take(number, sampled(&mut app, &request, whole)?).is_break() {
            return Err(PictureError::Ended);
        }
    }
    Ok(())
}

/// Whether a viewpoint names something of the job.
fn seen_from(viewpoint: &Viewpoint, solved: &Solved) -> Result<(), PictureError> {
    let found = &solved.found;
    let eye = lookout::eye(viewpoint, found, &found.solids, &Free::whole(1.0));
    let numbers = match viewpoint {
        Viewpoint::Trouble(_) => "; `rakewell inspect` numbers the troubles",
        _ => "",
    };
    let missing =
        || PictureError::Request(format!("{viewpoint} names nothing in this job{numbers}"));
    eye.map(|_there| ()).ok_or_else(missing)
}

/// Width over height.
fn aspect(request: &PictureRequest) -> f64 {
    f64::from(request.width) / f64::from(request.height)
}

/// The image that is drawn into. A picture is taken of a target by its scale as well.
#[derive(Resource, Clone)]
struct Canvas(ImageRenderTarget);

/// Where the finished picture is put.
#[derive(Resource, Clone, Default)]
struct Caught(Arc<Mutex<Option<Image>>>);

#[derive(Resource, Clone, Copy)]
pub(super) struct Size(pub(super) u32, pub(super) u32);

/// What the picture is about: the trouble or the newel that it shows.
fn picked(request: &PictureRequest, solved: &Solved) -> Option<Pick> {
    if let Viewpoint::Newel(name) = &request.viewpoint {
        return Some(Pick::Part(name.clone()));
    }
    let Viewpoint::Trouble(id) = &request.viewpoint else {
        return None;
    };
    let finding = solved.found.inspection.named(id)?;
    Some(Pick::Trouble(finding.key.clone()))
}

/// What draws the request, and the right to draw: all colours hang on one switch, so pictures are
/// drawn one at a time.
pub(super) fn begun(request: &PictureRequest, solved: &Solved) -> (MutexGuard<'static, ()>, App) {
    let alone = ALONE.lock().unwrap_or_else(PoisonError::into_inner);
    (alone, app(request, solved))
}

fn app(request: &PictureRequest, solved: &Solved) -> App {
    let mut app = App::new();
    let plugins = if LOGS.swap(true, Ordering::Relaxed) {
        DefaultPlugins.build().disable::<LogPlugin>()
    } else {
        DefaultPlugins.set(quiet_log())
    };
    app.add_plugins(
        plugins
            .set(WindowPlugin {
                primary_window: None,
                exit_condition: ExitCondition::DontExit,
                ..WindowPlugin::default()
            })
            .set(RenderPlugin {
                synchronous_pipeline_compilation: true,
                ..RenderPlugin::default()
            })
            .disable::<TerminalCtrlCHandlerPlugin>()
            .disable::<WinitPlugin>(),
    )
    .add_plugins(EguiPlugin::default())
    .add_message::<Action>()
    .init_resource::<ClearColor>()
    .insert_resource(request.ground)
    .insert_resource(request.fit.as_ref().map_or_else(Fit::default, |fit| {
        Fit::of(fit.newel.clone(), fit.up.clamp(0.0, 1.0))
    }))
    .insert_resource(Size(request.width, request.height))
    .insert_resource(Showing {
        mood: request.mood,
        stretch: request.stretch,
        ghost: request.ghost || request.stretch > 1.0,
        fan: true,
        picked: picked(request, solved),
        cause: (!request.lit.is_empty()).then(|| Cause {
            what: String::new(),
            parts: request.lit.clone(),
            makes: Makes::default(),
        }),
        moment: false,
        place: request.fit.as_ref().map_or(Place::SetOut, |_| Place::Fit),
        way: None,
        look: request.look,
    })
    .add_systems(Startup, set_up)
    .add_systems(PostStartup, aim)
    .add_systems(EguiPrimaryContextPass, dress);
    order(&mut app);
    app.add_plugins((
        (ground::plugin, dress::plugin),
        climb::plugin,
        climb::notes::plugin,
        fit::plugin,
        scene::plugin,
        eye::plugin,
        section::plugin,
        flags::plugin,
        span::picture_plugin,
        divide::plugin,
        fit_words::plugin,
    ));
    app.insert_resource(View {
        free: free(request),
        ..View::default()
    })
    .insert_resource(scene::Fans(request.fans.clone()));
    if request.clear {
        app.add_systems(Last, clear);
    }
    look_from(&mut app, &request.viewpoint, &solved.found);
    app
}

/// What is of the room and not of the stair.
type OfRoom = Or<(With<scene::Floor>, With<scene::OfWall>)>;

/// Leaves out paper and walls, and what they lie on.
fn clear(walls: Query<Entity, OfRoom>, mut ground: ResMut<ClearColor>, mut commands: Commands) {
    ground.0 = Color::NONE;
    for wall in &walls {
        commands.entity(wall).insert(Visibility::Hidden);
    }
}

/// Has the picture taken from a viewpoint.
pub(super) fn look_from(app: &mut App, viewpoint: &Viewpoint, found: &Chain) {
    let cut = match viewpoint {
        Viewpoint::Section(cut) => Plumb::of(cut, found),
        _ => None,
    };
    let world = app.world_mut();
    world.insert_resource(section::Section::cut(cut));
    let mut view = world.resource_mut::<View>();
    view.eye = None;
    view.look = Some(Look::From(viewpoint.clone()));
    view.cut = matches!(viewpoint, Viewpoint::Section(_));
}

/// A line down the middle, and another stair left of it.
fn divide_in_two(
    app: &mut App,
    request: &PictureRequest,
    other: &OtherWay,
    (solved, second): (&Solved, Solved),
) {
    let names = [other.name.as_str(), request.called.as_str()];
    let chains = [&*second.found, &*solved.found];
    app.insert_resource(divide::Divided {
        at: Some(0.5),
        halves: divide::halves(names, chains, solved.job.tape),
    });
    let second = scene::Second::of(second, request.stretch);
    app.insert_resource(scene::Beside(Some(second)));
}

/// The part of the picture that nothing is written over.
fn free(request: &PictureRequest) -> Option<Free> {
    let [width, height] = [request.width, request.height].map(convert::single);
    let size = egui::vec2(width, height);
    let whole = egui::Rect::from_min_size(egui::Pos2::ZERO, size);
    panels::share(whole, panels::seen(whole, request.mood))
}

/// Pixels to a point: lines and letters keep their share of a large picture.
fn points(width: u32, height: u32) -> f32 {
    let share = (f64::from(width) / 1600.0).min(f64::from(height) / 1000.0);
    convert::single(share.max(1.0))
}

fn set_up(mut commands: Commands) {
    commands.spawn((
        Camera3d::default(),
        Camera {
            is_active: false,
            ..Camera::default()
        },
        Msaa::Sample4,
        Tonemapping::None,
    ));
}

/// Has the camera draw into an image.
pub(super) fn aim(
    mut commands: Commands,
    mut images: ResMut<Assets<Image>>,
    size: Res<Size>,
    camera: Single<Entity, With<Camera3d>>,
) {
    let target = Image::new_target_texture(size.0, size.1, TextureFormat::Rgba8UnormSrgb, None);
    let canvas = ImageRenderTarget {
        handle: images.add(target),
        scale_factor: points(size.0, size.1),
    };
    commands
        .entity(*camera)
        .insert(RenderTarget::Image(canvas.clone()));
    commands.insert_resource(Canvas(canvas));
    commands.init_resource::<Caught>();
}

fn dress(
    mut contexts: EguiContexts,
    mut done: bevy::prelude::Local<Option<Ground>>,
) -> bevy::prelude::Result {
    if done.replace(ground::now()) != Some(ground::now()) {
        panels::dress(contexts.ctx_mut()?);
    }
    Ok(())
}

/// Whether the next frames are drawn.
fn draw(app: &mut App, drawn: bool) {
    let world = app.world_mut();
    let mut cameras = world.query::<&mut Camera>();
    for mut camera in cameras.iter_mut(world) {
        camera.is_active = drawn;
    }
}

/// Puts everything in its place and waits for the picture, of what is ready to draw.
pub(super) fn shown(app: &mut App) -> Result<Vec<u8>, PictureError> {
    for _ in 0..BLIND {
        app.update();
    }
    draw(app, true);
    caught(app)
}

/// Draws what is in its place already, once more.
fn again(app: &mut App) -> Result<Vec<u8>, PictureError> {
    draw(app, true);
    caught(app)
}

/// What is drawn now, as PNG.
pub(super) fn taken(app: &mut App, size: (u32, u32)) -> Result<Vec<u8>, PictureError> {
    Ok(Pixels::new(size, caught(app)?).png(false)?)
}

/// Asks for the next frame and waits for it.
fn caught(app: &mut App) -> Result<Vec<u8>, PictureError> {
    let caught = app.world().resource::<Caught>().clone();
    let Some(canvas) = app.world().get_resource::<Canvas>().cloned() else {
        return Err(PictureError::NoAnswer);
    };
    let keep = caught.clone();
    let world = app.world_mut();
    world
        .spawn(Screenshot(RenderTarget::Image(canvas.0)))
        .observe(move |shot: On<ScreenshotCaptured>| {
            *keep.0.lock().unwrap_or_else(PoisonError::into_inner) = Some(shot.image.clone());
        });
    let until = Instant::now() + PATIENCE;
    while Instant::now() < until {
        app.update();
        // What follows only brings the picture back.
        draw(app, false);
        let image = caught
            .0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take();
        if let Some(pixels) = image.and_then(|image| image.data) {
            return Ok(pixels);
        }
    }
    Err(PictureError::NoAnswer)
}
