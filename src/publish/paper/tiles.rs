//! A drawing larger than a page, over several of them: parts that overlap, the lines to trim them at,
//! and the marks that fall on one another. Millimetres of the drawing.

use super::Window;
use crate::publish::pdf::{Canvas, Pen, Shade};

/// How far neighbouring parts overlap.
pub const OVERLAP: f64 = 12.0;

/// How a drawing is cut up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tiles {
    /// Parts from left to right.
    pub columns: usize,
    /// Parts from top to bottom.
    pub rows: usize,
    /// The room for one part.
    part: (f64, f64),
    /// Where the first begins, in the drawing.
    from: (f64, f64),
}

/// One part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tile {
    /// Its column from the left, from 0.
    pub column: usize,
    /// Its row from the top, from 0.
    pub row: usize,
}

fn float(count: usize) -> f64 {
    // Nobody tapes together more than a few dozen.
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

fn count(size: f64, part: f64) -> usize {
    // A hair over a page is arithmetic, not a further page.
    let more = (size - part - 1e-9) / (part - OVERLAP);
    1 + more.ceil().max(0.0) as usize
}

impl Tiles {
    /// Parts over a drawing of a size, each in a room of a size, all mm; what room is left goes round
    /// the outside in equal shares.
    #[must_use]
    pub fn over((width, height): (f64, f64), part: (f64, f64)) -> Self {
        let (columns, rows) = (count(width, part.0), count(height, part.1));
        let spare = |count: usize, part: f64, size: f64| {
            (float(count) * (part - OVERLAP) + OVERLAP - size) / 2.0
        };
        Self {
            columns,
            rows,
            part,
            from: (-spare(columns, part.0, width), -spare(rows, part.1, height)),
        }
    }

    /// How many there are.
    #[must_use]
    pub const fn count(&self) -> usize {
        self.columns * self.rows
    }

    /// The parts in the order of their pages: row by row from the upper left.
    pub fn each(&self) -> impl Iterator<Item = Tile> + use<> {
        let columns = self.columns;
        (0..self.count()).map(move |at| Tile {
            column: at % columns,
            row: at / columns,
        })
    }

    /// The number of a part's page, from 1.
    #[must_use]
    pub const fn page(&self, tile: Tile) -> usize {
        tile.row * self.columns + tile.column + 1
    }

    /// The part of the drawing that a tile shows.
    #[must_use]
    pub fn window(&self, tile: Tile) -> Window {
        let (width, height) = self.part;
        Window {
            left: self.from.0 + float(tile.column) * (width - OVERLAP),
            top: self.from.1 + float(tile.row) * (height - OVERLAP),
            width,
            height,
        }
    }

    /// Its neighbours to the left, right, above and below.
    #[must_use]
    pub fn beside(&self, tile: Tile) -> [Option<Tile>; 4] {
        let Tile { column, row } = tile;
        let left = column.checked_sub(1).map(|column| Tile { column, row });
        let right = (column + 1 < self.columns).then_some(Tile {
            column: column + 1,
            row,
        });
        let above = row.checked_sub(1).map(|row| Tile { column, row });
        let below = (row + 1 < self.rows).then_some(Tile {
            column,
            row: row + 1,
        });
        [left, right, above, below]
    }

    /// The lines to trim a tile at and the marks on them, in the drawing. The sheet further right or
    /// further down is trimmed and laid over the other one.
    #[must_use]
    pub fn seams(&self, tile: Tile) -> Canvas {
        let beside = self.beside(tile);
        seams(&self.window(tile), beside.map(|next| next.is_some()))
    }
}

/// The lines to trim a part at and the marks on them, where others lie to its left, right, above and
/// below, in the drawing.
#[must_use]
pub fn seams(window: &Window, [left, right, above, below]: [bool; 4]) -> Canvas {
    let mut canvas = Canvas::default();
    let half = OVERLAP / 2.0;
    let trim = Pen::new(Shade::INK, 0.18).dashed(4.0, 2.0);
    let lands = Pen::new(Shade::GREY, 0.18).dashed(0.6, 1.6);
    let upright = [
        (left, window.left + half, trim),
        (right, window.right() - half, lands),
    ];
    for (_, x, pen) in upright.into_iter().filter(|(next, ..)| *next) {
        canvas.line(&[(x, window.top), (x, window.bottom())], pen);
        for share in MARKS {
            let y = window.top + half + (window.height - OVERLAP) * share;
            canvas.put((0.0, 0.0), registration(x, y));
        }
    }
    let level = [
        (above, window.top + half, trim),
        (below, window.bottom() - half, lands),
    ];
    for (_, y, pen) in level.into_iter().filter(|(next, ..)| *next) {
        canvas.line(&[(window.left, y), (window.right(), y)], pen);
        for share in MARKS {
            let x = window.left + half + (window.width - OVERLAP) * share;
            canvas.put((0.0, 0.0), registration(x, y));
        }
    }
    canvas
}

/// Where along a seam its marks lie.
const MARKS: [f64; 3] = [0.1, 0.5, 0.9];
/// How far the arms of a registration mark reach.
const ARM: f64 = 4.0;

/// A mark that falls on its like on the neighbouring sheet, about a place, mm.
#[must_use]
pub fn registration(x: f64, y: f64) -> Canvas {
    let mut canvas = Canvas::default();
    let pen = Pen::new(Shade::INK, 0.15);
    canvas.line(&[(x - ARM, y), (x + ARM, y)], pen);
    canvas.line(&[(x, y - ARM), (x, y + ARM)], pen);
    canvas.round((x, y), 2.0, Some(pen), None);
    canvas
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_cover_the_drawing_and_overlap_as_told() {
        for (size, wanted) in [(100.0, 1), (200.0, 1), (200.1, 2), (388.0, 2), (388.1, 3)] {
            let tiles = Tiles::over((size, 50.0), (200.0, 200.0));
            assert_eq!((tiles.columns, tiles.rows), (wanted, 1), "{size}");
            let windows: Vec<Window> = tiles.each().map(|tile| tiles.window(tile)).collect();
            for pair in windows.windows(2) {
                assert!((pair[0].right() - pair[1].left - OVERLAP).abs() < 1e-9);
            }
            let (first, last) = (windows[0], windows[windows.len() - 1]);
            assert!(first.left <= 1e-9 && last.right() >= size - 1e-9);
            // As much white on either side.
            assert!((first.left + last.right() - size).abs() < 1e-9);
        }
    }

    #[test]
    fn neighbours_put_their_marks_at_the_same_places() {
        let tiles = Tiles::over((500.0, 500.0), (200.0, 200.0));
        let places = |tile: Tile| -> Vec<(f64, f64)> {
            let marks = tiles.seams(tile).marks.into_iter();
            marks
                .filter_map(|mark| match mark {
                    crate::publish::pdf::Mark::Round { centre, .. } => Some((centre.x, centre.y)),
                    _ => None,
                })
                .collect()
        };
        for tile in tiles.each() {
            for next in tiles.beside(tile).into_iter().flatten() {
                let shared = places(tile)
                    .into_iter()
                    .filter(|a| {
                        places(next)
                            .iter()
                            .any(|b| (a.0 - b.0).hypot(a.1 - b.1) < 1e-9)
                    })
                    .count();
                assert!(shared >= MARKS.len(), "{tile:?} {next:?}");
            }
        }
    }
}
