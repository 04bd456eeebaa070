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
use bevy::render::renderer::RenderAdapterInfo;
use wgpu::DeviceType;

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

/// The tile of plaster, and what it covers, mm.
#[derive(Resource)]
pub(super) struct Plaster(pub(super) Handle<Image>);

pub(super) const PLASTER_MM: f64 = 700.0;
/// The deepest that plaster darkens.
const TOOTH: f32 = 0.055;

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
    // Rings wander along the board, wide here and narrow there, and run out in arches where the saw
    // cut across them.
    let wander = noise(u, v, (2, 3), 7) * 0.30 + noise(u, v, (5, 7), 11) * 0.06;
    let arch = noise(u, v, (1, 2), 17);
    let at = (v + wander + 0.22 * arch * arch) * 9.0 + noise(u, v, (1, 4), 19) * 1.5;
    let year = at.rem_euclid(1.0);
    // The wood of a year darkens slowly and ends at once.
    let late = year * year * year * (1.0 - ((year - 0.9) * 10.0).clamp(0.0, 1.0));
    let rings = late * (0.35 + 0.65 * noise(u, v, (2, 7), 23));
    let fibre = noise(u, v, (10, 128), 3);
    let pores = (noise(u, v, (26, 200), 5) - 0.74).max(0.0) * 2.2;
    let broad = noise(u, v, (2, 5), 13);
    (0.62 * rings + 0.22 * fibre + 0.26 * broad + 0.5 * pores).clamp(0.0, 1.0)
}

/// How dark plaster is at a place of its tile, 0 to 1: the faint tooth that a float leaves.
fn tooth(u: f32, v: f32) -> f32 {
    let broad = noise(u, v, (3, 3), 31) * 0.5 + noise(u, v, (7, 6), 37) * 0.3;
    let fine = noise(u, v, (64, 57), 41) * 0.35 + noise(u, v, (128, 120), 43) * 0.3;
    (broad + fine) * 0.7
}

/// How a tile is looked up on a face that is seen along it. A processor that draws in place of a
/// graphics card walks over every place that a pixel covers there, of which a face seen end on has
/// millions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Aslant {
    Sharp,
    Plain,
}

impl Aslant {
    fn on(adapter: Option<&RenderAdapterInfo>) -> Self {
        let card = adapter.is_some_and(|about| about.device_type != DeviceType::Cpu);
        if card { Self::Sharp } else { Self::Plain }
    }

    const fn most(self) -> u16 {
        match self {
            Self::Sharp => 4,
            Self::Plain => 1,
        }
    }
}

/// The tile at a strength of grain.
fn tile(grain: f32, aslant: Aslant) -> Image {
    // Grain is warmer than the ground: it takes more off the blue.
    let dark = |u, v| {
        let dark = figure(u, v) * DEPTH * grain;
        [dark * 0.8, dark, dark * 1.22]
    };
    tile_of(dark, aslant)
}

/// A tile by how much of red, green and blue is taken off at each place.
fn tile_of(dark: impl Fn(f32, f32) -> [f32; 3], aslant: Aslant) -> Image {
    let mut data = Vec::with_capacity(ALONG * ACROSS * 4);
    let at = |pixel, of| convert::count(pixel) / convert::count(of);
    for y in 0..ACROSS {
        for x in 0..ALONG {
            let [red, green, blue] =
                dark(at(x, ALONG), at(y, ACROSS)).map(|dark| ((1.0 - dark) * 255.0) as u8);
            data.extend([red, green, blue, 255]);
        }
    }
    let size = Extent3d {
        width: ALONG as u32,
        height: ACROSS as u32,
        depth_or_array_layers: 1,
    };
    let smaller = smaller_ones(&data, (ALONG, ACROSS));
    let mut image = Image::new(
        size,
        TextureDimension::D2,
        data,
        TextureFormat::Rgba8UnormSrgb,
        RenderAssetUsages::RENDER_WORLD,
    );
    if let Some(data) = &mut image.data {
        image.texture_descriptor.mip_level_count += smaller.len() as u32;
        data.extend(smaller.into_iter().flatten());
    }
    image.sampler = ImageSampler::Descriptor(ImageSamplerDescriptor {
        address_mode_u: ImageAddressMode::Repeat,
        address_mode_v: ImageAddressMode::Repeat,
        mag_filter: ImageFilterMode::Linear,
        min_filter: ImageFilterMode::Linear,
        mipmap_filter: ImageFilterMode::Linear,
        anisotropy_clamp: aslant.most(),
        ..ImageSamplerDescriptor::default()
    });
    image
}

/// Boards that are seen through are painted before the lines that are drawn behind them, or those
/// would be washed out.
const BEFORE_LINES: f32 = -4.0;
/// The same tile at half the size, a quarter and so on: from afar the grain greys and does not crawl.
fn smaller_ones(data: &[u8], (mut wide, mut high): (usize, usize)) -> Vec<Vec<u8>> {
    let mut all: Vec<Vec<u8>> = Vec::new();
    while wide > 1 && high > 1 {
        let from = all.last().map_or(data, Vec::as_slice);
        let (w, h) = (wide / 2, high / 2);
        let mean = |x: usize, y: usize, of: usize| {
            let at = |dx, dy| u16::from(from[((2 * y + dy) * wide + 2 * x + dx) * 4 + of]);
            ((at(0, 0) + at(1, 0) + at(0, 1) + at(1, 1) + 2) / 4) as u8
        };
        let places = (0..h).flat_map(|y| (0..w).map(move |x| (x, y)));
        let next = places.flat_map(|(x, y)| [0, 1, 2, 3].map(|of| mean(x, y, of)));
        let next = next.collect();
        all.push(next);
        (wide, high) = (w, h);
    }
    all
}

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
    adapter: Option<Res<RenderAdapterInfo>>,
) {
    let aslant = Aslant::on(adapter.as_deref());
    let mut tiles: Vec<(u32, Handle<Image>)> = Vec::new();
    let mut finishes = Vec::new();
    let kinds = KINDS.into_iter().map(Stuff::Of);
    let boards = [PartKind::Tread, PartKind::Kick, PartKind::Skirt].map(Stuff::Thin);
    for stuff in kinds.chain(boards).chain([Stuff::Metal, Stuff::Glass]) {
        for mood in [Mood::Work, Mood::Show] {
            let finish = look::finish(stuff, mood);
            let strength = (finish.grain * 4.0).round() as u32;
            if strength > 0 && !tiles.iter().any(|(of, _)| *of == strength) {
                tiles.push((
                    strength,
                    images.add(tile(convert::single(strength) / 4.0, aslant)),
                ));
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
    let plaster = |u, v| {
        let dark = tooth(u, v) * TOOTH;
        [dark, dark, dark * 1.1]
    };
    commands.insert_resource(Plaster(images.add(tile_of(plaster, aslant))));
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
    fn a_smaller_tile_has_the_mean_of_the_larger_one() {
        let data: Vec<u8> = (0..8 * 4 * 4).map(|i| (i * 37 % 251) as u8).collect();
        let mean =
            |data: &[u8]| data.iter().map(|one| f64::from(*one)).sum::<f64>() / data.len() as f64;
        let smaller = smaller_ones(&data, (8, 4));
        let sizes: Vec<usize> = smaller.iter().map(Vec::len).collect();
        assert_eq!(sizes, [4 * 2 * 4, 2 * 4]);
        // Rounding is half a level at most, each time.
        for one in &smaller {
            assert!((mean(one) - mean(&data)).abs() < 1.0);
        }
    }

    #[test]
    fn the_tile_has_no_seam() {
        for i in 0..64 {
            let t = convert::single(i) / 64.0;
            assert!((figure(0.0, t) - figure(0.999_99, t)).abs() < 0.01);
            assert!((tooth(0.0, t) - tooth(0.999_99, t)).abs() < 0.01);
            assert!((tooth(t, 0.0) - tooth(t, 0.999_99)).abs() < 0.01);
            assert!((noise(t, 0.0, (6, 9), 11) - noise(t, 0.999_999, (6, 9), 11)).abs() < 0.01);
        }
    }
}
