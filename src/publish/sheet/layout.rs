//! Blocks one under the other, page after page. Millimetres on the paper.

use super::Ask;
use super::paper::{GRID, MARGIN, Paper};
use super::table::Table;
use crate::publish::pdf::{
    self, About, Canvas, Mark, Page, PdfError, Pen, Push, Shade, Spot, Style, boxes_said,
};

/// A sheet laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The paper.
    pub paper: Paper,
    /// What the file says about itself.
    pub about: About,
    /// The pages.
    pub leaves: Vec<Leaf>,
}

/// One page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Leaf {
    /// The blocks on it, from above.
    pub blocks: Vec<Placed>,
    /// The foot of the page.
    pub foot: Vec<Mark>,
}

/// A block in its place. Everything in it lies within its rectangle.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// From the paper's left edge.
    pub left: f64,
    /// From the paper's upper edge.
    pub top: f64,
    /// Its width.
    pub width: f64,
    /// Its height.
    pub height: f64,
    /// What it asks, in order.
    pub asks: Vec<Ask>,
    /// What stands in it.
    pub marks: Vec<Mark>,
}

/// A block without a place.
#[derive(Clone, Debug, Default)]
pub(in crate::publish) struct Block {
    /// Lines of the grid.
    pub(in crate::publish) lines: usize,
    pub(in crate::publish) asks: Vec<Ask>,
    pub(in crate::publish) canvas: Canvas,
}

/// Lines of the grid as millimetres.
pub(in crate::publish) fn lines(count: usize) -> f64 {
    // A page has some sixty.
    f64::from(u32::try_from(count).unwrap_or(u32::MAX)) * GRID
}

/// A heading over a block: what it is, and an aside at the right.
pub(in crate::publish) fn heading(canvas: &mut Canvas, width: f64, what: &str, aside: &str) {
    let bold = Style::bold(11.0, Shade::CHALK);
    let aside_style = Style::regular(7.5, Shade::GREY);
    let aside_room = aside_style.width(aside).min(0.6 * width);
    let room = (width - aside_room - 4.0).max(0.0);
    canvas.fitted((0.0, HEADING_BASE), Push::Left, what, bold, room);
    canvas.fitted(
        (width, HEADING_BASE),
        Push::Right,
        aside,
        aside_style,
        aside_room,
    );
}

/// The baseline of a heading under the top of its block.
const HEADING_BASE: f64 = 3.2;
/// A line with its rule takes this many lines of the grid.
pub(in crate::publish) const HEADING: usize = 1;
/// Rows of a table are not left alone: at least so many on either side of a break.
const TOGETHER: usize = 3;

/// A table that may run on over pages.
pub(in crate::publish) trait Rows {
    /// Lines that the heading and the head take.
    fn head_lines(&self) -> usize;
    /// How many rows it has.
    fn count(&self) -> usize;
    /// Lines that the rows from one to before another take.
    fn lines_of(&self, from: usize, to: usize) -> usize;
    /// Some of the rows, under the head and another block, as a block.
    fn part(&self, width: f64, from: usize, to: usize, above: Block) -> Block;

    /// The end of the rows from one on that find room in so many lines; one at least.
    fn rows_within(&self, from: usize, room: usize) -> usize {
        let fits = |to: &usize| self.lines_of(from, *to) <= room;
        let last = (from + 1..=self.count()).take_while(fits).last();
        last.unwrap_or(from + 1).min(self.count())
    }
}

/// Pages under construction.
pub(in crate::publish) struct Flow {
    paper: Paper,
    leaves: Vec<Leaf>,
    /// Lines of the grid used on the last page.
    used: usize,
}

impl Flow {
    pub(in crate::publish) fn new(paper: Paper) -> Self {
        Self {
            paper,
            leaves: vec![Leaf::default()],
            used: 0,
        }
    }

    /// The width of blocks.
    pub(in crate::publish) fn width(&self) -> f64 {
        self.paper.width()
    }

    /// Lines that a page holds.
    pub(in crate::publish) fn whole(&self) -> usize {
        (self.paper.height() / GRID).round() as usize
    }

    /// Lines left on this page for a block, the gap above it taken off.
    pub(in crate::publish) fn left(&self) -> usize {
        let gap = usize::from(self.used > 0);
        self.whole().saturating_sub(self.used + gap)
    }

    /// A new page, unless this one is empty.
    pub(in crate::publish) fn turn(&mut self) {
        if self.used > 0 {
            self.leaves.push(Leaf::default());
            self.used = 0;
        }
    }

    /// Puts a block under the others, on a new page where this one has no room for it.
    pub(in crate::publish) fn block(&mut self, block: Block) {
        if block.lines > self.left() {
            self.turn();
        }
        self.used += usize::from(self.used > 0);
        self.place(block);
    }

    /// Puts a block right under the last one, as one paragraph follows another.
    pub(in crate::publish) fn close_block(&mut self, block: Block) {
        if block.lines > self.whole() - self.used {
            self.turn();
        }
        self.place(block);
    }

    fn place(&mut self, block: Block) {
        let (left, top) = (MARGIN, MARGIN + lines(self.used));
        let marks = block.canvas.marks.into_iter();
        let placed = Placed {
            left,
            top,
            width: self.paper.width(),
            height: lines(block.lines),
            asks: block.asks,
            marks: marks.map(|mark| mark.moved(left, top)).collect(),
        };
        self.used += block.lines;
        if let Some(leaf) = self.leaves.last_mut() {
            leaf.blocks.push(placed);
        }
    }

    /// Puts a table, its head again on every page that it runs on to. The block above it, such as
    /// the picture that its letters stand in, stays on its first page.
    pub(in crate::publish) fn table(&mut self, table: &impl Rows, above: Block) {
        let first = TOGETHER.min(table.count());
        let over = above.lines + table.head_lines();
        let least = over + table.lines_of(0, first);
        let all = over + table.lines_of(0, table.count());
        // What fits on one page is not broken over two, unless that left most of a page white.
        let keep = all <= self.whole() && self.left() <= self.whole() / 2;
        if least > self.left() || (all > self.left() && keep) {
            self.turn();
        }
        let mut above = Some(above);
        let mut from = 0;
        loop {
            let over = above.take().unwrap_or_default();
            let room = self.left().saturating_sub(over.lines + table.head_lines());
            let mut to = table.rows_within(from, room);
            let after = table.count() - to;
            if after > 0 && after < TOGETHER && to - from > 2 * TOGETHER {
                to -= TOGETHER - after;
            }
            self.block(table.part(self.width(), from, to, over));
            from = to;
            if from >= table.count() {
                return;
            }
            self.turn();
        }
    }

    /// Numbers the pages of a sheet of this kind, for a job of this name.
    pub(in crate::publish) fn finish(mut self, kind: &str, job: &str, about: About) -> Sheet {
        self.leaves.retain(|leaf| !leaf.blocks.is_empty());
        let count = self.leaves.len();
        for (index, leaf) in self.leaves.iter_mut().enumerate() {
            let name = Mark::Text {
                at: Spot::default(),
                text: job.to_owned(),
                style: Style::bold(7.5, Shade::INK),
            };
            let boxes = boxes_said(leaf.marks().chain([&name]));
            leaf.foot = foot(self.paper, (kind, job), (index + 1, count), boxes);
        }
        Sheet {
            paper: self.paper,
            about,
            leaves: self.leaves,
        }
    }
}

/// The foot of a page; what is said of letters that it cannot draw stands before its kind.
fn foot(
    paper: Paper,
    (kind, job): (&str, &str),
    (number, count): (usize, usize),
    boxes: Option<&str>,
) -> Vec<Mark> {
    let (width, height) = paper.size();
    let (left, right) = (MARGIN, width - MARGIN);
    // The descenders stay above the margin.
    let base = height - MARGIN - 1.0;
    let grey = Style::regular(7.5, Shade::GREY);
    let mut canvas = Canvas::default();
    let rule = base - 4.2;
    canvas.line(&[(left, rule), (right, rule)], Pen::new(Shade::HAIR, 0.2));
    let pages = format!("{number} of {count}");
    let mut room = paper.width() - 50.0;
    if let Some(says) = boxes {
        let end = right - 22.0 - grey.width(kind) - 4.0;
        canvas.text((end, base), Push::Right, says, grey);
        room = (end - grey.width(says) - 4.0 - left).max(0.0);
    }
    canvas.fitted(
        (left, base),
        Push::Left,
        job,
        Style::bold(7.5, Shade::INK),
        room,
    );
    canvas.text((right - 22.0, base), Push::Right, kind, grey);
    canvas.text(
        (right, base),
        Push::Right,
        &pages,
        Style::bold(7.5, Shade::INK),
    );
    canvas.marks
}

impl Sheet {
    /// The sheet as a PDF; the same sheet gives the same bytes.
    ///
    /// # Errors
    /// [`PdfError`] where the writer meets one of the format's limits.
    pub fn pdf(&self) -> Result<Vec<u8>, PdfError> {
        pdf::write(&self.about, &self.pages())
    }

    /// Its pages.
    #[must_use]
    pub fn pages(&self) -> Vec<Page> {
        let (width, height) = self.paper.size();
        let leaves = self.leaves.iter();
        leaves
            .map(|leaf| Page {
                width,
                height,
                marks: leaf.marks().cloned().collect(),
            })
            .collect()
    }
}

impl Leaf {
    /// Everything on the page.
    pub fn marks(&self) -> impl Iterator<Item = &Mark> {
        let blocks = self.blocks.iter().flat_map(|block| &block.marks);
        blocks.chain(&self.foot)
    }
}

impl Block {
    /// A block under a heading: pictures of a height at the left, a table from `left` on.
    pub(super) fn beside(
        width: f64,
        what: &str,
        aside: &str,
        (pictures, tall): (Canvas, f64),
        (left, table): (f64, &Table),
    ) -> Self {
        let mut canvas = Canvas::default();
        heading(&mut canvas, width, what, aside);
        canvas.put((0.0, lines(HEADING)), pictures);
        canvas.put(
            (left, lines(HEADING)),
            table.grid(width - left, &table.rows),
        );
        let pictures = (tall / GRID).ceil() as usize;
        let asks = table.rows.iter().flat_map(|row| row.asks.iter().cloned());
        Self {
            lines: HEADING + pictures.max(table.head_lines() + table.lines_of(0, table.count())),
            asks: asks.collect(),
            canvas,
        }
    }
}
