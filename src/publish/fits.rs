//! The words for what bedding and the received parts tell, the same in every report.

use crate::setout::bedding::{BeddingLimit, Fills};
use crate::setout::received::Verdict;

/// What goes between a board and a cut.
#[must_use]
pub const fn fills_word(fills: Fills) -> &'static str {
    match fills {
        Fills::Light => "light",
        Fills::Normal => "normal",
        Fills::Heavy => "heavy",
        Fills::Shim => "shim",
        Fills::Relieve => "relieve",
    }
}

/// A limit of bedding, as one says it.
#[must_use]
pub const fn limit_word(limit: BeddingLimit) -> &'static str {
    match limit {
        BeddingLimit::RiseRange => "the variation of rises",
        BeddingLimit::RiseNeighbours => "the difference of neighbouring rises",
        BeddingLimit::RiseMost => "the greatest rise",
        BeddingLimit::GoingRange => "the variation of goings",
        BeddingLimit::GoingNeighbours => "the difference of neighbouring goings",
        BeddingLimit::GoingLeast => "the least going",
        BeddingLimit::Slope => "the slope over the length of a tread",
        BeddingLimit::Relieve => "the most that a cut is relieved",
        BeddingLimit::All => "every limit",
    }
}

/// What becomes of a received part.
#[must_use]
pub const fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Accept => "accept",
        Verdict::Shuffle => "shuffle",
        Verdict::SendBack => "send back",
    }
}
