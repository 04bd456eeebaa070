//! Marks in words: rows of running marks, treads, the marking block.

use crate::measure::{Length, Tape};
use crate::publish::edge_word;
use crate::shop::marks::{
    BoreMark, Hook, MarkRow, MarkingBlock, RowOn, RunMarks, RunningMark, TreadMarks,
};

use super::words::{drill, names};

/// A row of running marks.
#[derive(Clone, Debug, PartialEq)]
pub struct RowTold {
    /// What it is made on, and from where.
    pub title: String,
    /// The columns.
    pub heads: Vec<&'static str>,
    /// The marks; the last is the far end.
    pub rows: Vec<Vec<String>>,
}

/// The centres on one tread.
#[derive(Clone, Debug, PartialEq)]
pub struct TreadTold {
    /// The tread.
    pub part: String,
    /// The edges: from which the first distance is measured, and the second.
    pub edges: [&'static str; 2],
    /// Baluster, the two distances, the bore.
    pub rows: Vec<[String; 4]>,
}

/// The rows of a run.
#[must_use]
pub fn rows_told(run: &RunMarks, tape: Tape) -> Vec<RowTold> {
    run.rows.iter().map(|row| row_told(row, tape)).collect()
}

fn row_told(row: &MarkRow, tape: Tape) -> RowTold {
    let rod = row.on == RowOn::Rod;
    let bored = row.marks.iter().any(|mark| mark.bore.is_some());
    let mut heads = vec!["", "centre"];
    if !rod {
        heads = vec!["", "along the slope", "level"];
    }
    if bored {
        heads.push("bore");
    }
    let mut rows: Vec<Vec<String>> = row
        .marks
        .iter()
        .map(|mark| cells(mark, row, bored, tape))
        .collect();
    let mut end = cells(&row.end, row, bored, tape);
    if let Some(first) = end.first_mut() {
        *first = match row.on {
            RowOn::Rod => row.end.part.clone(),
            _ => "upper end".to_owned(),
        };
    }
    rows.push(end);
    RowTold {
        title: title(row),
        heads,
        rows,
    }
}

fn cells(mark: &RunningMark, row: &MarkRow, bored: bool, tape: Tape) -> Vec<String> {
    let mut cells = vec![mark.part.clone()];
    if row.on != RowOn::Rod {
        let slope = mark.slope.map(|slope| tape.print(slope));
        cells.push(slope.unwrap_or_else(|| "on the fitting".to_owned()));
    }
    cells.push(tape.print(mark.level));
    if bored {
        cells.push(
            mark.bore
                .map_or_else(String::new, |bore| bore_told(bore, row.on, tape)),
        );
    }
    cells
}

fn title(row: &MarkRow) -> String {
    let part = &row.part;
    let made = match row.on {
        RowOn::Rod => "Level up the flight, on a rod laid along the feet".to_owned(),
        RowOn::RailUnder => format!("On the underside of {part}"),
        RowOn::ShoeTop | RowOn::BottomRailTop => format!("On the top of {part}"),
        RowOn::WallRailUnder => format!("Brackets, on the underside of {part}"),
    };
    let from = match row.hook {
        Hook::Face if part.is_empty() => "from the face of the first kick".to_owned(),
        Hook::Face => format!("hook on the uphill face of {part}"),
        Hook::LowerEnd => "hook on its lower end, in the middle of that side".to_owned(),
    };
    let last = match row.on {
        RowOn::Rod => "the last is the face of what stands at the upper end",
        _ => "the last is its upper end, in the middle of that side",
    };
    format!("{made}: {from}; every mark is a centre, measured from there, and {last}.")
}

/// A bore of a row.
fn bore_told(bore: BoreMark, on: RowOn, tape: Tape) -> String {
    let wide = match on {
        RowOn::RailUnder => tape.print(bore.diameter),
        _ => drill(bore.diameter, tape),
    };
    let left = bore
        .left
        .map_or_else(String::new, |left| format!(", leaves {}", tape.print(left)));
    format!("{wide}, {} deep{left}", tape.print(bore.deep))
}

/// What the centres on the treads of a run, or on a floor alone, stand under.
#[must_use]
pub fn treads_head(treads: &[TreadMarks]) -> &'static str {
    if treads.iter().all(|one| one.step == 0) {
        "On the floor"
    } else {
        "On the treads"
    }
}

/// The centres on the treads of a run.
#[must_use]
pub fn treads_told(treads: &[TreadMarks], tape: Tape) -> Vec<TreadTold> {
    treads
        .iter()
        .filter_map(|tread| tread_told(tread, tape))
        .collect()
}

fn tread_told(tread: &TreadMarks, tape: Tape) -> Option<TreadTold> {
    let first = tread.marks.first()?;
    Some(TreadTold {
        part: tread.part.clone(),
        edges: [edge_word(first.along.0), edge_word(first.across.0)],
        rows: tread
            .marks
            .iter()
            .map(|mark| {
                let bore = mark.bore.map_or_else(String::new, |bore| {
                    bore_told(bore, RowOn::BottomRailTop, tape)
                });
                [
                    mark.part.clone(),
                    tape.print(mark.along.1),
                    tape.print(mark.across.1),
                    bore,
                ]
            })
            .collect(),
    })
}

/// The marking block.
#[must_use]
pub fn block_told(block: &MarkingBlock, tape: Tape) -> Vec<String> {
    let print = |length: Length| tape.print(length);
    let slope = block.slope.map_or_else(String::new, |slope| {
        format!("; along the slope, on rail or shoe, {}", print(slope))
    });
    let mut told = vec![
        format!(
            "Cut it {} long, level, between faces{slope}.",
            print(block.level)
        ),
        format!(
            "It hooks on the uphill face of {} first, and its far end is the downhill face of the \
             next one; then on the uphill face of that, and so on.",
            block.hooks_on
        ),
    ];
    if !block.not.is_empty() {
        let not: Vec<String> = block
            .not
            .iter()
            .map(|(below, above, gap)| format!("{below} to {above} ({})", print(*gap)))
            .collect();
        told.push(format!(
            "It is not for {}: there go by the running marks.",
            not.join(", ")
        ));
    }
    if block.creeps.abs() >= tape.mark() / 2.0 {
        let way = if block.creeps > Length::ZERO {
            "far"
        } else {
            "short"
        };
        let last = block.serves.last().map_or("", |(_, above)| above.as_str());
        told.push(format!(
            "Cut to the nearest mark and stepped off over {} gaps it lands {} too {way} at {last}: \
             check against the running marks as you go.",
            block.serves.len(),
            print(block.creeps.abs())
        ));
    }
    let uprights: Vec<String> = block
        .serves
        .iter()
        .map(|(_, above)| above.clone())
        .collect();
    told.push(format!("It sets {}.", names(&uprights)));
    told
}
