//! `sheets`: the whole of a stair on sheets to work from, with every table and drawing as a file.

use std::path::Path;

use super::args::Sheets;
use super::page::{Page, Push};
use super::source::{self, Source};
use super::{Outcome, stock, talk};
use crate::chain::Chain;
use crate::measure::Tape;
use crate::publish::file;
use crate::publish::finish::looks;
use crate::publish::gltf::{Fine, binary};
use crate::publish::json;
use crate::publish::site_sheets::{
    Chapter, MODEL, NAME, Options, SheetsError, SiteSheets, of_stair,
};
use crate::shop::parts::parts;
use crate::shop::prices::Prices;

pub(super) fn run(command: &Sheets) -> Outcome {
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source.on_tape(command.on.tape.map(Tape::from)),
        Err(outcome) => return outcome,
    };
    match source::chain(&source) {
        Ok(chain) => of_chain(command, &source, &chain),
        Err(outcome) => outcome,
    }
}

fn of_chain(command: &Sheets, source: &Source, chain: &Chain) -> Outcome {
    let job = source.job();
    let prices = match &command.prices {
        None => Prices::default(),
        Some(path) => match stock::read_prices(path, job) {
            Ok(prices) => prices,
            Err(problem) => return talk::fault(&problem),
        },
    };
    let (paper, margin) = command.on.or_usual(job.units);
    let options = Options {
        paper,
        margin,
        only: command.only.iter().map(|one| Chapter::from(*one)).collect(),
    };
    let (made, reckoned) = match of_stair(chain, job, &prices, &options) {
        Ok(made) => made,
        Err(SheetsError::Chain(error)) => return source::say_chain_fault(source, error),
        Err(SheetsError::Paper(error)) => return talk::fault(&error.to_string()),
    };
    talk::say_boxes(&made.pages);
    if let Some(folder) = &command.to {
        let model = options
            .whole()
            .then(|| binary(job, chain, &parts(chain), (&looks(job), Fine::Whole)));
        if let Err(problem) = write(folder, &made, model, command.svg) {
            return talk::fault(&problem);
        }
    }
    let text = if command.json {
        json::sheets(&job.name, &made, &options)
    } else {
        listed(&job.name, &made, &options, command.to.is_none())
    };
    let outcome = stock::say_faults(command.prices.as_deref(), job, &reckoned, &prices);
    talk::answer(&text, outcome)
}

/// All files.
fn write(
    folder: &Path,
    made: &SiteSheets,
    model: Option<Vec<u8>>,
    svg: bool,
) -> Result<(), String> {
    let mut files = made.files(svg)?;
    files.extend(model.map(|bytes| (MODEL.to_owned(), bytes)));
    file::write_all(folder, &files)?;
    talk::say(&format!(
        "wrote {NAME}, {} sheets, and {} more files into {}; print it at 100 %, without fitting to the \
         page",
        made.pages.len(),
        files.len() - 1,
        folder.display()
    ));
    Ok(())
}

fn listed(job: &str, made: &SiteSheets, options: &Options, only_listed: bool) -> String {
    let mut page = Page::default();
    page.heading(&format!("{job}: site sheets"));
    let mut rows = vec![["sheet", "", "scale"].map(str::to_owned).to_vec()];
    rows.extend(made.sheets.iter().map(|sheet| {
        vec![
            sheet.number.to_string(),
            sheet.title.clone(),
            sheet.scale.clone(),
        ]
    }));
    page.table(2, &[Push::Right, Push::Left, Push::Left], &rows);
    page.heading("Tables");
    let mut rows = vec![["", "rows", "sheets"].map(str::to_owned).to_vec()];
    rows.extend(made.tables.iter().map(|table| {
        let sheets: Vec<String> = table.sheets.iter().map(ToString::to_string).collect();
        let sheets = if sheets.is_empty() {
            "only as a file".to_owned()
        } else {
            sheets.join(", ")
        };
        vec![
            table.name().to_owned(),
            table.table.rows.len().to_string(),
            sheets,
        ]
    }));
    page.table(2, &[Push::Left, Push::Right, Push::Left], &rows);
    if !made.not_drawn.is_empty() {
        page.space();
        let names = made.not_drawn.join(", ");
        page.wrapped(
            "",
            &format!("Not drawn, for which this paper is too small: {names}."),
        );
    }
    if options.whole() {
        page.heading("Model");
        page.wrapped(
            "  ",
            &format!("{MODEL}: every part, finished, for programs that show glTF 2.0"),
        );
    }
    if only_listed {
        page.space();
        page.wrapped(
            "",
            "With --to FOLDER the sheets are written there as one PDF with a CSV of every table and the \
             model, with --svg each drawing as SVG too.",
        );
    }
    page.text()
}
