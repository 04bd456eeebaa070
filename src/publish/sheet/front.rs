//! The first page: which job, what is read with, what is done before the first reading, and the
//! flight as a whole.

use super::Ask;
use super::gallery::{self, Card, card, gallery};
use super::instruments::{instruments, laser_lines};
use super::layout::{Block, Flow, lines};
use super::paper::ROW;
use super::read::{Read, surfaces, typed};
use super::rule;
use super::sketch;
use super::steps::SURFACES;
use super::table::{Cell, Row, Table, column};
use crate::job::{Hand, Job, Len, StepReading, Surface};
use crate::publish::pdf::{Canvas, Pen, Push, Shade, Style};

/// How level and laser are checked is common practice, no source; the sums are in the words.
const BEFORE: [Card; 4] = [
    card(
        "Throw the line",
        sketch::line,
        "Its level line must pass every tread. Mark it in pencil at foot, middle and head. Read its \
         height above the finished lower floor at the first kick. Meet the marks again after every \
         move.",
    ),
    card(
        "Check the level",
        sketch::reversal,
        "One end on a mark, bubble in the middle: mark at the other end. Turn it end for end and \
         mark again. True level is midway; half the distance between the two is its error over \
         its length.",
    ),
    card(
        "Check the laser",
        sketch::laser,
        "Near wall A, mark its line on A and on B, 5 m (16 ft) or more apart. Then near B, its line \
         on the mark on B again, mark A. Half the distance of the marks on A is its error over the \
         distance from A to B.",
    ),
    card(
        "Write a reading",
        sketch::writing,
        "As on the tape; + a hair over the mark, \u{2212}\u{a0}a hair under it. Tick R, D or F: read on \
         rough, dry-fitted or finished work. Leave blank what you did not read.",
    ),
];

const TOTALS: Card = card(
    "TotalRise, TotalRun",
    sketch::whole,
    "Floor to floor, plumb; first kick to last kick, level.",
);
const PITCH: Card = card(
    "Pitch",
    sketch::pitch,
    "A long level on the nosings; write both steps.",
);

/// Lays the first page.
pub(super) fn lay(flow: &mut Flow, job: &Job, read: &Read<'_>) {
    let width = flow.width();
    flow.block(head(width, job));
    flow.block(cautions(width));
    flow.table(&instruments(job), Block::default());
    flow.block(gallery(width, "Before the first reading", "", &BEFORE, 4));
    flow.table(&laser_lines(job), Block::default());
    flow.block(whole(width, *read));
}

/// Title, job, shape of the stair, and who reads it when.
fn head(width: f64, job: &Job) -> Block {
    let mut canvas = Canvas::default();
    let name = if job.name.is_empty() {
        "(no name)"
    } else {
        &job.name
    };
    let title = Style::bold(19.0, Shade::INK);
    canvas.fitted((0.0, 6.4), Push::Left, name, title, width - 36.0);
    canvas.text(
        (width, 6.4),
        Push::Right,
        "Survey sheet",
        Style::bold(11.0, Shade::CHALK),
    );
    canvas.fitted(
        (0.0, 11.9),
        Push::Left,
        &shape(job),
        Style::regular(8.5, Shade::GREY),
        width,
    );
    let fields = [
        ("Date", 0.17),
        ("Read by", 0.27),
        ("With", 0.27),
        ("Where", 0.29),
    ];
    let mut left = 0.0;
    for (word, share) in fields {
        let room = width * share;
        let y = lines(3) + ROW;
        let pen = Pen::new(Shade::INK, 0.25);
        canvas.line(&[(left, y), (left + room - 4.0, y)], pen);
        let small = Style::regular(6.5, Shade::GREY);
        canvas.text((left, y - 5.6), Push::Left, word, small);
        left += room;
    }
    Block {
        lines: 5,
        asks: Vec::new(),
        canvas,
    }
}

/// The stair in a sentence.
fn shape(job: &Job) -> String {
    let flight = &job.flight;
    let side = match flight.open_side {
        Hand::Left => "left",
        Hand::Right => "right",
    };
    let treads = flight.count.saturating_sub(1);
    let mut walls: Vec<&str> = job.walls.iter().map(|wall| wall.name.as_str()).collect();
    if walls.len() > 8 {
        walls.truncate(8);
        walls.push("\u{2026}");
    }
    let walls = match job.walls.len() {
        0 => "no walls".to_owned(),
        1 => format!("wall {}", walls.join(", ")),
        count => format!("{count} walls: {}", walls.join(", ")),
    };
    format!(
        "Straight flight: {}, {}; open side on the {side} going up; {walls}",
        counted(flight.count, "kick"),
        counted(treads, "tread"),
    )
}

fn counted(count: u32, what: &str) -> String {
    let s = if count == 1 { "" } else { "s" };
    format!("{count} {what}{s}")
}

/// What could hurt.
fn cautions(width: f64) -> Block {
    let mut canvas = Canvas::default();
    let said = [
        (
            "Eyes",
            "Never look into the beam or let it run at eye height. Glasses that show the line do \
             not guard the eyes.",
        ),
        (
            "Treads",
            "Try each tread before you stand on it; stand on the stringers where it is loose.",
        ),
        (
            "Open side",
            "Put up a temporary guard before you measure there.",
        ),
    ];
    let column = width / 3.0;
    let mut left = 0.0;
    for (what, words) in said {
        canvas.line(
            &[(left + 0.3, 0.6), (left + 0.3, 12.6)],
            Pen::new(Shade::CHALK, 0.6),
        );
        let bold = Style::bold(8.0, Shade::INK);
        canvas.text((left + 2.4, 3.2), Push::Left, what, bold);
        let regular = Style::regular(7.0, Shade::INK);
        canvas.lines((left + 2.4, 6.4), words, regular, column - 6.0, 2.9);
        left += column;
    }
    Block {
        lines: 3,
        asks: Vec::new(),
        canvas,
    }
}

/// The whole flight, and the rule that shows the size of the print.
fn whole(width: f64, read: Read<'_>) -> Block {
    let room = 31.0;
    let mut cards = Canvas::default();
    let tall = gallery::draw(&mut cards, &TOTALS, (0.0, 0.0), room);
    let other = gallery::draw(&mut cards, &PITCH, (room + 4.0, 0.0), room);
    let table = Table {
        what: String::new(),
        aside: String::new(),
        columns: vec![
            column("Reading", "", 28.0),
            column("is", "", 40.0),
            column("on", "surface", 15.0),
            column("Note", "", 26.0),
        ],
        rows: whole_rows(read),
    };
    let left = 2.0 * room + 10.0;
    let mut block = Block::beside(
        width,
        "The whole flight",
        "",
        (cards, tall.max(other)),
        (left, &table),
    );
    let top = lines(block.lines);
    let down = super::GRID / 2.0;
    block.canvas.put((0.0, top + down), rule::rule(width));
    block.lines += ((rule::TALL + down) / super::GRID).ceil() as usize;
    block
}

fn whole_rows(read: Read<'_>) -> Vec<Row> {
    let row = |name: &str, hint: &str, faint: String, on: [bool; 3]| Row {
        cells: vec![
            Cell::label(name),
            Cell::hint(hint).with_faint(faint),
            Cell::default().ticks(&SURFACES, &on).abreast(),
            Cell::default(),
        ],
        asks: Vec::new(),
    };
    let of = |kind: fn(&StepReading) -> Option<&Len>| {
        let here = || read.steps().filter(move |reading| kind(reading).is_some());
        let on: Vec<&Surface> = here().map(StepReading::on).collect();
        (typed(here().filter_map(kind)), surfaces(on.into_iter()))
    };
    let rise = of(|reading| match reading {
        StepReading::TotalRise { is, .. } => Some(is),
        _ => None,
    });
    let run = of(|reading| match reading {
        StepReading::TotalRun { is, .. } => Some(is),
        _ => None,
    });
    let pitches: Vec<String> = read
        .steps()
        .filter_map(|reading| match reading {
            StepReading::Pitch { from, to, is, .. } => Some(format!(
                "{from} to {to}: {}\u{b0}",
                is.text.trim_end_matches('\u{b0}')
            )),
            _ => None,
        })
        .collect();
    let mut rows = vec![
        row("TotalRise", "", rise.0, rise.1),
        row("TotalRun", "", run.0, run.1),
        row(
            "Pitch",
            "from step     to step",
            pitches.join("; "),
            [false; 3],
        ),
    ];
    if let Some(first) = rows.first_mut() {
        first.asks.push(Ask::Whole);
    }
    rows
}
