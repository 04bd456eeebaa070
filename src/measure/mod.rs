//! Lengths, angles and pitches: what a tape, a level and a pencil can say.
//!
//! In: text as a carpenter writes it. Out: [`Length`] (millimetres inside), [`Angle`] (radians
//! inside), [`Pitch`] (rise over run), and their printed forms on a given [`Tape`].
//! Does not: know any part of a stair.
//!
//! ```
//! use rakewell::measure::{Length, Tape, Unit, parse_length};
//!
//! let going = parse_length("10-1/4\"", Unit::Inches)?;
//! assert_eq!(going, Length::inches(10.25));
//! assert_eq!(Tape::Sixteenths.print(going * 3.5), "35 7/8\"");
//! assert_eq!(Tape::Millimetres.print(going), "260 mm+");
//!
//! let error = parse_length("10 1/4 1/8", Unit::Inches).unwrap_err();
//! assert_eq!(error.problem, "`1/8` is left over after the length");
//! assert_eq!(error.range, 7..10);
//! # Ok::<(), rakewell::measure::MeasureError>(())
//! ```

mod angle;
mod count;
mod error;
mod force;
pub mod fraction_keys;
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
mod unit;

pub use angle::Angle;
pub use count::grouped;
pub use error::MeasureError;
pub use force::{Force, Spread, parse_force};
pub use length::Length;
pub use parse::parse_length;
pub use parse_angle::parse_angle;
pub use pitch::Pitch;
pub use tape::{Tape, Unit};
pub use typed::{Typed, default_unit, with_default_unit};
