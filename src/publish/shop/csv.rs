//! Tables for a spreadsheet: every length on the job's tape and in millimetres.

use std::borrow::Cow;

use crate::job::Hand;
use crate::measure::{Angle, Length, Tape};
use crate::publish::{edge_word, side_word};
use crate::shop::cuts::{CutList, CutPiece, Detail, Square, Standing};
use crate::shop::fastening::{HeldBy, JointLine, Schedule};
use crate::shop::marks::{MarkSet, RowOn, RunningMark};

use super::fastening::joints_told;
use super::words::{driven_word, edge_of, face_up, joint_word, piece_word, work_word};

/// One table: its name, its columns, its rows.
#[derive(Clone, Debug, PartialEq)]
pub struct CsvTable {
    /// The file's name.
    pub name: &'static str,
    /// The columns.
    pub heads: Vec<&'static str>,
    /// The rows, each with a cell for every column.
    pub rows: Vec<Vec<String>>,
}

impl CsvTable {
    /// The file's text, as RFC 4180 has it.
    ///
    /// # Errors
    /// Those of the writer; a table in memory gives none.
    pub fn text(&self) -> Result<Vec<u8>, ::csv::Error> {
        let mut writer = ::csv::WriterBuilder::new()
            .terminator(::csv::Terminator::CRLF)
            .from_writer(Vec::new());
        writer.write_record(&self.heads)?;
        for row in &self.rows {
            writer.write_record(row.iter().map(|cell| plain(cell).into_owned()))?;
        }
        writer
            .into_inner()
            .map_err(|error| ::csv::Error::from(error.into_error()))
    }
}

/// A cell that no spreadsheet takes for a formula; numbers and printed lengths keep their signs.
fn plain(cell: &str) -> Cow<'_, str> {
    let signed = |rest: &str| {
        // Strong or scant, and the unit.
        let size = rest.trim_end_matches(['+', '-']).trim_end_matches(" mm");
        let digit = |it: char| it.is_ascii_digit() || "./ \"'\u{b0}".contains(it);
        size.starts_with(|it: char| it.is_ascii_digit() || it == '.') && size.chars().all(digit)
    };
    let is_plain = match cell.chars().next() {
        Some('=' | '@' | '\t' | '\r') => false,
        Some('+' | '-') => cell.len() == 1 || signed(&cell[1..]),
        _ => true,
    };
    if is_plain {
        Cow::Borrowed(cell)
    } else {
        Cow::Owned(format!("'{cell}"))
    }
}

/// Every table of a stair.
#[must_use]
pub fn csv_tables(
    list: &CutList,
    schedule: &Schedule,
    marks: &MarkSet,
    tape: Tape,
) -> Vec<CsvTable> {
    let mut tables = vec![
        cuts(list, tape),
        saw(list, tape),
        bores(list, tape),
        fastening(schedule, tape),
        running(marks, tape),
        treads(marks, tape),
        newels(marks, tape),
    ];
    let winders = winders(list, tape);
    tables.extend((!winders.rows.is_empty()).then_some(winders));
    tables
}

/// The outlines of winders, side by side.
fn winders(list: &CutList, tape: Tape) -> CsvTable {
    let mut rows = Vec::new();
    for piece in &list.pieces {
        let Detail::Winder { edges, .. } = &piece.detail else {
            continue;
        };
        for (number, side) in (1..).zip(edges) {
            let mut row = vec![
                piece.called().join(" "),
                number.to_string(),
                edge_of(side.edge).to_owned(),
                side.meets.clone().unwrap_or_default(),
            ];
            row.extend(both(side.length, tape));
            row.extend(maybe(side.round.map(|round| round.0), tape));
            row.push(degrees(side.corner));
            let Square { rise, run } = Square::of(side.cut.mitre, tape);
            row.extend([degrees(side.cut.mitre), tape.print(rise), tape.print(run)]);
            let long = side.cut.bevel_long.map_or("", edge_of).to_owned();
            row.extend([degrees(side.cut.bevel), long]);
            for at in side.at {
                row.extend(both(at, tape));
            }
            for end in 0..2 {
                row.extend(maybe(side.stands.map(|stands| stands[end]), tape));
            }
            rows.push(row);
        }
    }
    CsvTable {
        name: "winders.csv",
        heads: vec![
            "name",
            "side",
            "edge",
            "meets",
            "length",
            "length_mm",
            "radius",
            "radius_mm",
            "corner_deg",
            "mitre_deg",
            "mitre_rise",
            "mitre_run",
            "bevel_deg",
            "bevel_long",
            "along",
            "along_mm",
            "back",
            "back_mm",
            "wall_start",
            "wall_start_mm",
            "wall_end",
            "wall_end_mm",
        ],
        rows,
    }
}

/// A length twice: on the tape, and in millimetres.
fn both(length: Length, tape: Tape) -> [String; 2] {
    [tape.print(length), format!("{:.4}", length.as_mm())]
}

fn maybe(length: Option<Length>, tape: Tape) -> [String; 2] {
    length.map_or_else(Default::default, |length| both(length, tape))
}

fn degrees(angle: Angle) -> String {
    format!("{:.4}", angle.as_degrees())
}

fn hand(piece: &CutPiece) -> String {
    match piece.hand {
        Some(Hand::Left) => "left".to_owned(),
        Some(Hand::Right) => "right".to_owned(),
        None => String::new(),
    }
}

fn cuts(list: &CutList, tape: Tape) -> CsvTable {
    let rows = list.pieces.iter().enumerate().map(|(at, piece)| {
        let work: Vec<&str> = piece.work.iter().map(|work| work_word(*work)).collect();
        let mut row = vec![
            (at + 1).to_string(),
            piece.quantity.to_string(),
            piece.called().join(" "),
            piece_word(piece.kind).0.to_owned(),
            work.join(" "),
            hand(piece),
            face_up(piece.up).to_owned(),
        ];
        for length in [
            piece.section[0],
            piece.section[1],
            piece.rough,
            piece.finished,
            piece.long_points,
            piece.short_points,
        ] {
            row.extend(both(length, tape));
        }
        for edge in [0, 1] {
            row.extend(maybe(piece.edges.map(|edges| edges[edge]), tape));
        }
        row.push(match &piece.there {
            Standing::Received(marks) => marks.join(" "),
            Standing::Wanted | Standing::Fitted => String::new(),
        });
        row
    });
    CsvTable {
        name: "cuts.csv",
        heads: vec![
            "line",
            "quantity",
            "names",
            "piece",
            "work",
            "hand",
            "up",
            "width",
            "width_mm",
            "thickness",
            "thickness_mm",
            "rough",
            "rough_mm",
            "finished",
            "finished_mm",
            "long_points",
            "long_points_mm",
            "short_points",
            "short_points_mm",
            "top_edge",
            "top_edge_mm",
            "underside",
            "underside_mm",
            "delivered",
        ],
        rows: rows.collect(),
    }
}

fn saw(list: &CutList, tape: Tape) -> CsvTable {
    let mut rows = Vec::new();
    for (at, piece) in list.pieces.iter().enumerate() {
        for end in &piece.ends {
            for cut in &end.cuts {
                let edge = |edge: Option<_>| edge.map_or("", edge_of).to_owned();
                let mut row = vec![
                    (at + 1).to_string(),
                    piece.called().join(" "),
                    end.end.word().to_owned(),
                    end.meets.clone().unwrap_or_default(),
                    format!("{:?}", cut.what).to_lowercase(),
                ];
                for (angle, long) in [(cut.mitre, cut.mitre_long), (cut.bevel, cut.bevel_long)] {
                    let Square { rise, run } = Square::of(angle, tape);
                    row.extend([
                        degrees(angle),
                        tape.print(rise),
                        tape.print(run),
                        edge(long),
                    ]);
                }
                rows.push(row);
            }
        }
    }
    CsvTable {
        name: "saw.csv",
        heads: vec![
            "line",
            "names",
            "end",
            "meets",
            "cut",
            "mitre_deg",
            "mitre_rise",
            "mitre_run",
            "mitre_long",
            "bevel_deg",
            "bevel_rise",
            "bevel_run",
            "bevel_long",
        ],
        rows,
    }
}

fn bores(list: &CutList, tape: Tape) -> CsvTable {
    let mut rows = Vec::new();
    for piece in &list.pieces {
        for bore in &piece.bores {
            let mut row = vec![
                piece.called().join(" "),
                format!("{:?}", bore.what).to_lowercase(),
                bore.name.clone(),
                bore.number.to_string(),
            ];
            row.extend(both(bore.diameter, tape));
            row.extend(both(bore.deep, tape));
            row.extend(maybe(bore.plug.map(|plug| plug.0), tape));
            row.extend(maybe(bore.plug.map(|plug| plug.1), tape));
            let face = bore
                .place
                .map_or(String::new(), |(face, ..)| format!("{face:?}"));
            row.push(face.to_lowercase());
            row.extend(maybe(bore.place.map(|place| place.1), tape));
            row.extend(maybe(bore.place.map(|place| place.2), tape));
            rows.push(row);
        }
    }
    CsvTable {
        name: "bores.csv",
        heads: vec![
            "names",
            "for",
            "fixing",
            "number",
            "diameter",
            "diameter_mm",
            "deep",
            "deep_mm",
            "plug",
            "plug_mm",
            "plug_deep",
            "plug_deep_mm",
            "face",
            "up",
            "up_mm",
            "off",
            "off_mm",
        ],
        rows,
    }
}

fn fastening(schedule: &Schedule, tape: Tape) -> CsvTable {
    let told = joints_told(schedule, tape);
    let rows = schedule.lines.iter().zip(&told).map(|(line, told)| {
        let joints: Vec<String> = line.joints.iter().map(joint).collect();
        let mut row = vec![
            joint_word(line.kind).to_owned(),
            line.joints.len().to_string(),
            joints.join("; "),
        ];
        row.extend(held(line, tape));
        row.push(told.held.join("; "));
        row.push(told.faults.join("; "));
        row
    });
    CsvTable {
        name: "fastening.csv",
        heads: vec![
            "joint",
            "joints",
            "parts",
            "held_by",
            "each",
            "total",
            "diameter",
            "diameter_mm",
            "length",
            "length_mm",
            "clear_mm",
            "pilot_mm",
            "plug",
            "plug_mm",
            "plug_deep",
            "plug_deep_mm",
            "through",
            "through_mm",
            "bite",
            "bite_mm",
            "room",
            "room_mm",
            "says",
            "will_not_do",
        ],
        rows: rows.collect(),
    }
}

fn joint((held, by): &(String, Option<String>)) -> String {
    match by {
        Some(by) => format!("{held} on {by}"),
        None => held.clone(),
    }
}

/// What holds it, in the columns up to the room behind.
fn held(line: &JointLine, tape: Tape) -> Vec<String> {
    let word = |word: &str| {
        let mut cells = vec![word.to_owned()];
        cells.resize(19, String::new());
        cells
    };
    match &line.held_by {
        HeldBy::NotShown => word("anchor not shown"),
        HeldBy::Anchors(_) => word("anchor as stated"),
        HeldBy::Bored => word("bored"),
        HeldBy::Driven(set) => {
            let mm = |length: Option<Length>| maybe(length, tape)[1].clone();
            let mut cells = vec![
                driven_word(set.what).0.to_owned(),
                set.each.to_string(),
                set.total.to_string(),
            ];
            cells.extend(both(set.diameter, tape));
            cells.extend(both(set.length, tape));
            cells.extend([mm(set.clear), mm(set.pilot)]);
            cells.extend(maybe(set.plug.map(|plug| plug.0), tape));
            cells.extend(maybe(set.plug.map(|plug| plug.1), tape));
            cells.extend(both(set.through, tape));
            cells.extend(both(set.bite, tape));
            cells.extend(maybe(set.room, tape));
            cells
        }
    }
}

const fn row_word(on: RowOn) -> &'static str {
    match on {
        RowOn::Rod => "rod",
        RowOn::RailUnder => "rail underside",
        RowOn::ShoeTop => "shoe top",
        RowOn::BottomRailTop => "bottom rail top",
        RowOn::WallRailUnder => "wall rail underside",
    }
}

fn running(marks: &MarkSet, tape: Tape) -> CsvTable {
    let mut rows = Vec::new();
    for run in &marks.runs {
        for row in &run.rows {
            let mut put = |mark: &RunningMark, what: &str| {
                let mut cells = vec![
                    (run.run + 1).to_string(),
                    row_word(row.on).to_owned(),
                    row.part.clone(),
                    mark.part.clone(),
                    what.to_owned(),
                ];
                cells.extend(maybe(mark.slope, tape));
                cells.extend(both(mark.level, tape));
                let bore = mark.bore;
                cells.extend(maybe(bore.map(|bore| bore.diameter), tape));
                cells.extend(maybe(bore.map(|bore| bore.deep), tape));
                cells.extend(maybe(bore.and_then(|bore| bore.left), tape));
                rows.push(cells);
            };
            for mark in &row.marks {
                put(mark, "centre");
            }
            put(&row.end, "end");
        }
    }
    CsvTable {
        name: "marks.csv",
        heads: vec![
            "run", "on", "from", "mark", "is", "slope", "slope_mm", "level", "level_mm", "bore",
            "bore_mm", "deep", "deep_mm", "left", "left_mm",
        ],
        rows,
    }
}

fn treads(marks: &MarkSet, tape: Tape) -> CsvTable {
    let mut rows = Vec::new();
    for run in &marks.runs {
        for tread in &run.treads {
            for mark in &tread.marks {
                let mut row = vec![tread.part.clone(), mark.part.clone()];
                for (edge, length) in [mark.along, mark.across] {
                    row.push(edge_word(edge).to_owned());
                    row.extend(both(length, tape));
                }
                row.extend(maybe(mark.bore.map(|bore| bore.diameter), tape));
                row.extend(maybe(mark.bore.map(|bore| bore.deep), tape));
                row.extend(maybe(mark.bore.and_then(|bore| bore.left), tape));
                rows.push(row);
            }
        }
    }
    CsvTable {
        name: "treads.csv",
        heads: vec![
            "on",
            "mark",
            "first_edge",
            "first",
            "first_mm",
            "second_edge",
            "second",
            "second_mm",
            "bore",
            "bore_mm",
            "deep",
            "deep_mm",
            "left",
            "left_mm",
        ],
        rows,
    }
}

fn newels(marks: &MarkSet, tape: Tape) -> CsvTable {
    let mut rows = Vec::new();
    for run in &marks.runs {
        for newel in &run.newels {
            let faces = newel.fit.foot.iter().chain(&newel.fit.faces);
            for face in faces {
                for line in &face.lines {
                    let mut row = vec![
                        newel.newel.clone(),
                        face.part.clone(),
                        format!("{:?}", face.on).to_lowercase(),
                        side_word(line.side).to_owned(),
                    ];
                    for (edge, ends) in [line.off, line.along] {
                        row.push(edge_word(edge).to_owned());
                        for end in ends {
                            row.extend(both(end, tape));
                        }
                    }
                    rows.push(row);
                }
            }
        }
    }
    CsvTable {
        name: "newels.csv",
        heads: vec![
            "newel",
            "on",
            "face",
            "side",
            "off_edge",
            "off_first",
            "off_first_mm",
            "off_second",
            "off_second_mm",
            "along_edge",
            "along_first",
            "along_first_mm",
            "along_second",
            "along_second_mm",
        ],
        rows,
    }
}
