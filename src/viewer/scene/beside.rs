//! A second stair, for a picture that a line divides: parts, lines, walls and strings in a layer of
//! their own, which another camera sees with the same eye.
//!
//! What belongs to working on a stair (bobs, ghost, what is picked) it has not. It stands still while
//! the line and the eye move, so it is drawn anew as a whole where it changes.

use bevy::camera::visibility::{RenderLayers, Visibility};
use bevy::light::NotShadowCaster;
use bevy::mesh::Mesh3d;
use bevy::pbr::MeshMaterial3d;
use bevy::prelude::{
    App, Commands, Component, DetectChanges as _, Entity, IntoScheduleConfigs as _, Local, Query,
    Res, Resource, Update, With,
};

use super::super::ground::{self, Ground};
use super::super::look::Stuff;
use super::super::{Mood, Showing, Solved, ViewerSystems};
use super::grain::Finishes;
use super::{Departures, Shown, nosings, parts, pencil, ready, walls};

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
        let mut part = commands.spawn((mesh, material, Visibility::default()));
        if stuff == Stuff::Glass {
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

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Beside>().add_systems(
        Update,
        draw.in_set(ViewerSystems::Sync)
            .after(ready)
            .after(walls::sync),
    );
}
