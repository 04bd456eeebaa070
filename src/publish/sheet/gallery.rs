//! Cards that show how a reading is taken: a sketch, the name of the reading, a few words.

use super::layout::{Block, HEADING, heading, lines};
use super::paper::GRID;
use super::sketch;
use crate::publish::pdf::{Canvas, Mark, Push, Shade, Spot, Style};

/// One card.
pub(super) struct Card {
    pub(super) name: &'static str,
    pub(super) sketch: fn() -> Canvas,
    pub(super) text: &'static str,
}

/// Makes a card.
pub(super) const fn card(name: &'static str, sketch: fn() -> Canvas, text: &'static str) -> Card {
    Card { name, sketch, text }
}

/// Between two cards.
const BETWEEN: f64 = 4.0;
/// A sketch is drawn at most so many times its size.
const LARGEST: f64 = 1.1;
/// Between two lines of a card's text.
const LEADING: f64 = 0.65 * GRID;
const WORDS: Style = Style::regular(7.0, Shade::INK);

/// Cards side by side under a heading, `across` of them to a row.
pub(super) fn gallery(width: f64, what: &str, aside: &str, cards: &[Card], across: u8) -> Block {
    let mut canvas = Canvas::default();
    let mut top = 0;
    if !what.is_empty() {
        heading(&mut canvas, width, what, aside);
        top += HEADING;
    }
    let room = (width - BETWEEN * f64::from(across - 1)) / f64::from(across);
    for row in cards.chunks(usize::from(across)) {
        let mut tallest = 0.0_f64;
        for (card, place) in row.iter().zip(0_u8..) {
            let left = f64::from(place) * (room + BETWEEN);
            let high = draw(&mut canvas, card, (left, lines(top)), room);
            tallest = tallest.max(high);
        }
        top += (tallest / GRID).ceil() as usize;
    }
    Block {
        lines: top,
        asks: Vec::new(),
        canvas,
    }
}

/// Draws a card; gives its height.
pub(super) fn draw(canvas: &mut Canvas, card: &Card, (left, top): (f64, f64), room: f64) -> f64 {
    let scale = (room / sketch::WIDE).min(LARGEST);
    let tall = 1.0 + sketch::HIGH * scale;
    canvas.put((left, top + 1.0), scaled((card.sketch)(), scale));
    let name = top + tall + 4.0;
    canvas.text(
        (left, name),
        Push::Left,
        card.name,
        Style::bold(8.5, Shade::INK),
    );
    let first = name + LEADING + 0.5;
    let count = canvas.lines((left, first), card.text, WORDS, room, LEADING);
    let lines = f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    first + (lines - 1.0) * LEADING + 1.2 - top
}

/// A sketch so many times as large; lines and letters keep their size.
fn scaled(sketch: Canvas, by: f64) -> Canvas {
    let larger = |spot: Spot| Spot::new(spot.x * by, spot.y * by);
    let marks = sketch.marks.into_iter().map(|mark| match mark {
        Mark::Line {
            spots,
            closed,
            pen,
            fill,
        } => Mark::Line {
            spots: spots.into_iter().map(larger).collect(),
            closed,
            pen,
            fill,
        },
        Mark::Round {
            centre,
            radius,
            pen,
            fill,
        } => Mark::Round {
            centre: larger(centre),
            radius: radius * by,
            pen,
            fill,
        },
        Mark::Text { at, text, style } => {
            // About its middle: it does not know which end it was set from.
            let half = style.width(&text) / 2.0;
            let middle = larger(at.moved(half, 0.0));
            Mark::Text {
                at: middle.moved(-half, 0.0),
                text,
                style,
            }
        }
        Mark::Rising { at, text, style } => {
            let half = style.width(&text) / 2.0;
            let middle = larger(at.moved(0.0, -half));
            Mark::Rising {
                at: middle.moved(0.0, half),
                text,
                style,
            }
        }
        Mark::Picture { at, size, png } => Mark::Picture {
            at: larger(at),
            size: (size.0 * by, size.1 * by),
            png,
        },
    });
    Canvas {
        marks: marks.collect(),
    }
}
