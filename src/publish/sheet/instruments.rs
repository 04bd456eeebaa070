//! What is read with, and the laser lines that readings are taken from.

use super::Ask;
use super::table::{Cell, Row, Table, column};
use crate::job::{Instrument, Job, LaserLine, Runs, TapeClass, Tool};

/// The tools that every survey takes, with what is to be written of each.
const USUAL: [&str; 4] = ["Tape", "Level", "Laser", "Straightedge"];

/// The instruments: those that the job names, and blank rows for the usual ones that it does not.
pub(super) fn instruments(job: &Job) -> Table {
    let mut rows: Vec<Row> = job.instruments.iter().map(named).collect();
    let has = |word: &str| job.instruments.iter().any(|one| kind(&one.is) == word);
    rows.extend(USUAL.into_iter().filter(|word| !has(word)).map(blank));
    if let Some(first) = rows.first_mut() {
        first.asks.push(Ask::Instruments);
    }
    Table {
        what: "Read with".to_owned(),
        aside: "off: its limit of error, over the length stated for it.".to_owned(),
        columns: vec![
            column("Tool", "", 24.0),
            column("Name", "as readings call it", 32.0),
            column("Class, marks", "", 56.0),
            column("off", "and over what length", 34.0),
            column("Checked today", "error found", 40.0),
        ],
        rows,
    }
}

/// The name of a tool, as the job file writes it.
fn kind(tool: &Tool) -> &'static str {
    match tool {
        Tool::Tape { .. } => "Tape",
        Tool::Level { .. } => "Level",
        Tool::Laser { .. } => "Laser",
        Tool::Distance { .. } => "Distance",
        Tool::Slope { .. } => "Slope",
        Tool::Straightedge { .. } => "Straightedge",
        Tool::Scanner { .. } => "Scanner",
    }
}

fn named(instrument: &Instrument) -> Row {
    let tool = &instrument.is;
    let mut row = blank(kind(tool));
    row.cells[1].label.clone_from(&instrument.name);
    row.cells[3].faint = match tool {
        Tool::Tape { class, mark } => {
            row.cells[2] = classes(Some(*class));
            mark.as_ref()
                .map_or_else(String::new, |mark| format!("marks {}", mark.text))
        }
        Tool::Level { off, over } | Tool::Laser { off, over } => {
            format!("{} over {}", off.text, over.text)
        }
        Tool::Distance { off } | Tool::Straightedge { off } | Tool::Scanner { off } => {
            off.text.clone()
        }
        Tool::Slope { off } => format!("{}\u{b0}", off.text.trim_end_matches('\u{b0}')),
    };
    row
}

fn classes(class: Option<TapeClass>) -> Cell {
    let all = [
        TapeClass::I,
        TapeClass::II,
        TapeClass::III,
        TapeClass::Handbook44,
    ];
    let on = all.map(|one| Some(one) == class);
    Cell::hint("class")
        .ticks(&["I", "II", "III", "Handbook44"], &on)
        .abreast()
}

fn blank(tool: &'static str) -> Row {
    let (class, off, check) = match tool {
        "Tape" => (
            classes(None),
            Cell::hint("marks every"),
            Cell::hint("hook pushed and pulled alike"),
        ),
        "Level" => (
            Cell::hint("length"),
            Cell::default(),
            Cell::hint("half of what turning it shows"),
        ),
        "Laser" => (
            // The classes of IEC 60825-1 that line lasers on sites have.
            Cell::hint("class of its beam")
                .ticks(&["1", "2", "3R"], &[])
                .abreast(),
            Cell::default(),
            Cell::hint("half of what the marks on A show"),
        ),
        "Straightedge" => (
            Cell::hint("length"),
            Cell::default(),
            Cell::hint("turned over on one line"),
        ),
        _ => (Cell::default(), Cell::default(), Cell::default()),
    };
    Row {
        cells: vec![Cell::label(tool), Cell::default(), class, off, check],
        asks: Vec::new(),
    }
}

/// The laser lines: the job's, or room for two.
pub(super) fn laser_lines(job: &Job) -> Table {
    let mut rows: Vec<Row> = job.lines.iter().map(line).collect();
    while rows.len() < 2 {
        rows.push(line_row("", None, ""));
    }
    if let Some(first) = rows.first_mut() {
        first.asks.push(Ask::Lines);
    }
    Table {
        what: "Laser lines".to_owned(),
        aside: "Heights are above the datum: the finished lower floor at the first kick."
            .to_owned(),
        columns: vec![
            column("Line", "name", 24.0),
            column("runs", "", 40.0),
            column(
                "height, x or off",
                "above datum; up the flight; off the wall",
                40.0,
            ),
            column("By", "which laser", 30.0),
            column("Marks met again", "after every move of it", 52.0),
        ],
        rows,
    }
}

fn line(line: &LaserLine) -> Row {
    let (way, place) = match &line.runs {
        Runs::Level { height } => (0, height.as_ref()),
        Runs::Across { x } => (1, x.as_ref()),
        Runs::Beside { off, .. } => (2, off.as_ref()),
    };
    let place = place.map_or("", |length| length.text.as_str());
    let mut row = line_row(&line.name, Some(way), place);
    if let Runs::Beside { wall, .. } = &line.runs {
        row.cells[1].hint = format!("wall {wall}");
    }
    if let Some(by) = &line.by {
        row.cells[3].faint.clone_from(by);
    }
    row
}

fn line_row(name: &str, way: Option<usize>, place: &str) -> Row {
    let on = [0, 1, 2].map(|each| Some(each) == way);
    Row {
        cells: vec![
            Cell::label(name),
            Cell::default()
                .ticks(&["Level", "Across", "Beside"], &on)
                .abreast(),
            Cell::faint(place),
            Cell::default(),
            Cell::default()
                .ticks(&["foot", "middle", "head"], &[])
                .abreast(),
        ],
        asks: Vec::new(),
    }
}
