//! Paper: pages of text and lines, and the PDF that is made of them.
//!
//! In: [`Page`]s of [`Mark`]s, in millimetres on the paper, from its upper left corner right and
//! down. Out: PDF bytes ([`write()`]), the same for the same pages; no dates, real text, fonts
//! embedded. Fractions such as `3/8` are set as fractions and digits are all of one width.
//! Does not: lay out; know what a stair is.

mod boxes;
mod canvas;
mod face;
mod mark;
mod write;

pub use boxes::{boxed, boxes_said};
pub use canvas::{Canvas, Push, wrap};
pub use face::{Face, Glyph, Shaped, shape, width};
pub use mark::{Mark, Page, Pen, Shade, Spot, Style};
pub use write::{About, PdfError, write};

/// PDF points in a millimetre: 72 points are an inch (ISO 32000-1, 8.3.2.3).
const POINTS_PER_MM: f64 = 72.0 / 25.4;
