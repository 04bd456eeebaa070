//! The viewer: a window on the stair, and pictures of it without a window.
//!
//! In: a [`Document`] or a [`Chain`]. Out: what is seen, and edits to the document.
//! Does not: show a number that the core did not compute.
//!
//! One plugin function per file. Panels and keys only send `session::Action`s; one system applies
//! them, the chain runs again off the window's thread, and the scene follows its result.

#![allow(
    clippy::needless_pass_by_value,
    reason = "Bevy hands a system its parameters by value"
)]

use std::path::PathBuf;
use std::sync::Arc;

use bevy::prelude::{App, IntoScheduleConfigs as _, SystemSet, Update};

use crate::chain::Chain;
use crate::explain::{Asked, Because, Makes};
use crate::inspect::Key;
use crate::inspect::climb::Climb;
use crate::job::{Document, Job};
use crate::solids::{Solids, edges};

mod acts;
mod client;
mod climb;
mod clipboard;
mod compounding;
mod convert;
mod device;
mod dims;
mod divide;
mod divide_paint;
mod drag;
mod dress;
#[cfg(test)]
mod drive;
mod eye;
mod fan_words;
mod files;
mod fit;
mod fit_words;
mod flags;
mod frames;
mod ground;
mod history;
mod look;
mod mask;
mod named;
mod panels;
mod picture;
mod read_here;
mod recompute;
mod rest;
mod scene;
mod section;
mod session;
mod sheets;
mod sift;
mod span;
mod sure;
mod text_size;
mod tour;
mod travel;
mod walk;
mod ways;
mod window;

pub use crate::publish::sight::{Cut, Viewpoint, Way, viewpoints};
pub use device::DeviceError;
pub use frames::{Frames, FramesRequest, frames};
pub use ground::Ground;
pub use mask::{Mask, masks};
pub use picture::{
    FitPicture, Moving, OtherWay, PictureError, PictureRequest, Pixels, Shot, paint_sheet, picture,
    picture_told, pictures,
};

use crate::publish::sight::{camera, lookout};

/// How the stair is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Mood {
    /// A measured drawing: pencil edges, departures, troubles.
    #[default]
    Work,
    /// The finished stair: materials and soft light, nothing technical.
    Show,
}

/// Departures are drawn at most this many times as large as they are.
pub const MOST_STRETCH: f64 = 20.0;

/// Why the window did not open.
#[derive(Debug, thiserror::Error)]
pub enum ViewerError {
    /// Nothing to draw with or on.
    #[error(transparent)]
    Device(#[from] DeviceError),
    /// The drawing device failed while the window was open.
    #[error("{0}")]
    Lost(String),
    /// The window ended with an error.
    #[error("the window ended early; the reason stands above")]
    Ended,
}

/// Opens the window on a job and stays until it is closed. `path` is where saving writes to.
///
/// # Errors
/// [`ViewerError`] where there is no display or nothing to draw with.
pub fn open(document: Document, path: Option<PathBuf>) -> Result<(), ViewerError> {
    window::open(document, path)
}

/// What happens in which order within one frame.
#[derive(SystemSet, Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum ViewerSystems {
    /// Keys and mouse are read.
    Input,
    /// Actions change the session.
    Edit,
    /// Finished work is fetched and new work is begun.
    Recompute,
    /// The scene and the eye follow.
    Sync,
}

/// The order of the sets, for the window and the pictures alike.
fn order(app: &mut App) {
    app.configure_sets(
        Update,
        (
            ViewerSystems::Input,
            ViewerSystems::Edit,
            ViewerSystems::Recompute,
            ViewerSystems::Sync,
        )
            .chain(),
    );
}

/// What the chain gave for one state of the job, or for the alternative of it that is shown.
#[derive(bevy::prelude::Resource, Clone)]
struct Solved {
    /// Counts up with every result.
    generation: u64,
    /// The state of the job that it is of, by its number, and the alternative.
    origin: (u64, Option<usize>),
    /// The stair as found, where `found` has something made true for a moment.
    base: Option<Arc<Chain>>,
    /// Why what was to be made true cannot be.
    refused: Option<String>,
    /// The job it was computed from.
    job: Arc<Job>,
    /// The stair as found.
    found: Arc<Chain>,
    /// Up every flight of it that has steps, step by step.
    climbs: Arc<Vec<Climb>>,
    /// Its parts.
    solids: Arc<Solids>,
    /// The stair that was meant; absent where that cannot be computed.
    ideal: Option<Arc<Solids>>,
}

impl Solved {
    /// The stair as found, whatever is made true for a moment.
    fn as_found(&self) -> &Chain {
        self.base.as_ref().unwrap_or(&self.found)
    }
}

/// What is shown of it, and how.
#[derive(bevy::prelude::Resource, Clone, Debug, PartialEq)]
struct Showing {
    /// Measured or finished.
    mood: Mood,
    /// How many times departures are drawn.
    stretch: f64,
    /// The true stair is drawn beside the found one.
    ghost: bool,
    /// Where the rails may come to lie is drawn, once that is known.
    fan: bool,
    /// What is picked.
    picked: Option<Pick>,
    /// The cause that is pointed at: its parts are lit.
    cause: Option<Cause>,
    /// The cause is made true for a moment.
    moment: bool,
    /// What stands beside the picture.
    place: Place,
    /// The alternative that is shown instead of the job as it stands, by its number.
    way: Option<usize>,
    /// The look that it is finished in, by its number among those of the job.
    look: usize,
}

/// A place of the window: what stands beside the picture.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Place {
    /// Troubles and what can be changed.
    #[default]
    SetOut,
    /// The readings, to type.
    Readings,
    /// The job and its alternatives, side by side.
    Ways,
    /// What may fail, and how likely.
    Sure,
    /// A newel set down dry, before anything is cut for it.
    Fit,
    /// The site sheets, as they will be printed.
    Sheets,
    /// What the client is shown, asked, and has answered.
    Client,
}

impl Default for Showing {
    fn default() -> Self {
        Self {
            mood: Mood::Work,
            stretch: 1.0,
            ghost: false,
            fan: true,
            picked: None,
            cause: None,
            moment: false,
            place: Place::SetOut,
            way: None,
            look: 0,
        }
    }
}

/// Something that one can pick.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Pick {
    /// A part, by its name.
    Part(String),
    /// A trouble, by its key.
    Trouble(Key),
    /// A number that is asked about.
    Number(Asked),
}

/// Something that a number is because of.
#[derive(Clone, Debug, PartialEq)]
struct Cause {
    /// What can be pointed at, in words.
    what: String,
    /// The parts that it shows on.
    parts: Vec<String>,
    /// What making it true makes true.
    makes: Makes,
}

impl Cause {
    fn of(because: &Because) -> Self {
        Self {
            what: because.what.clone(),
            parts: because.parts.clone(),
            makes: because.makes.clone(),
        }
    }
}

impl Pick {
    /// What is asked about it, where it is a number.
    fn asked(&self) -> Option<Asked> {
        match self {
            Self::Part(_) => None,
            Self::Trouble(key) => Some(Asked::Finding(key.clone())),
            Self::Number(asked) => Some(asked.clone()),
        }
    }

    /// The names of the parts that are picked.
    fn parts(&self) -> Vec<&str> {
        match self {
            Self::Part(name) => vec![name],
            Self::Trouble(key) => key.parts.iter().map(String::as_str).collect(),
            Self::Number(asked) => asked.parts(),
        }
    }
}
