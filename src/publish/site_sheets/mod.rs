//! Site sheets: one stair on a set of sheets to work from: drawings to scale, cuts, marks, fastening,
//! what to buy, troubles and rules.
//!
//! In: an inspected job with what its runs are fitted with, prices, a paper. Out: [`SiteSheets`]: pages
//! for [`crate::publish::pdf`], what stands on each, and every table for a spreadsheet. The same job
//! gives the same sheets: they carry no date.
//! Does not: compute anything about the stair; judge it.

mod columns;
mod content;
mod csv;
mod frame;
mod gather;
mod lay;
mod shelves;
mod stair;
mod table;
mod views;

pub use content::{Chapter, MODEL, NAME};
pub use stair::{SheetsError, of_stair};

use super::Report;
use super::drawing::{Drawing, svg_plain};
use super::full_size::MARGIN;
use super::paper::{PaperError, PaperSize};
use super::pdf::{self, About, Page, PdfError};
use super::shop::CsvTable;
use crate::chain::Fitted;
use crate::shop::prices::Prices;
use crate::shop::reckoning::Reckoning;

/// What the sheets are made from.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// The job, set out and inspected.
    pub report: &'a Report<'a>,
    /// What the chain tells of each run besides.
    pub fitted: &'a [Fitted],
    /// What the job takes.
    pub reckoned: &'a Reckoning,
    /// The prices that it was reckoned with.
    pub prices: &'a Prices,
}

/// How the sheets are wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// The paper, upright; the sheets lie.
    pub paper: PaperSize,
    /// White all round, mm.
    pub margin: f64,
    /// The chapters that are wanted; all of them, behind a first sheet that lists them, where none is
    /// named.
    pub only: Vec<Chapter>,
}

/// The sheets of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteSheets {
    /// What the file says about itself.
    pub about: About,
    /// The pages.
    pub pages: Vec<Page>,
    /// What stands on each page.
    pub sheets: Vec<SheetTold>,
    /// The drawings, in their order.
    pub drawings: Vec<DrawingTold>,
    /// Names of drawings for which the paper is too small.
    pub not_drawn: Vec<String>,
    /// The tables.
    pub tables: Vec<TableTold>,
}

/// What stands on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetTold {
    /// Its number, from 1.
    pub number: usize,
    /// What it is called in its title block.
    pub title: String,
    /// The scale in its title block: that of its drawings, `as noted` where they have several, nothing
    /// where it has none.
    pub scale: String,
    /// The drawings on it, by their numbers from 0.
    pub drawings: Vec<usize>,
}

/// A drawing of the set.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawingTold {
    /// Its name, fit for a file.
    pub name: String,
    /// What it shows.
    pub title: String,
    /// Its scale in words; empty for a chart.
    pub scale: String,
    /// Millimetres of the stair for one on the paper; 1 for a chart.
    pub by: f64,
    /// Where it lies on its page: its upper left corner, mm right and down.
    pub at: (f64, f64),
    /// The drawing itself.
    pub drawing: Drawing,
}

/// A table of the set.
#[derive(Clone, Debug, PartialEq)]
pub struct TableTold {
    /// The table, with its name.
    pub table: CsvTable,
    /// The sheets that it stands on; none where the sheets tell it in sentences.
    pub sheets: Vec<usize>,
    /// How many rows stand on them.
    pub printed: usize,
}

impl Options {
    /// All chapters on this paper.
    #[must_use]
    pub const fn on(paper: PaperSize) -> Self {
        Self {
            paper,
            margin: MARGIN,
            only: Vec::new(),
        }
    }

    /// True of the whole set, with which goes the model ([`MODEL`]).
    #[must_use]
    pub const fn whole(&self) -> bool {
        self.only.is_empty()
    }
}

impl DrawingTold {
    /// Its file under the folder of the set.
    #[must_use]
    pub fn file(&self) -> String {
        format!("drawings/{}.svg", self.name)
    }
}

impl TableTold {
    /// Its name, without the ending of its file.
    #[must_use]
    pub fn name(&self) -> &str {
        self.table.name.trim_end_matches(".csv")
    }

    /// Its file under the folder of the set.
    #[must_use]
    pub fn file(&self) -> String {
        format!("tables/{}", self.table.name)
    }
}

impl SiteSheets {
    /// As a PDF; the same sheets give the same bytes.
    ///
    /// # Errors
    /// [`PdfError`] where the writer meets one of the format's limits.
    pub fn pdf(&self) -> Result<Vec<u8>, PdfError> {
        pdf::write(&self.about, &self.pages)
    }

    /// Every file of the set by its name under the folder: the PDF first, a CSV of each table, and each
    /// drawing as SVG where that is asked for.
    ///
    /// # Errors
    /// In words, where one cannot be made.
    pub fn files(&self, svg: bool) -> Result<Vec<(String, Vec<u8>)>, String> {
        let pdf = self.pdf().map_err(|error| error.to_string())?;
        let mut files = vec![(NAME.to_owned(), pdf)];
        for table in &self.tables {
            let text = table.table.text();
            files.push((table.file(), text.map_err(|error| error.to_string())?));
        }
        if svg {
            let drawings = self.drawings.iter();
            files.extend(drawings.map(|one| (one.file(), svg_plain(&one.drawing).into_bytes())));
        }
        Ok(files)
    }
}

/// Lays out the sheets of a job.
///
/// # Errors
/// [`PaperError`] where the paper will not do, with what would.
pub fn site_sheets(told: &Told<'_>, options: &Options) -> Result<SiteSheets, PaperError> {
    let frame = frame::Sheet::of(options)?;
    let made = gather::gather(told, &options.only, frame.room());
    Ok(lay::lay(told, made, &frame))
}
