//! `inspect --sheet`: the report as a file to print, to send and to sign.

use std::path::{Path, PathBuf};

use super::args::Inspect;
use super::{Outcome, sheet_pictures, talk};
use crate::measure::Unit;
use crate::publish::Report;
use crate::publish::file;
use crate::publish::report_sheet::{Options, report_sheet};
use crate::publish::sheet::Paper;

/// What the file is, as its ending says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Pdf,
    Html,
}

/// The sheet that is wanted.
#[derive(Clone, Debug)]
pub(super) struct Wanted {
    to: PathBuf,
    kind: Kind,
    paper: Option<Paper>,
    date: Option<String>,
}

impl Wanted {
    /// What the arguments want; told before any work is done where its kind is not known.
    pub(super) fn of(inspect: &Inspect) -> Result<Option<Self>, Outcome> {
        let Some(to) = &inspect.sheet else {
            return Ok(None);
        };
        let kind = kind_of(to).ok_or_else(|| {
            talk::fault(&format!(
                "cannot tell what sheet {} is to be: name it FILE.pdf or FILE.html",
                to.display()
            ))
        })?;
        if to.is_dir() {
            return Err(talk::fault(&format!(
                "cannot write {}: it is a folder",
                to.display()
            )));
        }
        Ok(Some(Self {
            to: to.clone(),
            kind,
            paper: inspect.paper.map(super::args::SheetPaper::paper),
            date: inspect.date.clone(),
        }))
    }
}

fn kind_of(path: &Path) -> Option<Kind> {
    let ending = path.extension()?.to_str()?.to_ascii_lowercase();
    match ending.as_str() {
        "pdf" => Some(Kind::Pdf),
        "html" | "htm" => Some(Kind::Html),
        _ => None,
    }
}

/// Writes the sheet, whole or not at all, and says so.
pub(super) fn write(wanted: &Wanted, report: &Report<'_>, milder: usize) -> Result<(), Outcome> {
    let options = Options {
        date: wanted.date.clone(),
        milder,
        pictures: sheet_pictures::pictures(report),
    };
    let sheet = report_sheet(report, options);
    let by_units = match report.job.units {
        Unit::Inches => Paper::Letter,
        Unit::Millimetres => Paper::A4,
    };
    let bytes = match wanted.kind {
        Kind::Html => sheet.html().into_bytes(),
        Kind::Pdf => {
            let laid = sheet.laid(wanted.paper.unwrap_or(by_units));
            talk::say_boxes(&laid.pages());
            laid.pdf()
                .map_err(|error| talk::fault(&error.to_string()))?
        }
    };
    file::write_over(&wanted.to, &bytes)
        .map_err(|error| talk::fault(&file::why(&wanted.to, &error)))?;
    talk::say(&format!("wrote {}", wanted.to.display()));
    Ok(())
}
