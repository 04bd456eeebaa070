//! Pictures to lead an inspection sheet with: the whole stair, and its worst troubles from near.

use crate::publish::Report;
use crate::publish::report_sheet::Picture;

/// Without the viewer a sheet has its line drawings only.
#[cfg(not(feature = "viewer"))]
pub(super) fn pictures(report: &Report<'_>) -> Vec<Picture> {
    let _unused = report;
    Vec::new()
}

/// The pictures; none where this machine has nothing to draw with, which is said and is no fault.
#[cfg(feature = "viewer")]
pub(super) fn pictures(report: &Report<'_>) -> Vec<Picture> {
    use super::talk;
    use crate::inspect::Severity;
    use crate::publish::{sentence, trouble_id};
    use crate::viewer::{self, PictureRequest, Viewpoint};

    /// Pixels: sharp on paper at 180 mm wide.
    const SIZE: (u32, u32) = (1280, 800);
    /// Troubles that are shown from near.
    const NEAR: usize = 2;

    let whole = (
        Viewpoint::Front,
        "The stair as found, with its flags".to_owned(),
    );
    let stops = report.troubles.iter().enumerate().filter(|(_, told)| {
        // A ball or a point of contact is seen; a rise is a number.
        told.finding.severity == Severity::Stop && told.finding.key.kind.is_seen()
    });
    let near = stops.take(NEAR).map(|(place, told)| {
        let caption = format!("{}: {}", place + 1, sentence(&told.finding.says));
        (Viewpoint::Trouble(trouble_id(told.finding)), caption)
    });
    let mut pictures = Vec::new();
    for (viewpoint, caption) in std::iter::once(whole).chain(near) {
        let request = PictureRequest::plain(report.job.clone(), viewpoint, SIZE);
        match viewer::picture(&request) {
            Ok(png) => pictures.push(Picture {
                caption,
                png: png.into(),
            }),
            Err(error) => {
                talk::say(&format!("the sheet has line drawings only: {error}"));
                return Vec::new();
            }
        }
    }
    pictures
}
