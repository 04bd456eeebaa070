//! The grain of timber: one tile of it, made here from a fixed seed, and one material per kind of
//! part and mood.

use bevy::asset::RenderAssetUsages;
use bevy::color::Alpha as _;
use bevy::image::{Image, ImageAddressMode, ImageFilterMode, ImageSampler, ImageSamplerDescriptor};
use bevy::pbr::StandardMaterial;
use bevy::prelude::{
    AlphaMode, App, Assets, Commands, Handle, IntoScheduleConfigs as _, Local, Res, ResMut,
    Resource, Startup, Update,
};
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat};

use crate::solids::PartKind;

use super::super::ground::{self, Ground};
use super::super::look::{self, Finish, Stuff};
use super::super::{Mood, ViewerSystems, convert};

/// Pixels of the tile, along the grain and across it.
const ALONG: usize = 256;
const ACROSS: usize = 256;
/// What the tile covers, mm.
pub(super) const TILE_ALONG_MM: f64 = 1100.0;
pub(super) const TILE_ACROSS_MM: f64 = 170.0;
/// The deepest a grain line darkens at full grain.
const DEPTH: f32 = 0.30;

const KINDS: [PartKind; 14] = [
    PartKind::Floor,
    PartKind::Wall,
    PartKind::Stringer,
    PartKind::Skirt,
    PartKind::Tread,
    PartKind::Kick,
    PartKind::Newel,
    PartKind::Rail,
    PartKind::BottomRail,
    PartKind::Baluster,
    PartKind::Rosette,
    PartKind::HalfWall,
    PartKind::Shoe,
    PartKind::Panel,
];

/// The materials of all parts in both moods.
#[derive(Resource)]
pub(super) struct Finishes(Vec<((Stuff, Mood), Handle<StandardMaterial>)>);

impl Finishes {
    /// The material of a part in a mood.
    pub(super) fn of(&self, stuff: Stuff, mood: Mood) -> Handle<StandardMaterial> {
        let found = self.0.iter().find(|(key, _)| *key == (stuff, mood));
        found.map(|(_, handle)| handle.clone()).unwrap_or_default()
    }
}

/// A number from 0 to 1 for a knot of the noise lattice.
fn knot(x: usize, y: usize, seed: u32) -> f32 {
    let mut hash = (x as u32).wrapping_mul(0x9e37_79b1)
        ^ (y as u32).wrapping_mul(0x85eb_ca77)
        ^ seed.wrapping_mul(0xc2b2_ae3d);
    hash ^= hash >> 15;
    hash = hash.wrapping_mul(0x2c1b_3c6d);
    hash ^= hash >> 12;
    convert::single(hash & 0xffff) / 65535.0
}

/// Smooth noise of `cells` knots each way that repeats at the tile's edges; (u, v) in 0 to 1.
fn noise(u: f32, v: f32, cells: (usize, usize), seed: u32) -> f32 {
    let place = |t: f32, count: usize| {
        let at = t.rem_euclid(1.0) * convert::count(count);
        let low = (at as usize).min(count - 1);
        let part = at - convert::count(low);
        (low, (low + 1) % count, part * part * (3.0 - 2.0 * part))
    };
    let (x0, x1, fx) = place(u, cells.0);
    let (y0, y1, fy) = place(v, cells.1);
    let mix = |a: f32, b: f32, t: f32| a + (b - a) * t;
    mix(
        mix(knot(x0, y0, seed), knot(x1, y0, seed), fx),
        mix(knot(x0, y1, seed), knot(x1, y1, seed), fx),
        fy,
    )
}

/// How dark the grain is at a place of the tile, 0 to 1.
fn figure(u: f32, v: f32) -> f32 {
    // Rings wander slowly along the board.
    let wander = noise(u, v, (3, 4), 7) * 0.16 + noise(u, v, (6, 9), 11) * 0.05;
    let rings = ((v + wander) * std::f32::consts::TAU * 11.0).sin() * 0.5 + 0.5;
    let rings = rings.powi(3);
    let fibre = noise(u, v, (10, 128), 3);
    let pores = (noise(u, v, (26, 200), 5) - 0.72).max(0.0) * 2.6;
    let broad = noise(u, v, (2, 6), 13);
    (0.42 * rings + 0.30 * fibre + 0.22 * broad + 0.5 * pores).clamp(0.0, 1.0)
}

/// The tile at a strength of grain.
fn tile(grain: f32) -> Image {
    let mut data = Vec::with_capacity(ALONG * ACROSS * 4);
    let at = |pixel, of| convert::count(pixel) / convert::count(of);
    for y in 0..ACROSS {
        for x in 0..ALONG {
            let dark = figure(at(x, ALONG), at(y, ACROSS)) * DEPTH * grain;
            // Grain is warmer than the ground: it takes more off the blue.
            let level = |weight: f32| ((1.0 - dark * weight) * 255.0) as u8;
            data.extend([level(0.8), level(1.0), level(1.22), 255]);
        }
    }
    let size = Extent3d {
        width: ALONG as u32,
        height: ACROSS as u32,
        depth_or_array_layers: 1,
    };
    let mut image = Image::new(
        size,
        TextureDimension::D2,
        data,
        TextureFormat::Rgba8UnormSrgb,
        RenderAssetUsages::RENDER_WORLD,
    );
    image.sampler = ImageSampler::Descriptor(ImageSamplerDescriptor {
        address_mode_u: ImageAddressMode::Repeat,
        address_mode_v: ImageAddressMode::Repeat,
        mag_filter: ImageFilterMode::Linear,
        min_filter: ImageFilterMode::Linear,
        ..ImageSamplerDescriptor::default()
    });
    image
}

/// Boards that are seen through are painted before the lines that are drawn behind them, or those
/// would be washed out.
const BEFORE_LINES: f32 = -4.0;

fn material(finish: Finish, grain: Option<Handle<Image>>) -> StandardMaterial {
    StandardMaterial {
        base_color: look::colour(finish.colour).with_alpha(finish.cover),
        alpha_mode: if finish.cover < 1.0 {
            AlphaMode::Blend
        } else {
            AlphaMode::Opaque
        },
        base_color_texture: grain,
        perceptual_roughness: finish.rough,
        reflectance: 0.3 * (1.0 - finish.rough) + 0.1,
        ..StandardMaterial::default()
    }
}

fn make(
    mut commands: Commands,
    mut images: ResMut<Assets<Image>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let mut tiles: Vec<(u32, Handle<Image>)> = Vec::new();
    let mut finishes = Vec::new();
    let kinds = KINDS.into_iter().map(Stuff::Of);
    let boards = [PartKind::Tread, PartKind::Kick, PartKind::Skirt].map(Stuff::Thin);
    for stuff in kinds.chain(boards).chain([Stuff::Metal, Stuff::Glass]) {
        for mood in [Mood::Work, Mood::Show] {
            let finish = look::finish(stuff, mood);
            let strength = (finish.grain * 4.0).round() as u32;
            if strength > 0 && !tiles.iter().any(|(of, _)| *of == strength) {
                tiles.push((strength, images.add(tile(convert::single(strength) / 4.0))));
            }
            let found = tiles.iter().find(|(of, _)| *of == strength);
            let grain = found.map(|(_, handle)| handle.clone());
            let mut made = material(finish, grain);
            if matches!(stuff, Stuff::Thin(_)) {
                made.depth_bias = BEFORE_LINES;
            }
            finishes.push(((stuff, mood), materials.add(made)));
        }
    }
    commands.insert_resource(Finishes(finishes));
}

/// Paints them again where the ground changed.
fn repaint(
    finishes: Res<Finishes>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut before: Local<Ground>,
) {
    if std::mem::replace(&mut *before, ground::now()) == ground::now() {
        return;
    }
    for ((stuff, mood), handle) in &finishes.0 {
        if let Some(mut material) = materials.get_mut(handle) {
            let finish = look::finish(*stuff, *mood);
            material.base_color = look::colour(finish.colour).with_alpha(finish.cover);
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Startup, make)
        .add_systems(Update, repaint.in_set(ViewerSystems::Sync));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tile_has_no_seam() {
        for i in 0..64 {
            let t = convert::single(i) / 64.0;
            assert!((figure(0.0, t) - figure(0.999_99, t)).abs() < 0.01);
            assert!((noise(t, 0.0, (6, 9), 11) - noise(t, 0.999_999, (6, 9), 11)).abs() < 0.01);
        }
    }
}
