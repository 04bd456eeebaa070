//! The set-out: where every newel, rail and baluster lands on the stair as found.
//!
//! In: the [`crate::site::Site`] and the design of the job. Out: [`SetOut`], in the flight's
//! frame, mm.
//! Does not: know collisions, rules' clauses, or meshes.

pub mod bedding;
mod behind;
pub mod boards;
pub mod built;
pub mod cut;
mod fitted;
mod fitting;
mod half_newel;
mod head;
mod line;
mod newel;
mod notch;
pub mod plan;
pub mod programme;
mod rail;
pub mod rail_window;
pub mod received;
pub mod skirt;
mod solve;
pub mod spacing;
mod stair;
mod types;
mod upright;
mod wall_rail;

pub use fitted::*;
pub use fitting::{Arrival, LandingRise, landing_rise, tangent};
pub use head::{height_from_rails, meets};
pub use rail::{ROSETTE_THICKNESS, WallLanding, landings};
pub use solve::{Joined, SetOutError, solve, solve_joined};
pub use stair::solve_stair;
pub use types::*;
