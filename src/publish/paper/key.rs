//! A small key of the tiles of a drawing: which page lies where, and which this is. Millimetres.

use super::{Tile, Tiles};
use crate::publish::pdf::{Canvas, Pen, Push, Shade, Style};

/// The tiles as boxes with the numbers of their pages, this one black, no larger than a room
/// (mm); its upper left corner at the canvas's.
#[must_use]
pub fn key(tiles: &Tiles, here: Tile, (width, height): (f64, f64)) -> Canvas {
    let mut canvas = Canvas::default();
    let one = tiles.window(here);
    let count = |number: usize| f64::from(u32::try_from(number).unwrap_or(u32::MAX));
    let scale = (width / (count(tiles.columns) * one.width))
        .min(height / (count(tiles.rows) * one.height))
        .min(MOST / one.width.max(one.height));
    let (wide, tall) = (one.width * scale, one.height * scale);
    for tile in tiles.each() {
        let at = (count(tile.column) * wide, count(tile.row) * tall);
        let dark = tile == here;
        let fill = if dark { Shade::INK } else { Shade::PAPER };
        canvas.rect(
            at,
            (wide, tall),
            Some(Pen::new(Shade::INK, 0.2)),
            Some(fill),
        );
        let ink = if dark { Shade::PAPER } else { Shade::INK };
        let size = (tall * 0.5).min(wide * 0.45).min(3.2);
        let style = Style::bold(size * 72.0 / 25.4, ink);
        let middle = (at.0 + wide / 2.0, at.1 + tall / 2.0 + size * 0.36);
        canvas.text(middle, Push::Centre, &tiles.page(tile).to_string(), style);
    }
    canvas
}

/// The longer side of a box at most.
const MOST: f64 = 11.0;
