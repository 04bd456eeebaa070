//! Writing out: what was computed, as text for other programs and pages.
//!
//! In: a job with its chain and explanations. Out: JSON ([`json`]), and the pieces that every
//! written report shares ([`Report`], [`rule_lines`], [`cautions`]).
//! Does not: compute anything about the stair.

pub mod boards;
pub mod building;
pub mod compared;
pub mod compounding;
pub mod drawing;
mod dry_fit;
pub mod file;
pub mod finish;
pub mod fits;
pub mod full_size;
pub mod gltf;
mod grid;
pub mod json;
pub mod measured;
mod notes;
mod odds;
pub mod page;
pub mod paper;
pub mod parts;
pub mod pdf;
pub mod picture_sheet;
mod report;
pub mod report_sheet;
mod rule_lines;
mod rule_words;
pub mod sheet;
pub mod shop;
pub mod sight;
pub mod site_sheets;
pub mod stock;
pub mod survey;
pub mod turns;
pub mod walls;
mod words;

pub use crate::measure::grouped;
pub use dry_fit::{
    DRY_FIT_CAUTION, FitBehind, FitMark, FitTold, dry_fit_told, edge_word, face_words, newel_side,
    seen_least, side_word,
};
pub use notes::notes_told;
pub use odds::{odds, odds_within, per_cent};
pub use report::{
    Report, Told, cautions, kind_word, severity_word, slips, trouble_id, verdict_words,
};
pub use rule_lines::{RuleLine, amount, rule_lines, to_measure};
pub use rule_words::{rule_asks, rule_clause, rule_found, rule_spare, rule_with};
pub use words::{
    OF_BALLS, against, asked, heading, headline, held_against, listed, opening_verdict, sentence,
    severity_means, severity_sign, stands_words, value_of, verdict_by, verdict_sign,
};
