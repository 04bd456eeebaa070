//! `picture`: the stair drawn to a PNG file.

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
    use super::{file, source};
    use crate::viewer::{self, PictureError, PictureRequest};

    let viewpoint = match picture.view.parse::<viewer::Viewpoint>() {
        Ok(viewpoint) => viewpoint,
        Err(problem) => return talk::fault(&problem),
    };
    let loaded = source::load_way(picture.job.as_deref(), picture.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    let request = PictureRequest {
        job: source.job().clone(),
        viewpoint,
        width: picture.size.width,
        height: picture.size.height,
        mood: match picture.mood {
            super::args::Mood::Work => viewer::Mood::Work,
            super::args::Mood::Show => viewer::Mood::Show,
        },
        stretch: picture.stretch,
        ghost: false,
        lit: Vec::new(),
    };
    let png = match viewer::picture(&request) {
        Ok(png) => png,
        Err(PictureError::Chain(error)) => return source::say_chain_fault(&source, error),
        Err(error) => return talk::fault(&error.to_string()),
    };
    match file::write_over(&picture.to, &png) {
        Ok(()) => talk::answer(&format!("{}\n", picture.to.display()), Outcome::Clean),
        Err(error) => talk::fault(&file::why(&picture.to, &error)),
    }
}
