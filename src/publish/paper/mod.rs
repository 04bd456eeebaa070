//! Paper: sizes of it, the frame of a page, what is true size over several pages, and the ruler that
//! proves the scale.
//!
//! In: a drawing larger than a page, or words to put round it. Out: marks for
//! [`crate::publish::pdf`]. Millimetres on the paper, right and down from its upper left corner.
//! Does not: know what a stair is.

mod clip;
mod frame;
mod key;
mod ruler;
mod size;
mod tiles;

pub use clip::{Window, clip};
pub use frame::{Frame, PaperError};
pub use key::key;
pub use ruler::{CHECK_IN, CHECK_MM, check_ruler, graduated};
pub use size::{PAPERS, PaperSize};
pub use tiles::{OVERLAP, Tile, Tiles, registration, seams};
