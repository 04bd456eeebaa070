//! The parts of the model in words and as a table for a spreadsheet.
//!
//! In: [`PartLine`]s. Out: trade words, [`CsvTable`], sums by kind. Volumes are mm^3, and litres
//! (cubic decimetres) for a person.

use crate::chain::Chain;
use crate::measure::Tape;
use crate::shop::parts::PartLine;
use crate::solids::PartKind;

use super::shop::CsvTable;

/// What the list of parts is good for.
pub const PARTS_CAUTION: &str = "As found and as set out, whole parts with their pegs and what is \
                                 notched out of them; what a part is cut from is in the cut list. \
                                 Walls and floors are drawn as far as was read, with a body behind \
                                 the face.";

/// What a part is, in one word or two.
#[must_use]
pub const fn part_word(kind: PartKind, string: bool) -> &'static str {
    match kind {
        PartKind::Rosette => "rosette or bracket",
        PartKind::HalfWall if string => "closed string",
        PartKind::Shoe => "shoe or cap",
        other => other.word(),
    }
}

/// The run that a part belongs to, or the turn on winders.
#[must_use]
pub fn run_of<'a>(chain: &'a Chain, part: &PartLine) -> &'a str {
    let run = &chain.runs[part.run];
    let turn = part.turn.and_then(|turn| run.turns.get(turn));
    turn.map_or(run.run.name.as_str(), |turn| turn.name.as_str())
}

/// A volume of so many mm^3 in litres, to a thousandth.
#[must_use]
pub fn litres(volume: f64) -> String {
    format!("{:.3}", volume / MM3_A_LITRE)
}

/// Cubic millimetres in a litre.
const MM3_A_LITRE: f64 = 1e6;

/// How many parts of one sort there are, and what they come to.
#[derive(Clone, Debug, PartialEq)]
pub struct KindSum {
    /// What they are.
    pub kind: &'static str,
    /// How many.
    pub count: usize,
    /// Their volume together, mm^3.
    pub volume: f64,
}

/// Parts by what they are, in the order in which each sort first comes.
#[must_use]
pub fn kind_sums(parts: &[PartLine]) -> Vec<KindSum> {
    let mut sums: Vec<KindSum> = Vec::new();
    for part in parts {
        let kind = part_word(part.kind, part.string);
        match sums.iter_mut().find(|sum| sum.kind == kind) {
            Some(sum) => {
                sum.count += 1;
                sum.volume += part.volume;
            }
            None => sums.push(KindSum {
                kind,
                count: 1,
                volume: part.volume,
            }),
        }
    }
    sums
}

/// The lines of the cut list, as a person reads them.
#[must_use]
pub fn cut_lines(part: &PartLine) -> String {
    let lines: Vec<String> = part.cut.iter().map(usize::to_string).collect();
    lines.join(" ")
}

/// The columns of [`parts_csv`].
pub const PART_COLUMNS: [&str; 20] = [
    "name",
    "kind",
    "run",
    "made_of",
    "pieces",
    "length",
    "length_mm",
    "volume_mm3",
    "shared_mm3",
    "centre_x_mm",
    "centre_y_mm",
    "centre_z_mm",
    "low_x_mm",
    "low_y_mm",
    "low_z_mm",
    "high_x_mm",
    "high_y_mm",
    "high_z_mm",
    "cut_lines",
    "received",
];

/// The table of parts. The last two are empty for a part that the cut list does not name, and one
/// for which nothing was received.
#[must_use]
pub fn parts_csv(chain: &Chain, parts: &[PartLine], tape: Tape) -> CsvTable {
    let rows = parts.iter().map(|part| {
        let mut row = vec![
            part.name.clone(),
            part_word(part.kind, part.string).to_owned(),
            run_of(chain, part).to_owned(),
            part.stuff.clone().unwrap_or_default(),
            part.pieces.len().to_string(),
            tape.print(part.length),
            exact(part.length.as_mm()),
            exact(part.volume),
            exact(part.shared),
        ];
        let corners = [&part.centre, &part.bounds.low, &part.bounds.high];
        for corner in corners {
            row.extend(corner.iter().map(|number| exact(*number)));
        }
        row.push(cut_lines(part));
        row.push(part.received.clone().unwrap_or_default());
        row
    });
    CsvTable {
        name: "parts.csv",
        heads: PART_COLUMNS.to_vec(),
        rows: rows.collect(),
    }
}

/// A number in millimetres to its fourth decimal, never a negative zero.
fn exact(number: f64) -> String {
    let rounded = (number * 1e4).round() / 1e4 + 0.0;
    format!("{rounded:.4}")
}
