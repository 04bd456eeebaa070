//! Pictures round about a stair: in one file that moves, or numbered in a folder.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use super::super::args::Picture;
use super::super::watch::Watch;
use super::super::{Outcome, talk};
use super::one;
use crate::measure::Angle;
use crate::publish::file;
use crate::viewer::{self, Moving, PictureError, PictureRequest, Shot};

/// Once round takes so long, milliseconds: slow enough to look at each side.
const ROUND_MS: u16 = 12_000;

pub(super) fn run(picture: &Picture, frames: u16) -> Result<PathBuf, Outcome> {
    let to = &picture.to;
    let moves = !to.is_dir() && to.extension().is_some();
    if moves
        && let Some(wrong) = talk::wrong_ending(
            to,
            "png",
            "a picture that moves is PNG too; a folder gets numbered pictures",
        )
    {
        return Err(wrong);
    }
    let (source, request) = one::asked(picture)?;
    let part = |at: u16| Angle::degrees(360.0 * f64::from(at) / f64::from(frames));
    let shot = |at: u16| Shot {
        viewpoint: request.viewpoint.clone(),
        look: request.look,
        round: Some(part(at)),
    };
    let shots: Vec<Shot> = (0..frames).map(shot).collect();
    let watch = Watch::new();
    let done = if moves {
        moving(to, &request, &shots, &watch)
    } else {
        numbered(to, &request, &shots, &watch)
    };
    watch.done();
    match done {
        Ok(()) => Ok(to.clone()),
        Err(Stopped::Says(says)) => Err(talk::fault(&says)),
        Err(Stopped::Drawing(error)) => Err(one::refused(&source, error)),
    }
}

/// Why not all pictures were made.
enum Stopped {
    Drawing(PictureError),
    Says(String),
}

impl From<PictureError> for Stopped {
    fn from(error: PictureError) -> Self {
        Self::Drawing(error)
    }
}

impl From<png::EncodingError> for Stopped {
    fn from(error: png::EncodingError) -> Self {
        Self::Drawing(error.into())
    }
}

/// Writes the file that moves, once all of it is drawn.
fn moving(
    to: &Path,
    request: &PictureRequest,
    shots: &[Shot],
    watch: &Watch,
) -> Result<(), Stopped> {
    let size = (request.width, request.height);
    let count = u32::try_from(shots.len()).unwrap_or(u32::MAX);
    let mut out = Vec::new();
    let mut moving = Moving::begin(&mut out, size, count, ROUND_MS, request.clear)?;
    let mut wrong = None;
    viewer::pictures(request, shots, &mut |number, pixels| {
        if let Err(error) = moving.add(&pixels) {
            wrong = Some(error);
            return ControlFlow::Break(());
        }
        one::told(watch, number + 1, shots.len())
    })
    .or_else(|error| wrong.map_or(Err(error), |wrong| Err(wrong.into())))?;
    moving.end()?;
    file::write_over(to, &out).map_err(|error| Stopped::Says(file::why(to, &error)))
}

/// Writes each picture into the folder when it is drawn.
fn numbered(
    to: &Path,
    request: &PictureRequest,
    shots: &[Shot],
    watch: &Watch,
) -> Result<(), Stopped> {
    std::fs::create_dir_all(to).map_err(|error| Stopped::Says(file::why(to, &error)))?;
    let digits = shots.len().to_string().len();
    let mut written = 0;
    let mut wrong = None;
    let drawn = viewer::pictures(request, shots, &mut |number, pixels| {
        let name = to.join(format!("turn-{:0digits$}.png", number + 1));
        let done = pixels.png(request.clear).map_err(|error| error.to_string());
        let done = done.and_then(|png| {
            file::write_over(&name, &png).map_err(|error| file::why(&name, &error))
        });
        if let Err(says) = done {
            wrong = Some(says);
            return ControlFlow::Break(());
        }
        written = number + 1;
        one::told(watch, written, shots.len())
    });
    match (drawn, wrong) {
        (_, Some(says)) => Err(Stopped::Says(format!(
            "{says}; {}",
            so_far(written, shots.len())
        ))),
        // A last picture that Ctrl-C came after is there as well.
        (Err(PictureError::Ended), None) if written == shots.len() => Ok(()),
        (Err(PictureError::Ended), None) => Err(Stopped::Says(format!(
            "ended early; {}",
            so_far(written, shots.len())
        ))),
        (drawn, None) => Ok(drawn?),
    }
}

fn so_far(written: usize, of: usize) -> String {
    format!("{written} of {of} pictures are written")
}
