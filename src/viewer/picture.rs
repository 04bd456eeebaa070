//! Pictures without a window.
//!
//! In: a job, a viewpoint, a size, a mood, a stretch. Out: PNG.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use bevy::app::{PluginGroup as _, PostStartup, TerminalCtrlCHandlerPlugin};
use bevy::camera::{Camera, Camera3d, ClearColor, ImageRenderTarget, RenderTarget};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::image::Image;
use bevy::prelude::{
    App, Assets, Commands, DefaultPlugins, Entity, Msaa, On, Res, ResMut, Resource, Single,
    Startup, With,
};
use bevy::render::RenderPlugin;
use bevy::render::render_resource::TextureFormat;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::window::{ExitCondition, WindowPlugin};
use bevy::winit::WinitPlugin;
use bevy_egui::{EguiContexts, EguiPlugin, EguiPrimaryContextPass, egui};

use crate::chain::{Chain, ChainError};
use crate::doubt::Fan;
use crate::explain::Makes;
use crate::job::Job;
use crate::publish::sight::cut::Plumb;

use super::eye::{Look, View};
use super::fit::Fit;
use super::ground::Ground;
use super::recompute::Computed;
use super::session::Action;
use super::window::quiet_log;
use super::{
    Cause, DeviceError, MOST_STRETCH, Mood, Pick, Place, Showing, Solved, Viewpoint, climb,
    convert, device, divide, dress, eye, fit, fit_words, flags, ground, lookout, order, panels,
    scene, section, span,
};

/// The smallest and the largest side of a picture, pixels.
const SIDE: std::ops::RangeInclusive<u32> = 64..=8192;
/// Frames in which everything is put in its place, and nothing drawn yet: a frame is dear on a
/// software driver.
const BLIND: u32 = 3;
/// Longest wait for the picture, generous for a software driver on a busy machine.
pub(super) const PATIENCE: Duration = Duration::from_secs(120);

/// Held while a picture is drawn.
static ALONE: Mutex<()> = Mutex::new(());

/// What to draw.
#[derive(Clone, Debug)]
pub struct PictureRequest {
    /// The job.
    pub job: Job,
    /// Where from.
    pub viewpoint: Viewpoint,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Measured or finished.
    pub mood: Mood,
    /// The look that it is finished in, by its number among those of the job.
    pub look: usize,
    /// On paper or on slate.
    pub ground: Ground,
    /// How many times as large departures are drawn, 1 to [`MOST_STRETCH`].
    pub stretch: f64,
    /// The true stair beside it.
    pub ghost: bool,
    /// Parts to light up, by their names.
    pub lit: Vec<String>,
    /// Where its rails may come to lie, as draws of the job gave it: drawn in the measured mood.
    pub fans: Vec<Fan>,
    /// Another way to do it, drawn left of a line down the middle.
    pub beside: Option<OtherWay>,
    /// What the way right of the line is called.
    pub called: String,
    /// A newel that is set down dry, before anything is cut for it: drawn in the measured mood, seen
    /// from where its marks show.
    pub fit: Option<FitPicture>,
}

impl PictureRequest {
    /// The job as found, measured and on paper, with nothing laid over it. The size is pixels across
    /// and down.
    #[must_use]
    pub fn plain(job: Job, viewpoint: Viewpoint, (width, height): (u32, u32)) -> Self {
        Self {
            job,
            viewpoint,
            width,
            height,
            mood: Mood::Work,
            look: 0,
            ground: Ground::Paper,
            stretch: 1.0,
            ghost: false,
            lit: Vec::new(),
            fans: Vec::new(),
            beside: None,
            called: String::new(),
            fit: None,
        }
    }
}

/// Another way to do a job.
#[derive(Clone, Debug)]
pub struct OtherWay {
    /// What it is called.
    pub name: String,
    /// The job done so.
    pub job: Job,
}

/// A newel set down dry.
#[derive(Clone, Debug, PartialEq)]
pub struct FitPicture {
    /// Its name.
    pub newel: String,
    /// How far it is lifted: 0 stands in its place, 1 is clear of the stair.
    pub up: f64,
}

/// Why there is no picture.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// Nothing to draw with.
    #[error(transparent)]
    Device(#[from] DeviceError),
    /// The job cannot be set out.
    #[error(transparent)]
    Chain(#[from] ChainError),
    /// What the request asks for cannot be.
    #[error("{0}")]
    Request(String),
    /// The driver gave no picture.
    #[error("the driver gave no picture within {} s", PATIENCE.as_secs())]
    NoAnswer,
    /// The picture could not be written as PNG.
    #[error("the picture could not be packed as PNG: {0}")]
    Packing(#[from] png::EncodingError),
}

/// Draws a picture and gives it as PNG.
///
/// # Errors
/// [`PictureError`]; where there is no driver it says what to install.
pub fn picture(request: &PictureRequest) -> Result<Vec<u8>, PictureError> {
    check(request)?;
    let solved = Computed::of(&request.job)?.solved(1, (1, None));
    if lookout::eye(
        &request.viewpoint,
        &solved.found,
        &solved.found.solids,
        &super::camera::Free::whole(1.0),
    )
    .is_none()
    {
        let missing = format!("{} names nothing in this job", request.viewpoint);
        return Err(PictureError::Request(missing));
    }
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
    let pixels = drawn(&mut app)?;
    Ok(packed(&pixels, request.width, request.height)?)
}

/// Draws several pictures of one job in one go, each from its viewpoint and in its look, and gives
/// them as PNG in their order.
///
/// # Errors
/// [`PictureError`], as for [`picture`].
pub fn pictures(
    request: &PictureRequest,
    each: &[(Viewpoint, usize)],
) -> Result<Vec<Vec<u8>>, PictureError> {
    check(request)?;
    let solved = Computed::of(&request.job)?.solved(1, (1, None));
    device::driver()?;
    let (_alone, mut app) = begun(request, &solved);
    let found = solved.found.clone();
    app.insert_resource(solved);
    app.finish();
    app.cleanup();
    let mut all = Vec::new();
    for (viewpoint, look) in each {
        look_from(&mut app, viewpoint, &found);
        app.world_mut().resource_mut::<Showing>().look = *look;
        let pixels = shown(&mut app)?;
        all.push(packed(&pixels, request.width, request.height)?);
    }
    Ok(all)
}

fn check(request: &PictureRequest) -> Result<(), PictureError> {
    let (low, high) = (SIDE.start(), SIDE.end());
    if !SIDE.contains(&request.width) || !SIDE.contains(&request.height) {
        let (width, height) = (request.width, request.height);
        let says =
            format!("{width} x {height} is no size for a picture; {low} to {high} each way is");
        return Err(PictureError::Request(says));
    }
    if !(1.0..=MOST_STRETCH).contains(&request.stretch) {
        let says = format!("departures are drawn 1 to {MOST_STRETCH} times as large");
        return Err(PictureError::Request(says));
    }
    Ok(())
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
    let mut findings = solved.found.inspection.findings.iter();
    let finding = findings.find(|finding| lookout::id_of(finding) == *id)?;
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
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin {
                primary_window: None,
                exit_condition: ExitCondition::DontExit,
                ..WindowPlugin::default()
            })
            .set(RenderPlugin {
                synchronous_pipeline_compilation: true,
                ..RenderPlugin::default()
            })
            .set(quiet_log())
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
    look_from(&mut app, &request.viewpoint, &solved.found);
    app
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
fn free(request: &PictureRequest) -> Option<super::camera::Free> {
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

/// Runs the frames and waits for the picture.
fn drawn(app: &mut App) -> Result<Vec<u8>, PictureError> {
    app.finish();
    app.cleanup();
    shown(app)
}

/// Puts everything in its place and waits for the picture, of what is ready to draw.
pub(super) fn shown(app: &mut App) -> Result<Vec<u8>, PictureError> {
    for _ in 0..BLIND {
        app.update();
    }
    draw(app, true);
    caught(app)
}

/// What is drawn now, as PNG.
pub(super) fn taken(app: &mut App, size: (u32, u32)) -> Result<Vec<u8>, PictureError> {
    let pixels = caught(app)?;
    Ok(packed(&pixels, size.0, size.1)?)
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

/// Packs pixels of red, green, blue and cover into a PNG without cover.
fn packed(pixels: &[u8], width: u32, height: u32) -> Result<Vec<u8>, png::EncodingError> {
    let colours: Vec<u8> = pixels
        .chunks_exact(4)
        .flat_map(|pixel| [pixel[0], pixel[1], pixel[2]])
        .collect();
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&colours)?;
    writer.finish()?;
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_packed_picture_unpacks_to_the_same_colours() {
        let pixels: Vec<u8> = (0..4 * 3 * 4).map(|i| (i * 7 % 256) as u8).collect();
        let packed = packed(&pixels, 4, 3).unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(packed))
            .read_info()
            .unwrap();
        let mut back = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut back).unwrap();
        let colours: Vec<u8> = pixels.chunks(4).flat_map(|p| p[..3].to_vec()).collect();
        assert_eq!(back, colours);
    }
}
