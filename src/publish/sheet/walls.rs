//! The walls: how they are read, then each with its elevation, its lettered places, and its
//! straightedge, widths and corners.

use super::Ask;
use super::elevation::elevation;
use super::gallery::{Card, card, gallery};
use super::layout::{Block, Flow};
use super::paper::GRID;
use super::places::{Place, Plan, places};
use super::read::{Read, typed};
use super::sketch;
use super::table::{Cell, Row, Table, column};
use crate::job::{Job, LevelEnd, Lies, Wall, WallReading};
use crate::measure::{Length, Tape};

const CARDS: [Card; 5] = [
    card(
        "Offset",
        sketch::offset,
        "Level, from the plumb laser plane beside the wall to its face, at each place.",
    ),
    card(
        "Plumb",
        sketch::plumb,
        "Hold a level plumb against the wall, its lower end at the place. Write its length, the \
         gap, and the end with the gap.",
    ),
    card(
        "Straight",
        sketch::straight,
        "Rest a straightedge on both its ends; read the gap at its middle. Minus where the wall \
         stands proud.",
    ),
    card(
        "Between",
        sketch::between,
        "The level distance square off this wall to another one.",
    ),
    card(
        "Corner",
        sketch::corner,
        "Mark a leg along each wall, level; read the diagonal between the marks.",
    ),
];

/// A reading within this of a suggested place is printed there.
const NEAR: f64 = 150.0;
/// More readings of one wall than these are not printed: points of a scan are not read again.
const MOST: usize = 60;
/// Ends of walls within this of one another are a corner.
const CORNER: f64 = 300.0;

/// Lays the blocks of the walls.
pub(super) fn lay(flow: &mut Flow, job: &Job, read: &Read<'_>) {
    if job.walls.is_empty() {
        return;
    }
    flow.block(gallery(
        flow.width(),
        "Walls: how each is read",
        "Keep your eyes out of the beam. Plus is towards the room.",
        &CARDS,
        5,
    ));
    for (number, wall) in job.walls.iter().enumerate() {
        lay_face(flow, job, (number, wall), *read);
        let more = more(job, (number, wall), *read);
        flow.table(&more, Block::default());
    }
}

/// A place with what is printed on its row.
struct Line<'a> {
    place: Place,
    readings: Vec<&'a WallReading>,
}

fn lay_face(flow: &mut Flow, job: &Job, (number, wall): (usize, &Wall), read: Read<'_>) {
    let (asked, left_out) = with_readings(places(job, wall), read.wall(number));
    let lettered: Vec<(String, Place)> = asked
        .iter()
        .enumerate()
        .map(|(at, line)| (letter(at), line.place))
        .collect();
    let drawn = elevation(job, wall, &lettered, flow.width());
    let mut rows: Vec<Row> = asked
        .iter()
        .zip(&lettered)
        .map(|(line, (letter, _))| row(number, letter, line, job.tape))
        .collect();
    if left_out > 0 {
        let mut cells = vec![Cell::shut(); 7];
        cells.push(Cell::hint(format!("{left_out} more in the job")));
        rows.push(Row {
            cells,
            asks: Vec::new(),
        });
    }
    let table = Table {
        what: format!("Wall {}", wall.name),
        aside: "Seen from the room. Places in print are suggestions: write where you did read."
            .to_owned(),
        columns: vec![
            column("At", "", 9.0),
            column("along", "from the end shown", 23.0),
            column("up", "above the datum", 23.0),
            column("Offset", "laser plane to face", 24.0),
            column("line", "its laser line", 15.0),
            column("level", "Plumb: its length", 22.0),
            column("gap", "Plumb: and at which end", 30.0),
            column("Note", "", 34.0),
        ],
        rows,
    };
    let above = Block {
        lines: (drawn.tall / GRID).ceil() as usize,
        asks: Vec::new(),
        canvas: drawn.canvas,
    };
    flow.table(&table, above);
}

/// Gives every offset and plumb reading a row: that of a suggested place near it, or its own.
/// Gives the rows, and how many readings found none.
fn with_readings<'a>(
    places: Vec<Place>,
    readings: impl Iterator<Item = &'a WallReading>,
) -> (Vec<Line<'a>>, usize) {
    let empty = |place: Place| Line {
        place,
        readings: Vec::new(),
    };
    let mut asked: Vec<Line<'_>> = places.into_iter().map(empty).collect();
    let mut left_out = 0;
    for reading in readings {
        let (WallReading::Offset { along, up, .. } | WallReading::Plumb { along, up, .. }) =
            reading
        else {
            continue;
        };
        let here = Place {
            along: along.value,
            up: up.value,
            rail: false,
        };
        let far = |line: &Line<'_>| apart(line.place, here);
        // Where a rail lands is asked there and nowhere else.
        let open = |line: &Line<'_>| line.readings.is_empty() && !line.place.rail;
        let room = asked.len() < MOST;
        let nearest = asked.iter_mut().min_by(|a, b| far(a).total_cmp(&far(b)));
        match nearest {
            Some(line) if far(line) < 1.0 || (far(line) < NEAR && open(line)) => {
                line.place = Place {
                    rail: line.place.rail,
                    ..here
                };
                line.readings.push(reading);
            }
            _ if room => {
                let mut line = empty(here);
                line.readings.push(reading);
                asked.push(line);
            }
            _ => left_out += 1,
        }
    }
    (asked, left_out)
}

/// How far apart two places are, in millimetres.
fn apart(a: Place, b: Place) -> f64 {
    (a.along - b.along).as_mm().hypot((a.up - b.up).as_mm())
}

/// A, B .. Z, AA, AB ..
fn letter(at: usize) -> String {
    let last = char::from(b'A' + u8::try_from(at % 26).unwrap_or(0));
    match at / 26 {
        0 => last.to_string(),
        more => letter(more - 1) + &last.to_string(),
    }
}

fn row(number: usize, name: &str, line: &Line<'_>, tape: Tape) -> Row {
    let offsets = line.readings.iter().filter_map(|reading| match reading {
        WallReading::Offset { is, .. } => Some(is),
        _ => None,
    });
    let lasers: Vec<&str> = line
        .readings
        .iter()
        .filter_map(|reading| match reading {
            WallReading::Offset { line, .. } => line.as_deref(),
            _ => None,
        })
        .collect();
    let plumbs = || {
        line.readings.iter().filter_map(|reading| match reading {
            WallReading::Plumb { level, gap, at, .. } => Some((level, gap, *at)),
            _ => None,
        })
    };
    let at_end = |end: LevelEnd| plumbs().any(|(_, _, at)| at == end);
    let place = |length: Length| Cell::hint(tape.print(length));
    let note = if line.place.rail {
        Cell::hint("where the rail lands")
    } else {
        Cell::default()
    };
    Row {
        cells: vec![
            Cell::label(name),
            place(line.place.along),
            place(line.place.up),
            Cell::faint(typed(offsets)),
            Cell::faint(lasers.join("; ")),
            Cell::faint(typed(plumbs().map(|(level, _, _)| level))),
            Cell::faint(typed(plumbs().map(|(_, gap, _)| gap))).ticks(
                &["Top", "Bottom"],
                &[LevelEnd::Top, LevelEnd::Bottom].map(at_end),
            ),
            note,
        ],
        asks: vec![Ask::Place(number, name.to_owned())],
    }
}

/// Straightedge, widths and corners of a wall.
fn more(job: &Job, (number, wall): (usize, &Wall), read: Read<'_>) -> Table {
    let mut rows = straights(read.wall(number));
    rows.extend(betweens(job, wall, read.wall(number)));
    rows.extend(corners(job, (number, wall), read.wall(number)));
    if let Some(first) = rows.first_mut() {
        first.asks.push(Ask::WallMore(number));
    }
    Table {
        what: format!("Wall {}: straight, width, corners", wall.name),
        aside: String::new(),
        columns: vec![
            column("Reading", "", 24.0),
            column("along", "to its nearer end, or mark", 26.0),
            column("up", "above the datum", 26.0),
            column("length, leg", "of the tool, or along this wall", 28.0),
            column("lies, other leg", "", 32.0),
            column("is", "gap, width or diagonal", 28.0),
            column("Note", "", 22.0),
        ],
        rows,
    }
}

fn plain(name: &str, hint: &str, cells: [Cell; 5]) -> Row {
    let mut label = Cell::label(name);
    label.hint = hint.to_owned();
    let mut all = vec![label];
    all.extend(cells);
    all.push(Cell::default());
    Row {
        cells: all,
        asks: Vec::new(),
    }
}

fn straights<'a>(readings: impl Iterator<Item = &'a WallReading>) -> Vec<Row> {
    let lies = ["Level", "Upright"];
    let mut rows: Vec<Row> = readings
        .filter_map(|reading| match reading {
            WallReading::Straight {
                along,
                up,
                length,
                lies: way,
                is,
                ..
            } => Some(plain(
                "Straight",
                "",
                [
                    Cell::faint(&along.text),
                    Cell::faint(&up.text),
                    Cell::faint(&length.text),
                    Cell::default().ticks(&lies, &[*way == Lies::Level, *way == Lies::Upright]),
                    Cell::faint(&is.text),
                ],
            )),
            _ => None,
        })
        .take(MOST)
        .collect();
    while rows.len() < 2 {
        let mut cells: [Cell; 5] = Default::default();
        cells[3] = Cell::default().ticks(&lies, &[]);
        rows.push(plain("Straight", "", cells));
    }
    rows
}

fn betweens<'a>(
    job: &Job,
    wall: &Wall,
    readings: impl Iterator<Item = &'a WallReading>,
) -> Vec<Row> {
    let mut rows: Vec<Row> = readings
        .filter_map(|reading| match reading {
            WallReading::Between {
                along,
                up,
                wall,
                is,
                ..
            } => Some(plain(
                "Between",
                &format!("to wall {wall}"),
                [
                    Cell::faint(&along.text),
                    Cell::faint(&up.text),
                    Cell::shut(),
                    Cell::shut(),
                    Cell::faint(&is.text),
                ],
            )),
            _ => None,
        })
        .take(MOST)
        .collect();
    let others: Vec<&Wall> = job
        .walls
        .iter()
        .filter(|other| faces(wall, other))
        .collect();
    if rows.is_empty() && !others.is_empty() {
        let hint = match others.as_slice() {
            [one] => format!("to wall {}", one.name),
            _ => "to wall".to_owned(),
        };
        let cells = [
            Cell::default(),
            Cell::default(),
            Cell::shut(),
            Cell::shut(),
            Cell::default(),
        ];
        rows.push(plain("Between", &hint, cells));
    }
    rows
}

/// Whether two walls look at one another over the room.
fn faces(wall: &Wall, other: &Wall) -> bool {
    let (one, two) = (Plan::of(wall), Plan::of(other));
    one.way.0 * two.way.0 + one.way.1 * two.way.1 < -0.9
}

/// A row for each corner that a wall makes with one named after it, so that none is asked twice.
fn corners<'a>(
    job: &Job,
    (number, wall): (usize, &Wall),
    readings: impl Iterator<Item = &'a WallReading>,
) -> Vec<Row> {
    let mut met: Vec<&str> = Vec::new();
    let mut rows = Vec::new();
    for reading in readings.take(MOST) {
        if let WallReading::Corner {
            wall,
            up,
            leg,
            other_leg,
            is,
            ..
        } = reading
        {
            met.push(wall);
            rows.push(plain(
                "Corner",
                &format!("with wall {wall}"),
                [
                    Cell::shut(),
                    Cell::faint(&up.text),
                    Cell::faint(&leg.text),
                    Cell::faint(&other_leg.text),
                    Cell::faint(&is.text),
                ],
            ));
        }
    }
    for other in job.walls.iter().skip(number + 1) {
        if touch(wall, other) && !met.contains(&other.name.as_str()) {
            let mut cells: [Cell; 5] = Default::default();
            cells[0] = Cell::shut();
            rows.push(plain("Corner", &format!("with wall {}", other.name), cells));
        }
    }
    rows
}

/// Whether an end of one wall lies at an end of another.
fn touch(wall: &Wall, other: &Wall) -> bool {
    let ends = Plan::of(other).ends();
    let near = |(x, y): (f64, f64)| ends.iter().any(|end| (end.0 - x).hypot(end.1 - y) < CORNER);
    Plan::of(wall).ends().into_iter().any(near)
}
