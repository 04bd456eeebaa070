//! Panels of glass or board in plain runs under the rail.
//!
//! mm in the flight's frame.

use nalgebra::Point3;

use crate::job::{Infill, Job, Spacing, Widths};
use crate::measure::{Length, Pitch};
use crate::site::Site;

use super::base::{Underfoot, no_window};
use super::rail::{Course, Face, Size, cut};
use super::rail_window::nosing_line;
use super::{BalusterLine, RailSet, SetOutError};

/// The panels of a run.
#[derive(Clone, Debug)]
pub struct PanelRun {
    /// The panels, from the bottom up.
    pub panels: Vec<PanelSet>,
    /// Their lower edges as one, from end to end of the run.
    pub foot: RailSet,
    /// The gap at the ends and between them, level.
    pub gap: Length,
    /// What they are made of.
    pub of: Infill,
}

/// A panel in place: its ends plumb, its edges along the slope.
#[derive(Clone, Debug, PartialEq)]
pub struct PanelSet {
    /// Its name, such as `P01`.
    pub name: String,
    /// The middle of its thickness at its corners: lower end foot, upper end foot, upper end head,
    /// lower end head.
    pub corners: [Point3<f64>; 4],
    /// Its thickness.
    pub thickness: Length,
    /// Its width, level.
    pub width: Length,
    /// Length of its lower edge.
    pub lower_edge: Length,
    /// Length of its upper edge.
    pub upper_edge: Length,
    /// Height of its lower end, plumb.
    pub lower_end: Length,
    /// Height of its upper end, plumb.
    pub upper_end: Length,
    /// Steepness of its lower edge.
    pub pitch: Pitch,
}

/// What their lower edges are called together.
const PANELS: &str = "panels";

/// Sets out the panels; `None` where the job has balusters. `ends` are x of the faces at the run's
/// ends, `underfoot` the bottom rail or shoe that they stand over.
///
/// # Errors
/// [`SetOutError`] where they do not fit.
pub(super) fn solve(
    job: &Job,
    site: &Site,
    line: &BalusterLine,
    ends: [Option<f64>; 2],
    rail: (&RailSet, &Course),
    underfoot: Option<&Underfoot<'_>>,
    faces: impl Fn(&Course) -> Result<[Face; 2], SetOutError>,
) -> Result<Option<PanelRun>, SetOutError> {
    let Spacing::Panels {
        widths,
        thickness,
        of,
        foot,
        head,
    } = &job.design.balusters.spacing
    else {
        return Ok(None);
    };
    let [Some(low), Some(high)] = ends else {
        return Err(SetOutError {
            path: "design.rail".to_owned(),
            problem: "an end of the rail meets nothing".to_owned(),
            help: "name a newel or a wall that is in the job".to_owned(),
        });
    };
    let (widths, gap) = divided(widths, high - low)?;
    let base = underfoot.map_or_else(
        || nosing_line(site),
        |under| top_of(under.piece, &under.course),
    );
    let base = base.raised(foot.mm());
    let course = Course::new(site, line, base);
    let size = Size {
        name: &site.named(PANELS),
        width: thickness.value,
        depth: Length::ZERO,
        above_course: true,
    };
    let edge = cut(&course, faces(&course)?, size, no_window(foot.value))?;
    let plumb_depth = rail.0.depth.as_mm() / rail.1.up().z;
    let under = line_of(rail.0).raised(-plumb_depth - head.mm());
    let mut panels = Vec::with_capacity(widths.len());
    let mut from = low + gap;
    for (number, width) in (1..).zip(widths) {
        let to = from + width;
        let at = |x: f64, z: f64| site.at(x, line.at(x), z);
        let corners = [
            at(from, base.at(from)),
            at(to, base.at(to)),
            at(to, under.at(to)),
            at(from, under.at(from)),
        ];
        let heights = [under.at(from) - base.at(from), under.at(to) - base.at(to)];
        if heights[0].min(heights[1]) <= 0.0 {
            return Err(SetOutError {
                path: "design.balusters.spacing.foot".to_owned(),
                problem: format!("panel {number} has no height under the rail"),
                help: "lower its foot, or raise the rail".to_owned(),
            });
        }
        panels.push(PanelSet {
            name: site.named(format_args!("P{number:02}")),
            corners,
            thickness: thickness.value,
            width: Length::mm(width),
            lower_edge: Length::mm((corners[1] - corners[0]).norm()),
            upper_edge: Length::mm((corners[2] - corners[3]).norm()),
            lower_end: Length::mm(heights[0]),
            upper_end: Length::mm(heights[1]),
            pitch: edge.pitch,
        });
        from = to + gap;
    }
    Ok(Some(PanelRun {
        panels,
        foot: edge,
        gap: Length::mm(gap),
        of: *of,
    }))
}

/// The line of a piece's own reference edge in elevation.
fn line_of(piece: &RailSet) -> super::rail_window::RakeLine {
    let slope = (piece.upper.z - piece.lower.z) / (piece.upper.x - piece.lower.x);
    super::rail_window::RakeLine {
        at_foot: piece.lower.z - slope * piece.lower.x,
        slope,
    }
}

fn top_of(piece: &RailSet, course: &Course) -> super::rail_window::RakeLine {
    line_of(piece).raised(piece.depth.as_mm() / course.up().z)
}

/// The level widths of the panels, from the bottom up, and the gap that they leave.
fn divided(widths: &Widths, clear: f64) -> Result<(Vec<f64>, f64), SetOutError> {
    let fault = |problem: String, help: String| SetOutError {
        path: "design.balusters.spacing.widths".to_owned(),
        problem,
        help,
    };
    match widths {
        Widths::Alike { count, gap } => {
            let gaps = (f64::from(*count) + 1.0) * gap.mm();
            let width = (clear - gaps) / f64::from((*count).max(1));
            if width <= 0.0 {
                let most = ((clear - gap.mm()) / gap.mm().max(f64::MIN_POSITIVE)).ceil() - 1.0;
                return Err(fault(
                    format!(
                        "{count} panels leave no width in the {clear:.0} mm between the rail's ends"
                    ),
                    format!("{:.0} at most, or a smaller gap", most.max(0.0)),
                ));
            }
            Ok((vec![width; *count as usize], gap.mm()))
        }
        Widths::Given(widths) => {
            let taken: f64 = widths.iter().map(crate::job::Len::mm).sum();
            let gap = (clear - taken) / (widths.len() as f64 + 1.0);
            if gap < 0.0 {
                return Err(fault(
                    format!(
                        "the panels take {taken:.0} mm of the {clear:.0} mm between the rail's ends"
                    ),
                    format!("{clear:.0} mm together at most"),
                ));
            }
            Ok((widths.iter().map(crate::job::Len::mm).collect(), gap))
        }
    }
}
