//! Floors and landings: level both ways; a landing's edges and diagonals too.

use super::Ask;
use super::gallery::{self, Card, card};
use super::layout::{Block, Flow};
use super::read::{Read, surfaces, typed};
use super::sketch;
use super::steps::SURFACES;
use super::table::{Cell, Row, Table, column};
use crate::job::{Floor, FloorKind, FloorReading, Job, Side, Way};
use crate::publish::pdf::Canvas;

/// A floor that the sheet asks for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Asked {
    /// What the sheet calls it.
    pub(super) name: String,
    pub(super) kind: FloorKind,
    /// Its place in the job, if it is there.
    place: Option<usize>,
}

/// The floors to ask for: those of the job in walking order, the lower and upper one in any case.
pub(super) fn asked(job: &Job) -> Vec<Asked> {
    let named = |(place, floor): (usize, &Floor)| Asked {
        name: format!("{} {}", word(&floor.is), floor.name),
        kind: floor.is.clone(),
        place: Some(place),
    };
    let mut asked: Vec<Asked> = job.floors.iter().enumerate().map(named).collect();
    for kind in [FloorKind::Lower, FloorKind::Upper] {
        if !asked.iter().any(|floor| floor.kind == kind) {
            asked.push(Asked {
                name: word(&kind).to_owned(),
                kind,
                place: None,
            });
        }
    }
    asked.sort_by(|a, b| height(&a.kind).total_cmp(&height(&b.kind)));
    asked
}

fn word(kind: &FloorKind) -> &'static str {
    match kind {
        FloorKind::Lower => "Lower floor",
        FloorKind::Upper => "Upper floor",
        FloorKind::Landing { .. } => "Landing",
    }
}

/// Landings lie between the floors, by their heights in millimetres.
fn height(kind: &FloorKind) -> f64 {
    match kind {
        FloorKind::Lower => f64::NEG_INFINITY,
        FloorKind::Upper => f64::INFINITY,
        FloorKind::Landing { height, .. } => height.mm(),
    }
}

const FLOOR: Card = card(
    "Level",
    sketch::floor,
    "Lay the level on the floor, or on a straight board under it, and wedge its low end. Write \
     the length that it spans, and tick the way to the high end.",
);
const LANDING: Card = card(
    "Edge, Diagonal",
    sketch::landing,
    "Tape the four edges, and both diagonals from a downhill corner to the uphill corner at the \
     other end.",
);

/// The width of the cards beside the table.
const CARD: f64 = 46.0;

/// Lays a block for each floor.
pub(super) fn lay(flow: &mut Flow, floors: &[Asked], read: &Read<'_>) {
    for floor in floors {
        let block = block(flow.width(), floor, *read);
        flow.block(block);
    }
}

fn block(width: f64, floor: &Asked, read: Read<'_>) -> Block {
    let landing = matches!(floor.kind, FloorKind::Landing { .. });
    let table = Table {
        what: String::new(),
        aside: String::new(),
        columns: vec![
            column("Reading", "", 33.0),
            column("over", "length of the level", 22.0),
            column("is", "", 30.0),
            column("high", "way to the high end", 26.0),
            column("on", "surface", 15.0),
            column("Note", "", 18.0),
        ],
        rows: rows(floor, landing, read),
    };
    let mut cards = Canvas::default();
    // How a level is laid is shown once, at the floor that every stair has.
    let card = match floor.kind {
        FloorKind::Lower => Some(&FLOOR),
        FloorKind::Landing { .. } => Some(&LANDING),
        FloorKind::Upper => None,
    };
    let tall = card.map_or(0.0, |card| {
        gallery::draw(&mut cards, card, (0.0, 0.0), CARD)
    });
    let left = card.map_or(0.0, |_| CARD + 6.0);
    Block::beside(width, &floor.name, "", (cards, tall), (left, &table))
}

fn rows(floor: &Asked, landing: bool, read: Read<'_>) -> Vec<Row> {
    let readings = || read.floor(floor.place);
    let mut rows = vec![
        level_row("along the flight", [Way::Uphill, Way::Downhill], &readings),
        level_row("across the flight", [Way::Open, Way::Wall], &readings),
    ];
    if landing {
        for edge in [Way::Downhill, Way::Uphill, Way::Open, Way::Wall] {
            let here = readings().filter(
                |reading| matches!(reading, FloorReading::Edge { edge: read, .. } if *read == edge),
            );
            let name = format!("Edge: {}", way(edge));
            rows.push(length_row(&name, "", typed(here.map(FloorReading::is))));
        }
        for (end, word) in [(Side::Open, "Open"), (Side::Wall, "Wall")] {
            let here = readings().filter(
                |reading| matches!(reading, FloorReading::Diagonal { from, .. } if *from == end),
            );
            let name = format!("Diagonal: {word}");
            rows.push(length_row(
                &name,
                "from downhill corner",
                typed(here.map(FloorReading::is)),
            ));
        }
    }
    if let Some(first) = rows.first_mut() {
        first.asks.push(Ask::Floor(floor.name.clone()));
    }
    rows
}

fn level_row<'a, I: Iterator<Item = &'a FloorReading>>(
    hint: &str,
    ways: [Way; 2],
    readings: &impl Fn() -> I,
) -> Row {
    let here = || {
        readings().filter(
            |reading| matches!(reading, FloorReading::Level { high, .. } if ways.contains(high)),
        )
    };
    let overs = here().filter_map(|reading| match reading {
        FloorReading::Level { over, .. } => Some(over),
        _ => None,
    });
    let points = |way: Way| {
        here().any(|reading| matches!(reading, FloorReading::Level { high, .. } if *high == way))
    };
    let mut name = Cell::label("Level");
    name.hint = hint.to_owned();
    Row {
        cells: vec![
            name,
            Cell::faint(typed(overs)),
            Cell::faint(typed(here().map(FloorReading::is))),
            Cell::default().ticks(&ways.map(way), &ways.map(points)),
            Cell::default()
                .ticks(&SURFACES, &surfaces(here().map(FloorReading::on)))
                .abreast(),
            Cell::default(),
        ],
        asks: Vec::new(),
    }
}

fn length_row(name: &str, hint: &str, faint: String) -> Row {
    let mut label = Cell::label(name);
    label.hint = hint.to_owned();
    Row {
        cells: vec![
            label,
            Cell::shut(),
            Cell::faint(faint),
            Cell::shut(),
            Cell::default().ticks(&SURFACES, &[]).abreast(),
            Cell::default(),
        ],
        asks: Vec::new(),
    }
}

fn way(way: Way) -> &'static str {
    match way {
        Way::Uphill => "Uphill",
        Way::Downhill => "Downhill",
        Way::Open => "Open",
        Way::Wall => "Wall",
    }
}
