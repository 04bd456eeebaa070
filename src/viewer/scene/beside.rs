//! A second stair, for a picture that a line divides: parts, lines, walls and strings in a layer of
//! their own, which another camera sees with the same eye.
//!
//! What belongs to working on a stair (bobs, ghost, what is picked) it has not. It stands still while
//! the line and the eye move, so it is drawn anew as a whole where it changes.

use std::collections::HashMap;
use std::sync::Arc;

use bevy::camera::visibility::{RenderLayers, Visibility};
use bevy::light::NotShadowCaster;
use bevy::mesh::{Mesh, Mesh3d};
use bevy::pbr::MeshMaterial3d;
use bevy::prelude::{
    App, Assets, Commands, Component, DetectChanges as _, Entity, Handle, IntoScheduleConfigs as _,
    Local, Query, Ref, Res, ResMut, Resource, Update, With,
};

use crate::solids::Solids;

use super::super::ground::{self, Ground};
use super::super::look::Stuff;
use super::super::recompute::{Errand, Waker};
use super::super::{Mood, Showing, Solved, ViewerSystems};
use super::grain::Finishes;
use super::{Departures, Shown, nosings, parts, pencil, ready, shade, walls};

/// The layer that the second stair is drawn in; the first has that of everything else.
pub(in crate::viewer) const BESIDE: usize = 1;

/// The second stair, where there is one.
#[derive(Resource, Clone, Default)]
pub(in crate::viewer) struct Beside(pub(in crate::viewer) Option<Second>);

/// A stair beside the one that is shown.
#[derive(Clone)]
pub(in crate::viewer) struct Second {
    /// What the chain gave.
    pub(in crate::viewer) solved: Solved,
    /// As it is drawn.
    pub(in crate::viewer) shown: Shown,
}

impl Second {
    /// A result with departures drawn so many times as large.
    pub(in crate::viewer) fn of(solved: Solved, stretch: f64) -> Self {
        let shown = Shown::of(&solved, stretch);
        Self { solved, shown }
    }

    /// True where it is the stair of this origin, stretched as much.
    pub(in crate::viewer) fn is(&self, origin: (u64, Option<usize>), stretch: f64) -> bool {
        self.solved.origin == origin && self.shown.from.1.to_bits() == stretch.to_bits()
    }
}

#[derive(Component)]
struct OfBeside;

/// A part of the second stair, by its name.
#[derive(Component)]
pub(in crate::viewer) struct PartBeside(String);

fn draw(
    mut commands: Commands,
    beside: Res<Beside>,
    (showing, finishes): (Res<Showing>, Res<Finishes>),
    departures: Option<Res<Departures>>,
    mut makers: walls::Makers,
    mut painted: Local<Option<(Mood, Ground)>>,
    before: Query<Entity, With<OfBeside>>,
) {
    // The colours of both walls are those of one scale.
    let Some(scale) = departures else { return };
    let now = Some((showing.mood, ground::now()));
    if !beside.is_changed() && !scale.is_changed() && *painted == now {
        return;
    }
    *painted = now;
    for old in &before {
        commands.entity(old).despawn();
    }
    let Some(Second { solved, shown }) = &beside.0 else {
        return;
    };
    let mut all = Vec::new();
    for part in shown.solids.parts.iter().filter(|part| parts::drawn(part)) {
        let stuff = shown.stuff(part);
        let mesh = Mesh3d(makers.meshes.add(parts::mesh_of(part)));
        let material = MeshMaterial3d(finishes.of(stuff, showing.mood));
        let name = PartBeside(part.name.clone());
        let mut part = commands.spawn((mesh, material, Visibility::default(), name));
        if matches!(stuff, Stuff::Glass | Stuff::Thin(_)) {
            part.insert(NotShadowCaster);
        }
        all.push(part.id());
    }
    let how = (showing.mood, shown.stretch(), &*scale);
    all.extend(walls::put_up(&mut commands, &mut makers, solved, how));
    if showing.mood == Mood::Work {
        let mut lines = pencil::of_stair(shown, &mut makers.gizmos);
        lines.extend(nosings::strings(solved, shown, &mut makers.gizmos));
        all.extend(lines.into_iter().map(|lines| commands.spawn(lines).id()));
    }
    for one in all {
        let mut one = commands.entity(one);
        // It is not to be picked: it is not what the panels are about.
        one.insert((OfBeside, RenderLayers::layer(BESIDE)));
        one.remove::<super::PartRef>();
    }
}

/// The shade of the second stair.
#[derive(Default)]
struct Shading {
    /// What it is of.
    of: Option<Arc<Solids>>,
    running: Option<Errand<HashMap<String, Mesh>>>,
    done: HashMap<String, Handle<Mesh>>,
}

/// Shades the second stair as the first is: beside the window, or at once where there is none.
fn shade(
    beside: Res<Beside>,
    waker: Option<Res<Waker>>,
    mut shading: Local<Shading>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut parts: Query<(Ref<PartBeside>, &mut Mesh3d)>,
) {
    let solids = beside.0.as_ref().map(|second| second.shown.solids.clone());
    let same = match (&solids, &shading.of) {
        (Some(now), Some(of)) => Arc::ptr_eq(now, of),
        (None, None) => true,
        _ => false,
    };
    let mut fresh = None;
    if !same {
        *shading = Shading::default();
        shading.of.clone_from(&solids);
        let few = solids.filter(|solids| solids.parts.len() <= shade::MOST_PARTS);
        match (few, waker) {
            (Some(solids), Some(waker)) => {
                let work = move || shade::shaded(&solids);
                shading.running = Some(Errand::start(&waker, work));
            }
            (Some(solids), None) => fresh = Some(shade::shaded(&solids)),
            (None, _) => {}
        }
    }
    if let Some(done) = shading.running.as_ref().and_then(Errand::answer) {
        shading.running = None;
        fresh = Some(done);
    }
    let anew = fresh.is_some();
    if let Some(fresh) = fresh {
        let kept = fresh.into_iter();
        shading.done = kept.map(|(name, mesh)| (name, meshes.add(mesh))).collect();
    }
    for (part, mut mesh) in &mut parts {
        if let Some(shaded) = shading
            .done
            .get(&part.0)
            .filter(|_| anew || part.is_added())
        {
            mesh.0 = shaded.clone();
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Beside>().add_systems(
        Update,
        (draw, shade)
            .chain()
            .in_set(ViewerSystems::Sync)
            .after(ready)
            .after(walls::sync),
    );
}
