//! The set-out: where every newel, rail and baluster lands on the stair as found.
//!
//! In: the [`crate::site::Site`] and the design of the job. Out: [`SetOut`], in the flight's
//! frame, mm.
//! Does not: know collisions, rules' clauses, or meshes.

mod base;
pub mod bedding;
mod behind;
pub mod boards;
pub mod built;
pub mod cut;
pub mod dry_fit;
mod fitted;
mod fitting;
mod half_newel;
mod head;
mod hold;
mod line;
mod marks;
mod newel;
mod notch;
mod panel;
pub mod plan;
pub mod programme;
mod rail;
pub mod rail_window;
pub mod received;
mod row;
pub mod skirt;
mod small;
mod solve;
pub mod spacing;
mod stair;
mod trade;
mod turn;
mod types;
mod upright;
mod wall_rail;
pub mod wood;
mod worked;

pub use base::{BaseSet, CAP, CLOSED_STRING, Fillet, HALF_WALL, SHOE};
pub use behind::block_corners;
pub use fitted::*;
pub use fitting::{Arrival, LandingRise, landing_rise, tangent};
pub use head::{height_from_rails, meets};
pub use hold::{KickOffset, SpacingReport, TreadGap};
pub use marks::Mark;
pub use notch::open_skirt_face;
pub use panel::{PanelRun, PanelSet};
pub use rail::{ROSETTE_THICKNESS, WallLanding, landings};
pub use solve::{Joined, SetOutError, solve, solve_joined};
pub use stair::{solve_stair, work_stair};
pub use trade::{TradePoint, compromise};
pub use turn::TurnSet;
pub use types::*;
pub use worked::{BalusterOff, NewelOff, Worked};

use row::Neighbour;
