//! Points of a wall, from a scanner or a total station, in place of readings.
//!
//! In: millions of points (mm) and the wall's meant face. Out: [`Fitted`]: the wall's plane and
//! bow, what stands on it named and left out, and a few hundred [`Cell`]s in place of the points,
//! with a doubt that does not pretend that a scanner's neighbouring points err apart.
//! Does not: open files, draw at random, or leave anything out without counting it. The answer is
//! the same on any number of cores.

mod fit;
mod outliers;
mod parts;
mod patches;
mod place;
pub mod read;
pub mod robust;
mod surface;
mod thin;

pub use fit::{Bow, Choices, FEWEST_POINTS, FitError, Fitted, fit, on_wall_if};
pub use outliers::Group;
pub use patches::Counts;
pub use place::{Frame, MeantFace, Placement};
pub use thin::{Cell, MOST_CELLS};
