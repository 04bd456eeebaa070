//! Because and cure: the share that each measured departure from true has in a number, and single
//! changes that clear a trouble, each found by running the chain again.
//!
//! In: a chain and what is [`Asked`]. Out: [`Explanation`]s. All lengths are differences of values
//! that the chain gave, discrete choices (counts) held.
//! Does not: compute geometry of its own, or get called by the chain.
//!
//! Two columns of shares stand beside each other. "Made true alone" is the value as found less the
//! value with one group made true; what these leave over is the remainder. The additive column has
//! the Shapley values (L. S. Shapley, 1953) of the game in which groups are made true one after
//! another; they sum to the value as found less the value with all of them true.

mod again;
mod apply;
mod asked;
mod because;
mod cores;
mod cure;
mod disturbance;
mod game;
mod groups;
pub mod handle;
mod worst;

use crate::chain::{Chain, ChainError};
use crate::inspect::Key;
use crate::measure::Length;

pub use apply::{Undo, applied, undone};
pub use asked::Asked;
pub use because::Reasons;
pub use cure::{Cure, Lever, Pulled, cures, of_the_house};
pub use disturbance::Disturbance;
pub use game::{Column, MOST_PLAYERS, shapley};
pub use groups::{Group, Makes, groups};
pub use worst::{EXPLAINED, worst};

/// Why a number is what it is, and what would clear it where it is a trouble.
#[derive(Clone, Debug, Default)]
pub struct Explanation {
    /// The number as found.
    pub value: Length,
    /// What each group has to do with it, largest share first and the smaller ones together last;
    /// groups without a share are left out. At most [`MOST_PLAYERS`].
    pub because: Vec<Because>,
    /// What the shares of groups made true alone do not explain: the whole departure from true less
    /// their sum.
    pub remainder: Length,
    /// The value with everything true; `None` where that stair has no such quantity.
    pub when_true: Option<Length>,
    /// How the additive column was worked out.
    pub method: Method,
    /// Departures that cannot be made true alone: the stair cannot be set out then, or has no such
    /// number.
    pub unknown: Vec<String>,
    /// Verified cures, least disturbance first.
    pub cures: Vec<Cure>,
}

/// How the additive column was worked out.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Method {
    /// Over all sets of groups.
    #[default]
    Exact,
    /// Over drawn orders of the groups.
    Sampled {
        /// So many.
        draws: usize,
        /// The greatest of the groups' errors.
        error: Length,
    },
    /// There is none: with some sets of groups made true the stair cannot be set out, or has no such
    /// number.
    LeftOut {
        /// So many sets.
        without: usize,
        /// Of so many that were looked at.
        of: usize,
    },
}

/// One group's share in a number.
#[derive(Clone, Debug)]
pub struct Because {
    /// What can be pointed at, such as `wall W2's lean`.
    pub what: String,
    /// The parts of the picture that it shows on.
    pub parts: Vec<String>,
    /// Value as found less value with this group made true alone.
    pub share: Length,
    /// Its share in the additive column; `None` where there is none ([`Method::LeftOut`]).
    pub shapley: Option<Length>,
    /// Half the width of the 95 % interval of `shapley`, where that was sampled.
    pub error: Option<Length>,
    /// The fields of the job that its readings stand in.
    pub readings: Vec<String>,
    /// What [`made_true`] makes true.
    pub makes: Makes,
}

/// Explains any number of a chain, with cures where it is a trouble. For several numbers make
/// [`Reasons`] once and ask it.
#[must_use]
pub fn explain(chain: &Chain, asked: &Asked) -> Explanation {
    let reasons = Reasons::of(chain);
    match asked {
        Asked::Finding(key) => reasons.explain(chain, key),
        other => reasons.because(chain, other),
    }
}

/// The chain with something made true and every choice held: to show it for a moment.
///
/// # Errors
/// As [`crate::chain::run`], where the stair cannot be set out then.
pub fn made_true(chain: &Chain, makes: &Makes) -> Result<Chain, ChainError> {
    again::Again::of(chain).run(makes)
}

impl From<Key> for Asked {
    fn from(key: Key) -> Self {
        Self::Finding(key)
    }
}
