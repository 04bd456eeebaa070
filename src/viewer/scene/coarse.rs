//! The stair drawn coarser than the window, where nothing else is left to shed: fewer pixels, stretched
//! over the whole before words and panels are laid on. What one points at stays where it is.

use bevy::asset::{Handle, load_internal_asset, uuid_handle};
use bevy::camera::MainPassResolutionOverride;
use bevy::core_pipeline::fullscreen_material::{FullscreenMaterial, FullscreenMaterialPlugin};
use bevy::math::Vec2;
use bevy::prelude::{
    App, Assets, Commands, Component, Entity, IntoScheduleConfigs as _, Query, Shader,
};
use bevy::render::camera::ExtractedCamera;
use bevy::render::extract_component::ExtractComponent;
use bevy::render::render_resource::ShaderType;
use bevy::render::{Render, RenderApp, RenderSystems};
use bevy::shader::ShaderRef;

/// The shader that stretches the picture.
const STRETCHES: Handle<Shader> = uuid_handle!("7a0f4f4e-5d0b-4f0e-9c69-7a5d2c51b3e4");

/// A camera that draws only this share of its pixels, across and down.
#[derive(Component, ExtractComponent, ShaderType, Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Coarse {
    share: Vec2,
}

impl Coarse {
    /// A little less than every other pixel across and down: whole pixels at the usual sizes of a window.
    pub(super) const FEWER: Self = Self {
        share: Vec2::splat(0.45),
    };

    /// What a line is drawn thicker by: enough to hold together, and less than what would run rows of
    /// balusters into one.
    pub(super) fn thicker(&self) -> f32 {
        0.7 / self.share.x
    }
}

impl FullscreenMaterial for Coarse {
    fn fragment_shader() -> ShaderRef {
        STRETCHES.into()
    }
}

/// Tells the drawing how many pixels it has.
fn narrow(
    mut commands: Commands,
    cameras: Query<(
        Entity,
        &ExtractedCamera,
        Option<&Coarse>,
        Option<&MainPassResolutionOverride>,
    )>,
) {
    for (entity, camera, coarse, narrowed) in &cameras {
        let Some((coarse, size)) = coarse.zip(camera.physical_viewport_size) else {
            if narrowed.is_some() {
                commands
                    .entity(entity)
                    .remove::<MainPassResolutionOverride>();
            }
            continue;
        };
        let few = (size.as_vec2() * coarse.share)
            .as_uvec2()
            .max(bevy::math::UVec2::ONE);
        commands
            .entity(entity)
            .insert(MainPassResolutionOverride(few));
    }
}

pub(super) fn plugin(app: &mut App) {
    // A window that is driven without anything to draw with has no shaders.
    if !app.world().contains_resource::<Assets<Shader>>() {
        return;
    }
    load_internal_asset!(app, STRETCHES, "coarse.wgsl", Shader::from_wgsl);
    app.add_plugins(FullscreenMaterialPlugin::<Coarse>::default());
    if let Some(drawing) = app.get_sub_app_mut(RenderApp) {
        drawing.add_systems(Render, narrow.in_set(RenderSystems::CreateViews));
    }
}
