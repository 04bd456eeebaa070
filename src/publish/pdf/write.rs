//! Pages to PDF bytes.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};
use thiserror::Error;

use super::{Face, Mark, POINTS_PER_MM, Page, Pen, Shade, Spot, Style, shape};

/// What the file says about itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct About {
    /// Its title.
    pub title: String,
    /// What it is.
    pub subject: String,
}

/// Why no PDF was made.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PdfError {
    /// A page whose size is no size.
    #[error("page {0} has no size that a PDF page can have")]
    PageSize(usize),
    /// The writer refused.
    #[error("the PDF could not be put together: {0}")]
    Writer(String),
}

/// Makes a PDF of pages.
///
/// # Errors
/// [`PdfError`] for a page without a size, or where the writer meets one of the format's limits.
pub fn write(about: &About, pages: &[Page]) -> Result<Vec<u8>, PdfError> {
    let fonts = Fonts::new()?;
    let mut document = Document::new_with(SerializeSettings {
        // Nothing in it that the pages do not say: the same pages make the same bytes.
        xmp_metadata: false,
        enable_tagging: false,
        ..SerializeSettings::default()
    });
    document.set_metadata(
        Metadata::new()
            .title(about.title.clone())
            .description(about.subject.clone())
            .creator("Rakewell".to_owned())
            .language("en".to_owned()),
    );
    for (index, page) in pages.iter().enumerate() {
        let settings = PageSettings::from_wh(points(page.width), points(page.height))
            .ok_or(PdfError::PageSize(index + 1))?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        for mark in &page.marks {
            draw(&mut surface, mark, &fonts)?;
        }
        surface.finish();
        sheet.finish();
    }
    document
        .finish()
        .map_err(|error| PdfError::Writer(error.to_string()))
}

/// The faces as the writer knows them.
struct Fonts {
    regular: Font,
    semi_bold: Font,
}

impl Fonts {
    fn new() -> Result<Self, PdfError> {
        let font = |face: Face| {
            Font::new(face.bytes().into(), 0)
                .ok_or_else(|| PdfError::Writer("a shipped font does not read".to_owned()))
        };
        Ok(Self {
            regular: font(Face::Regular)?,
            semi_bold: font(Face::SemiBold)?,
        })
    }

    fn of(&self, face: Face) -> Font {
        match face {
            Face::Regular => self.regular.clone(),
            Face::SemiBold => self.semi_bold.clone(),
        }
    }
}

/// Millimetres on the paper as PDF points. The format's library takes single precision: on a
/// page that is off by less than a ten thousandth of a point.
fn points(mm: f64) -> f32 {
    single(mm * POINTS_PER_MM)
}

fn single(number: f64) -> f32 {
    number as f32
}

fn draw(surface: &mut Surface<'_>, mark: &Mark, fonts: &Fonts) -> Result<(), PdfError> {
    match mark {
        Mark::Line {
            spots,
            closed,
            pen,
            fill,
        } => paint(surface, path(spots, *closed), *pen, *fill),
        Mark::Round {
            centre,
            radius,
            pen,
            fill,
        } => paint(surface, circle(*centre, *radius), *pen, *fill),
        Mark::Text { at, text, style } => letters(surface, *at, text, *style, fonts),
        Mark::Rising { at, text, style } => {
            // A quarter turn to the left about its lower end.
            let (x, y) = (points(at.x), points(at.y));
            surface.push_transform(&Transform::from_row(0.0, -1.0, 1.0, 0.0, x, y));
            letters(surface, Spot::default(), text, *style, fonts);
            surface.pop();
        }
        Mark::Picture { at, size, png } => return picture(surface, *at, *size, png),
    }
    Ok(())
}

fn picture(
    surface: &mut Surface<'_>,
    at: Spot,
    (width, height): (f64, f64),
    png: &[u8],
) -> Result<(), PdfError> {
    let faulty = |why: &str| PdfError::Writer(format!("a picture does not read: {why}"));
    let image = Image::from_png(png.to_vec().into(), true).map_err(|why| faulty(&why))?;
    let size = Size::from_wh(points(width), points(height)).ok_or_else(|| faulty("no size"))?;
    surface.push_transform(&Transform::from_translate(points(at.x), points(at.y)));
    surface.draw_image(image, size);
    surface.pop();
    Ok(())
}

fn paint(surface: &mut Surface<'_>, path: Option<Path>, pen: Option<Pen>, fill: Option<Shade>) {
    let Some(path) = path else {
        return;
    };
    if pen.is_none() && fill.is_none() {
        return;
    }
    surface.set_fill(fill.map(filled));
    surface.set_stroke(pen.map(stroke));
    surface.draw_path(&path);
}

fn colour(Shade(red, green, blue): Shade) -> rgb::Color {
    rgb::Color::new(red, green, blue)
}

fn filled(shade: Shade) -> Fill {
    Fill {
        paint: colour(shade).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }
}

fn stroke(pen: Pen) -> Stroke {
    Stroke {
        paint: colour(pen.shade).into(),
        width: points(pen.thick),
        line_cap: LineCap::Butt,
        line_join: LineJoin::Round,
        dash: pen.dash.map(|(dash, gap)| StrokeDash {
            array: vec![points(dash), points(gap)],
            offset: 0.0,
        }),
        ..Stroke::default()
    }
}

fn path(spots: &[Spot], closed: bool) -> Option<Path> {
    let (first, others) = spots.split_first()?;
    let mut path = PathBuilder::new();
    path.move_to(points(first.x), points(first.y));
    for spot in others {
        path.line_to(points(spot.x), points(spot.y));
    }
    if closed {
        path.close();
    }
    path.finish()
}

/// How far the handles of a cubic curve stand off for a quarter of a unit circle:
/// 4 (sqrt 2 - 1) / 3, at which the curve's middle lies on the circle.
const HANDLE: f64 = 0.552_284_749_830_793_4;

fn circle(centre: Spot, radius: f64) -> Option<Path> {
    let at = |x: f64, y: f64| (points(centre.x + x * radius), points(centre.y + y * radius));
    let mut path = PathBuilder::new();
    let (x, y) = at(1.0, 0.0);
    path.move_to(x, y);
    let quarters = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)];
    for ends in quarters.windows(2) {
        let [(x0, y0), (x1, y1)] = [ends[0], ends[1]];
        let (a, b) = at(x0 + x1 * HANDLE, y0 + y1 * HANDLE);
        let (c, d) = at(x1 + x0 * HANDLE, y1 + y0 * HANDLE);
        let (e, f) = at(x1, y1);
        path.cubic_to(a, b, c, d, e, f);
    }
    path.close();
    path.finish()
}

fn letters(surface: &mut Surface<'_>, at: Spot, text: &str, style: Style, fonts: &Fonts) {
    if text.is_empty() {
        return;
    }
    let glyphs: Vec<KrillaGlyph> = shape(text, style.face)
        .glyphs
        .into_iter()
        .map(|glyph| {
            KrillaGlyph::new(
                GlyphId::new(glyph.id),
                single(glyph.advance),
                single(glyph.right),
                single(glyph.up),
                0.0,
                glyph.text,
                None,
            )
        })
        .collect();
    surface.set_fill(Some(filled(style.shade)));
    surface.set_stroke(None);
    let start = Point::from_xy(points(at.x), points(at.y));
    let font = fonts.of(style.face);
    surface.draw_glyphs(start, &glyphs, font, text, single(style.size), false);
}
