//! The survey: readings made into estimates of the stair and its walls.
//!
//! In: the readings of the job. Out: [`Estimates`] (as found beside as meant) and one
//! [`WallField`] per wall.
//! Does not: guess without saying so.

mod wall_field;

pub use wall_field::WallField;
