//! The steps, from the bottom: how they are read, then a row for each.

use super::Ask;
use super::gallery::{Card, card, gallery};
use super::layout::{Block, Flow};
use super::read::{Read, surfaces, typed};
use super::sketch;
use super::table::{Cell, Column, Row, Table, column};
use crate::job::{Job, Len, Side, StepReading, TreadEdge};

/// The surfaces that a reading is taken on, as boxes to tick.
pub(super) const SURFACES: [&str; 3] = ["R", "D", "F"];

const CARDS: [Card; 8] = [
    card(
        "Rise",
        sketch::rise,
        "Plumb, from the tread below to the top of this tread. A straightedge on this tread \
         carries its height out.",
    ),
    card(
        "Going",
        sketch::going,
        "Level, from the face of this tread\u{2019}s kick to the face of the next kick, along the \
         string.",
    ),
    card(
        "Edge",
        sketch::edge,
        "From a string stretched over the baluster line out to the open end of the tread. Minus \
         where it falls short.",
    ),
    card(
        "Width",
        sketch::width,
        "The length of the tread, open end to wall, at its nosing.",
    ),
    card(
        "Level",
        sketch::level,
        "A level along the tread, a wedge under its low end until the bubble is in the middle. \
         Read the gap; tick the end that stands high.",
    ),
    card(
        "Fall",
        sketch::fall,
        "The same across the depth of the tread. Tick the edge that lies low.",
    ),
    card(
        "Overhang",
        sketch::overhang,
        "From the face of the kick out to the nosing, with a small square against the kick.",
    ),
    card(
        "Under",
        sketch::under,
        "Plumb, from the level laser line down to the tread. Minus where the tread lies above the \
         line.",
    ),
];

const COLUMNS: [Column; 10] = [
    column("Step", "from the bottom", 12.0),
    column("Rise", "up from the tread below", 18.5),
    column("Going", "its kick to the next", 18.5),
    column("Edge", "string to open end", 18.5),
    column("Width", "open end to wall", 19.5),
    column("Level", "gap, and which end stands high", 26.0),
    column("Fall", "gap, and which edge lies low", 25.5),
    column("Overhang", "nosing past its kick", 17.5),
    column("Under", "laser line down to it", 19.0),
    column("on", "surface", 15.0),
];

/// Lays the blocks of the steps.
pub(super) fn lay(flow: &mut Flow, job: &Job, read: &Read<'_>) {
    flow.block(gallery(
        flow.width(),
        "Steps: how each is read",
        "Stand on treads that bear. Guard the open side while you measure.",
        &CARDS,
        4,
    ));
    let count = job.flight.count;
    let table = Table {
        what: "Steps".to_owned(),
        aside: "on: R rough, D dry-fitted, F finished.  Step = number of its kick from the bottom."
            .to_owned(),
        columns: COLUMNS.to_vec(),
        rows: (0..=count).map(|step| row(step, count, *read)).collect(),
    };
    flow.table(&table, Block::default());
    flow.table(&boards(*read), Block::default());
}

/// The row of a step; 0 is the lower floor, the last one the upper floor.
fn row(step: u32, count: u32, read: Read<'_>) -> Row {
    let mut name = Cell::label(step.to_string());
    if step == 0 {
        name.hint = "floor".to_owned();
    } else if step == count {
        name.hint = "top floor".to_owned();
    }
    let is_tread = step > 0 && step < count;
    let tread = |cell: Cell| if is_tread { cell } else { Cell::shut() };
    let of = |kind: fn(&StepReading) -> Option<&Len>| -> Cell {
        let here = read.steps().filter(|reading| reading.step() == Some(step));
        Cell::faint(typed(here.filter_map(kind)))
    };
    let rise = if step > 0 { of(rise) } else { Cell::shut() };
    let here = || read.steps().filter(|reading| reading.step() == Some(step));
    let cells = vec![
        name,
        rise,
        tread(of(going)),
        tread(of(edge)),
        tread(of(width)),
        tread(of(level).ticks(&["Open", "Wall"], &high_ends(here()))),
        tread(of(fall).ticks(&["Front", "Back"], &low_edges(here()))),
        tread(of(overhang)),
        of(under),
        Cell::default()
            .ticks(&SURFACES, &surfaces(here().map(StepReading::on)))
            .abreast(),
    ];
    Row {
        cells,
        asks: vec![Ask::Step(step)],
    }
}

/// Makes a function that picks the value of one kind of reading.
macro_rules! pick {
    ($($name:ident: $kind:ident;)*) => {$(
        fn $name(reading: &StepReading) -> Option<&Len> {
            match reading {
                StepReading::$kind { is, .. } => Some(is),
                _ => None,
            }
        }
    )*};
}

pick! {
    rise: Rise;
    going: Going;
    edge: Edge;
    width: Width;
    level: Level;
    fall: Fall;
    overhang: Overhang;
    under: Under;
    tread_thickness: TreadThickness;
    kick_thickness: KickThickness;
}

fn high_ends<'a>(readings: impl Iterator<Item = &'a StepReading>) -> [bool; 2] {
    let mut on = [false; 2];
    for reading in readings {
        if let StepReading::Level { high, .. } = reading {
            on[usize::from(*high == Side::Wall)] = true;
        }
    }
    on
}

fn low_edges<'a>(readings: impl Iterator<Item = &'a StepReading>) -> [bool; 2] {
    let mut on = [false; 2];
    for reading in readings {
        if let StepReading::Fall { low, .. } = reading {
            on[usize::from(*low == TreadEdge::Back)] = true;
        }
    }
    on
}

/// What the boards and floors are thick.
fn boards(read: Read<'_>) -> Table {
    let row = |name: &str, what: &str, faint: String, step: bool, asks: Vec<Ask>| Row {
        cells: vec![
            Cell::label(name),
            Cell::hint(what),
            if step {
                Cell::hint("at step")
            } else {
                Cell::shut()
            },
            Cell::faint(faint),
            Cell::hint(""),
        ],
        asks,
    };
    let of = |kind: fn(&StepReading) -> Option<&Len>| typed(read.steps().filter_map(kind));
    Table {
        what: "Boards and floors".to_owned(),
        aside: "Once each, and again wherever one differs.".to_owned(),
        columns: vec![
            column("Reading", "", 32.0),
            column("What", "", 62.0),
            column("Step", "", 18.0),
            column("is", "", 36.0),
            column("Note", "", 40.0),
        ],
        rows: vec![
            row(
                "TreadThickness",
                "of a tread, at its open end",
                of(tread_thickness),
                true,
                vec![Ask::Boards],
            ),
            row(
                "KickThickness",
                "of a kick, at its open end",
                of(kick_thickness),
                true,
                Vec::new(),
            ),
            row(
                "floor_below",
                "finish floor over the subfloor, at the foot",
                String::new(),
                false,
                Vec::new(),
            ),
            row(
                "floor_above",
                "finish floor over the subfloor, at the head",
                String::new(),
                false,
                Vec::new(),
            ),
        ],
    }
}
