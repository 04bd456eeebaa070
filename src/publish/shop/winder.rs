//! A winder's outline in words: side by side, as one goes round it with tape, square and saw.

use crate::measure::{Length, Tape};
use crate::shop::cuts::{CutPiece, Detail, WinderEdge};

use super::words::{degrees, edge_of, shows, square};

/// The outline of a winder as a table.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineTold {
    /// Which winder.
    pub title: String,
    /// How its figures are read.
    pub says: &'static str,
    /// The columns; the last holds words.
    pub heads: Vec<&'static str>,
    /// The sides, anticlockwise from above from the nosing on.
    pub rows: Vec<Vec<String>>,
}

/// The outline of a piece; `None` where it is no winder.
pub(super) fn outline_told(piece: &CutPiece, tape: Tape) -> Option<OutlineTold> {
    let Detail::Winder { edges, .. } = &piece.detail else {
        return None;
    };
    let name = piece.members.first().map_or("", String::as_str);
    let over = match tape {
        Tape::Millimetres => "in 300",
        Tape::Sixteenths | Tape::ThirtySeconds => "in 12",
    };
    Some(OutlineTold {
        title: format!("{name}, side by side"),
        says: "Anticlockwise from above, from the left end of the nosing on. The corner is the inside angle \
               where a side starts; the saw is set from square across the side before it; along and back \
               say where it starts, along the nosing from its left end and square back from it.",
        heads: vec!["long", "corner", "saw", over, "along", "back", "side"],
        rows: edges.iter().map(|edge| row(edge, tape)).collect(),
    })
}

fn row(edge: &WinderEdge, tape: Tape) -> Vec<String> {
    let [along, back] = edge.at;
    let (saw, rise) = if shows(edge.cut.mitre) {
        (degrees(edge.cut.mitre), square(edge.cut.mitre, tape))
    } else {
        ("square".to_owned(), String::new())
    };
    let short = |text: String| {
        // The head of the column says in how much; past half a right angle both are told.
        let plain = text
            .strip_suffix(" in 12\"")
            .or(text.strip_suffix(" in 300 mm"));
        plain.map(str::to_owned).unwrap_or(text)
    };
    vec![
        tape.print(edge.length),
        degrees(edge.corner),
        saw,
        short(rise),
        tape.print(along),
        tape.print(back),
        words(edge, tape),
    ]
}

/// What the side is.
fn words(edge: &WinderEdge, tape: Tape) -> String {
    let mut says = edge_of(edge.edge).to_owned();
    if let Some(part) = &edge.meets {
        says += &format!(" to {part}");
    }
    if let Some((radius, chord)) = edge.round {
        says += &format!(
            ", round to a radius of {}, {} straight across",
            tape.print(radius),
            tape.print(chord)
        );
    }
    if let Some(stands) = edge.stands {
        says += &wall_words(stands, tape);
    }
    if edge.corner.as_degrees() > 180.0 {
        says += ", from a corner that looks inward";
    }
    if shows(edge.cut.bevel) {
        let long = edge.cut.bevel_long.map_or("", edge_of);
        says += &format!(", saw tilted {}, {long} long", degrees(edge.cut.bevel));
    }
    says
}

/// Where the wall stands as found, where that is off the side by half a mark or more.
fn wall_words(stands: [Length; 2], tape: Tape) -> String {
    let on = |length: Length| length.abs() < tape.mark() / 2.0;
    if stands.into_iter().all(on) {
        return String::new();
    }
    let [begins, ends] = stands.map(|length| {
        if on(length) {
            "on it".to_owned()
        } else if length < Length::ZERO {
            format!("{} within", tape.print(length.abs()))
        } else {
            format!("{} beyond", tape.print(length))
        }
    });
    format!(", as found {begins} where it starts, {ends} where it ends")
}

/// What a winder is cut from; nothing for other pieces.
pub(super) fn winder_told(rough: Length, detail: &Detail, tape: Tape) -> Vec<String> {
    let Detail::Winder {
        bounds,
        begins,
        rough_depth,
        area_mm2,
        ..
    } = detail
    else {
        return Vec::new();
    };
    let print = |length: Length| tape.print(length);
    let begins = if begins.abs() < tape.mark() / 2.0 {
        "begins where the nosing does".to_owned()
    } else {
        format!("begins {} to the left of the nosing", print(begins.abs()))
    };
    vec![format!(
        "cut from {} along the nosing by {}, the grain along the nosing (common practice, no source); \
         the outline is {} by {}, {}, and {begins}",
        print(rough),
        print(*rough_depth),
        print(bounds[0]),
        print(bounds[1]),
        area_words(*area_mm2, tape),
    )]
}

/// An area in square feet, or on a tape in millimetres in square metres.
#[must_use]
pub fn area_words(mm2: f64, tape: Tape) -> String {
    match tape {
        Tape::Millimetres => format!("{:.3} square m", mm2 / 1e6),
        Tape::Sixteenths | Tape::ThirtySeconds => {
            format!("{:.2} square ft", mm2 / (304.8 * 304.8))
        }
    }
}
