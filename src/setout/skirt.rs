//! Skirt boards on the rake: where one meets a level base, and how wide the wall side shows.

use crate::job::Job;
use crate::measure::{Angle, Length, Pitch};
use crate::site::Site;

use super::SkirtSet;
use super::rail_window::nosing_line;

/// The angles between each of two boards' edges and the seam where they meet in one plane, so that
/// both ends of the seam are flush: a board of width `first` and one of width `second` with the
/// included angle `included` between them.
///
/// Equal widths give half the included angle each. The saw is set to 90 degrees less each.
/// Elementary geometry: the seam joins the crossings of the two upper and the two lower edges.
#[must_use]
pub fn seam(first: Length, second: Length, included: Angle) -> (Angle, Angle) {
    let angle = included.as_radians();
    let towards = angle.sin().atan2(second / first + angle.cos());
    (Angle::radians(towards), Angle::radians(angle - towards))
}

/// Sets out the skirts of a job.
pub(super) fn skirts(job: &Job, site: &Site) -> Vec<SkirtSet> {
    let pitch = Pitch::from_slope(nosing_line(site).slope);
    let straight = Angle::degrees(180.0);
    job.skirts
        .iter()
        .map(|skirt| {
            let width = skirt.width.value;
            let (towards_base, _) = seam(width, width, straight - pitch.angle());
            SkirtSet {
                name: skirt.name.clone(),
                pitch,
                base_mitre: Angle::degrees(90.0) - towards_base,
                along_rake: pitch.rake_over(Length::mm(run(site))),
            }
        })
        .collect()
}

/// Level run from the first nosing to the last kick, mm.
fn run(site: &Site) -> f64 {
    let first = site.steps.first().map_or(0.0, crate::site::Step::nosing_x);
    site.steps.last().map_or(0.0, |step| step.kick_x - first)
}
