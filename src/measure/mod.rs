//! Lengths, angles and pitches: what a tape, a level and a pencil can say.
//!
//! In: text as a carpenter writes it. Out: [`Length`] (millimetres inside), [`Angle`] (radians
//! inside), [`Pitch`] (rise over run), and their printed forms on a given [`Tape`].
//! Does not: know any part of a stair.

mod angle;
mod error;
mod length;
mod lex;
mod parse;
mod parse_angle;
mod pitch;
mod print;
mod quantity;
mod tape;
pub mod tolerance;
mod typed;

pub use angle::Angle;
pub use error::MeasureError;
pub use length::Length;
pub use parse::parse_length;
pub use parse_angle::parse_angle;
pub use pitch::Pitch;
pub use tape::{Tape, Unit};
pub use typed::{Typed, default_unit, with_default_unit};
