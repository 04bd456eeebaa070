//! The materials of a file: one for each surface that a look gives a part, and the tiles they show.

use gltf_json::image::MimeType;
use gltf_json::material::{AlphaMode, PbrBaseColorFactor, PbrMetallicRoughness, StrengthFactor};
use gltf_json::texture::{Info, MagFilter, MinFilter, Sampler, WrappingMode};
use gltf_json::validation::Checked::Valid;
use gltf_json::{Image, Index, Material, Texture};

use crate::publish::finish::grain::{self, taken_by_grain, taken_by_plaster};
use crate::publish::finish::{Surface, linear};

use super::file::Arrays;

/// What a surface shows beside its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tile {
    /// Grain, in so many quarters of its strength.
    Grain(u8),
    /// Plaster.
    Plaster,
}

/// The materials of a file.
#[derive(Debug, Default)]
pub(super) struct Paints {
    /// What each was made of.
    made: Vec<(Surface, bool)>,
    pub(super) materials: Vec<Material>,
    tiles: Vec<Tile>,
    pub(super) images: Vec<Image>,
    pub(super) textures: Vec<Texture>,
}

impl Paints {
    /// The material of a surface: of plaster, or of what its grain says.
    pub(super) fn of(
        &mut self,
        arrays: &mut Arrays,
        name: &str,
        surface: Surface,
        plaster: bool,
    ) -> Index<Material> {
        if let Some(at) = self.made.iter().position(|one| *one == (surface, plaster)) {
            return Index::new(at as u32);
        }
        let tile = if plaster {
            Some(Tile::Plaster)
        } else {
            let quarters = (surface.grain * 4.0).round() as u8;
            (quarters > 0).then_some(Tile::Grain(quarters))
        };
        let texture = tile.map(|tile| self.texture(arrays, tile));
        let [red, green, blue] = surface.colour.0.map(|one| linear(one) as f32);
        self.made.push((surface, plaster));
        self.materials.push(Material {
            name: Some(name.to_owned()),
            alpha_mode: Valid(if surface.cover < 1.0 {
                AlphaMode::Blend
            } else {
                AlphaMode::Opaque
            }),
            pbr_metallic_roughness: PbrMetallicRoughness {
                base_color_factor: PbrBaseColorFactor([red, green, blue, surface.cover]),
                base_color_texture: texture.map(|index| Info {
                    index,
                    tex_coord: 0,
                    extensions: None,
                    extras: None,
                }),
                metallic_factor: StrengthFactor(surface.metal),
                roughness_factor: StrengthFactor(surface.rough),
                ..PbrMetallicRoughness::default()
            },
            ..Material::default()
        });
        Index::new(self.materials.len() as u32 - 1)
    }

    fn texture(&mut self, arrays: &mut Arrays, tile: Tile) -> Index<Texture> {
        if let Some(at) = self.tiles.iter().position(|one| *one == tile) {
            return Index::new(at as u32);
        }
        let png = match tile {
            Tile::Grain(quarters) => {
                painted(|u, v| taken_by_grain(u, v, f32::from(quarters) / 4.0))
            }
            Tile::Plaster => painted(taken_by_plaster),
        };
        let view = arrays.view(&png, None);
        self.images.push(Image {
            buffer_view: Some(view),
            mime_type: Some(MimeType("image/png".to_owned())),
            name: None,
            uri: None,
            extensions: None,
            extras: None,
        });
        self.tiles.push(tile);
        self.textures.push(Texture {
            name: None,
            sampler: Some(Index::new(0)),
            source: Index::new(self.images.len() as u32 - 1),
            extensions: None,
            extras: None,
        });
        Index::new(self.textures.len() as u32 - 1)
    }

    /// How the tiles are looked up: they repeat, and grey from afar.
    pub(super) fn samplers(&self) -> Vec<Sampler> {
        if self.textures.is_empty() {
            return Vec::new();
        }
        vec![Sampler {
            mag_filter: Some(Valid(MagFilter::Linear)),
            min_filter: Some(Valid(MinFilter::LinearMipmapLinear)),
            wrap_s: Valid(WrappingMode::Repeat),
            wrap_t: Valid(WrappingMode::Repeat),
            ..Sampler::default()
        }]
    }
}

/// Steps of darkness in a tile: more are not seen, and the file stays small.
const STEPS: usize = 48;

/// A tile as PNG: a table of colours from full light to the darkest, and one of them for each place.
fn painted(taken: impl Fn(f32, f32) -> [f32; 3]) -> Vec<u8> {
    let share = |pixel: usize, of: usize| (pixel as f32 + 0.5) / of as f32;
    let places = (0..grain::ACROSS).flat_map(|y| (0..grain::ALONG).map(move |x| (x, y)));
    let all: Vec<[f32; 3]> = places
        .map(|(x, y)| taken(share(x, grain::ALONG), share(y, grain::ACROSS)))
        .collect();
    // What is taken off the three goes together, so one number tells a place.
    let deepest = all.iter().copied().fold(
        [0.0; 3],
        |deep: [f32; 3], one| {
            if one[1] > deep[1] { one } else { deep }
        },
    );
    let step = |one: &[f32; 3]| {
        let share = if deepest[1] > 0.0 {
            one[1] / deepest[1]
        } else {
            0.0
        };
        (share * (STEPS - 1) as f32).round() as u8
    };
    let table = (0..STEPS).flat_map(|at| {
        let share = at as f32 / (STEPS - 1) as f32;
        deepest.map(|deep| ((1.0 - deep * share) * 255.0).round() as u8)
    });
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, grain::ALONG as u32, grain::ACROSS as u32);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(table.collect::<Vec<u8>>());
    encoder.set_compression(png::Compression::High);
    let written = encoder
        .write_header()
        .and_then(|mut writer| writer.write_image_data(&all.iter().map(step).collect::<Vec<u8>>()));
    written.expect("a tile of known size is written into memory");
    file
}
