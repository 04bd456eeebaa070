//! Frames measured: the whole window without a window, a newel dragged in it by a script, and what
//! each frame took. For the bench, which also gets a picture of the last one.

mod spent;

use std::time::{Duration, Instant};

use bevy::app::{PluginGroup as _, PostStartup, TerminalCtrlCHandlerPlugin};
use bevy::prelude::{
    App, DefaultPlugins, IntoScheduleConfigs as _, MessageWriter, Res, ResMut, Resource, Update,
};
use bevy::render::RenderPlugin;
use bevy::render::renderer::{RenderAdapterInfo, RenderDevice};
use bevy::winit::WinitPlugin;

use crate::job::Document;

use super::eye::View;
use super::panels::nudge;
use super::picture::{self, PATIENCE};
use super::recompute::Work;
use super::scene::Effects;
use super::session::{Action, Change, Session};
use super::window;
use super::{Ground, Mood, Pick, PictureError, Showing, Solved, ViewerSystems, convert, device};
use spent::Spent;

/// What to measure.
#[derive(Clone, Debug)]
pub struct FramesRequest {
    /// The job.
    pub document: Document,
    /// The newel that is dragged.
    pub newel: String,
    /// Pixels across and down.
    pub size: (u32, u32),
    /// Measured or finished.
    pub mood: Mood,
    /// On paper or on slate.
    pub ground: Ground,
    /// Frames that are drawn and not counted, and frames that are.
    pub frames: (usize, usize),
    /// Clocks are put between the steps of each frame.
    pub apart: bool,
}

/// What was measured.
#[derive(Clone, Debug)]
pub struct Frames {
    /// What drew it.
    pub drawn_by: String,
    /// From the asking to the first frame with everything in it.
    pub first: Duration,
    /// What each frame took, drawn to its end.
    pub each: Vec<Duration>,
    /// What each step of a frame took on average, where that was asked for; the window's and the
    /// drawing's run beside one another.
    pub spent: Vec<(String, Duration)>,
    /// What each frame took with nothing pulled, drawn all the same.
    pub still: Vec<Duration>,
    /// Times that the stair was set out anew meanwhile.
    pub results: u64,
    /// Steps of effects that were shed at the end.
    pub shed: usize,
    /// Parts drawn.
    pub parts: usize,
    /// The last of them as PNG.
    pub picture: Vec<u8>,
}

/// The hand that drags.
#[derive(Resource)]
struct Hand {
    newel: Pick,
    pulls: bool,
    frame: usize,
}

/// Marks that it goes up the flight before it comes back.
const STROKE: usize = 12;
/// Holds the newel one mark farther in each frame, as a hand does that pulls it: what is held is
/// only tried.
fn pull(mut hand: ResMut<Hand>, session: Res<Session>, mut actions: MessageWriter<Action>) {
    if !hand.pulls {
        return;
    }
    let at = hand.frame % (2 * STROKE);
    hand.frame += 1;
    let marks = at.min(2 * STROKE - at) + 1;
    let held = nudge(
        &session.document,
        Some(&hand.newel),
        convert::count(marks).into(),
    );
    if let Some(Action::Edit { path, value, .. }) = held {
        actions.write(Action::Try(Some(Change::Set(vec![(path, value)]))));
    }
}

fn app(request: &FramesRequest) -> (App, Option<Spent>) {
    let plugins = DefaultPlugins
        .set(window::window())
        .set(RenderPlugin {
            synchronous_pipeline_compilation: true,
            ..RenderPlugin::default()
        })
        .set(window::quiet_log())
        .disable::<TerminalCtrlCHandlerPlugin>()
        .disable::<WinitPlugin>();
    let mut app = window::app(plugins, request.document.clone(), None);
    app.insert_resource(picture::Size(request.size.0, request.size.1))
        .insert_resource(Hand {
            newel: Pick::Part(request.newel.clone()),
            pulls: false,
            frame: 0,
        })
        .insert_resource(request.ground)
        .insert_resource(Showing {
            mood: request.mood,
            ..Showing::default()
        })
        .add_systems(PostStartup, picture::aim)
        .add_systems(Update, pull.in_set(ViewerSystems::Input));
    app.finish();
    let spent = request.apart.then(|| Spent::watch(&mut app));
    app.cleanup();
    (app, spent)
}

/// So many frames, each measured.
fn measured(app: &mut App, count: usize) -> Vec<Duration> {
    let one = |_| {
        let began = Instant::now();
        frame(app);
        began.elapsed()
    };
    (0..count).map(one).collect()
}

/// One frame, drawn to its end.
fn frame(app: &mut App) {
    app.update();
    if let Some(device) = app.world().get_resource::<RenderDevice>() {
        // A lost device is told by Bevy itself.
        let _polled = device.poll(wgpu::PollType::wait_indefinitely());
    }
}

/// Draws frames with a newel dragged, and measures them.
///
/// # Errors
/// [`PictureError`]: nothing to draw with, or a job that cannot be set out.
pub fn frames(request: &FramesRequest) -> Result<Frames, PictureError> {
    let began = Instant::now();
    device::driver()?;
    let (mut app, spent) = app(request);
    while !app.world().contains_resource::<Solved>() || app.world().resource::<View>().moving() {
        frame(&mut app);
        let failed = app.world().resource::<Work>().error.clone();
        if let Some(error) = failed {
            return Err(PictureError::Request(error));
        }
        if began.elapsed() > PATIENCE {
            return Err(PictureError::NoAnswer);
        }
    }
    frame(&mut app);
    frame(&mut app);
    let first = began.elapsed();
    let still = measured(&mut app, request.frames.1.div_ceil(12));
    app.world_mut().resource_mut::<Hand>().pulls = true;
    for _ in 0..request.frames.0 {
        frame(&mut app);
    }
    let done = |app: &App| app.world().resource::<Work>().generation;
    let results = done(&app);
    if let Some(spent) = &spent {
        spent.forget();
    }
    let each = measured(&mut app, request.frames.1);
    let results = done(&app) - results;
    let spent = spent.map_or_else(Vec::new, |spent| spent.of_each(request.frames.1));
    let shed = app.world().resource::<Effects>().shed;
    app.world_mut().resource_mut::<Hand>().pulls = false;
    let about = app.world().get_resource::<RenderAdapterInfo>();
    let parts = app.world().resource::<Solved>().found.solids.parts.len();
    Ok(Frames {
        drawn_by: about.map_or_else(String::new, |about| about.name.clone()),
        first,
        each,
        spent,
        still,
        results,
        shed,
        parts,
        picture: picture::taken(&mut app, request.size)?,
    })
}
