//! The machine answers: JSON of a documented, versioned shape (see `DEVELOPERS.md`).
//!
//! Every length stands twice: exact, as a number whose field name ends in `_mm`, and as text on the
//! job's tape for a person to read. Points are `[x, y, z]` in mm in the flight's frame; angles are
//! degrees, in fields that end in `_deg`. A number that is not finite is written as `null`, so the
//! text is always valid JSON.

mod bedding;
mod boards;
mod climb;
mod compare;
mod compounding;
mod cuts;
mod cuts_detail;
mod cuts_marks;
mod decides;
mod doubt;
mod dry_fit;
mod infill;
mod inspect;
mod notes;
mod parts;
mod points;
mod pole;
mod rails;
mod received;
mod reveals;
mod safe;
mod setout;
mod sheets;
mod stock;
mod survey;
mod templates;
mod turns;
mod why;

use nalgebra::Point3;
use serde::Serialize;

pub use compare::compare;
pub use compounding::compounding;
pub use cuts::cuts;
pub use decides::decides;
pub use doubt::{doubt, doubt_with};
pub use dry_fit::dry_fit;
pub use inspect::inspect;
pub use parts::parts;
pub use points::points;
pub use pole::pole;
pub use setout::setout;
pub use sheets::sheets;
pub use stock::stock;
pub use survey::{SurveyTold, survey};
pub use templates::templates;
pub use why::why;

/// The version of the shapes; it grows when a field changes its meaning or goes.
pub const FORMAT: u32 = 1;

fn text_of<T: Serialize>(shape: &T) -> String {
    // Only a map with keys that are not text, or a Serialize that fails by itself, can fail here,
    // and the shapes are plain structs, lists, text and numbers.
    let mut text = serde_json::to_string_pretty(shape).expect("plain structs always write as JSON");
    text.push('\n');
    text
}

fn xyz(point: &Point3<f64>) -> [f64; 3] {
    [point.x, point.y, point.z]
}

/// What wrote the answer.
fn program() -> String {
    format!("rakewell {}", env!("CARGO_PKG_VERSION"))
}
