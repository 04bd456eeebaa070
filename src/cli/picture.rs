//! `picture`: the stair drawn to a PNG file.

use super::args::Picture;
use super::{Outcome, talk};

#[cfg(not(feature = "viewer"))]
pub(super) fn run(picture: &Picture) -> Outcome {
    let _unused = picture;
    talk::fault("this build draws no pictures")
}

#[cfg(feature = "viewer")]
pub(super) fn run(picture: &Picture) -> Outcome {
    let source = match super::source::load(picture.job.as_deref()) {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    match drawn(picture, source.job()) {
        Ok(()) => talk::answer(&format!("{}\n", picture.to.display()), Outcome::Clean),
        Err(problem) => talk::fault(&problem),
    }
}

/// Draws the picture and writes it whole or not at all.
#[cfg(feature = "viewer")]
fn drawn(picture: &Picture, job: &crate::job::Job) -> Result<(), String> {
    use crate::viewer::{self, PictureRequest};
    let request = PictureRequest {
        job: job.clone(),
        viewpoint: picture.view.parse()?,
        width: picture.size.width,
        height: picture.size.height,
        mood: match picture.mood {
            super::args::Mood::Work => viewer::Mood::Work,
            super::args::Mood::Show => viewer::Mood::Show,
        },
        stretch: picture.stretch,
        ghost: false,
    };
    let png = viewer::picture(&request).map_err(|error| error.to_string())?;
    written(&picture.to, &png)
        .map_err(|error| format!("cannot write {}: {error}", picture.to.display()))
}

#[cfg(feature = "viewer")]
fn written(path: &std::path::Path, bytes: &[u8]) -> std::io::Result<()> {
    use std::io::Write as _;
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    let folder = folder.unwrap_or_else(|| std::path::Path::new("."));
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    file.persist(path).map(drop).map_err(|failed| failed.error)
}
