//! Because and cure: the share that each measured fault has in a trouble, and single changes that
//! clear it, each found by running the chain again.
//!
//! In: a chain. Out: [`Explanation`]s.
//! Does not: compute geometry of its own, or get called by the chain.

mod because;
mod cure;

use crate::chain::Chain;
use crate::inspect::Key;
use crate::measure::Length;

pub use because::Reasons;

/// Why a trouble is there and what would clear it.
#[derive(Clone, Debug, Default)]
pub struct Explanation {
    /// What each fault, made true alone, would take off, largest first; faults without a share are
    /// left out.
    pub because: Vec<Because>,
    /// What the shares do not explain: the whole departure from true less their sum.
    pub remainder: Length,
    /// The value on the stair that was meant; `None` where that stair has no such quantity.
    pub when_true: Option<Length>,
    /// Verified cures, least disturbance first.
    pub cures: Vec<Cure>,
}

/// One fault's share in a trouble.
#[derive(Clone, Debug)]
pub struct Because {
    /// What can be pointed at, such as `wall W2's lean`.
    pub what: String,
    /// Value as found less value with this fault made true alone.
    pub share: Length,
    /// The fields of the job that its readings stand in.
    pub readings: Vec<String>,
}

/// One change that clears a trouble.
#[derive(Clone, Debug)]
pub struct Cure {
    /// What to do, in trade words.
    pub what: String,
    /// The edits to the job: field path and the RON text of the new value.
    pub edits: Vec<(String, String)>,
    /// The value after it.
    pub value_after: Length,
    /// Troubles that it would bring, in one sentence each; empty where it breaks nothing.
    pub breaks: Vec<String>,
}

/// Explains one trouble of a chain. For several troubles make [`Reasons`] once and ask it.
#[must_use]
pub fn explain(chain: &Chain, key: &Key) -> Explanation {
    Reasons::of(chain).explain(chain, key)
}
