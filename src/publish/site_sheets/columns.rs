//! Blocks one under the other, column after column. Millimetres.

use super::content::{Block, Part};
use super::table::Table;
use crate::publish::drawing::{Drawing, Ink};
use crate::publish::grid::{Laid, TEXT, bound};
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
    used: f64,
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

/// A chapter in columns of a size.
pub(super) fn fill(part: &Part<'_>, size: (f64, f64)) -> Vec<Filled> {
    fill_all(&[part], size)
}

/// Chapters that follow one another in the same columns.
pub(super) fn fill_all(parts: &[&Part<'_>], (width, height): (f64, f64)) -> Vec<Filled> {
    let mut flow = Flow {
        width,
        height,
        columns: vec![Filled::default()],
        lead: Piece::default(),
        gap: GAP,
    };
    for part in parts {
        flow.over_head();
        flow.lead.under(said(part.title, CHAPTER, 5.4, width));
        flow.lead.tall += 1.6;
        for block in &part.blocks {
            flow.block(block);
        }
    }
    flow.columns
}

struct Flow {
    width: f64,
    height: f64,
    columns: Vec<Filled>,
    /// Headings that wait for what follows them.
    lead: Piece,
    /// What stays free over the next block.
    gap: f64,
}

impl Flow {
    fn block(&mut self, block: &Block<'_>) {
        match block {
            Block::Head(text) => {
                self.over_head();
                self.lead.under(said(text, HEAD, 4.6, self.width));
            }
            Block::Text(text) => self.text(text, TEXT),
            Block::Line(text) => {
                self.gap = CLOSE;
                self.text(text, TEXT);
                self.gap = GAP;
            }
            Block::Small(text) => self.text(text, SMALL),
            Block::Table(table) => self.table(table),
            Block::Card(card) => self.card(card),
            Block::Drawn(drawn) => {
                if let Some(drawing) = drawn(self.width) {
                    self.drawing(drawing);
                }
            }
        }
    }

    /// Room over a heading that follows something else.
    fn over_head(&mut self) {
        if self.used() > 0.0 && self.lead.tall <= 0.0 {
            self.lead.tall = OVER_HEAD - GAP;
        }
    }

    fn used(&self) -> f64 {
        self.columns.last().map_or(0.0, |column| column.used)
    }

    /// What is left for one more block.
    fn left(&self) -> f64 {
        let gap = if self.used() > 0.0 { self.gap } else { 0.0 };
        self.height - self.used() - gap
    }

    fn turn(&mut self) {
        if self.used() > 0.0 {
            self.columns.push(Filled::default());
        }
    }

    fn lead(&mut self) -> Piece {
        std::mem::take(&mut self.lead)
    }

    /// Puts a piece under the others, in a new column where this one has no room.
    fn put(&mut self, piece: Piece) {
        if piece.tall > self.left() {
            self.turn();
        }
        let gap = if self.used() > 0.0 { self.gap } else { 0.0 };
        if let Some(column) = self.columns.last_mut() {
            column.canvas.put((0.0, column.used + gap), piece.canvas);
            column.used += gap + piece.tall;
        }
    }

    /// A paragraph, broken over columns where it must be.
    fn text(&mut self, text: &str, style: Style) {
        let mut rest = wrap(&bound(text), style, self.width);
        while !rest.is_empty() {
            let mut piece = self.lead();
            let fits = |left: f64| ((left - piece.tall) / LEADING).floor().max(0.0) as usize;
            let mut here = fits(self.left()).min(rest.len());
            if here < rest.len().min(2) {
                self.turn();
                here = fits(self.left()).clamp(1, rest.len());
            }
            let after = rest.split_off(here);
            piece.under(of_lines(&rest, style));
            self.put(piece);
            rest = after;
        }
    }

    fn drawing(&mut self, drawing: Drawing) {
        let mut piece = self.lead();
        piece.under(Piece {
            canvas: drawing.canvas,
            tall: drawing.height,
        });
        self.put(piece);
    }

    /// A trouble, in short; shorter still where no column would hold it.
    fn card(&mut self, card: &Card) {
        let mut piece = self.lead();
        let mut card = card.clone();
        loop {
            let (canvas, tall) = card_drawn(self.width, &card);
            if piece.tall + tall <= self.height || !shorter(&mut card) {
                piece.under(Piece { canvas, tall });
                break;
            }
        }
        self.put(piece);
        if let Some(column) = self.columns.last_mut() {
            column.rows.push(("troubles.csv", 1));
        }
    }

    fn table(&mut self, table: &Table) {
        let (grid, width) = table.within(self.width);
        let laid = Laid::new(&grid, width);
        let mut over = self.lead();
        let words = table.above.iter().map(|says| (says.as_str(), SMALL));
        let title = std::iter::once((table.title.as_str(), TITLE));
        for (says, style) in title.chain(words).filter(|(says, _)| !says.is_empty()) {
            over.under(said(says, style, LEADING, self.width));
        }
        let count = laid.count();
        let all = over.tall + GRID + lines(laid.lines_of(0, count));
        let first = laid.lines_of(0, TOGETHER.min(count));
        let least = over.tall + GRID + lines(first);
        let keep = all <= self.height && self.left() <= self.height / 2.0;
        if least > self.left() || (all > self.left() && keep) {
            self.turn();
        }
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
            piece.under(Piece {
                canvas: laid.drawn(from, to),
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

fn of_lines(broken: &[String], style: Style) -> Piece {
    let mut canvas = Canvas::default();
    let mut base = 2.7;
    for line in broken {
        canvas.text((0.0, base), Push::Left, line, style);
        base += LEADING;
    }
    Piece {
        canvas,
        tall: LEADING * broken.len() as f64,
    }
}

/// A hairline between columns.
pub(super) fn between(canvas: &mut Canvas, x: f64, (top, below): (f64, f64)) {
    canvas.line(&[(x, top), (x, below)], Pen::new(Ink::FAINT, 0.15));
}
