//! What the commands take that print templates, poles and sheets.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::OnTape;
use crate::measure::{Length, Unit, parse_length};
use crate::publish::full_size::MARGIN;
use crate::publish::paper::{PAPERS, PaperSize};
use crate::publish::site_sheets::Chapter;

// The paper of sheets. No doc comment: it would be taken for the commands' own.
#[derive(Debug, Args)]
pub(in crate::cli) struct OnPaper {
    /// The paper: letter, a4, a3 to a1, tabloid, ansi-c to ansi-e, arch-a to arch-e, or its width and
    /// height as 300mmx500mm; if not given, letter for a job in inches and a4 for one in millimetres
    #[arg(long, value_name = "PAPER", value_parser = paper)]
    pub(in crate::cli) paper: Option<PaperSize>,
    /// White all round that the printer needs; 10 mm if not given
    #[arg(long, value_name = "LENGTH", value_parser = margin, allow_hyphen_values = true)]
    pub(in crate::cli) margin: Option<Length>,
    /// Print lengths on this tape; the job's own if not given
    #[arg(long, value_enum, value_name = "TAPE")]
    pub(in crate::cli) tape: Option<OnTape>,
}

impl OnPaper {
    /// The paper that is asked for, or that goes with the job's units, and its margin in mm.
    pub(in crate::cli) fn or_usual(&self, units: Unit) -> (PaperSize, f64) {
        let paper = self.paper.unwrap_or_else(|| PaperSize::usual(units));
        (paper, self.margin.map_or(MARGIN, Length::as_mm))
    }
}

/// Paper by its name or its measures.
fn paper(text: &str) -> Result<PaperSize, String> {
    if let Some(size) = PaperSize::named(text) {
        return Ok(size);
    }
    let read = |side: &str| {
        let side = parse_length(side.trim(), Unit::Inches).ok()?.as_mm();
        SIDES_MM.contains(&side).then_some(side)
    };
    let sides = text.split_once(['x', 'X']);
    sides
        .and_then(|(width, height)| Some(PaperSize::of(read(width)?, read(height)?)))
        .ok_or_else(|| {
            let names: Vec<&str> = PAPERS.iter().map(|paper| paper.name).collect();
            format!(
                "write {}, or width and height as 300mmx500mm, each 10 mm to 5 m",
                names.join(", ")
            )
        })
}

/// The least and the greatest side of paper: up to what a PDF page may have (ISO 32000-1, annex C:
/// 14,400 points).
const SIDES_MM: std::ops::RangeInclusive<f64> = 10.0..=5_000.0;

fn margin(text: &str) -> Result<Length, String> {
    let read = parse_length(text, Unit::Inches).map_err(|error| error.problem)?;
    let fits = (0.0..=5_000.0).contains(&read.as_mm());
    fits.then_some(read)
        .ok_or_else(|| "write a length of nothing or more, as 10mm".to_owned())
}

#[derive(Debug, Args)]
pub(in crate::cli) struct Templates {
    /// The job; the shipped demo if not given
    pub(in crate::cli) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(in crate::cli) alternative: Option<String>,
    /// Write a PDF of each into this folder, in place of what may be there; without it they are only
    /// listed
    #[arg(long, value_name = "FOLDER")]
    pub(in crate::cli) to: Option<PathBuf>,
    #[command(flatten)]
    pub(in crate::cli) on: OnPaper,
    /// Only those of this name, on this part or for this one, such as N1, T3 or R1-upper-face
    #[arg(long, value_name = "NAME")]
    pub(in crate::cli) only: Option<String>,
    /// Write each as SVG at true size too
    #[arg(long, requires = "to")]
    pub(in crate::cli) svg: bool,
    /// Answer in JSON
    #[arg(long)]
    pub(in crate::cli) json: bool,
}

#[derive(Debug, Args)]
pub(in crate::cli) struct Pole {
    /// The job; the shipped demo if not given
    pub(in crate::cli) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(in crate::cli) alternative: Option<String>,
    /// Write it full size into this file, in place of one that may be there; without it its marks are
    /// only listed
    #[arg(long, value_name = "FILE.pdf")]
    pub(in crate::cli) to: Option<PathBuf>,
    #[command(flatten)]
    pub(in crate::cli) on: OnPaper,
    /// Answer in JSON
    #[arg(long)]
    pub(in crate::cli) json: bool,
}

#[derive(Debug, Args)]
pub(in crate::cli) struct Sheets {
    /// The job; the shipped demo if not given
    pub(in crate::cli) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(in crate::cli) alternative: Option<String>,
    /// Write them into this folder, in place of what may be there: one PDF, and every table; without it
    /// they are only listed
    #[arg(long, value_name = "FOLDER")]
    pub(in crate::cli) to: Option<PathBuf>,
    #[command(flatten)]
    pub(in crate::cli) on: OnPaper,
    /// Only these, without the first sheet
    #[arg(long, value_enum, value_name = "WHAT", value_delimiter = ',')]
    pub(in crate::cli) only: Vec<SheetsOf>,
    /// Prices, as `stock` takes them
    #[arg(long, value_name = "FILE.csv")]
    pub(in crate::cli) prices: Option<PathBuf>,
    /// Write each drawing as SVG too
    #[arg(long, requires = "to")]
    pub(in crate::cli) svg: bool,
    /// Answer in JSON: what there is, and what is written
    #[arg(long)]
    pub(in crate::cli) json: bool,
}

/// The chapters of the site sheets, as words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum SheetsOf {
    /// Plans, elevations and sections to scale
    Drawings,
    /// Balusters, gaps and reveals
    Gaps,
    /// The cut list
    Cuts,
    /// Running marks and bores
    Marks,
    /// How joints are held
    Fastening,
    /// Boards and what to buy
    Buying,
    /// Troubles with their cures
    Troubles,
    /// Every rule of the pack
    Rules,
}

impl From<SheetsOf> for Chapter {
    fn from(of: SheetsOf) -> Self {
        match of {
            SheetsOf::Drawings => Self::Drawings,
            SheetsOf::Gaps => Self::Gaps,
            SheetsOf::Cuts => Self::Cuts,
            SheetsOf::Marks => Self::Marks,
            SheetsOf::Fastening => Self::Fastening,
            SheetsOf::Buying => Self::Buying,
            SheetsOf::Troubles => Self::Troubles,
            SheetsOf::Rules => Self::Rules,
        }
    }
}
