//! Tables whose columns are as wide as what stands in them. Millimetres.

use std::borrow::Cow;

use crate::publish::grid::{Cell, Grid, Head, TEXT, bound};
use crate::publish::pdf::{Push, Style};

/// Beside the text of a column: both pads, and what keeps it clear of a number before it.
const BESIDE: f64 = 5.6;
/// A column whose text may break is no narrower, if its text is not.
const FLEX: f64 = 26.0;
/// What the mark before a text takes.
const MARK: f64 = 3.6;

/// A column.
#[derive(Clone, Debug)]
pub(super) struct Column {
    name: Cow<'static, str>,
    push: Push,
    breaks: bool,
}

/// A column of numbers.
pub(super) fn number(name: impl Into<Cow<'static, str>>) -> Column {
    Column {
        name: name.into(),
        push: Push::Right,
        breaks: false,
    }
}

/// A column of words that stay on their line.
pub(super) fn word(name: impl Into<Cow<'static, str>>) -> Column {
    Column {
        name: name.into(),
        push: Push::Left,
        breaks: false,
    }
}

/// A column of text that is broken where it must be.
pub(super) fn text(name: impl Into<Cow<'static, str>>) -> Column {
    Column {
        name: name.into(),
        push: Push::Left,
        breaks: true,
    }
}

/// A table of the sheets.
#[derive(Clone, Debug)]
pub(super) struct Table {
    /// The file that holds the same rows.
    pub(super) csv: &'static str,
    /// What it is called; empty where it stands right under a heading.
    pub(super) title: String,
    /// What is said over it.
    pub(super) above: Vec<String>,
    grid: Grid,
    /// How many rows of the file each of its rows stands for.
    stands: Vec<usize>,
    /// The widths that its columns want, and those that they need.
    wants: Vec<(f64, f64)>,
}

impl Table {
    pub(super) fn new(
        csv: &'static str,
        title: impl Into<String>,
        columns: &[Column],
        rows: Vec<Vec<Cell>>,
    ) -> Self {
        let wants = columns.iter().enumerate();
        let wants =
            wants.map(|(at, column)| width(column, rows.iter().filter_map(|row| row.get(at))));
        Self {
            csv,
            title: title.into(),
            above: Vec::new(),
            stands: vec![1; rows.len()],
            wants: wants.collect(),
            grid: Grid {
                called: String::new(),
                aside: String::new(),
                heads: columns.iter().map(head).collect(),
                rows,
            },
        }
    }

    /// The same from rows of plain text.
    pub(super) fn plain(
        csv: &'static str,
        title: impl Into<String>,
        columns: &[Column],
        rows: Vec<Vec<String>>,
    ) -> Self {
        let cells = rows
            .into_iter()
            .map(|row| row.into_iter().map(Cell::from).collect());
        Self::new(csv, title, columns, cells.collect())
    }

    pub(super) fn over(mut self, says: impl Into<String>) -> Self {
        let says = says.into();
        if !says.is_empty() {
            self.above.push(says);
        }
        self
    }

    /// Each row stands for so many of the file.
    pub(super) fn standing_for(mut self, stands: Vec<usize>) -> Self {
        self.stands = stands;
        self
    }

    /// How many rows of the file some rows stand for.
    pub(super) fn stand_for(&self, from: usize, to: usize) -> usize {
        self.stands.iter().take(to).skip(from).sum()
    }

    pub(super) fn count(&self) -> usize {
        self.grid.rows.len()
    }

    /// The narrowest that it reads well in.
    pub(super) fn least(&self) -> f64 {
        self.wants.iter().map(|(_, least)| least).sum()
    }

    /// The table for a room, with its width: its columns as wide as they want where there is room, and
    /// those that break narrower where there is not.
    pub(super) fn within(&self, room: f64) -> (Grid, f64) {
        let (wants, needs): (f64, f64) = self
            .wants
            .iter()
            .fold((0.0, 0.0), |(a, b), (want, need)| (a + want, b + need));
        let give = if wants <= room || wants <= needs {
            0.0
        } else {
            ((wants - room) / (wants - needs)).min(1.0)
        };
        let mut grid = self.grid.clone();
        for (head, (want, need)) in grid.heads.iter_mut().zip(&self.wants) {
            head.share = want - (want - need) * give;
        }
        let width: f64 = grid.heads.iter().map(|head| head.share).sum();
        (grid, width.min(room))
    }
}

fn head(column: &Column) -> Head {
    Head {
        name: column.name.clone(),
        push: column.push,
        share: 1.0,
    }
}

/// What a column wants and needs.
fn width<'a>(column: &Column, cells: impl Iterator<Item = &'a Cell>) -> (f64, f64) {
    let bold = Style::bold(7.0, TEXT.shade);
    let head = bold.width(&column.name);
    let texts = cells.map(|cell| {
        let mark = if cell.mark.is_some() { MARK } else { 0.0 };
        TEXT.width(&bound(&cell.text)) + mark
    });
    let wants = texts.fold(head, f64::max) + BESIDE;
    let needs = if column.breaks {
        wants.min((FLEX + BESIDE).max(head + BESIDE))
    } else {
        wants
    };
    (wants, needs)
}
