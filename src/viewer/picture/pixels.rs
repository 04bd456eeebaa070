//! A picture as pixels, several of them averaged as light, and as PNG.

use std::io::Write;

use crate::publish::finish::{encoded, linear};
use crate::publish::pdf::Page;

use super::super::convert;
use super::super::sheets::paper::paint;

/// A drawn picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Pixels {
    /// Pixels across and down.
    pub size: (u32, u32),
    /// Red, green, blue (sRGB, IEC 61966-2-1) and cover of each, line by line. Colours are those of
    /// what covers, not thinned by its cover.
    pub each: Vec<u8>,
}

impl Pixels {
    /// What a renderer gave: its colours are thinned by their cover where that is not whole.
    pub(super) fn new(size: (u32, u32), mut each: Vec<u8>) -> Self {
        for pixel in each.chunks_exact_mut(4) {
            if let [red, green, blue, cover] = pixel
                && (1..255).contains(cover)
            {
                let share = f64::from(*cover) / 255.0;
                for part in [red, green, blue] {
                    *part = encoded((linear(*part) / share).min(1.0));
                }
            }
        }
        Self { size, each }
    }

    /// The picture as PNG, with its cover or without.
    ///
    /// # Errors
    /// [`png::EncodingError`], where it does not fit into a PNG.
    pub fn png(&self, with_cover: bool) -> Result<Vec<u8>, png::EncodingError> {
        let mut out = Vec::new();
        let mut writer = encoder(&mut out, self.size, with_cover).write_header()?;
        if with_cover {
            writer.write_image_data(&self.each)?;
        } else {
            writer.write_image_data(&self.colours())?;
        }
        writer.finish()?;
        Ok(out)
    }

    /// Red, green and blue of each pixel.
    pub(super) fn colours(&self) -> Vec<u8> {
        let pixels = self.each.chunks_exact(4);
        pixels
            .flat_map(|pixel| [pixel[0], pixel[1], pixel[2]])
            .collect()
    }
}

/// What packs pictures of a size as PNG, with their cover or without.
pub(super) fn encoder<W: Write>(
    to: W,
    (width, height): (u32, u32),
    with_cover: bool,
) -> png::Encoder<'static, W> {
    let mut encoder = png::Encoder::new(to, width, height);
    encoder.set_color(if with_cover {
        png::ColorType::Rgba
    } else {
        png::ColorType::Rgb
    });
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
    encoder
}

/// Pictures that are averaged: as light, not as numbers, for the eye sees light.
pub(super) struct Mean {
    sums: Vec<f32>,
    count: u32,
    light: [f32; 256],
}

impl Mean {
    /// Of pictures of so many pixels.
    pub(super) fn new((width, height): (u32, u32)) -> Self {
        let numbers = width as usize * height as usize * 4;
        let light = std::array::from_fn(|value| {
            let value = u8::try_from(value).unwrap_or(u8::MAX);
            convert::single(linear(value))
        });
        Self {
            sums: vec![0.0; numbers],
            count: 0,
            light,
        }
    }

    /// Adds what a renderer gave.
    pub(super) fn add(&mut self, pixels: &[u8]) {
        self.count += 1;
        for (sums, pixel) in self.sums.chunks_exact_mut(4).zip(pixels.chunks_exact(4)) {
            for (sum, part) in sums.iter_mut().zip(pixel).take(3) {
                *sum += self.light[usize::from(*part)];
            }
            sums[3] += f32::from(pixel[3]) / 255.0;
        }
    }

    /// The average of all that was added; nothing covered where there was none.
    pub(super) fn pixels(self, size: (u32, u32)) -> Pixels {
        let count = f64::from(self.count.max(1));
        let each = self.sums.chunks_exact(4).flat_map(|sums| {
            let [red, green, blue, cover] = [0, 1, 2, 3].map(|part| f64::from(sums[part]) / count);
            let thinned = if cover > 0.0 { cover } else { 1.0 };
            let part = |light: f64| encoded((light / thinned).min(1.0));
            [
                part(red),
                part(green),
                part(blue),
                (cover * 255.0).round() as u8,
            ]
        });
        Pixels {
            size,
            each: each.collect(),
        }
    }
}

/// Paints a sheet so many pixels wide, as PNG; no side is longer than a picture's.
///
/// # Errors
/// [`png::EncodingError`], where it does not fit into a PNG.
pub fn paint_sheet(sheet: &Page, wide: u32) -> Result<Vec<u8>, png::EncodingError> {
    let painted = paint(sheet, wide.into());
    let side = |side: usize| u32::try_from(side).unwrap_or(u32::MAX);
    let pixels = Pixels {
        size: (side(painted.size[0]), side(painted.size[1])),
        each: painted.pixels,
    };
    pixels.png(false)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unpacked(png: Vec<u8>) -> Vec<u8> {
        let mut reader = png::Decoder::new(std::io::Cursor::new(png))
            .read_info()
            .unwrap();
        let mut back = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut back).unwrap();
        back
    }

    #[test]
    fn a_packed_picture_unpacks_to_the_same_colours() {
        let each: Vec<u8> = (0..4 * 3 * 4).map(|i| (i * 7 % 256) as u8).collect();
        let pixels = Pixels { size: (4, 3), each };
        let colours: Vec<u8> = pixels
            .each
            .chunks(4)
            .flat_map(|p| p[..3].to_vec())
            .collect();
        assert_eq!(unpacked(pixels.png(false).unwrap()), colours);
        assert_eq!(unpacked(pixels.png(true).unwrap()), pixels.each);
    }

    #[test]
    fn pictures_are_averaged_as_light() {
        // Half black, half white sends half the light; sRGB writes that as 188 (IEC 61966-2-1).
        let mut mean = Mean::new((1, 1));
        mean.add(&[0, 0, 0, 255]);
        mean.add(&[255, 255, 255, 255]);
        assert_eq!(mean.pixels((1, 1)).each, [188, 188, 188, 255]);
    }

    #[test]
    fn an_edge_before_nothing_keeps_its_colour_and_loses_cover() {
        // A renderer's edge: half covered, so half the light of a full red.
        let edge = Pixels::new((1, 1), vec![188, 0, 0, 128]);
        assert_eq!(edge.each[3], 128);
        assert!(edge.each[0] >= 254, "{:?}", edge.each);
        let mut mean = Mean::new((1, 1));
        mean.add(&[255, 0, 0, 255]);
        mean.add(&[0, 0, 0, 0]);
        assert_eq!(mean.pixels((1, 1)).each, [255, 0, 0, 128]);
    }
}
