//! Chapters on sheets. Millimetres.

use super::columns::{Filled, between, fill, fill_all};
use super::content::{Figure, First, Made, Part};
use super::csv;
use super::frame::{Sheet, Title};
use super::shelves::shelve;
use super::table::{Table, number, text};
use super::{DrawingTold, SheetTold, SiteSheets, TableTold, Told};
use crate::publish::drawing::Ink;
use crate::publish::grid::bound;
use crate::publish::pdf::{About, Canvas, Page, Push, Style, wrap};

/// Between columns.
const GUTTER: f64 = 7.0;
/// More columns than this are hard to follow.
const MOST: usize = 8;

/// A sheet without its number.
#[derive(Default)]
struct Bare {
    titles: Vec<&'static str>,
    canvas: Canvas,
    /// Columns that it is divided into, and how many of them are used; none where it has drawings.
    columns: (usize, usize),
    rows: Vec<(&'static str, usize)>,
    drawings: Vec<(usize, (f64, f64))>,
    scale: String,
}

/// Lays everything out.
pub(super) fn lay(told: &Told<'_>, made: Made<'_>, frame: &Sheet) -> SiteSheets {
    let room = frame.room();
    let mut bare = drawn(&made.figures, room);
    for part in &made.parts {
        chapter(&mut bare, part, room);
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

/// A chapter in the columns that the last sheet has left, or on sheets of its own.
fn chapter(sheets: &mut Vec<Bare>, part: &Part<'_>, room: (f64, f64)) {
    if part.blocks.is_empty() {
        return;
    }
    let most = columns(room.0, part.least());
    if let Some(last) = sheets.last_mut() {
        let (count, used) = last.columns;
        if used > 0 && used < count && count <= most {
            let filled = fill(part, (column_width(room.0, count), room.1));
            if filled.len() <= count - used {
                last.titles.push(part.title);
                for one in filled {
                    put(last, one, room);
                }
                return;
            }
        }
    }
    let size = (column_width(room.0, most), room.1);
    let mut rest = fill(part, size).into_iter().peekable();
    while rest.peek().is_some() {
        let mut bare = Bare {
            titles: vec![part.title],
            columns: (most, 0),
            ..Bare::default()
        };
        for one in rest.by_ref().take(most) {
            put(&mut bare, one, room);
        }
        sheets.push(bare);
    }
}

/// A filled column in the next place of a sheet.
fn put(bare: &mut Bare, filled: Filled, (width, height): (f64, f64)) {
    let (count, used) = bare.columns;
    let left = used as f64 * (column_width(width, count) + GUTTER);
    if used > 0 {
        between(&mut bare.canvas, left - GUTTER / 2.0, (0.0, height));
    }
    bare.canvas.put((left, 0.0), filled.canvas);
    bare.rows.extend(filled.rows);
    bare.columns.1 += 1;
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

fn front_pages(first: &First<'_>, list: &Listed, (width, height): (f64, f64)) -> Vec<Bare> {
    let rows = list.iter().map(|row| row.to_vec()).collect();
    let sheets = Table::plain(
        "sheets.csv",
        "",
        &[number("sheet"), text("what is on it"), text("scale")],
        rows,
    );
    let mut part = Part::new("Sheets");
    let count = columns(width, first.part.least().max(78.0)).min(3);
    let (over, tall) = over(&first.lines, width);
    let size = (column_width(width, count), height - tall);
    part.table(sheets);
    let filled = fill_all(&[&first.part, &part, &first.after], size);
    let mut pages = Vec::new();
    let mut rest = filled.into_iter().peekable();
    while rest.peek().is_some() {
        let mut bare = Bare {
            titles: vec![FRONT],
            columns: (count, 0),
            ..Bare::default()
        };
        let mut inside = Bare {
            columns: (count, 0),
            ..Bare::default()
        };
        for one in rest.by_ref().take(count) {
            put(&mut inside, one, (width, height - tall));
        }
        bare.canvas.put((0.0, 0.0), over.clone());
        bare.canvas.put((0.0, tall), inside.canvas);
        bare.rows = inside.rows;
        // Nothing else goes on a first sheet.
        bare.columns = (0, 0);
        pages.push(bare);
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
    let titles: Vec<String> = bare
        .iter()
        .enumerate()
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
        let mut canvas = frame.drawn(&block, !one.scale.is_empty(), NOTE);
        canvas.put((inside.left, inside.top), one.canvas);
        for (figure, (left, top)) in &one.drawings {
            places[*figure] = (inside.left + left, inside.top + top);
        }
        for (name, rows) in &one.rows {
            let known = told_tables
                .iter_mut()
                .find(|known| known.table.name == *name);
            if let Some(known) = known {
                known.printed += rows;
                if known.sheets.last() != Some(&number) {
                    known.sheets.push(number);
                }
            }
        }
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

/// What is said at the foot of a sheet without drawings to scale.
const NOTE: &str = "Lengths are as found, on the tape told at the right: + is strong and - scant of the \
                    mark by more than a quarter of one. Exact millimetres stand in the tables beside \
                    these sheets. Saws hurt: guard on, blade stopped before you measure. A stringer is \
                    an engineer's to cut or bore.";
