//! The job: what was read on site and what is wanted, as one RON document.
//!
//! In: text. Out: [`Document`]: a [`Job`], checked, with the place of every value in the file;
//! edits that change only the bytes they are about; saving that is whole or not at all.
//! What is wrong comes as [`Faults`], several at a time, each with its line and field.
//!
//! ```
//! use rakewell::job::Document;
//!
//! let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/scenes/straight.ron"));
//! let job = Document::parse(text, "straight.ron")?;
//! let lower = job.set_length("design.rail.height", "35 1/2")?;
//! assert_eq!(lower.job().design.rail.height.value.as_inches(), 35.5);
//! assert_eq!(lower.line_of("design.rail.height"), job.line_of("design.rail.height"));
//!
//! let faults = job.set_length("design.rail.height", "36 7/0").unwrap_err();
//! assert_eq!(faults.diagnostics[0].path, "design.rail.height");
//! # Ok::<(), rakewell::job::Faults>(())
//! ```
//!
//! Does not: compute geometry; know rule packs.

mod alternative;
mod alternatives;
mod bedding;
mod boards;
mod bottom;
mod built;
mod check;
mod client;
mod design;
mod diagnostic;
mod differing;
mod document;
mod edit;
mod fastening;
mod fixing;
mod infill;
mod instruments;
mod limit;
pub mod limits;
mod lines;
mod local;
mod look_written;
mod nearest;
mod notes;
mod one_run;
mod railing;
mod reading;
mod readings;
mod received;
mod runs;
mod save;
mod schema;
mod seen;
mod shop;
pub mod spans;
pub mod species;
mod splice;
mod starters;
mod stated;
pub mod timber;
mod tolerances;
mod unlike;
pub mod whole;
mod winders;
mod wood;

pub use alternatives::*;
pub use bedding::*;
pub use boards::*;
pub use bottom::BottomStep;
pub use built::Built;
pub use client::*;
pub use design::*;
pub use diagnostic::{Aside, Diagnostic, Faults, Severity};
pub use document::{Document, MAX_BYTES};
pub use edit::quoted;
pub use fastening::{Cutting, Driven, Fastened, Fastening, RoughOf};
pub use fixing::{Fixing, FixingFace, Plug};
pub use infill::*;
pub use instruments::*;
pub use limit::{GripSizes, Limit, Recess, Sense};
pub use local::{Amend, Anchor, AnchorAt, Anchored, Dropped, Local};
pub use notes::{Hooked, HookedOn, LetStand, Note};
pub use one_run::{FIRST_RUN, OneRun, TurnOn, line_of};
pub use railing::*;
pub use readings::*;
pub use received::*;
pub use runs::*;
pub use save::{Over, SaveError};
pub use schema::*;
pub use seen::{LEAN_SEEN, REVEAL_DRIFT, Seen};
pub use shop::*;
pub use starters::{STARTERS, Starter};
pub use stated::*;
pub use tolerances::{Operation, Tolerances};
pub use unlike::Difference;
pub use winders::*;
pub use wood::*;

/// The version of the file's shape that this program reads and writes.
pub const FORMAT: u32 = 1;
