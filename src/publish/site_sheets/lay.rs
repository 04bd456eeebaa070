//! Chapters on sheets. Millimetres.

use super::columns::{Filled, between, flowed};
use super::content::{Figure, First, Made, Part};
use super::csv;
use super::frame::{Sheet, Title};
use super::shelves::shelve;
use super::table::{Table, number, text};
use super::{DrawingTold, SheetTold, SiteSheets, TableTold, Told};
use crate::publish::drawing::Ink;
use crate::publish::grid::bound;
use crate::publish::pdf::{About, Canvas, Mark, Page, Push, Spot, Style, boxed, wrap};

/// Between columns.
const GUTTER: f64 = 7.0;
/// More columns than this are hard to follow.
const MOST: usize = 8;

/// Over a chapter that follows another on one sheet.
const OVER: f64 = 5.0;
/// The least height that is worth beginning a chapter in.
const LEAST: f64 = 28.0;
/// Less than this of a chapter does not stand on a sheet alone.
const TAIL: f64 = 30.0;

/// A sheet without its number.
#[derive(Default)]
struct Bare {
    titles: Vec<&'static str>,
    canvas: Canvas,
    /// How far down it is taken.
    used: f64,
    rows: Vec<(&'static str, usize)>,
    drawings: Vec<(usize, (f64, f64))>,
    scale: String,
}

/// Lays everything out.
pub(super) fn lay(told: &Told<'_>, made: Made<'_>, frame: &Sheet) -> SiteSheets {
    let room = frame.room();
    let mut bare = drawn(&made.figures, room);
    for part in &made.parts {
        chapter(&mut bare, part, part.title, room);
    }
    let mut tables = made.tables;
    let not_drawn = made.not_drawn;
    if let Some(first) = &made.first {
        let (pages, list) = front(first, &bare, room);
        bare.splice(0..0, pages);
        tables.insert(0, csv::sheets(&list));
    }
    if bare.is_empty() {
        bare.push(Bare {
            titles: vec!["Nothing to show"],
            ..Bare::default()
        });
    }
    SiteSheets {
        not_drawn,
        ..finish(told, bare, (made.figures, tables), frame)
    }
}

/// Sheets of drawings.
fn drawn(figures: &[Figure], room: (f64, f64)) -> Vec<Bare> {
    let sheets = shelve(figures, room).into_iter();
    sheets
        .map(|shelved| {
            let mut bare = Bare::default();
            let mut scales: Vec<&str> = Vec::new();
            for one in shelved {
                let figure = &figures[one.figure];
                if !bare.titles.contains(&figure.sheet) {
                    bare.titles.push(figure.sheet);
                }
                if !figure.scale.is_empty() && !scales.contains(&figure.scale.as_str()) {
                    scales.push(&figure.scale);
                }
                bare.canvas.put((0.0, 0.0), one.caption);
                bare.canvas.put(one.at, figure.drawing.canvas.clone());
                bare.used = bare.used.max(one.at.1 + figure.drawing.height);
                bare.drawings.push((one.figure, one.at));
            }
            bare.scale = match scales.as_slice() {
                [] => String::new(),
                [only] => (*only).to_owned(),
                _ => "as noted".to_owned(),
            };
            bare
        })
        .collect()
}

/// How many columns, each at least so wide, find room.
fn columns(width: f64, least: f64) -> usize {
    (((width + GUTTER) / (least + GUTTER)).floor() as usize).clamp(1, MOST)
}

fn column_width(width: f64, columns: usize) -> f64 {
    (width + GUTTER) / columns as f64 - GUTTER
}

/// A chapter under what stands on the last sheet, and on sheets of its own, which go by a title.
fn chapter(sheets: &mut Vec<Bare>, part: &Part<'_>, title: &'static str, room: (f64, f64)) {
    if part.blocks.is_empty() {
        return;
    }
    let count = columns(room.0, part.least());
    let size = (count, column_width(room.0, count));
    let used = sheets.last().map_or(room.1, |last| last.used);
    let top = if used > 0.0 { used + OVER } else { 0.0 };
    let left = room.1 - top;
    let (filled, goes_on) = begun(part, size, (left, room.1));
    for (at, filled) in filled.into_iter().enumerate() {
        let under = at == 0 && goes_on;
        if under && filled.iter().all(|one| one.used <= 0.0) {
            // Nothing of it found room there.
            continue;
        }
        if !under {
            sheets.push(Bare::default());
        }
        if let Some(sheet) = sheets.last_mut() {
            if !sheet.titles.contains(&title) {
                sheet.titles.push(title);
            }
            put(sheet, filled, (if under { top } else { 0.0 }, size));
        }
    }
}

/// A chapter begun in what is left of a sheet, and true; or on a sheet of its own where little is left, or
/// where it would put only its last lines on another sheet.
fn begun(
    part: &Part<'_>,
    size: (usize, f64),
    (left, whole): (f64, f64),
) -> (Vec<Vec<Filled>>, bool) {
    if left >= LEAST {
        let under = flowed(part, size, (left, whole));
        let tail = under.last().map_or(0.0, |columns| tall(columns));
        if under.len() < 2 || tail >= TAIL {
            return (under, true);
        }
        let own = flowed(part, size, (whole, whole));
        if own.len() >= under.len() {
            return (under, true);
        }
        return (own, false);
    }
    (flowed(part, size, (whole, whole)), false)
}

fn tall(columns: &[Filled]) -> f64 {
    columns.iter().map(|one| one.used).fold(0.0, f64::max)
}

/// Filled columns side by side on a sheet.
fn put(sheet: &mut Bare, filled: Vec<Filled>, (top, (_, width)): (f64, (usize, f64))) {
    let tall = tall(&filled);
    let mut left = 0.0;
    for one in filled {
        if left > 0.0 && one.used > 0.0 {
            between(&mut sheet.canvas, left - GUTTER / 2.0, (top, top + tall));
        }
        sheet.canvas.put((left, top), one.canvas);
        sheet.rows.extend(one.rows);
        left += width + GUTTER;
    }
    sheet.used = top + tall;
}

/// Number, title and scale of every sheet.
pub(super) type Listed = Vec<[String; 3]>;

/// The first sheets with the list of all; what they list depends on how many they are.
fn front(first: &First<'_>, others: &[Bare], room: (f64, f64)) -> (Vec<Bare>, Listed) {
    let mut count = 1;
    loop {
        let list = listed(count, others);
        let pages = front_pages(first, &list, room);
        if pages.len() <= count {
            return (pages, list);
        }
        count = pages.len();
    }
}

fn listed(first: usize, others: &[Bare]) -> Listed {
    let mut rows = vec![["1".to_owned(), FRONT.to_owned(), String::new()]];
    if first > 1 {
        rows[0][0] = format!("1 to {first}");
    }
    rows.extend(others.iter().enumerate().map(|(at, bare)| {
        [
            (first + at + 1).to_string(),
            sheet_title(bare, at, others),
            bare.scale.clone(),
        ]
    }));
    rows
}

/// What the first sheet is called.
const FRONT: &str = "The stair, its figures and its sheets";

/// Titles of a sheet, with its number among those that go on from one another.
fn sheet_title(bare: &Bare, at: usize, all: &[Bare]) -> String {
    let title = bare.titles.join("; ");
    let alike = |other: &&Bare| other.titles == bare.titles;
    let count = all.iter().filter(alike).count();
    if count < 2 {
        return title;
    }
    let before = all[..at].iter().filter(alike).count();
    format!("{title}, {} of {count}", before + 1)
}

fn front_pages(first: &First<'_>, list: &Listed, room: (f64, f64)) -> Vec<Bare> {
    let rows = list.iter().map(|row| row.to_vec()).collect();
    let columns = [number("sheet"), text("what is on it"), text("scale")];
    let sheets = Table::plain("sheets.csv", "", &columns, rows);
    let mut part = Part::new("Sheets");
    part.table(sheets);
    let (over, tall) = over(&first.lines, room.0);
    let mut pages = vec![Bare {
        titles: vec![FRONT],
        canvas: over,
        used: tall,
        ..Bare::default()
    }];
    for part in [&first.part, &part, &first.after] {
        chapter(&mut pages, part, FRONT, room);
    }
    pages
}

/// The name of the job over the first sheet, and what else is told there, with its height.
fn over(lines: &[String], width: f64) -> (Canvas, f64) {
    let mut canvas = Canvas::default();
    let large = Style::bold(20.0, Ink::PENCIL);
    let styles = [
        Style::bold(11.0, Ink::PENCIL),
        Style::regular(8.0, Ink::SOFT),
    ];
    let mut base = 0.0;
    for (at, line) in lines.iter().enumerate() {
        let style = match at {
            0 if large.width(line) <= width => large,
            0 | 1 => styles[0],
            _ => styles[1],
        };
        for broken in wrap(&bound(line), style, width) {
            base += style.em() * 1.2;
            canvas.text((0.0, base), Push::Left, &broken, style);
        }
        base += 1.2;
    }
    (canvas, base + 4.0)
}

/// Numbers the sheets and puts their frames round them.
fn finish(
    told: &Told<'_>,
    bare: Vec<Bare>,
    (figures, tables): (Vec<Figure>, Vec<crate::publish::shop::CsvTable>),
    frame: &Sheet,
) -> SiteSheets {
    let job = told.report.job;
    let inside = frame.inside();
    let (width, height) = frame.size();
    let count = bare.len();
    let titles = bare.iter().enumerate();
    let titles: Vec<String> = titles
        .map(|(at, one)| sheet_title(one, at, &bare))
        .collect();
    let mut places = vec![(0.0, 0.0); figures.len()];
    let mut told_tables: Vec<TableTold> = tables
        .into_iter()
        .map(|table| TableTold {
            table,
            sheets: Vec::new(),
            printed: 0,
        })
        .collect();
    let boxes = has_boxes(&job.name, &bare);
    let mut sheets = Vec::with_capacity(count);
    let mut pages = Vec::with_capacity(count);
    for (at, (one, title)) in bare.into_iter().zip(titles).enumerate() {
        let number = at + 1;
        let block = Title {
            job: &job.name,
            sheet: &title,
            scale: &one.scale,
            number,
            count,
            tape: job.tape,
        };
        let also = (boxes && at == 0).then_some(BOXES);
        let mut canvas = frame.drawn(&block, !one.scale.is_empty(), (NOTE, also));
        canvas.put((inside.left, inside.top), one.canvas);
        for (figure, (left, top)) in &one.drawings {
            places[*figure] = (inside.left + left, inside.top + top);
        }
        stand(&mut told_tables, &one.rows, number);
        sheets.push(SheetTold {
            number,
            title,
            scale: one.scale,
            drawings: one.drawings.iter().map(|(figure, _)| *figure).collect(),
        });
        pages.push(Page {
            width,
            height,
            marks: canvas.marks,
        });
    }
    SiteSheets {
        about: About {
            title: format!("Site sheets: {}", job.name),
            subject: "A stair as found and set out, to work from".to_owned(),
        },
        pages,
        sheets,
        drawings: figures
            .into_iter()
            .zip(places)
            .map(|(figure, at)| DrawingTold {
                name: figure.name,
                title: figure.title,
                scale: figure.scale,
                by: figure.by,
                at,
                drawing: figure.drawing,
            })
            .collect(),
        not_drawn: Vec::new(),
        tables: told_tables,
    }
}

/// Rows of tables that stand on a sheet.
fn stand(tables: &mut [TableTold], rows: &[(&'static str, usize)], number: usize) {
    for (name, rows) in rows {
        let Some(known) = tables.iter_mut().find(|known| known.table.name == *name) else {
            continue;
        };
        known.printed += rows;
        if known.sheets.last() != Some(&number) {
            known.sheets.push(number);
        }
    }
}

/// True where a letter of the job's name, or of what stands on a sheet, prints as a box.
fn has_boxes(job: &str, sheets: &[Bare]) -> bool {
    let name = Mark::Text {
        at: Spot::default(),
        text: job.to_owned(),
        style: Style::regular(8.0, Ink::PENCIL),
    };
    let marks = sheets.iter().flat_map(|one| &one.canvas.marks);
    !boxed(marks.chain([&name])).is_empty()
}

/// What is said once where letters print as boxes.
const BOXES: &str =
    "A box stands for a letter that these sheets cannot draw: the tables beside them have it.";

/// What is said at the foot of a sheet without drawings to scale.
const NOTE: &str = "Lengths are as found, on the tape told at the right: + is strong and - scant of the \
                    mark by more than a quarter of one. Exact millimetres stand in the tables beside \
                    these sheets. Saws hurt: guard on, blade stopped before you measure. A stringer is \
                    an engineer's to cut or bore.";
