//! The set-out: where every newel, rail and baluster lands on the stair as found.
//!
//! In: the [`crate::site::Site`] and the design of the job. Out: [`SetOut`], in the flight's
//! frame, mm.
//! Does not: know collisions, rules' clauses, or meshes.

mod base;
pub mod cut;
mod hold;
mod line;
mod marks;
mod newel;
mod panel;
pub mod plan;
pub mod programme;
mod rail;
pub mod rail_window;
mod row;
pub mod skirt;
mod small;
mod solve;
pub mod spacing;
mod stair;
mod trade;
mod types;
mod upright;

pub use base::{BaseSet, CAP, CLOSED_STRING, Fillet, HALF_WALL, SHOE};
pub use hold::{KickOffset, SpacingReport, TreadGap};
pub use marks::Mark;
pub use panel::{PanelRun, PanelSet};
pub use rail::{ROSETTE_THICKNESS, WallLanding, landings};
pub use solve::{Joined, SetOutError, solve, solve_joined};
pub use stair::solve_stair;
pub use trade::{TradePoint, compromise};
pub use types::*;

use row::Neighbour;
