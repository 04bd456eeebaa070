//! Writing out: what was computed, as text for other programs and pages.
//!
//! In: a job with its chain and explanations. Out: JSON ([`json`]), and the pieces that every
//! written report shares ([`Report`], [`rule_lines`], [`cautions`]).
//! Does not: compute anything about the stair.

pub mod compared;
pub mod fits;
pub mod json;
pub mod pdf;
mod report;
mod rule_lines;
pub mod sheet;
pub mod survey;
pub mod turns;
pub mod walls;

pub use report::{Report, Told, cautions, kind_word, severity_word, trouble_id, verdict_words};
pub use rule_lines::{RuleLine, amount, rule_lines};
