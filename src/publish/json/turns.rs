//! The shapes of turns in `setout --json`: newels in which two runs meet, and winders.

use serde::Serialize;

use super::xyz;
use crate::measure::{Length, Tape};
use crate::publish::turns::{WinderRow, winder_rows};
use crate::rules::Pack;
use crate::setout::{RailMeets, TurnSet};
use crate::site::PlacedTurn;

/// A newel in which rails of two runs meet.
#[derive(Serialize)]
pub(super) struct TurnShape<'a> {
    newel: &'a str,
    runs: [usize; 2],
    rails: [&'a str; 2],
    tops_mm: [f64; 2],
    undersides_mm: [f64; 2],
    rise_mm: f64,
    rise: String,
    least_mm: Option<f64>,
    most_mm: Option<f64>,
}

pub(super) fn turn(turn: &TurnSet, tape: Tape) -> TurnShape<'_> {
    let each = |of: fn(&RailMeets) -> Length| turn.meets.each_ref().map(|one| of(one).as_mm());
    TurnShape {
        newel: &turn.newel,
        runs: turn.runs,
        rails: turn.meets.each_ref().map(|one| one.rail.as_str()),
        tops_mm: each(|one| one.top),
        undersides_mm: each(|one| one.underside),
        rise_mm: turn.rise.rise.as_mm(),
        rise: tape.print(turn.rise.rise),
        least_mm: turn.rise.least.map(Length::as_mm),
        most_mm: turn.rise.most.map(Length::as_mm),
    }
}

/// A turn on winders.
#[derive(Serialize)]
pub(super) struct WindersShape<'a> {
    name: &'a str,
    mark: &'a str,
    origin_mm: [f64; 3],
    turn_deg: f64,
    walk_line_mm: f64,
    treads: Vec<WinderShape>,
}

#[derive(Serialize)]
struct WinderShape {
    step: u32,
    rise_mm: f64,
    outline_mm: Vec<[f64; 2]>,
    along_mm: Option<f64>,
    straight_mm: Option<f64>,
    square_mm: Option<f64>,
    least_mm: Option<f64>,
    narrow_end_mm: Option<f64>,
}

pub(super) fn winders<'a>(turn: &'a PlacedTurn, pack: &Pack) -> WindersShape<'a> {
    let told = winder_rows(&turn.site, pack);
    let outlines = turn.site.treads.iter().map(|tread| &tread.outline);
    let tread = |(row, outline): (&WinderRow, &Vec<nalgebra::Point2<f64>>)| WinderShape {
        step: row.step,
        rise_mm: row.rise.as_mm(),
        outline_mm: outline.iter().map(|point| [point.x, point.y]).collect(),
        along_mm: row.walk.map(|walk| walk.arc.as_mm()),
        straight_mm: row.walk.map(|walk| walk.chord.as_mm()),
        square_mm: row.walk.and_then(|walk| walk.square).map(Length::as_mm),
        least_mm: row.narrow.map(|narrow| narrow.least.as_mm()),
        narrow_end_mm: row.narrow.map(|narrow| narrow.narrow_end.as_mm()),
    };
    WindersShape {
        name: &turn.name,
        mark: &turn.mark,
        origin_mm: xyz(&turn.frame.origin),
        turn_deg: turn.frame.turn.as_degrees(),
        walk_line_mm: told.walk_line.as_mm(),
        treads: told.rows.iter().zip(outlines).map(tread).collect(),
    }
}
