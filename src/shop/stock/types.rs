//! What a stock plan takes and gives: plain data. Lengths along the board; costs in the job's money, or
//! in millimetres of board where no prices are known.

use std::fmt;

use crate::measure::Length;

/// Pieces to be cut, alike in everything.
#[derive(Clone, Debug, PartialEq)]
pub struct Blank {
    /// What is written on each.
    pub label: String,
    /// The length to cut it from the board at, before it is worked.
    pub rough: Length,
    /// How many.
    pub count: u32,
    /// The name of those that must come off one board side by side, in the order of the list, so that
    /// grain and face go on from one to the next; the count is 1 then.
    pub matched: Option<String>,
}

/// Boards of one length.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// How long they are.
    pub length: Length,
    /// What one costs; `None` where that is not known.
    pub price: Option<f64>,
    /// How many there are; `None`: as many as are wanted.
    pub count: Option<u32>,
    /// Stretches from one end on which no piece may lie, from and to. With any the boards are
    /// particular ones: one, unless a count is given.
    pub defects: Vec<(Length, Length)>,
}

/// What the saw takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saw {
    /// The width of its cut.
    pub kerf: Length,
    /// What is cut off either end of a board, the cut itself counted in.
    pub trim: Length,
}

/// What a plan was made cheap in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CheapIn {
    /// Money: every length has a price.
    Price,
    /// The length of board that is bought.
    Length,
}

/// One piece on a board.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Which of the blanks it is.
    pub blank: usize,
    /// What is written on it.
    pub label: String,
    /// Where it begins, from the board's end.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
}

/// One board and what is cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// Which of the stock it is.
    pub stock: usize,
    /// Its length.
    pub length: Length,
    /// The pieces, from its end on.
    pub cuts: Vec<Cut>,
    /// What is left and clear, from and to.
    pub offcuts: Vec<(Length, Length)>,
}

impl Board {
    /// The longest clear piece that is left.
    #[must_use]
    pub fn offcut(&self) -> Length {
        self.offcuts
            .iter()
            .map(|(from, to)| *to - *from)
            .fold(Length::ZERO, Length::max)
    }
}

/// How the boards are cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The boards.
    pub boards: Vec<Board>,
    /// What it was made cheap in.
    pub cheap_in: CheapIn,
    /// What the boards cost in that.
    pub cost: f64,
    /// No plan costs less; `None` where boards are too few.
    pub bound: Option<f64>,
    /// Pieces that found no board, by their number among the blanks, with how many: the boards given
    /// are too few.
    pub short: Vec<(usize, u32)>,
}

/// Costs nearer than this share are one cost.
const SAME_COST: f64 = 1e-9;

impl Plan {
    /// True where it is proven that no plan costs less.
    #[must_use]
    pub fn is_best(&self) -> bool {
        let reached = |bound| self.cost <= bound * (1.0 + SAME_COST);
        self.short.is_empty() && self.bound.is_some_and(reached)
    }

    /// How much dearer it is at most than the best there could be, as a share of the bound; zero where
    /// it is proven best, `None` where nothing bounds it.
    #[must_use]
    pub fn gap(&self) -> Option<f64> {
        let bound = self.bound.filter(|bound| *bound > 0.0)?;
        Some(if self.is_best() {
            0.0
        } else {
            self.cost / bound - 1.0
        })
    }
}

/// Why boards cannot be planned.
#[derive(Clone, Debug, PartialEq)]
pub enum CannotCut {
    /// Pieces longer than any board holds.
    TooLong {
        /// Each by its number among the blanks (of those that are matched the first), with the length
        /// that it needs.
        pieces: Vec<(usize, Length)>,
        /// The longest clear stretch that a board of the stock has.
        longest: Length,
    },
    /// No boards are given.
    NoStock,
    /// Boards that are counted, or have defects, would serve several sections.
    WhichSection,
    /// A length that is none: not a number, or not over zero.
    NoLength,
    /// More pieces than are planned in one go.
    TooMany(u64),
}

impl fmt::Display for CannotCut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLong { pieces, longest } => write!(
                f,
                "{} pieces are longer than the {} mm that the longest board holds",
                pieces.len(),
                longest.as_mm()
            ),
            Self::WhichSection => f.write_str("counted boards would serve several sections"),
            Self::NoStock => f.write_str("no boards are given"),
            Self::NoLength => f.write_str("a length is not over zero"),
            Self::TooMany(count) => write!(f, "{count} pieces are too many"),
        }
    }
}

impl std::error::Error for CannotCut {}
