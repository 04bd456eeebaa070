//! Line drawings of the stair for paper: elevation and plan of a run, and what is near one trouble,
//! with hidden lines left out, parts washed with the colours of their timber, numbered flags and
//! balls of their true size; and how errors add up along a flight.
//!
//! In: the solids of a chain and its findings; what `doubt` says of errors. Out: [`Drawing`]s: marks in millimetres on the
//! paper, which the PDF takes as they are and [`svg`] writes for pages.
//! Does not: find anything; lay out pages.

mod closeup;
mod compounding;
mod eye;
mod flag;
mod flat;
mod ink;
mod lines;
mod mark;
mod piece;
mod run;
mod seen;
mod svg;
mod washes;

pub use closeup::closeup;
pub use compounding::{Scale, compounding, places};
pub(in crate::publish) use eye::Eye;
pub use flag::Flagged;
pub(in crate::publish) use flat::{At, Box2, hull};
pub use ink::Ink;
pub(in crate::publish) use lines::lines;
pub use mark::{severity_mark, verdict_mark};
pub(in crate::publish) use piece::Piece;
pub use run::RunViews;
pub(in crate::publish) use run::{View as RunView, split};
pub(in crate::publish) use seen::frame_of;
pub(super) use svg::{colour, small, within};
pub use svg::{escaped, svg, svg_file, svg_plain, svg_true};

use super::pdf::Canvas;

/// A drawing with its size.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Millimetres on the paper.
    pub width: f64,
    /// Millimetres on the paper.
    pub height: f64,
    /// What is drawn, from the upper left corner right and down.
    pub canvas: Canvas,
    /// What it shows, in words: for those who cannot see it, and under it as its caption.
    pub says: String,
}
