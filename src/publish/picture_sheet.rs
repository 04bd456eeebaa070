//! Several pictures on one sheet: before and after, every look, every way to do a job.
//!
//! In: pictures as PNG, each with a heading and a word to it. Out: a [`Page`] on its side, to print or
//! to paint. Does not: draw the pictures.

use std::sync::Arc;

use super::paper::PaperSize;
use super::pdf::{Canvas, Mark, Page, Pen, Push, Shade, Spot, Style};
use crate::measure::Unit;

/// More pictures than this are too small to decide by.
pub const MOST_PICTURES: usize = 12;
/// From the edge of the paper, mm.
const MARGIN: f64 = 12.0;
/// Between pictures, mm.
const GAP: f64 = 6.0;
/// The heading of the sheet, mm.
const HEAD: f64 = 14.0;
/// What stands at the foot of the sheet, mm.
const FOOT: f64 = 8.0;
/// Heading and words under a picture, mm.
const WORDS: f64 = 17.0;
/// Lines of words under a picture.
const LINES: usize = 3;

/// One picture of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Pictured {
    /// What it is called.
    pub heading: String,
    /// A word to it.
    pub says: String,
    /// The picture.
    pub png: Arc<[u8]>,
    /// Its pixels across and down.
    pub size: (u32, u32),
}

/// How pictures are laid: columns, and the width of each, mm.
fn laid(count: usize, aspect: f64, (width, height): (f64, f64)) -> (usize, f64) {
    let one = |columns: usize| {
        let rows = count.div_ceil(columns);
        let (across, down) = (columns as f64, rows as f64);
        let by_width = (width - GAP * (across - 1.0)) / across;
        let by_height = ((height - GAP * (down - 1.0)) / down - WORDS) * aspect;
        (columns, by_width.min(by_height))
    };
    let all = (1..=count.max(1)).map(one);
    all.fold(
        (1, 0.0),
        |best, next| if next.1 > best.1 { next } else { best },
    )
}

/// Puts pictures on a sheet, as large as they can be; all have the shape of the first.
#[must_use]
pub fn picture_sheet(title: &str, units: Unit, pictures: &[Pictured]) -> Page {
    let paper = PaperSize::usual(units).turned();
    let room = (
        paper.width - 2.0 * MARGIN,
        paper.height - 2.0 * MARGIN - HEAD - FOOT,
    );
    let (across, down) = pictures.first().map_or((16, 10), |first| first.size);
    let aspect = f64::from(across.max(1)) / f64::from(down.max(1));
    let (columns, wide) = laid(pictures.len(), aspect, room);
    let rows = pictures.len().div_ceil(columns.max(1));
    let size = (wide, wide / aspect);
    let mut canvas = Canvas::default();
    let heading = Style::bold(15.0, Shade::INK);
    canvas.fitted((MARGIN, MARGIN + 6.0), Push::Left, title, heading, room.0);
    let block = wide * columns as f64 + GAP * (columns as f64 - 1.0);
    let left = MARGIN + (room.0 - block) / 2.0;
    let deep = (size.1 + WORDS) * rows as f64 + GAP * (rows as f64 - 1.0);
    let top = MARGIN + HEAD + (room.1 - deep).max(0.0) / 2.0;
    for (at, one) in pictures.iter().enumerate() {
        let x = left + (at % columns) as f64 * (wide + GAP);
        let y = top + (at / columns) as f64 * (size.1 + WORDS + GAP);
        picture(&mut canvas, (x, y), size, one);
    }
    let foot = Style::regular(8.0, Shade::GREY);
    canvas.text(
        (MARGIN, paper.height - MARGIN),
        Push::Left,
        "Drawn from what was measured and set out. Timber, paint and light differ from any picture: \
         choose by a sample.",
        foot,
    );
    Page {
        width: paper.width,
        height: paper.height,
        marks: canvas.marks,
    }
}

fn picture(canvas: &mut Canvas, (x, y): (f64, f64), size: (f64, f64), one: &Pictured) {
    canvas.marks.push(Mark::Picture {
        at: Spot::new(x, y),
        size,
        png: one.png.clone(),
    });
    canvas.rect((x, y), size, Some(Pen::new(Shade::HAIR, 0.2)), None);
    let below = y + size.1;
    let heading = Style::bold(10.0, Shade::INK);
    canvas.fitted((x, below + 5.0), Push::Left, &one.heading, heading, size.0);
    let words = Style::regular(8.0, Shade::GREY);
    let lines = super::pdf::wrap(&one.says, words, size.0);
    for (line, text) in lines.iter().take(LINES).enumerate() {
        let cut = line + 1 == LINES && lines.len() > LINES;
        let text = if cut {
            format!("{text}\u{2026}")
        } else {
            text.clone()
        };
        let at = (x, below + 8.8 + 3.6 * line as f64);
        canvas.fitted(at, Push::Left, &text, words, size.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pictures(count: usize) -> Vec<Pictured> {
        let one = |at: usize| Pictured {
            heading: format!("way {at}"),
            says: "Oak where it is walked on. ".repeat(12),
            png: Arc::from([].as_slice()),
            size: (1600, 1000),
        };
        (0..count).map(one).collect()
    }

    /// The boxes of the pictures on a sheet: left, upper, right, lower edge.
    fn boxes(page: &Page) -> Vec<[f64; 4]> {
        let one = |mark: &Mark| match mark {
            Mark::Picture { at, size, .. } => Some([at.x, at.y, at.x + size.0, at.y + size.1]),
            _ => None,
        };
        page.marks.iter().filter_map(one).collect()
    }

    #[test]
    fn pictures_lie_on_the_paper_apart_and_with_room_for_their_words() {
        for units in [Unit::Inches, Unit::Millimetres] {
            for count in 1..=MOST_PICTURES {
                let page = picture_sheet("Weir Cottage", units, &pictures(count));
                let boxes = boxes(&page);
                assert_eq!(boxes.len(), count);
                for one in &boxes {
                    assert!(one[0] >= MARGIN - 0.01 && one[2] <= page.width - MARGIN + 0.01);
                    assert!(
                        one[3] + WORDS <= page.height - MARGIN - FOOT + 0.01,
                        "{count}: {one:?}"
                    );
                    assert!((one[2] - one[0]) / (one[3] - one[1]) - 1.6 < 0.001);
                }
                for (at, a) in boxes.iter().enumerate() {
                    for b in &boxes[at + 1..] {
                        let aside = a[2] + GAP <= b[0] + 0.01 || b[2] + GAP <= a[0] + 0.01;
                        let below = a[3] + WORDS <= b[1] + 0.01;
                        assert!(aside || below, "{count}: {a:?} {b:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn words_keep_to_the_width_of_their_picture() {
        let page = picture_sheet("a", Unit::Inches, &pictures(3));
        let boxes = boxes(&page);
        let wide = boxes[0][2] - boxes[0][0];
        let mut seen = 0;
        for mark in &page.marks {
            if let Mark::Text { text, style, .. } = mark
                && text.contains("Oak")
            {
                seen += 1;
                assert!(style.width(text) <= wide + 0.01, "{text}");
            }
        }
        assert_eq!(seen, 3 * LINES);
    }
}
