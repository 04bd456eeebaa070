//! The inspection report: a sheet to read, to keep and to sign.
//!
//! In: a [`Report`], and what only the caller knows ([`Options`]). Out: [`ReportSheet`], what stands
//! on the sheet whatever it is printed on, and from that one HTML file ([`ReportSheet::html`]) or a
//! PDF ([`ReportSheet::pdf`]). The same report makes the same bytes.
//! Does not: find or judge anything; certify anybody.

mod cards;
mod content;
mod gather;
mod html;
mod paper;
mod strip;
mod style;

pub(in crate::publish) use content::DECIDED;
pub use content::{Bar, Card, Cell, CureTold, Grid, Head, Picture, ReportSheet, Strip, Title};

pub(in crate::publish) use paper::card as card_drawn;

use super::Report;
use super::pdf::{About, PdfError};
use super::sheet::{Paper, Sheet};

/// What the caller knows beside the report.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// The day of the inspection, as it is to be printed; none leaves a line to write it on.
    pub date: Option<String>,
    /// How many troubles are milder than asked, and not told.
    pub milder: usize,
    /// Pictures to lead with, each a PNG. What is no PNG is left out.
    pub pictures: Vec<Picture>,
}

/// Puts together what stands on the sheet.
#[must_use]
pub fn report_sheet(report: &Report<'_>, options: Options) -> ReportSheet {
    gather::gather(report, options)
}

/// The words of it, for other sheets: nothing drawn.
pub(in crate::publish) fn in_words(report: &Report<'_>) -> ReportSheet {
    gather::words(report, Options::default(), false)
}

impl ReportSheet {
    /// The sheet as one HTML file that needs nothing beside it.
    #[must_use]
    pub fn html(&self) -> String {
        html::html(self)
    }

    /// The sheet laid out on paper.
    #[must_use]
    pub fn laid(&self, paper: Paper) -> Sheet {
        paper::lay(self, paper)
    }

    /// The sheet as a PDF.
    ///
    /// # Errors
    /// [`PdfError`] where the writer meets one of the format's limits.
    pub fn pdf(&self, paper: Paper) -> Result<Vec<u8>, PdfError> {
        self.laid(paper).pdf()
    }

    /// What the file says about itself.
    fn about(&self) -> About {
        About {
            title: format!("Inspection: {}", self.title.job),
            subject: format!("A stair held against {}", self.title.pack),
        }
    }
}
