//! The grain of timber: one tile of it, made here from a fixed seed, and one material per kind of
//! part and mood.

use bevy::asset::RenderAssetUsages;
use bevy::color::Alpha as _;
use bevy::image::{Image, ImageAddressMode, ImageFilterMode, ImageSampler, ImageSamplerDescriptor};
use bevy::pbr::StandardMaterial;
use bevy::prelude::{
    AlphaMode, App, Assets, Commands, DetectChanges as _, Handle, IntoScheduleConfigs as _, Local,
    Res, ResMut, Resource, Startup, Update,
};
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat};
use bevy::render::renderer::RenderAdapterInfo;
use wgpu::DeviceType;

use crate::publish::finish::grain::{ACROSS, ALONG, taken_by_grain, taken_by_plaster};
use crate::solids::PartKind;

use super::super::dress::Dressed;
use super::super::ground::{self, Ground};
use super::super::look::{self, Finish, Stuff};
use super::super::{Mood, ViewerSystems, convert};

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
    tile_of(|u, v| taken_by_grain(u, v, grain), aslant)
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
        metallic: finish.metal,
        reflectance: 0.3 * (1.0 - finish.rough) + 0.1,
        ..StandardMaterial::default()
    }
}

/// The tiles of grain by their strength, in quarters.
#[derive(Resource)]
struct Tiles {
    made: Vec<(u32, Handle<Image>)>,
    aslant: Aslant,
}

impl Tiles {
    fn of(&mut self, images: &mut Assets<Image>, finish: &Finish) -> Option<Handle<Image>> {
        let strength = (finish.grain * 4.0).round() as u32;
        if strength == 0 {
            return None;
        }
        if let Some((_, made)) = self.made.iter().find(|(of, _)| *of == strength) {
            return Some(made.clone());
        }
        let made = images.add(tile(convert::single(strength) / 4.0, self.aslant));
        self.made.push((strength, made.clone()));
        Some(made)
    }
}

fn make(
    mut commands: Commands,
    mut images: ResMut<Assets<Image>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    dressed: Res<Dressed>,
    adapter: Option<Res<RenderAdapterInfo>>,
) {
    let aslant = Aslant::on(adapter.as_deref());
    let mut tiles = Tiles {
        made: Vec::new(),
        aslant,
    };
    let mut finishes = Vec::new();
    let kinds = KINDS.into_iter().map(Stuff::Of);
    let boards = [PartKind::Tread, PartKind::Kick, PartKind::Skirt].map(Stuff::Thin);
    for stuff in kinds.chain(boards).chain([Stuff::Metal, Stuff::Glass]) {
        for mood in [Mood::Work, Mood::Show] {
            let finish = look::finish(stuff, mood, &dressed);
            let grain = tiles.of(&mut images, &finish);
            let mut made = material(finish, grain);
            if matches!(stuff, Stuff::Thin(_)) {
                made.depth_bias = BEFORE_LINES;
            }
            finishes.push(((stuff, mood), materials.add(made)));
        }
    }
    commands.insert_resource(Finishes(finishes));
    commands.insert_resource(tiles);
    commands.insert_resource(Plaster(images.add(tile_of(taken_by_plaster, aslant))));
}

/// Paints them again where the ground or the look changed.
fn repaint(
    finishes: Res<Finishes>,
    dressed: Res<Dressed>,
    mut tiles: ResMut<Tiles>,
    mut images: ResMut<Assets<Image>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut before: Local<Ground>,
) {
    let on_other = std::mem::replace(&mut *before, ground::now()) != ground::now();
    if !on_other && !dressed.is_changed() {
        return;
    }
    for ((stuff, mood), handle) in &finishes.0 {
        if *mood == Mood::Work && !on_other {
            continue;
        }
        if let Some(mut painted) = materials.get_mut(handle) {
            let finish = look::finish(*stuff, *mood, &dressed);
            let grain = tiles.of(&mut images, &finish);
            let depth_bias = painted.depth_bias;
            *painted = StandardMaterial {
                depth_bias,
                ..material(finish, grain)
            };
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
}
