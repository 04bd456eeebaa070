//! Blocks one under the other, column after column. Millimetres.

use std::ops::Range;

use super::content::{Block, Part};
use super::table::Table;
use crate::publish::drawing::Ink;
use crate::publish::grid::{Grid, Laid, TEXT, bound};
use crate::publish::pdf::{Canvas, Pen, Push, Style, wrap};
use crate::publish::report_sheet::{Card, card_drawn};
use crate::publish::sheet::GRID;
use crate::publish::sheet::layout::{Rows as _, lines};

/// Between two lines of text, and under the last.
const LEADING: f64 = 3.4;
const SMALL: Style = Style::regular(7.2, Ink::SOFT);
const CHAPTER: Style = Style::bold(13.0, Ink::CHALK);
const HEAD: Style = Style::bold(10.0, Ink::CHALK);
const TITLE: Style = Style::bold(8.2, Ink::PENCIL);
/// Between two blocks, over a line that belongs to what is over it, and over a heading.
const GAP: f64 = 2.0;
const CLOSE: f64 = 0.8;
const OVER_HEAD: f64 = 4.0;
/// Rows are not left alone: at least so many on either side of a break.
const TOGETHER: usize = 3;

/// A column as it was filled.
#[derive(Default)]
pub(super) struct Filled {
    pub(super) canvas: Canvas,
    pub(super) used: f64,
    /// Rows of which tables stand in it.
    pub(super) rows: Vec<(&'static str, usize)>,
}

/// Something with its height.
#[derive(Clone, Default)]
struct Piece {
    canvas: Canvas,
    tall: f64,
}

impl Piece {
    /// Puts another under it.
    fn under(&mut self, other: Self) {
        self.canvas.put((0.0, self.tall), other.canvas);
        self.tall += other.tall;
    }
}

/// A block broken into lines, or drawn, for a width.
enum Ready<'a> {
    /// Waits for what follows it.
    Lead(Piece),
    /// Lines of a style with what stays free over them.
    Lines(Vec<String>, Style, f64),
    /// What is never broken, and the table that it is a row of.
    Whole(Piece, Option<&'static str>),
    Table(&'a Table, Laid<'a>, Piece),
}

/// How high columns are, one after the other.
struct Heights {
    /// Columns of a sheet.
    count: usize,
    /// Those of the first sheet.
    first: f64,
    /// All others.
    whole: f64,
    /// Those of the last sheet, from and to, which are as high as they must be.
    last: Option<(Range<usize>, f64)>,
}

impl Heights {
    fn at(&self, column: usize) -> f64 {
        match &self.last {
            Some((columns, tall)) if columns.contains(&column) => *tall,
            _ if column < self.count => self.first,
            _ => self.whole,
        }
    }
}

/// A chapter in as many columns side by side, sheet after sheet: on the first sheet no higher than what
/// is left there, which may be too little for any of it; on the last one no higher than it must be, so
/// that another chapter follows under it.
pub(super) fn flowed(
    part: &Part<'_>,
    (count, width): (usize, f64),
    (first, whole): (f64, f64),
) -> Vec<Vec<Filled>> {
    let tables = part.blocks.iter().filter_map(|block| match block {
        Block::Table(table) => Some(table.within(width)),
        _ => None,
    });
    let grids: Vec<(Grid, f64)> = tables.collect();
    let items = ready(part, &grids, (width, whole));
    let mut heights = Heights {
        count,
        first,
        whole,
        last: None,
    };
    let sheets = fill(&items, &heights, width, false)
        .len()
        .div_ceil(count)
        .max(1);
    let columns = (sheets - 1) * count..sheets * count;
    let (mut low, mut high) = (0.0, heights.at(columns.start));
    while high - low > EVEN {
        let tall = f64::midpoint(low, high);
        heights.last = Some((columns.clone(), tall));
        if fill(&items, &heights, width, false).len() <= columns.end {
            high = tall;
        } else {
            low = tall;
        }
    }
    heights.last = Some((columns, high));
    let mut filled = fill(&items, &heights, width, true).into_iter().peekable();
    let mut sheets = Vec::new();
    while filled.peek().is_some() {
        sheets.push(filled.by_ref().take(count).collect());
    }
    sheets
}

/// How even the columns of the last sheet are made.
const EVEN: f64 = 1.5;
/// What headings over a card take at the most.
const HEADINGS: f64 = 18.0;

fn ready<'a>(
    part: &'a Part<'_>,
    grids: &'a [(Grid, f64)],
    (width, whole): (f64, f64),
) -> Vec<Ready<'a>> {
    let mut title = said(part.title, CHAPTER, 5.4, width);
    title.tall += 1.6;
    let mut items = vec![Ready::Lead(title)];
    let mut grids = grids.iter();
    for block in &part.blocks {
        let text =
            |text: &str, style, gap| Ready::Lines(wrap(&bound(text), style, width), style, gap);
        items.extend(match block {
            Block::Head(text) => Some(Ready::Lead(said(text, HEAD, 4.6, width))),
            Block::Text(says) => Some(text(says, TEXT, GAP)),
            Block::Line(says) => Some(text(says, TEXT, CLOSE)),
            Block::Small(says) => Some(text(says, SMALL, GAP)),
            Block::Table(table) => grids.next().map(|(grid, wide)| {
                let laid = Laid::new(grid, *wide);
                Ready::Table(table, laid, over(table, width))
            }),
            Block::Card(card) => Some(Ready::Whole(
                carded(card, (width, whole - HEADINGS)),
                Some("troubles.csv"),
            )),
            Block::Drawn(drawn) => drawn(width).map(|drawing| {
                let (canvas, tall) = (drawing.canvas, drawing.height);
                Ready::Whole(Piece { canvas, tall }, None)
            }),
        });
    }
    items
}

/// Title and words over a table.
fn over(table: &Table, width: f64) -> Piece {
    let mut over = Piece::default();
    let words = table.above.iter().map(|says| (says.as_str(), SMALL));
    let title = std::iter::once((table.title.as_str(), TITLE));
    for (says, style) in title.chain(words).filter(|(says, _)| !says.is_empty()) {
        over.under(said(says, style, LEADING, width));
    }
    over
}

/// A trouble, in short; shorter still where no column would hold it.
fn carded(card: &Card, (width, whole): (f64, f64)) -> Piece {
    let mut card = card.clone();
    loop {
        let (canvas, tall) = card_drawn(width, &card);
        if tall <= whole || !shorter(&mut card) {
            return Piece { canvas, tall };
        }
    }
}

/// Columns of such heights; without their drawing where only their number is asked for.
fn fill(items: &[Ready<'_>], heights: &Heights, width: f64, draws: bool) -> Vec<Filled> {
    let mut flow = Flow {
        width,
        heights,
        draws,
        columns: vec![Filled::default()],
        lead: Piece::default(),
        gap: GAP,
    };
    for item in items {
        flow.item(item);
    }
    flow.columns
}

struct Flow<'a> {
    width: f64,
    heights: &'a Heights,
    draws: bool,
    columns: Vec<Filled>,
    /// Headings that wait for what follows them.
    lead: Piece,
    /// What stays free over the next block.
    gap: f64,
}

impl Flow<'_> {
    fn item(&mut self, item: &Ready<'_>) {
        match item {
            Ready::Lead(piece) => {
                // Room over a heading that follows something else.
                if self.used() > 0.0 && self.lead.tall <= 0.0 {
                    self.lead.tall = OVER_HEAD - GAP;
                }
                let piece = self.copy(piece);
                self.lead.under(piece);
            }
            Ready::Lines(lines, style, gap) => {
                self.gap = *gap;
                self.text(lines, *style);
                self.gap = GAP;
            }
            Ready::Whole(piece, row_of) => {
                let mut led = self.lead();
                led.under(self.copy(piece));
                self.put(led);
                if let Some((csv, column)) = row_of.zip(self.columns.last_mut()) {
                    column.rows.push((csv, 1));
                }
            }
            Ready::Table(table, laid, over) => self.table(table, laid, over),
        }
    }

    /// A piece as it is drawn, or its height alone.
    fn copy(&self, piece: &Piece) -> Piece {
        if self.draws {
            piece.clone()
        } else {
            Piece {
                canvas: Canvas::default(),
                tall: piece.tall,
            }
        }
    }

    fn used(&self) -> f64 {
        self.columns.last().map_or(0.0, |column| column.used)
    }

    /// The height of the column that is filled.
    fn here(&self) -> f64 {
        self.heights.at(self.columns.len() - 1)
    }

    /// What is left for one more block.
    fn left(&self) -> f64 {
        let gap = if self.used() > 0.0 { self.gap } else { 0.0 };
        self.here() - self.used() - gap
    }

    /// Goes on in another column; false where none would be higher.
    fn turn(&mut self) -> bool {
        let turns = self.used() > 0.0 || self.here() < self.heights.whole;
        if turns {
            self.columns.push(Filled::default());
        }
        turns
    }

    fn lead(&mut self) -> Piece {
        std::mem::take(&mut self.lead)
    }

    /// Puts a piece under the others, in a new column where this one has no room.
    fn put(&mut self, piece: Piece) {
        while piece.tall > self.left() && self.turn() {}
        let gap = if self.used() > 0.0 { self.gap } else { 0.0 };
        if let Some(column) = self.columns.last_mut() {
            column.canvas.put((0.0, column.used + gap), piece.canvas);
            column.used += gap + piece.tall;
        }
    }

    /// A paragraph, broken over columns where it must be.
    fn text(&mut self, lines: &[String], style: Style) {
        let mut rest = lines;
        while !rest.is_empty() {
            let mut piece = self.lead();
            let fits = |left: f64| ((left - piece.tall) / LEADING).floor().max(0.0) as usize;
            let mut here = fits(self.left()).min(rest.len());
            while here < rest.len().min(2) && self.turn() {
                here = fits(self.left()).min(rest.len());
            }
            let (now, after) = rest.split_at(here.max(1));
            piece.under(Piece {
                canvas: if self.draws {
                    of_lines(now, style)
                } else {
                    Canvas::default()
                },
                tall: LEADING * now.len() as f64,
            });
            self.put(piece);
            rest = after;
        }
    }

    fn table(&mut self, table: &Table, laid: &Laid<'_>, title: &Piece) {
        let mut over = self.lead();
        over.under(self.copy(title));
        let count = laid.count();
        let all = over.tall + GRID + lines(laid.lines_of(0, count));
        let first = laid.lines_of(0, TOGETHER.min(count));
        let least = over.tall + GRID + lines(first);
        let next = self.heights.at(self.columns.len());
        let keep = all <= next && self.left() <= self.here() / 2.0;
        if all > self.left() && keep {
            self.turn();
        }
        while least > self.left() && self.turn() {}
        let mut from = 0;
        while from < count {
            let room = self.left() - over.tall - GRID;
            let room = (room / GRID + 1e-9).floor().max(0.0) as usize;
            let mut to = laid.rows_within(from, room);
            let after = count - to;
            if after > 0 && after < TOGETHER && to - from > 2 * TOGETHER {
                to -= TOGETHER - after;
            }
            let mut piece = std::mem::take(&mut over);
            let canvas = if self.draws {
                laid.drawn(from, to)
            } else {
                Canvas::default()
            };
            piece.under(Piece {
                canvas,
                tall: GRID + lines(laid.lines_of(from, to)),
            });
            self.put(piece);
            if let Some(column) = self.columns.last_mut() {
                column.rows.push((table.csv, table.stand_for(from, to)));
            }
            from = to;
            if from < count {
                self.turn();
                let title = match table.title.as_str() {
                    "" => "continued".to_owned(),
                    title => format!("{title}, continued"),
                };
                over = said(&title, TITLE, LEADING, self.width);
            }
        }
    }
}

/// Leaves something out of a card; false where nothing more can go.
fn shorter(card: &mut Card) -> bool {
    if card.cures.len() > 1 {
        card.cures.pop();
        return true;
    }
    let because = card.because.as_mut();
    if because.is_some_and(|grid| grid.rows.pop().is_some() && !grid.rows.is_empty()) {
        return true;
    }
    card.because.take().is_some() || card.cures.pop().is_some()
}

/// Words of a style, over as many lines as they take.
fn said(text: &str, style: Style, leading: f64, width: f64) -> Piece {
    let broken = wrap(&bound(text), style, width);
    let mut canvas = Canvas::default();
    let mut base = style.em() * 0.95;
    for line in &broken {
        canvas.text((0.0, base), Push::Left, line, style);
        base += leading;
    }
    Piece {
        canvas,
        tall: leading * broken.len() as f64 + 0.8,
    }
}

fn of_lines(broken: &[String], style: Style) -> Canvas {
    let mut canvas = Canvas::default();
    let mut base = 2.7;
    for line in broken {
        canvas.text((0.0, base), Push::Left, line, style);
        base += LEADING;
    }
    canvas
}

/// A hairline between columns.
pub(super) fn between(canvas: &mut Canvas, x: f64, (top, below): (f64, f64)) {
    canvas.line(&[(x, top), (x, below)], Pen::new(Ink::FAINT, 0.15));
}
