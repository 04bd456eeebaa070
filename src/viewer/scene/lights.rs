//! Sun, sky and paper: light from the open side, soft shadows, and a floor of paper that catches
//! them and fades out.

use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::RenderLayers;
use bevy::light::{
    CascadeShadowConfig, CascadeShadowConfigBuilder, DirectionalLight, GlobalAmbientLight,
    NotShadowCaster,
};
use bevy::math::Vec3;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::picking::Pickable;
use bevy::prelude::{
    AlphaMode, App, Assets, Commands, Component, DetectChanges as _, Handle,
    IntoScheduleConfigs as _, Query, Res, ResMut, Resource, Startup, Transform, Update, With,
    Without,
};
use nalgebra::Vector3;

use crate::job::Light;

use super::super::dress::Dressed;
use super::super::eye::View;
use super::super::{Mood, Showing, Solved, ViewerSystems, convert, look};
use super::beside::BESIDE;
use super::ready;

/// Light that makes a white face square to it white, lux, at Bevy's default exposure.
const FULL_LUX: f32 = 3140.0;
/// Ambient brightness that makes a white face white.
const FULL_AMBIENT: f32 = 1000.0;
/// Shadows are drawn this far before and behind what is looked at, metres.
const SHADOW_REACH_M: f32 = 7.0;
/// Radius of the paper floor, metres.
const PAPER_M: f32 = 6.0;

/// What the floor of paper is painted with.
#[derive(Resource)]
struct Paper(Handle<StandardMaterial>);

/// The light that throws shadows.
#[derive(Component)]
pub(in crate::viewer) struct Sun;

/// The floor of paper that catches shadows.
#[derive(Component)]
pub(in crate::viewer) struct Floor;

/// Its counterpart without.
#[derive(Component)]
struct Sky;

/// A light and where it shines from.
type Lamp = (&'static mut DirectionalLight, &'static mut Transform);
/// The light without shadows.
type OnlySky = (With<Sky>, Without<Sun>);

/// Shares of full light from sun, sky light and all around.
const fn shares(mood: Mood, light: Light) -> (f32, f32, f32) {
    match (mood, light) {
        (Mood::Work, _) => (0.46, 0.32, 0.98),
        (Mood::Show, Light::Day) => (0.66, 0.36, 0.52),
        (Mood::Show, Light::Evening) => (0.52, 0.06, 0.34),
    }
}

/// The colours of sun, or lamp, and of all around.
const fn tints(mood: Mood, light: Light) -> [look::Tone; 2] {
    match (mood, light) {
        (Mood::Work, _) | (Mood::Show, Light::Day) => [
            look::Tone::same([255, 246, 230]),
            look::Tone::same([255, 250, 242]),
        ],
        (Mood::Show, Light::Evening) => [
            look::Tone::same([255, 206, 146]),
            look::Tone::same([255, 222, 184]),
        ],
    }
}

fn set_up(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let sun = DirectionalLight {
        color: look::colour(look::Tone::same([255, 246, 230])),
        shadow_maps_enabled: true,
        shadow_normal_bias: 1.2,
        ..DirectionalLight::default()
    };
    commands.spawn((sun, Sun));
    let sky = DirectionalLight {
        color: look::colour(look::Tone::same([226, 234, 246])),
        ..DirectionalLight::default()
    };
    commands.spawn((sky, Sky));
    // A stair beside it has a light of its own, or each would throw its shadow on the other.
    commands.spawn((sun, Sun, RenderLayers::layer(BESIDE)));
    commands.spawn((sky, Sky, RenderLayers::layer(BESIDE)));
    let paper = materials.add(StandardMaterial {
        // The light of both moods makes the paper's own tone of white.
        base_color: look::floor_paint(),
        perceptual_roughness: 1.0,
        reflectance: 0.0,
        alpha_mode: AlphaMode::Blend,
        // It lies under and behind all else, so it is blended first.
        depth_bias: -100.0,
        ..StandardMaterial::default()
    });
    commands.insert_resource(Paper(paper.clone()));
    let place = Transform::from_xyz(1.5, -0.004, 0.0);
    let floor = (
        Mesh3d(meshes.add(paper_floor())),
        MeshMaterial3d(paper),
        place,
    );
    let on_both = RenderLayers::from_layers(&[0, BESIDE]);
    commands.spawn((Floor, floor, NotShadowCaster, Pickable::IGNORE, on_both));
}

/// A round floor that fades out to its rim.
fn paper_floor() -> Mesh {
    const RAYS: u32 = 48;
    let rings = [(0.0, 1.0), (0.45, 0.85), (0.75, 0.35), (1.0, 0.0_f32)];
    let (mut places, mut colours) = (Vec::new(), Vec::new());
    for (share, alpha) in rings {
        for ray in 0..RAYS {
            let turn = convert::single(f64::from(ray) * std::f64::consts::TAU / f64::from(RAYS));
            places.push([
                turn.cos() * share * PAPER_M,
                0.0,
                turn.sin() * share * PAPER_M,
            ]);
            colours.push([1.0, 1.0, 1.0, alpha]);
        }
    }
    let cells = (0..rings.len() as u32 - 1).flat_map(|ring| (0..RAYS).map(move |ray| (ring, ray)));
    let triangles = cells.flat_map(|(ring, ray)| {
        let next = (ray + 1) % RAYS;
        let (a, b) = (ring * RAYS + ray, ring * RAYS + next);
        [a, b, a + RAYS, b, b + RAYS, a + RAYS]
    });
    let triangles = triangles.collect();
    let normals = vec![[0.0_f32, 1.0, 0.0]; places.len()];
    Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::RENDER_WORLD,
    )
    .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, places)
    .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
    .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colours)
    .with_inserted_indices(Indices::U32(triangles))
}

/// Sets the lights to the mood, and to the side that is open.
fn shine(
    solved: Option<Res<Solved>>,
    (showing, dressed): (Res<Showing>, Res<Dressed>),
    mut ambient: ResMut<GlobalAmbientLight>,
    mut suns: Query<Lamp, With<Sun>>,
    mut skies: Query<Lamp, OnlySky>,
) {
    let Some(solved) = solved else { return };
    if !solved.is_changed() && !showing.is_changed() && !dressed.is_changed() {
        return;
    }
    let out = solved.found.first().site.outward;
    let (sun_share, sky_share, all_share) = shares(showing.mood, dressed.light());
    let [of_sun, of_all] = tints(showing.mood, dressed.light());
    let towards = |x: f64, y: f64, z: f64| {
        let along = convert::direction(&Vector3::new(x, y * out, z));
        Transform::default().looking_to(along, Vec3::Y)
    };
    for (mut light, mut place) in &mut suns {
        light.illuminance = FULL_LUX * sun_share;
        light.color = look::colour(of_sun);
        *place = towards(0.75, -0.62, -1.25);
    }
    for (mut light, mut place) in &mut skies {
        light.illuminance = FULL_LUX * sky_share;
        *place = towards(0.9, -0.9, -0.15);
    }
    ambient.brightness = FULL_AMBIENT * all_share;
    ambient.color = look::colour(of_all);
}

/// Paints the floor as the ground is.
fn lay_paper(
    showing: Res<Showing>,
    paper: Res<Paper>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    if !showing.is_changed() {
        return;
    }
    let paint = look::floor_paint();
    let other = |material: &StandardMaterial| material.base_color != paint;
    if materials.get(&paper.0).is_some_and(other)
        && let Some(mut material) = materials.get_mut(&paper.0)
    {
        material.base_color = paint;
    }
}

/// Spends the shadow map on what is looked at.
fn fit_shadows(view: Res<View>, mut suns: Query<&mut CascadeShadowConfig, With<Sun>>) {
    let Some(eye) = view.eye.filter(|_| view.is_changed()) else {
        return;
    };
    let reach = convert::length(eye.stand_off());
    let near = (reach - SHADOW_REACH_M).max(0.05);
    for mut config in &mut suns {
        *config = CascadeShadowConfigBuilder {
            num_cascades: 1,
            minimum_distance: near,
            maximum_distance: reach + SHADOW_REACH_M,
            first_cascade_far_bound: reach + SHADOW_REACH_M,
            ..CascadeShadowConfigBuilder::default()
        }
        .build();
    }
}

pub(super) fn plugin(app: &mut App) {
    app.insert_resource(GlobalAmbientLight::default())
        .add_systems(Startup, set_up)
        .add_systems(
            Update,
            (shine, lay_paper, fit_shadows)
                .in_set(ViewerSystems::Sync)
                .after(ready),
        );
}
