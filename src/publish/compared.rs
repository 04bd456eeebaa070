//! Words for ways compared side by side.

use crate::chain::Chain;
use crate::chain::compare::What;
use crate::inspect::Severity;
use crate::job::{Alternative, Diagnostic};

/// An alternative and what came of it.
#[derive(Clone, Copy, Debug)]
pub struct Way<'a> {
    /// The alternative as written.
    pub alternative: &'a Alternative,
    /// Its chain, or why it cannot be set out.
    pub chain: Result<&'a Chain, &'a [Diagnostic]>,
}

/// What a figure tells, in a few words.
#[must_use]
pub fn figure_words(what: What, part: &str) -> String {
    let plain = match what {
        What::Troubles(Severity::Stop) => "troubles to stop for",
        What::Troubles(Severity::Fix) => "troubles to fix",
        What::Troubles(Severity::Remark) => "troubles to remark on",
        What::Ball => "ball nearest its limit",
        What::BallLimit => "its limit",
        What::LeastGap => "least gap",
        What::GreatestGap => "greatest gap",
        What::LeastReveal => "least reveal",
        What::GreatestReveal => "greatest reveal",
        What::RevealRange => "reveals wander by",
        What::Balusters => "balusters",
        What::WorstLean => "worst lean",
        What::RailLength => return format!("{part} between long points"),
        What::LowestRail => return format!("{part} at its lowest"),
        What::HighestRail => return format!("{part} at its highest"),
        What::NotchDepth => return format!("{part} notch, from nosing"),
        What::StringerCuts => "stringers cut",
    };
    plain.to_owned()
}

/// The same for a machine.
#[must_use]
pub const fn figure_word(what: What) -> &'static str {
    match what {
        What::Troubles(Severity::Stop) => "troubles-stop",
        What::Troubles(Severity::Fix) => "troubles-fix",
        What::Troubles(Severity::Remark) => "troubles-remark",
        What::Ball => "ball",
        What::BallLimit => "ball-limit",
        What::LeastGap => "gap-least",
        What::GreatestGap => "gap-greatest",
        What::LeastReveal => "reveal-least",
        What::GreatestReveal => "reveal-greatest",
        What::RevealRange => "reveal-range",
        What::Balusters => "balusters",
        What::WorstLean => "lean-worst",
        What::RailLength => "rail-length",
        What::LowestRail => "rail-lowest",
        What::HighestRail => "rail-highest",
        What::NotchDepth => "notch-depth",
        What::StringerCuts => "stringer-cuts",
    }
}
