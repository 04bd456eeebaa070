//! What stands on the sheets, whatever the paper: chapters of paragraphs, tables, cards and pictures.

use super::table::Table;
use crate::publish::drawing::Drawing;
use crate::publish::report_sheet::Card;
use crate::publish::shop::CsvTable;

/// The name of the file of all sheets.
pub const NAME: &str = "site-sheets.pdf";
/// The file of the model, which goes with them.
pub const MODEL: &str = "model.glb";

/// What may be asked for by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Chapter {
    /// Plans, elevations, sections, notches, charts.
    Drawings,
    /// Reveals, gaps and openings as tables.
    Gaps,
    /// The cut list.
    Cuts,
    /// Marks on treads, shoe, rail, and where newels stand.
    Marks,
    /// The fastening schedule.
    Fastening,
    /// Boards, what to buy, hours.
    Buying,
    /// Troubles, and what is let stand.
    Troubles,
    /// How the stair stands against its rules.
    Rules,
}

impl Chapter {
    /// All of them, in the order of the sheets.
    pub const ALL: [Self; 8] = [
        Self::Drawings,
        Self::Gaps,
        Self::Cuts,
        Self::Marks,
        Self::Fastening,
        Self::Buying,
        Self::Troubles,
        Self::Rules,
    ];
}

/// One thing in a chapter.
pub(super) enum Block<'a> {
    /// A heading, which never stands alone at the foot of a column.
    Head(String),
    /// A paragraph.
    Text(String),
    /// A line of text close under what it belongs to.
    Line(String),
    /// A paragraph of lesser text.
    Small(String),
    /// A table.
    Table(Table),
    /// A trouble.
    Card(Box<Card>),
    /// A picture as wide as its column, mm.
    Drawn(Box<dyn Fn(f64) -> Option<Drawing> + 'a>),
}

/// Blocks under one title.
pub(super) struct Part<'a> {
    pub(super) title: &'static str,
    pub(super) blocks: Vec<Block<'a>>,
}

impl<'a> Part<'a> {
    pub(super) fn new(title: &'static str) -> Self {
        Self {
            title,
            blocks: Vec::new(),
        }
    }

    pub(super) fn head(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Head(text.into()));
    }

    pub(super) fn text(&mut self, text: impl Into<String>) {
        let text = text.into();
        if !text.is_empty() {
            self.blocks.push(Block::Text(text));
        }
    }

    pub(super) fn line(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Line(text.into()));
    }

    pub(super) fn small(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Small(text.into()));
    }

    /// A table that has rows.
    pub(super) fn table(&mut self, table: Table) {
        if table.count() > 0 {
            self.blocks.push(Block::Table(table));
        }
    }

    pub(super) fn drawn(&mut self, drawn: impl Fn(f64) -> Option<Drawing> + 'a) {
        self.blocks.push(Block::Drawn(Box::new(drawn)));
    }

    /// The narrowest column that it reads well in, mm.
    pub(super) fn least(&self) -> f64 {
        let tables = self.blocks.iter().map(|block| match block {
            Block::Table(table) => table.least(),
            Block::Card(_) | Block::Drawn(_) => WIDE,
            Block::Head(_) | Block::Text(_) | Block::Line(_) | Block::Small(_) => NARROW,
        });
        tables.fold(NARROW, f64::max)
    }
}

/// Columns are no narrower, mm.
const NARROW: f64 = 72.0;
/// A card and a picture of a board want so much, mm.
const WIDE: f64 = 112.0;

/// A drawing without a place.
pub(super) struct Figure {
    pub(super) name: String,
    pub(super) title: String,
    pub(super) scale: String,
    pub(super) by: f64,
    /// What the sheet that it stands on is called.
    pub(super) sheet: &'static str,
    pub(super) drawing: Drawing,
}

/// All that stands on the sheets.
pub(super) struct Made<'a> {
    pub(super) figures: Vec<Figure>,
    /// Names of drawings for which the paper is too small.
    pub(super) not_drawn: Vec<String>,
    pub(super) parts: Vec<Part<'a>>,
    pub(super) tables: Vec<CsvTable>,
    /// The first sheet, without its list of sheets; none where a few chapters are asked for.
    pub(super) first: Option<First<'a>>,
}

/// The first sheet.
pub(super) struct First<'a> {
    /// What stands over the columns, one line each.
    pub(super) lines: Vec<String>,
    /// The columns before the list of sheets.
    pub(super) part: Part<'a>,
    /// What follows it.
    pub(super) after: Part<'a>,
}
