//! Cuts, marks and fastenings in words: what the command line prints, and what a sheet may.
//!
//! In: what `shop` gives. Out: text on the job's tape, in tables that a page lays out.

mod bored;
mod csv;
mod cuts;
mod fastening;
mod marks;
mod winder;
mod words;

pub use bored::corners_told;
pub use csv::{CsvTable, csv_tables};
pub use cuts::{CutSet, CutTable, cut_tables, stations};
pub use fastening::{JOINT_HEADS, JointTold, fault_told, joints_told};
pub use marks::{RowTold, TreadTold, block_told, rows_told, treads_head, treads_told};
pub use winder::{OutlineTold, area_words};
pub use words::{
    drill, driven_word, edge_of, face_up, joint_word, names, piece_word, shank, square, work_word,
};

use crate::shop::there::There;

/// What is to be borne in mind at the saw: common practice, no source.
pub const SAW_CAUTION: &str = "Saws hurt: guard on, blade stopped before you measure, short pieces \
                               held by a clamp and not by a hand. Check every dimension on the stair \
                               before you cut, and cut one piece before you cut its fellows.";

/// What is there already, in sentences.
#[must_use]
pub fn there_words(there: &There) -> Vec<String> {
    let mut says = Vec::new();
    if !there.fitted.is_empty() {
        says.push(format!(
            "Fitted already, as the job says, so neither cut nor bought: {}.",
            names(&there.fitted)
        ));
    }
    if !there.received.is_empty() {
        let parts: Vec<String> = there
            .received
            .iter()
            .map(|(part, _)| part.clone())
            .collect();
        says.push(format!(
            "Delivered already, so not bought; each is cut from what came for it: {}.",
            names(&parts)
        ));
    }
    if !there.goes_back.is_empty() {
        says.push(format!(
            "Delivered and to go back, so another is bought: {}.",
            names(&there.goes_back)
        ));
    }
    says
}

/// What the cut list does not tell of; nothing where it tells of all.
#[must_use]
pub fn untold_words(untold: &[String]) -> Option<String> {
    (!untold.is_empty()).then(|| {
        format!(
            "Not told here, nor bought, marked, fastened or reckoned in hours: {}.",
            names(untold)
        )
    })
}

/// What is to be borne in mind about what holds a guard.
pub const ANCHOR_CAUTION: &str = "What holds a guard needs a detail that somebody answers for: \
                                  write it in the job with its source (anchors). Where none is \
                                  written, the anchor is not shown, and nothing here makes up for it. \
                                  A stringer is an engineer's to cut or bore.";

/// How the figures of a cut list are read.
pub const SAW_WORDS: &str = "Long and short points are from corner to corner along the piece; top edge and \
                   underside are what a tape reads along the face that lies up. Angles are the saw's, from square, and in brackets as a framing square is set: so \
                   much along the piece in so much across it. `Long` says which edge or side comes \
                   out the longer. Names are those of the parts in the picture; a piece that has none \
                   goes by the part that it belongs to.";

/// How running marks are read.
pub const MARK_WORDS: &str = "All as found. Every running mark is measured from the one end of its row, never \
                     from the mark before, so that rounding does not add up. Hook the tape once and \
                     leave it.";
