//! Tables of text, and how they lie on paper: rows as high as their text. Millimetres.

use std::borrow::Cow;

use super::drawing::{Ink, verdict_mark};
use super::pdf::{Canvas, Pen, Push, Style, wrap};
use super::sheet::GRID;
use super::sheet::layout::{Block, HEADING, Rows, heading, lines};
use crate::inspect::Verdict;

pub(in crate::publish) const TEXT: Style = Style::regular(7.6, Ink::PENCIL);
/// The first baseline under the top of a row, and between two lines.
const BASE: f64 = 3.2;
const LEADING: f64 = 3.0;
/// Under the last baseline.
const BELOW: f64 = 1.0;
/// Between the edge of a column and its text.
const PAD: f64 = 1.2;
/// The side of a mark, and the room that it takes from its text.
const MARK: f64 = 2.3;
const MARK_ROOM: f64 = 3.6;
/// A row has so many lines at the most; what would be longer ends in dots.
const LONGEST: usize = 24;

/// The head of a column.
#[derive(Clone, Debug)]
pub struct Head {
    /// Its name.
    pub name: Cow<'static, str>,
    /// Which way its cells are pushed.
    pub push: Push,
    /// Its share of the width.
    pub share: f64,
}

/// Makes the head of a column.
pub(in crate::publish) const fn head(name: &'static str, push: Push, share: f64) -> Head {
    Head {
        name: Cow::Borrowed(name),
        push,
        share,
    }
}

/// A cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// Its text.
    pub text: String,
    /// The verdict whose mark stands before it.
    pub mark: Option<Verdict>,
}

impl Cell {
    /// A verdict with its words.
    pub(in crate::publish) fn verdict(verdict: Verdict, words: impl Into<String>) -> Self {
        Self {
            text: words.into(),
            mark: Some(verdict),
        }
    }
}

impl<T: Into<String>> From<T> for Cell {
    fn from(text: T) -> Self {
        Self {
            text: text.into(),
            mark: None,
        }
    }
}

/// A table.
#[derive(Clone, Debug, Default)]
pub struct Grid {
    /// What it tells.
    pub called: String,
    /// A few words beside its name.
    pub aside: String,
    /// Its columns.
    pub heads: Vec<Head>,
    /// Its rows.
    pub rows: Vec<Vec<Cell>>,
}

/// A table with its text broken into lines for a width.
pub(in crate::publish) struct Laid<'a> {
    grid: &'a Grid,
    /// Left and right edges of the text of each column.
    columns: Vec<(f64, f64)>,
    width: f64,
    rows: Vec<Vec<Vec<String>>>,
}

/// Text with its numbers bound to their fractions, so that no line breaks between them.
pub(in crate::publish) fn bound(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
    let fraction = |at: usize| {
        let digits = letters[at..].iter().take_while(|c| c.is_ascii_digit());
        let end = at + digits.count();
        end > at && letters.get(end) == Some(&'/') && digit(end + 1)
    };
    letters
        .iter()
        .enumerate()
        .map(|(at, c)| {
            let binds = *c == ' ' && at > 0 && digit(at - 1) && fraction(at + 1);
            if binds { '\u{a0}' } else { *c }
        })
        .collect()
}

impl<'a> Laid<'a> {
    pub(in crate::publish) fn new(grid: &'a Grid, width: f64) -> Self {
        Self::within(grid, width, LONGEST)
    }

    /// The same with rows of so many lines at the most.
    pub(in crate::publish) fn within(grid: &'a Grid, width: f64, most: usize) -> Self {
        let columns = columns(grid, width);
        let rows = grid
            .rows
            .iter()
            .map(|row| {
                let rooms = columns.iter().map(|(left, right)| right - left);
                row.iter()
                    .zip(rooms)
                    .map(|(cell, room)| broken(cell, room, most))
                    .collect()
            })
            .collect();
        Self {
            grid,
            columns,
            width,
            rows,
        }
    }

    fn row_lines(&self, row: usize) -> usize {
        let most = self.rows[row].iter().map(Vec::len).max().unwrap_or(1);
        (text_height(most) / GRID).ceil() as usize
    }

    /// Head and rows, as drawn.
    pub(in crate::publish) fn drawn(&self, from: usize, to: usize) -> Canvas {
        let mut canvas = Canvas::default();
        let width = self.width;
        canvas.rect((0.0, 0.0), (width, GRID), None, Some(Ink::SHEET));
        let bold = Style::bold(7.0, Ink::PENCIL);
        for (head, column) in self.grid.heads.iter().zip(&self.columns) {
            let at = (anchor(head.push, *column), BASE - 0.1);
            canvas.fitted(at, head.push, &head.name, bold, column.1 - column.0);
        }
        let mut top = GRID;
        for row in from..to {
            self.draw_row(&mut canvas, row, top);
            top += lines(self.row_lines(row));
            canvas.line(&[(0.0, top), (width, top)], Pen::new(Ink::FAINT, 0.15));
        }
        canvas
    }

    fn draw_row(&self, canvas: &mut Canvas, row: usize, top: f64) {
        let cells = self.grid.rows[row].iter().zip(&self.rows[row]);
        let columns = self.grid.heads.iter().zip(&self.columns);
        for ((cell, text), (head, column)) in cells.zip(columns) {
            let mut left = anchor(head.push, *column);
            if let Some(verdict) = cell.mark {
                canvas.put((left, top + BASE - 2.1), verdict_mark(verdict, MARK));
                left += MARK_ROOM;
            }
            let mut base = top + BASE;
            for line in text {
                canvas.text((left, base), head.push, line, TEXT);
                base += LEADING;
            }
        }
    }
}

/// Where the text of each column lies. One that begins at its left keeps clear of one that ends at
/// its right before it.
fn columns(grid: &Grid, width: f64) -> Vec<(f64, f64)> {
    let whole: f64 = grid.heads.iter().map(|head| head.share).sum();
    let mut left = 0.0;
    let mut before = Push::Left;
    let mut columns = Vec::with_capacity(grid.heads.len());
    for head in &grid.heads {
        let right = left + width * head.share / whole.max(f64::MIN_POSITIVE);
        let meet = before == Push::Right && head.push == Push::Left;
        let clear = if meet { 3.0 } else { 0.0 };
        columns.push((left + PAD + clear, right - PAD));
        (left, before) = (right, head.push);
    }
    columns
}

/// Where the text of a column begins, or ends.
fn anchor(push: Push, (left, right): (f64, f64)) -> f64 {
    match push {
        Push::Left => left,
        Push::Centre => f64::midpoint(left, right),
        Push::Right => right,
    }
}

fn broken(cell: &Cell, room: f64, most: usize) -> Vec<String> {
    let mark = if cell.mark.is_some() { MARK_ROOM } else { 0.0 };
    let lines = wrap(&bound(&cell.text), TEXT, (room - mark).max(4.0));
    at_most(lines, most)
}

/// So many lines, dots in the place of what is left out.
pub(in crate::publish) fn at_most(mut lines: Vec<String>, most: usize) -> Vec<String> {
    if lines.len() > most {
        lines.truncate(most.saturating_sub(1));
        lines.push("\u{2026}".to_owned());
    }
    lines
}

fn text_height(count: usize) -> f64 {
    BASE + count.saturating_sub(1) as f64 * LEADING + BELOW
}

impl Rows for Laid<'_> {
    fn head_lines(&self) -> usize {
        1 + if self.grid.called.is_empty() {
            0
        } else {
            HEADING
        }
    }

    fn count(&self) -> usize {
        self.rows.len()
    }

    fn lines_of(&self, from: usize, to: usize) -> usize {
        (from..to).map(|row| self.row_lines(row)).sum()
    }

    fn part(&self, width: f64, from: usize, to: usize, above: Block) -> Block {
        let mut canvas = Canvas::default();
        let mut top = 0;
        if !self.grid.called.is_empty() {
            let called = if from > 0 {
                format!("{}, continued", self.grid.called)
            } else {
                self.grid.called.clone()
            };
            heading(&mut canvas, width, &called, &self.grid.aside);
            top += HEADING;
        }
        canvas.put((0.0, lines(top)), above.canvas);
        top += above.lines;
        canvas.put((0.0, lines(top)), self.drawn(from, to));
        Block {
            lines: top + 1 + self.lines_of(from, to),
            asks: above.asks,
            canvas,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::bound;

    #[test]
    fn a_number_is_bound_to_its_fraction_and_nothing_else_is() {
        assert_eq!(bound("is 10 1/4\", or 3"), "is 10\u{a0}1/4\", or 3");
        assert_eq!(bound("step 4 rises 7 and/or 8"), "step 4 rises 7 and/or 8");
        assert_eq!(bound("at 12 "), "at 12 ");
    }
}
