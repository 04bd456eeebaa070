//! The client's page made from the window, beside the job: what is on show here, to turn and to decide
//! on. Pictures for a browser without 3D are drawn by the command line, which has no window to feed.

use std::path::Path;

use crate::chain::{self, Chain};
use crate::job::Document;
use crate::publish::file;
use crate::publish::page::{PageOf, WayShown, page};
use crate::shop::parts::{PartLine, parts};

/// A way to do the job, worked out.
struct Worked {
    name: Option<String>,
    note: String,
    document: Document,
    chain: Chain,
    parts: Vec<PartLine>,
}

impl Worked {
    fn of(name: Option<&str>, note: &str, document: Document) -> Result<Self, String> {
        let chain = chain::run(document.job()).map_err(|error| match name {
            Some(name) => format!("the alternative {name} cannot be set out: {error}"),
            None => error.to_string(),
        })?;
        Ok(Self {
            name: name.map(str::to_owned),
            note: note.to_owned(),
            parts: parts(&chain),
            document,
            chain,
        })
    }
}

/// The job as it stands and all of its alternatives.
fn worked(document: &Document) -> Result<Vec<Worked>, String> {
    let mut all = vec![Worked::of(None, "", document.clone())?];
    for one in &document.job().alternatives {
        let way = document.alternative(&one.name);
        let way = way.map_err(|faults| faults.to_string())?;
        all.push(Worked::of(Some(&one.name), &one.note, way)?);
    }
    Ok(all)
}

/// Makes the page and writes it; gives back what is said about it.
///
/// # Errors
/// In words: what cannot be set out, or written.
pub(super) fn written(document: &Document, to: &Path) -> Result<String, String> {
    let ways = worked(document)?;
    let of = PageOf {
        ways: ways
            .iter()
            .map(|way| WayShown {
                name: way.name.as_deref(),
                note: &way.note,
                job: way.document.job(),
                chain: &way.chain,
                parts: &way.parts,
            })
            .collect(),
        prices: None,
        shots: Vec::new(),
    };
    let text = page(&of).ok_or("there is nothing to show")?;
    file::write_over(to, text.as_bytes()).map_err(|error| file::why(to, &error))?;
    Ok(format!(
        "wrote {}; send it to the client, any browser opens it ({:.1} MB)",
        to.display(),
        text.len() as f64 / 1e6
    ))
}
