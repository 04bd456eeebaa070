//! Tables to write in: a head, and rows of cells. Millimetres.

use super::Ask;
use super::layout::{Block, HEADING, Rows, heading, lines};
use super::paper::{GRID, ROW};
use crate::publish::pdf::{Canvas, Pen, Push, Shade, Style, wrap};

/// A column.
#[derive(Clone, Debug)]
pub(super) struct Column {
    /// Its name: the word of the job file where it is a kind of reading.
    pub(super) head: &'static str,
    /// What is read, in few words.
    pub(super) under: &'static str,
    /// Its share of the width.
    pub(super) share: f64,
}

/// Makes a column.
pub(super) const fn column(head: &'static str, under: &'static str, share: f64) -> Column {
    Column { head, under, share }
}

/// A box to tick.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Tick {
    pub(super) word: &'static str,
    pub(super) on: bool,
}

/// A cell: room to write in, with what is printed there.
#[derive(Clone, Debug, Default)]
pub(super) struct Cell {
    /// Nothing is asked here.
    pub(super) shut: bool,
    /// What it is called, in print.
    pub(super) label: String,
    /// What belongs here, small in the upper corner.
    pub(super) hint: String,
    /// A reading that the job has, faint.
    pub(super) faint: String,
    /// Boxes to tick at its right end.
    pub(super) ticks: Vec<Tick>,
    /// Whether the boxes stand beside one another instead of one under the other.
    pub(super) abreast: bool,
}

impl Cell {
    pub(super) fn shut() -> Self {
        Self {
            shut: true,
            ..Self::default()
        }
    }

    pub(super) fn label(text: impl Into<String>) -> Self {
        Self {
            label: text.into(),
            ..Self::default()
        }
    }

    pub(super) fn hint(text: impl Into<String>) -> Self {
        Self {
            hint: text.into(),
            ..Self::default()
        }
    }

    pub(super) fn faint(text: impl Into<String>) -> Self {
        Self {
            faint: text.into(),
            ..Self::default()
        }
    }

    pub(super) fn with_faint(mut self, text: impl Into<String>) -> Self {
        self.faint = text.into();
        self
    }

    /// The cell with boxes one under the other.
    pub(super) fn ticks(mut self, words: &[&'static str], on: &[bool]) -> Self {
        let ticked = |at: usize| on.get(at).copied().unwrap_or(false);
        self.ticks = words
            .iter()
            .enumerate()
            .map(|(at, word)| Tick {
                word,
                on: ticked(at),
            })
            .collect();
        self
    }

    /// The cell with its boxes beside one another.
    pub(super) fn abreast(mut self) -> Self {
        self.abreast = true;
        self
    }
}

/// A row, two lines of the grid high.
#[derive(Clone, Debug, Default)]
pub(super) struct Row {
    pub(super) cells: Vec<Cell>,
    pub(super) asks: Vec<Ask>,
}

/// A table.
#[derive(Clone, Debug, Default)]
pub(super) struct Table {
    pub(super) what: String,
    pub(super) aside: String,
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Row>,
}

/// Lines of the grid that a row takes.
const ROW_LINES: usize = 2;
/// Lines of the grid that the names of the columns take.
const HEAD_LINES: usize = 2;

const RULE: Pen = Pen::new(Shade::INK, 0.3);
const HAIRLINE: Pen = Pen::new(Shade::HAIR, 0.15);

impl Rows for Table {
    fn head_lines(&self) -> usize {
        HEAD_LINES + if self.what.is_empty() { 0 } else { HEADING }
    }

    fn count(&self) -> usize {
        self.rows.len()
    }

    fn lines_of(&self, from: usize, to: usize) -> usize {
        (to - from) * ROW_LINES
    }

    fn part(&self, width: f64, from: usize, to: usize, above: Block) -> Block {
        let mut canvas = Canvas::default();
        let mut asks = above.asks;
        let mut top = 0;
        if !self.what.is_empty() {
            let what = if from > 0 {
                format!("{}, continued", self.what)
            } else {
                self.what.clone()
            };
            heading(&mut canvas, width, &what, &self.aside);
            top += HEADING;
        }
        canvas.put((0.0, lines(top)), above.canvas);
        top += above.lines;
        let rows = &self.rows[from..to];
        canvas.put((0.0, lines(top)), self.grid(width, rows));
        asks.extend(rows.iter().flat_map(|row| row.asks.iter().cloned()));
        Block {
            lines: top + HEAD_LINES + self.lines_of(from, to),
            asks,
            canvas,
        }
    }
}

impl Table {
    /// The head and the rows, as drawn.
    pub(super) fn grid(&self, width: f64, rows: &[Row]) -> Canvas {
        let mut canvas = Canvas::default();
        let edges = self.edges(width);
        self.draw_head(&mut canvas, &edges);
        let mut top = lines(HEAD_LINES);
        for row in rows {
            for (cell, edge) in row.cells.iter().zip(edges.windows(2)) {
                draw_cell(&mut canvas, cell, (edge[0], top), edge[1] - edge[0]);
            }
            top += ROW;
            canvas.line(&[(0.0, top), (width, top)], HAIRLINE);
        }
        for edge in edges.iter().skip(1).take(edges.len().saturating_sub(2)) {
            canvas.line(&[(*edge, 0.0), (*edge, top)], HAIRLINE);
        }
        for y in [lines(HEAD_LINES), top] {
            canvas.line(&[(0.0, y), (width, y)], RULE);
        }
        canvas
    }

    /// The edges of the columns.
    fn edges(&self, width: f64) -> Vec<f64> {
        let whole: f64 = self.columns.iter().map(|column| column.share).sum();
        let mut edges = vec![0.0];
        let mut so_far = 0.0;
        for column in &self.columns {
            so_far += column.share;
            edges.push(width * so_far / whole);
        }
        edges
    }

    fn draw_head(&self, canvas: &mut Canvas, edges: &[f64]) {
        let small = Style::regular(6.3, Shade::GREY);
        for (column, edge) in self.columns.iter().zip(edges.windows(2)) {
            let (left, room) = (edge[0] + PAD, edge[1] - edge[0] - 2.0 * PAD);
            let bold = Style::bold(8.0, Shade::INK);
            canvas.fitted((left, 3.1), Push::Left, column.head, bold, room);
            for (line, base) in wrap(column.under, small, room).iter().zip([5.7, 8.1]) {
                canvas.fitted((left, base), Push::Left, line, small, room);
            }
        }
    }
}

/// Between a hairline and print.
const PAD: f64 = 1.2;
/// The side of a box to tick.
const BOX: f64 = 2.6;

fn draw_cell(canvas: &mut Canvas, cell: &Cell, (left, top): (f64, f64), width: f64) {
    let middle = top + ROW / 2.0;
    if cell.shut {
        let centre = left + width / 2.0;
        canvas.line(&[(centre - 1.2, middle), (centre + 1.2, middle)], HAIRLINE);
        return;
    }
    let ticks = if cell.abreast {
        draw_abreast(canvas, &cell.ticks, (left + width, top))
    } else {
        draw_stacked(canvas, &cell.ticks, (left + width, top))
    };
    let room = (width - ticks - 2.0 * PAD).max(1.0);
    let at = |down: f64| (left + PAD, top + down);
    let bold = Style::bold(8.5, Shade::INK);
    let base = if cell.hint.is_empty() { 5.6 } else { 6.8 };
    canvas.fitted(at(base), Push::Left, &cell.label, bold, room);
    let small = Style::regular(6.3, Shade::GREY);
    canvas.fitted(at(2.6), Push::Left, &cell.hint, small, room);
    let faint = Style::regular(8.5, Shade(128, 130, 136));
    canvas.fitted(at(ROW - 1.9), Push::Left, &cell.faint, faint, room);
}

/// Boxes one under the other at the right end of a cell; gives the width they take.
fn draw_stacked(canvas: &mut Canvas, ticks: &[Tick], (right, top): (f64, f64)) -> f64 {
    let small = Style::regular(6.3, Shade::GREY);
    let words = ticks.iter().map(|tick| small.width(tick.word));
    let wide = words.fold(0.0, f64::max);
    if ticks.is_empty() {
        return 0.0;
    }
    let left = right - PAD - wide - 0.8 - BOX;
    for (tick, row) in ticks.iter().zip(0_u8..) {
        let y = top + 1.1 + f64::from(row) * 0.8 * GRID;
        draw_box(canvas, (left, y), tick.on);
        canvas.text((left + BOX + 0.8, y + 2.1), Push::Left, tick.word, small);
    }
    right - left
}

/// Boxes beside one another, their words over them; gives the width they take.
fn draw_abreast(canvas: &mut Canvas, ticks: &[Tick], (right, top): (f64, f64)) -> f64 {
    let small = Style::regular(6.3, Shade::GREY);
    let mut left = right - PAD;
    for tick in ticks.iter().rev() {
        let wide = small.width(tick.word).max(BOX);
        left -= wide;
        canvas.text(
            (left + wide / 2.0, top + 3.0),
            Push::Centre,
            tick.word,
            small,
        );
        draw_box(canvas, (left + (wide - BOX) / 2.0, top + 4.2), tick.on);
        left -= 1.4;
    }
    right - left
}

/// A box to tick.
fn draw_box(canvas: &mut Canvas, (x, y): (f64, f64), on: bool) {
    canvas.rect((x, y), (BOX, BOX), Some(Pen::new(Shade::GREY, 0.2)), None);
    if on {
        let pen = Pen::new(Shade(128, 130, 136), 0.35);
        canvas.line(
            &[(x + 0.5, y + 1.3), (x + 1.1, y + 2.0), (x + 2.2, y + 0.6)],
            pen,
        );
    }
}
