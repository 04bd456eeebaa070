//! What a cause can be pointed at, lit up: a violet wash over its parts and a line around them.

use bevy::color::Alpha as _;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Mesh, Mesh3d};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::prelude::{
    AlphaMode, App, Assets, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Query, Res, ResMut, Update, With,
};

use super::super::edges::drawn_edges;
use super::super::{Mood, Showing, ViewerSystems, look};
use super::{Shown, parts, pencil, ready};

/// How much of the part the wash covers.
const COVER: f32 = 0.42;
/// The wash lies over the face that it is laid on.
const OVER: f32 = 60.0;

#[derive(Component)]
struct OfCause;

/// What it is drawn with.
#[derive(bevy::ecs::system::SystemParam)]
struct Drawing<'w, 's> {
    commands: Commands<'w, 's>,
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    lines: ResMut<'w, Assets<GizmoAsset>>,
}

fn sync(
    shown: Option<Res<Shown>>,
    showing: Res<Showing>,
    mut drawing: Drawing,
    before: Query<Entity, With<OfCause>>,
) {
    let Some(shown) = shown else { return };
    if !shown.is_changed() && !showing.is_changed() {
        return;
    }
    for old in &before {
        drawing.commands.entity(old).despawn();
    }
    let (Some(cause), Mood::Work) = (&showing.cause, showing.mood) else {
        return;
    };
    let wash = drawing.materials.add(StandardMaterial {
        base_color: look::colour(look::INDELIBLE).with_alpha(COVER),
        alpha_mode: AlphaMode::Blend,
        unlit: true,
        depth_bias: OVER,
        ..StandardMaterial::default()
    });
    let lit = shown.solids.parts.iter();
    for part in lit.filter(|part| cause.parts.contains(&part.name)) {
        drawing.commands.spawn((
            Mesh3d(drawing.meshes.add(parts::mesh_of(part))),
            MeshMaterial3d(wash.clone()),
            NotShadowCaster,
            OfCause,
        ));
        let edges = drawn_edges(&part.pieces);
        let around = pencil::lines(
            &mut drawing.lines,
            edges,
            look::colour(look::INDELIBLE),
            2.6,
        );
        drawing.commands.spawn((around, OfCause));
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}
