//! The shape of `sheets --json`.

use serde::Serialize;

use super::{FORMAT, program, text_of};
use crate::publish::site_sheets::{
    DrawingTold, MODEL, NAME, Options, SheetTold, SiteSheets, TableTold,
};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    file: &'static str,
    model: Option<&'static str>,
    paper: PaperShape,
    sheets: Vec<SheetShape<'a>>,
    drawings: Vec<DrawingShape<'a>>,
    not_drawn: &'a [String],
    tables: Vec<TableShape<'a>>,
}

#[derive(Serialize)]
struct PaperShape {
    name: String,
    width_mm: f64,
    height_mm: f64,
    margin_mm: f64,
}

#[derive(Serialize)]
struct SheetShape<'a> {
    number: usize,
    title: &'a str,
    scale: &'a str,
    drawings: Vec<&'a str>,
    tables: Vec<&'a str>,
}

#[derive(Serialize)]
struct DrawingShape<'a> {
    name: &'a str,
    title: &'a str,
    scale: &'a str,
    by: f64,
    sheet: usize,
    at_mm: [f64; 2],
    width_mm: f64,
    height_mm: f64,
    file: String,
}

#[derive(Serialize)]
struct TableShape<'a> {
    name: &'a str,
    file: String,
    columns: &'a [&'static str],
    rows: usize,
    printed: usize,
    sheets: &'a [usize],
}

/// What the sheets of a job hold as JSON.
#[must_use]
pub fn sheets(job: &str, made: &SiteSheets, options: &Options) -> String {
    let page = made.pages.first();
    let (width_mm, height_mm) = page.map_or((0.0, 0.0), |page| (page.width, page.height));
    let each = made.drawings.iter().enumerate();
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job,
        file: NAME,
        model: options.whole().then_some(MODEL),
        paper: PaperShape {
            name: options.paper.to_string(),
            width_mm,
            height_mm,
            margin_mm: options.margin,
        },
        sheets: made.sheets.iter().map(|one| sheet(one, made)).collect(),
        drawings: each.map(|(at, one)| drawing(at, one, made)).collect(),
        not_drawn: &made.not_drawn,
        tables: made.tables.iter().map(table).collect(),
    })
}

fn sheet<'a>(one: &'a SheetTold, made: &'a SiteSheets) -> SheetShape<'a> {
    let drawings = one.drawings.iter();
    let here = made.tables.iter();
    let here = here.filter(|table| table.sheets.contains(&one.number));
    SheetShape {
        number: one.number,
        title: &one.title,
        scale: &one.scale,
        drawings: drawings
            .filter_map(|at| made.drawings.get(*at))
            .map(|drawing| drawing.name.as_str())
            .collect(),
        tables: here.map(TableTold::name).collect(),
    }
}

fn drawing<'a>(at: usize, one: &'a DrawingTold, made: &SiteSheets) -> DrawingShape<'a> {
    let mut sheets = made.sheets.iter();
    let on = sheets.find(|sheet| sheet.drawings.contains(&at));
    DrawingShape {
        name: &one.name,
        title: &one.title,
        scale: &one.scale,
        by: one.by,
        sheet: on.map_or(0, |sheet| sheet.number),
        at_mm: [one.at.0, one.at.1],
        width_mm: one.drawing.width,
        height_mm: one.drawing.height,
        file: one.file(),
    }
}

fn table(one: &TableTold) -> TableShape<'_> {
    TableShape {
        name: one.name(),
        file: one.file(),
        columns: &one.table.heads,
        rows: one.table.rows.len(),
        printed: one.printed,
        sheets: &one.sheets,
    }
}
