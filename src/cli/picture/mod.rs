//! `picture`: the stair drawn to a file: one picture, one that goes round the stair, or several on a
//! sheet.

#[cfg(feature = "viewer")]
mod one;
#[cfg(feature = "viewer")]
mod round;
#[cfg(feature = "viewer")]
mod sheet;

use super::args::Picture;
use super::{Outcome, talk};

#[cfg(not(feature = "viewer"))]
pub(super) fn run(picture: &Picture) -> Outcome {
    let _unused = picture;
    talk::fault(
        "this program was built without pictures; `cargo build` without --no-default-features \
         builds them",
    )
}

#[cfg(feature = "viewer")]
pub(super) fn run(picture: &Picture) -> Outcome {
    let done = match (picture.sheet, picture.turn) {
        (Some(what), _) => sheet::run(picture, what),
        (None, Some(frames)) => round::run(picture, frames),
        (None, None) => one::run(picture),
    };
    let written = match done {
        Ok(written) => written,
        Err(outcome) => return outcome,
    };
    talk::answer(&format!("{}\n", written.display()), Outcome::Clean)
}
