//! Where a frame goes: the time of each step of the window's own work and of the drawing's, which
//! run beside one another, added up over the frames that count.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use bevy::app::{First, MainScheduleOrder, PostUpdate};
use bevy::ecs::schedule::ScheduleLabel;
use bevy::prelude::{App, IntoScheduleConfigs as _, ResMut, Resource, Update};
use bevy::render::{Render, RenderApp, RenderSystems};
use bevy_egui::EguiPostUpdateSet;

use super::super::ViewerSystems;

/// What was added up, by step, in the order of the steps.
type Sums = BTreeMap<(usize, String), Duration>;

/// The clock of one of the two worlds.
#[derive(Resource, Clone)]
struct Clock {
    at: Instant,
    sums: Arc<Mutex<Sums>>,
}

impl Clock {
    fn new(sums: &Arc<Mutex<Sums>>) -> Self {
        Self {
            at: Instant::now(),
            sums: sums.clone(),
        }
    }

    /// Adds what passed since the last call to a step.
    fn passed(&mut self, order: usize, step: &str) {
        let now = Instant::now();
        let spent = now - self.at;
        self.at = now;
        let mut sums = self.sums.lock().unwrap_or_else(PoisonError::into_inner);
        *sums.entry((order, step.to_owned())).or_default() += spent;
    }
}

/// A schedule between two of Bevy's, which stops the clock.
#[derive(ScheduleLabel, Clone, Debug, PartialEq, Eq, Hash)]
struct Between(usize);

/// A system that books the time since the last under a step.
fn books(order: usize, step: String) -> impl FnMut(ResMut<Clock>) {
    move |mut clock: ResMut<Clock>| clock.passed(order, &step)
}

/// The clocks of an app; read when its frames are drawn.
pub(super) struct Spent(Arc<Mutex<Sums>>);

impl Spent {
    /// Puts clocks between the steps of a frame. Before the app's plugins are cleaned up.
    pub(super) fn watch(app: &mut App) -> Self {
        let sums = Arc::new(Mutex::new(Sums::new()));
        app.insert_resource(Clock::new(&sums));
        let labels = app.world().resource::<MainScheduleOrder>().labels.clone();
        let mut between = Vec::new();
        for (number, label) in labels.into_iter().enumerate() {
            let step = format!("window: {label:?}");
            app.add_systems(Between(number), books(number * 10 + 9, step));
            between.extend([label, Between(number).intern()]);
        }
        app.world_mut().resource_mut::<MainScheduleOrder>().labels = between;
        Self::within_update(app);
        app.add_systems(First, books(0, "window: waits and hands over".to_owned()));
        Self::drawing(app, &sums);
        Self(sums)
    }

    /// The steps of our own within the update, and the panels.
    fn within_update(app: &mut App) {
        let sets = [
            (ViewerSystems::Input, "input"),
            (ViewerSystems::Edit, "edit"),
            (ViewerSystems::Recompute, "recompute"),
            (ViewerSystems::Sync, "sync"),
        ];
        for (number, (set, step)) in sets.into_iter().enumerate() {
            let booked = books(30 + number, format!("window: Update, {step}"));
            let system = booked.after(set);
            match sets.get(number + 1) {
                Some((next, _)) => app.add_systems(Update, system.before(*next)),
                None => app.add_systems(Update, system),
            };
        }
        let before = books(50, "window: PostUpdate, before the panels".to_owned());
        let panels = books(51, "window: PostUpdate, panels".to_owned());
        app.add_systems(
            PostUpdate,
            (
                before.before(EguiPostUpdateSet::EndPass),
                panels
                    .after(EguiPostUpdateSet::EndPass)
                    .before(EguiPostUpdateSet::ProcessOutput),
            ),
        );
    }

    fn drawing(app: &mut App, sums: &Arc<Mutex<Sums>>) {
        let Some(drawing) = app.get_sub_app_mut(RenderApp) else {
            return;
        };
        drawing.insert_resource(Clock::new(sums));
        let sets = [
            RenderSystems::ExtractCommands,
            RenderSystems::PrepareAssets,
            RenderSystems::PrepareMeshes,
            RenderSystems::CreateViews,
            RenderSystems::Specialize,
            RenderSystems::PrepareViews,
            RenderSystems::Queue,
            RenderSystems::PhaseSort,
            RenderSystems::Prepare,
            RenderSystems::Render,
            RenderSystems::Cleanup,
        ];
        drawing.add_systems(
            Render,
            books(100, "drawing: waits".to_owned()).before(RenderSystems::ExtractCommands),
        );
        for (number, set) in sets.iter().enumerate() {
            let step = format!("drawing: {set:?}");
            let system = books(101 + number, step).after(set.clone());
            match sets.get(number + 1) {
                Some(next) => drawing.add_systems(Render, system.before(next.clone())),
                None => drawing.add_systems(Render, system.before(RenderSystems::PostCleanup)),
            };
        }
    }

    /// Forgets what was added up.
    pub(super) fn forget(&self) {
        self.sums().clear();
    }

    /// Each step with its time for one frame.
    pub(super) fn of_each(&self, frames: usize) -> Vec<(String, Duration)> {
        let count = u32::try_from(frames.max(1)).unwrap_or(u32::MAX);
        let sums = self.sums();
        let each = sums
            .iter()
            .map(|((_, step), sum)| (step.clone(), *sum / count));
        each.collect()
    }

    fn sums(&self) -> std::sync::MutexGuard<'_, Sums> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
