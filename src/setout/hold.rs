//! Uneven goings: hold the kick line, hold equal gaps, or a share between.
//!
//! Level distances along x, mm.

use crate::job::{Balusters, Job, Spacing};
use crate::measure::Length;
use crate::site::Site;

use super::spacing::{Spot, count_on, least_of_pattern, least_on_tread, stand_on, tread_gap};
use super::{Gap, SetOutError};

/// How the run is spaced.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SpacingReport {
    /// The gap of each tread that carries balusters, from the bottom up; empty where they are
    /// spaced along the rail.
    pub treads: Vec<TreadGap>,
    /// The one gap of the run, where all are alike.
    pub even: Option<Length>,
    /// The least count along the rail whose gap passes the limit; `None` where the treads tell.
    pub least: Option<u32>,
    /// The greatest gap less the least, of those between uprights.
    pub variation: Length,
    /// How far the first face on each tread stands off the kick line.
    pub kick_offsets: Vec<KickOffset>,
}

/// The gap of a tread's balusters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TreadGap {
    /// The tread.
    pub step: u32,
    /// Each of its gaps.
    pub gap: Length,
    /// The least count on it whose gap passes the limit, where there is a limit.
    pub least: Option<u32>,
}

/// How far the first face on a tread stands off the kick line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KickOffset {
    /// The tread.
    pub step: u32,
    /// Up the flight of the kick's face (and set-back) positive.
    pub off: Length,
}

/// Moves the balusters of a run from the kick line towards equal gaps by the job's share, and
/// reports both. `ends` are x of the faces at the run's ends; `limit` is what gaps stay under;
/// `built` says that some balusters have been fitted.
///
/// # Errors
/// [`SetOutError`] where equal gaps are asked for and an end is not known or nothing is left.
pub(super) fn respace(
    job: &Job,
    site: &Site,
    ends: [Option<f64>; 2],
    limit: Option<f64>,
    built: bool,
    spots: &mut [Spot],
) -> Result<SpacingReport, SetOutError> {
    let balusters = &job.design.balusters;
    let hold = match &balusters.spacing {
        Spacing::PerTread { hold, .. } => hold,
        Spacing::AlongRail { .. } => {
            return Ok(SpacingReport {
                least: least_along(balusters, ends, limit),
                ..SpacingReport::default()
            });
        }
        Spacing::Panels { .. } => return Ok(SpacingReport::default()),
    };
    // Balusters that have been built are not moved, and those beside them follow their rule.
    let share = if built { 0.0 } else { hold.share() };
    let first_on_tread: Vec<bool> = spots.iter().map(|spot| spot.place == 1).collect();
    let kick_line: Vec<(u32, f64)> = spots.iter().map(|spot| (spot.step, spot.x)).collect();
    let even = if share > 0.0 && !spots.is_empty() {
        let gap = equal_gap(ends, spots)?;
        spread(site, ends, gap, share, spots);
        Some(gap)
    } else {
        None
    };
    let moved = kick_line.iter().zip(&*spots).zip(&first_on_tread);
    let kick_offsets = moved
        .filter(|(_, first)| **first)
        .map(|(((step, x), spot), _)| KickOffset {
            step: *step,
            off: Length::mm(spot.x - x),
        })
        .collect();
    let mut treads: Vec<TreadGap> = Vec::new();
    for (step, _) in kick_line {
        if treads.last().is_some_and(|last| last.step == step) {
            continue;
        }
        let Some(own) = tread_gap(site, balusters, step) else {
            continue;
        };
        treads.push(TreadGap {
            step,
            gap: Length::mm(even.map_or(own, |even| own + share * (even - own))),
            least: limit.and_then(|limit| least(site, job, step, own, limit)),
        });
    }
    Ok(SpacingReport {
        treads,
        even: even.filter(|_| share >= 1.0).map(Length::mm),
        least: None,
        variation: Length::ZERO,
        kick_offsets,
    })
}

fn least_along(balusters: &Balusters, ends: [Option<f64>; 2], limit: Option<f64>) -> Option<u32> {
    let [Some(low), Some(high)] = ends else {
        return None;
    };
    let turns = balusters.sections().iter();
    let turns: Vec<f64> = turns.map(|section| section.along().as_mm()).collect();
    least_of_pattern(high - low, &turns, limit?)
}

/// The least count that passes on a tread, by the mean width of what stands there now.
fn least(site: &Site, job: &Job, step: u32, gap: f64, limit: f64) -> Option<u32> {
    let going = site.step(step)?.going;
    let count = f64::from(count_on(&job.design.balusters.spacing, step));
    least_on_tread(going, going / count - gap, limit)
}

fn equal_gap(ends: [Option<f64>; 2], spots: &[Spot]) -> Result<f64, SetOutError> {
    let fault = |problem: String, help: String| SetOutError {
        path: "design.balusters.spacing.hold".to_owned(),
        problem,
        help,
    };
    let [Some(low), Some(high)] = ends else {
        return Err(fault(
            "equal gaps need an end to start from, and an end of the rail meets nothing".to_owned(),
            "name a newel or a wall that is in the job".to_owned(),
        ));
    };
    let taken: f64 = spots.iter().map(|spot| 2.0 * spot.half).sum();
    let gap = (high - low - taken) / (spots.len() as f64 + 1.0);
    if gap > 0.0 {
        return Ok(gap);
    }
    let each = taken / spots.len() as f64;
    let most = ((high - low) / each).ceil() - 1.0;
    Err(fault(
        format!(
            "{} balusters do not fit the {:.0} mm between the run's ends",
            spots.len(),
            high - low
        ),
        format!("{:.0} fit at most; put fewer on the treads", most.max(0.0)),
    ))
}

fn spread(site: &Site, ends: [Option<f64>; 2], gap: f64, share: f64, spots: &mut [Spot]) {
    let mut face = ends[0].unwrap_or_default() + gap;
    let mut before: Option<Spot> = None;
    for spot in spots {
        let even = face + spot.half;
        face += 2.0 * spot.half + gap;
        spot.x += share * (even - spot.x);
        stand_on(site, spot, before.as_ref());
        before = Some(*spot);
    }
}

/// The greatest gap less the least, of the gaps between uprights: what is left at a wall is no
/// gap of the run unless it was made alike.
pub(super) fn variation(gaps: &[Gap], is_wall: impl Fn(&str) -> bool) -> Length {
    let (least, most) = gaps
        .iter()
        .filter(|gap| !is_wall(&gap.below) && !is_wall(&gap.above))
        .map(|gap| gap.clear.as_mm())
        .fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(least, most), clear| (least.min(clear), most.max(clear)),
        );
    Length::mm((most - least).max(0.0))
}
