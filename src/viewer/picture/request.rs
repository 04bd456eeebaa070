//! What is drawn, and why it cannot be.

use crate::chain::ChainError;
use crate::doubt::Fan;
use crate::job::Job;
use crate::measure::Angle;

use super::super::{DeviceError, Ground, MOST_STRETCH, Mood, Viewpoint};
use super::{PATIENCE, SIDE};

/// One of several pictures of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Shot {
    /// Where from.
    pub viewpoint: Viewpoint,
    /// The look that it is finished in, by its number among those of the job.
    pub look: usize,
    /// Seen round about the stair: the eye goes so far about its plumb middle, anticlockwise from
    /// above, at the viewpoint's height, as far off as every side needs.
    pub round: Option<Angle>,
}

impl Shot {
    /// From a viewpoint, in a look.
    #[must_use]
    pub const fn from(viewpoint: Viewpoint, look: usize) -> Self {
        Self {
            viewpoint,
            look,
            round: None,
        }
    }
}

/// What to draw.
#[derive(Clone, Debug)]
pub struct PictureRequest {
    /// The job.
    pub job: Job,
    /// Where from.
    pub viewpoint: Viewpoint,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Measured or finished.
    pub mood: Mood,
    /// The look that it is finished in, by its number among those of the job.
    pub look: usize,
    /// On paper or on slate.
    pub ground: Ground,
    /// How many times as large departures are drawn, 1 to [`MOST_STRETCH`].
    pub stretch: f64,
    /// The true stair beside it.
    pub ghost: bool,
    /// Parts to light up, by their names.
    pub lit: Vec<String>,
    /// Where its rails may come to lie, as draws of the job gave it: drawn in the measured mood.
    pub fans: Vec<Fan>,
    /// Another way to do it, drawn left of a line down the middle.
    pub beside: Option<OtherWay>,
    /// What the way right of the line is called.
    pub called: String,
    /// Places within a pixel that are looked through, each from another place of the sun's disc, and
    /// averaged: 4, 16 or 64. Four see a sun without a width.
    pub samples: u32,
    /// Without walls and paper, on a ground that is clear.
    pub clear: bool,
    /// Only what the carpenter finds: framing, floors, walls, in raw timber.
    pub framing: bool,
    /// A newel that is set down dry, before anything is cut for it: drawn in the measured mood, seen
    /// from where its marks show.
    pub fit: Option<FitPicture>,
}

impl PictureRequest {
    /// The job as found, measured and on paper, with nothing laid over it. The size is pixels across
    /// and down.
    #[must_use]
    pub fn plain(job: Job, viewpoint: Viewpoint, (width, height): (u32, u32)) -> Self {
        Self {
            job,
            viewpoint,
            width,
            height,
            mood: Mood::Work,
            look: 0,
            ground: Ground::Paper,
            stretch: 1.0,
            ghost: false,
            lit: Vec::new(),
            fans: Vec::new(),
            beside: None,
            called: String::new(),
            samples: 4,
            clear: false,
            framing: false,
            fit: None,
        }
    }
}

/// Another way to do a job.
#[derive(Clone, Debug)]
pub struct OtherWay {
    /// What it is called.
    pub name: String,
    /// The job done so.
    pub job: Job,
}

/// A newel set down dry.
#[derive(Clone, Debug, PartialEq)]
pub struct FitPicture {
    /// Its name.
    pub newel: String,
    /// How far it is lifted: 0 stands in its place, 1 is clear of the stair.
    pub up: f64,
}

/// Why there is no picture.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// Nothing to draw with.
    #[error(transparent)]
    Device(#[from] DeviceError),
    /// The job cannot be set out.
    #[error(transparent)]
    Chain(#[from] ChainError),
    /// What the request asks for cannot be.
    #[error("{0}")]
    Request(String),
    /// Whoever watched broke it off.
    #[error("ended before the picture was done, and nothing was written")]
    Ended,
    /// The driver gave no picture.
    #[error("the driver gave no picture within {} s", PATIENCE.as_secs())]
    NoAnswer,
    /// The picture could not be written as PNG.
    #[error("the picture could not be packed as PNG: {0}")]
    Packing(#[from] png::EncodingError),
}

/// Whether the request can be drawn at all.
///
/// # Errors
/// [`PictureError::Request`] with what could be drawn instead.
pub(super) fn check(request: &PictureRequest) -> Result<(), PictureError> {
    let (low, high) = (SIDE.start(), SIDE.end());
    let wrong = |says: String| Err(PictureError::Request(says));
    if !SIDE.contains(&request.width) || !SIDE.contains(&request.height) {
        let (width, height) = (request.width, request.height);
        return wrong(format!(
            "{width} x {height} is no size for a picture; {low} to {high} each way is"
        ));
    }
    if !(1.0..=MOST_STRETCH).contains(&request.stretch) {
        return wrong(format!(
            "departures are drawn 1 to {MOST_STRETCH} times as large"
        ));
    }
    if ![4, 16, 64].contains(&request.samples) {
        return wrong(format!(
            "{} places within a pixel are not to be had; 4, 16 and 64 are",
            request.samples
        ));
    }
    Ok(())
}
