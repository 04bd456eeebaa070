//! A page of paper as a picture: the same marks and the same glyphs as in the file that is printed.
//!
//! In: a [`Page`] and its width in pixels. Out: [`Painted`], red, green, blue and alpha of each pixel
//! from the upper left corner on.

use std::io::Cursor;
use std::sync::Arc;

use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, GlyphId, MetadataProvider as _};
use vello_cpu::color::{AlphaColor, PremulRgba8, Srgb};
use vello_cpu::kurbo::{Affine, BezPath, Cap, Circle, Join, Point, Rect, Shape as _, Stroke};
use vello_cpu::peniko::{Fill, ImageQuality, ImageSampler};
use vello_cpu::{Image, ImageSource, Pixmap, RenderContext, Resources};

use crate::publish::pdf::{Mark, Page, Pen, Shade, Spot, Style, shape};

/// No side of a picture is longer, in pixels.
const MOST: f64 = 8192.0;
/// Curves are as round as this, mm.
const ROUND: f64 = 0.01;

/// A page that was painted.
#[derive(Clone, Debug)]
pub(in crate::viewer) struct Painted {
    /// Width and height in pixels.
    pub(in crate::viewer) size: [usize; 2],
    /// Red, green, blue, alpha of each pixel, line by line.
    pub(in crate::viewer) pixels: Vec<u8>,
}

/// Paints a page so many pixels wide, on white.
pub(in crate::viewer) fn paint(page: &Page, wide: f64) -> Painted {
    let long = page.width.max(page.height).max(1.0);
    let by = (wide / page.width.max(1.0)).min(MOST / long);
    let [width, height] = [page.width, page.height].map(|mm| pixels(mm * by));
    let mut brush = Brush {
        context: RenderContext::new(width, height),
        paper: Affine::scale(by),
    };
    brush.context.set_fill_rule(Fill::NonZero);
    let whole = Rect::new(0.0, 0.0, f64::from(width), f64::from(height));
    brush.context.set_paint(colour(Shade::PAPER));
    brush.context.fill_rect(&whole);
    brush.context.set_transform(brush.paper);
    for mark in &page.marks {
        brush.mark(mark);
    }
    brush.context.flush();
    let mut target = Pixmap::new(width, height);
    brush.context.render(&mut target, &mut Resources::new());
    Painted {
        size: [usize::from(width), usize::from(height)],
        pixels: target.data_as_u8_slice().to_vec(),
    }
}

fn pixels(side: f64) -> u16 {
    side.round().clamp(1.0, MOST) as u16
}

fn colour(Shade(red, green, blue): Shade) -> AlphaColor<Srgb> {
    AlphaColor::from_rgb8(red, green, blue)
}

fn point(spot: Spot) -> Point {
    Point::new(spot.x, spot.y)
}

/// What paints.
struct Brush {
    context: RenderContext,
    /// From millimetres on the paper to pixels.
    paper: Affine,
}

impl Brush {
    fn mark(&mut self, mark: &Mark) {
        match mark {
            Mark::Line {
                spots,
                closed,
                pen,
                fill,
            } => {
                let Some((first, others)) = spots.split_first() else {
                    return;
                };
                let mut path = BezPath::new();
                path.move_to(point(*first));
                for spot in others {
                    path.line_to(point(*spot));
                }
                if *closed {
                    path.close_path();
                }
                self.path(&path, *pen, *fill);
            }
            Mark::Round {
                centre,
                radius,
                pen,
                fill,
            } => self.path(
                &Circle::new(point(*centre), *radius).to_path(ROUND),
                *pen,
                *fill,
            ),
            Mark::Text { at, text, style } => {
                self.letters(Affine::translate(point(*at).to_vec2()), text, *style);
            }
            Mark::Rising { at, text, style } => {
                // A quarter turn to the left about its lower end.
                let turned = Affine::rotate(-std::f64::consts::FRAC_PI_2);
                self.letters(
                    Affine::translate(point(*at).to_vec2()) * turned,
                    text,
                    *style,
                );
            }
            Mark::Picture { at, size, png } => self.picture(*at, *size, png),
        }
    }

    fn path(&mut self, path: &BezPath, pen: Option<Pen>, fill: Option<Shade>) {
        if let Some(shade) = fill {
            self.context.set_paint(colour(shade));
            self.context.fill_path(path);
        }
        if let Some(pen) = pen {
            let mut stroke = Stroke::new(pen.thick)
                .with_caps(Cap::Butt)
                .with_join(Join::Round);
            if let Some((dash, gap)) = pen.dash.filter(|(dash, gap)| dash + gap > 0.0) {
                stroke = stroke.with_dashes(0.0, [dash, gap]);
            }
            self.context.set_stroke(stroke);
            self.context.set_paint(colour(pen.shade));
            self.context.stroke_path(path);
        }
    }

    fn letters(&mut self, line: Affine, text: &str, style: Style) {
        let Ok(font) = FontRef::new(style.face.bytes()) else {
            return;
        };
        let outlines = font.outline_glyphs();
        let unscaled = || DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
        let units = f64::from(
            font.metrics(Size::unscaled(), LocationRef::default())
                .units_per_em,
        );
        let em = style.em();
        self.context.set_paint(colour(style.shade));
        let mut along = 0.0;
        for glyph in shape(text, style.face).glyphs {
            let place = Affine::translate(((along + glyph.right) * em, -glyph.up * em));
            along += glyph.advance;
            let mut outline = Outline::default();
            let drawn = outlines
                .get(GlyphId::new(glyph.id))
                .is_some_and(|found| found.draw(unscaled(), &mut outline).is_ok());
            if !drawn {
                continue;
            }
            // Fonts count upwards.
            let size = em / units;
            let set = line * place * Affine::scale_non_uniform(size, -size);
            self.context.set_transform(self.paper * set);
            self.context.fill_path(&outline.0);
        }
        self.context.set_transform(self.paper);
    }

    fn picture(&mut self, at: Spot, (width, height): (f64, f64), png: &[u8]) {
        let Some(pixmap) = pixmap(png) else {
            return;
        };
        let sides = (f64::from(pixmap.width()), f64::from(pixmap.height()));
        let image = Image {
            image: ImageSource::Pixmap(Arc::new(pixmap)),
            sampler: ImageSampler::new().with_quality(ImageQuality::Medium),
        };
        let onto = Affine::translate(point(at).to_vec2())
            * Affine::scale_non_uniform(width / sides.0, height / sides.1);
        self.context.set_transform(self.paper * onto);
        self.context.set_paint(image);
        self.context
            .fill_rect(&Rect::new(0.0, 0.0, sides.0, sides.1));
        self.context.set_transform(self.paper);
    }
}

/// A picture's pixels; `None` where it does not read.
fn pixmap(bytes: &[u8]) -> Option<Pixmap> {
    let mut decoder = png::Decoder::new(Cursor::new(bytes));
    decoder.set_transformations(png::Transformations::EXPAND | png::Transformations::STRIP_16);
    let mut reader = decoder.read_info().ok()?;
    let mut data = vec![0; reader.output_buffer_size()?];
    let info = reader.next_frame(&mut data).ok()?;
    let each = info.color_type.samples();
    let opaque = |sample: [u8; 4]| {
        let [red, green, blue, alpha] = sample;
        let by = |part: u8| (u16::from(part) * u16::from(alpha) / 255) as u8;
        PremulRgba8 {
            r: by(red),
            g: by(green),
            b: by(blue),
            a: alpha,
        }
    };
    let pixels = data
        .get(..info.buffer_size())?
        .chunks_exact(each)
        .map(|one| match *one {
            [grey] => opaque([grey, grey, grey, 255]),
            [grey, alpha] => opaque([grey, grey, grey, alpha]),
            [red, green, blue] => opaque([red, green, blue, 255]),
            [red, green, blue, alpha, ..] => opaque([red, green, blue, alpha]),
            [] => opaque([0; 4]),
        })
        .collect();
    let side = |pixels: u32| u16::try_from(pixels).ok();
    Some(Pixmap::from_parts(
        pixels,
        side(info.width)?,
        side(info.height)?,
    ))
}

/// The outline of a glyph, in the font's units.
#[derive(Default)]
struct Outline(BezPath);

fn at(x: f32, y: f32) -> Point {
    Point::new(f64::from(x), f64::from(y))
}

impl OutlinePen for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(at(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(at(x, y));
    }

    fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
        self.0.quad_to(at(cx0, cy0), at(x, y));
    }

    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.0.curve_to(at(cx0, cy0), at(cx1, cy1), at(x, y));
    }

    fn close(&mut self) {
        self.0.close_path();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The tone of a pixel at a place on the paper of a page painted at ten pixels a millimetre.
    fn tone(painted: &Painted, x: f64, y: f64) -> [u8; 3] {
        let [column, line] = [x, y].map(|mm| (mm * 10.0) as usize);
        let first = (line * painted.size[0] + column) * 4;
        [0, 1, 2].map(|part| painted.pixels[first + part])
    }

    #[test]
    fn marks_lie_where_the_page_has_them() {
        let mut canvas = crate::publish::pdf::Canvas::default();
        canvas.rect((10.0, 5.0), (20.0, 10.0), None, Some(Shade(200, 0, 0)));
        canvas.line(
            &[(0.0, 30.0), (50.0, 30.0)],
            Pen::new(Shade(0, 0, 200), 2.0),
        );
        canvas.round((40.0, 10.0), 4.0, None, Some(Shade(0, 120, 0)));
        let page = Page {
            width: 50.0,
            height: 40.0,
            marks: canvas.marks,
        };
        let painted = paint(&page, 500.0);
        assert_eq!(painted.size, [500, 400]);
        assert_eq!(tone(&painted, 20.0, 10.0), [200, 0, 0]);
        assert_eq!(tone(&painted, 5.0, 10.0), [255, 255, 255]);
        assert_eq!(tone(&painted, 25.0, 30.0), [0, 0, 200]);
        assert_eq!(tone(&painted, 25.0, 31.5), [255, 255, 255]);
        assert_eq!(tone(&painted, 43.5, 10.0), [0, 120, 0]);
        assert_eq!(tone(&painted, 43.5, 13.0), [255, 255, 255]);
    }

    #[test]
    fn a_text_covers_what_its_bounds_say_and_no_more() {
        let mut canvas = crate::publish::pdf::Canvas::default();
        let style = Style::bold(24.0, Shade(0, 0, 0));
        canvas.text((10.0, 20.0), crate::publish::pdf::Push::Left, "HHHH", style);
        let mark = canvas.marks[0].clone();
        let page = Page {
            width: 60.0,
            height: 30.0,
            marks: canvas.marks,
        };
        let painted = paint(&page, 600.0);
        let (low, high) = mark.bounds();
        let mut dark = 0_usize;
        for (at, pixel) in painted.pixels.chunks_exact(4).enumerate() {
            if pixel[0] < 128 {
                dark += 1;
                let (x, y) = ((at % 600) as f64 / 10.0, (at / 600) as f64 / 10.0);
                assert!(low.x - 0.2 < x && x < high.x + 0.2, "{x}");
                assert!(low.y - 0.2 < y && y < 20.2, "{y}");
            }
        }
        // Two stems and a bar of a bold H ink a third to a half of its box.
        let share = dark as f64 / ((high.x - low.x) * (20.0 - low.y) * 100.0);
        assert!((0.25..0.6).contains(&share), "{share}");
    }
}
