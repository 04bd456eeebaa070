//! The rail's height: a straight line in a window of heights above every nosing.
//!
//! Heights are plumb, from the leading edge of each finished nosing (the upper floor's too) to the
//! top of the rail, mm. A tread out of level is judged by its worse side.

use crate::job::{HeightPolicy, Rail};
use crate::measure::Length;
use crate::site::{Site, Station};

use super::programme::{self, Bound, Line};
use super::{Limits, RailSet, WindowReport};

/// A raked line in elevation: its height over each x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RakeLine {
    /// Height at x = 0, mm.
    pub at_foot: f64,
    /// Climb per level length, no unit.
    pub slope: f64,
}

impl RakeLine {
    /// The height over a place, mm.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        self.at_foot + self.slope * x
    }

    /// The same line raised plumb, mm.
    #[must_use]
    pub fn raised(&self, by: f64) -> Self {
        Self {
            at_foot: self.at_foot + by,
            ..*self
        }
    }
}

/// The span over which the flight's lines are solved: first nosing to last, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    low: f64,
    high: f64,
}

impl Span {
    pub(super) fn of(site: &Site) -> Self {
        let stations = site.stations();
        let xs = stations.iter().map(|station| station.x);
        let (low, high) = xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
            (low.min(x), high.max(x))
        });
        Self { low, high }
    }

    pub(super) fn s(&self, x: f64) -> f64 {
        (x - self.low) / (self.high - self.low)
    }

    pub(super) fn rake(&self, line: Line) -> RakeLine {
        let slope = (line.upper - line.lower) / (self.high - self.low);
        RakeLine {
            at_foot: line.lower - slope * self.low,
            slope,
        }
    }

    pub(super) fn line(&self, rake: RakeLine) -> Line {
        Line {
            lower: rake.at(self.low),
            upper: rake.at(self.high),
        }
    }
}

/// The straight line nearest to all nosings, at the baluster line.
#[must_use]
pub fn nosing_line(site: &Site) -> RakeLine {
    let span = Span::of(site);
    let points: Vec<_> = site
        .stations()
        .iter()
        .map(|station| (span.s(station.x), station.height))
        .collect();
    let level = Line {
        lower: 0.0,
        upper: 0.0,
    };
    span.rake(Line::through(&points).unwrap_or(level))
}

/// Solves the height of the rail's top.
#[must_use]
pub fn solve(site: &Site, rail: &Rail, limits: &Limits) -> (RakeLine, WindowReport) {
    solve_for(site, (rail.height.value, rail.hold), limits)
}

/// The same for any straight rail over the nosings: its wanted height, and how that is chosen.
#[must_use]
pub fn solve_for(
    site: &Site,
    (height, hold): (Length, HeightPolicy),
    limits: &Limits,
) -> (RakeLine, WindowReport) {
    let span = Span::of(site);
    let bounds = bounds(site, limits);
    let wanted = span.line(nosing_line(site).raised(height.as_mm()));
    let inside = match hold {
        HeightPolicy::Hold => programme::nearest(&bounds, wanted),
        HeightPolicy::GreatestMargin => programme::greatest_margin(&bounds, wanted)
            .filter(|&(_, margin)| margin >= 0.0)
            .map(|(line, _)| line),
    };
    let (line, killed_by) = match inside {
        Some(line) => (line, None),
        None => forced(site, &bounds, wanted),
    };
    let rake = span.rake(line);
    (rake, report(site, rake, limits, killed_by))
}

/// The bounds on the rail's top over every nosing.
#[must_use]
pub fn bounds(site: &Site, limits: &Limits) -> Vec<Bound> {
    let span = Span::of(site);
    let bound = |station: &Station| {
        let (worse_low, worse_high) = station.low_high();
        Bound {
            s: span.s(station.x),
            low: limits
                .rail_low
                .map_or(f64::NEG_INFINITY, |low| worse_high + low.as_mm()),
            high: limits
                .rail_high
                .map_or(f64::INFINITY, |high| worse_low + high.as_mm()),
        }
    };
    site.stations().iter().map(bound).collect()
}

/// No line passes: the line that breaks the window least, and the steps that hold it there.
fn forced(site: &Site, bounds: &[Bound], wanted: Line) -> (Line, Option<(Vec<u32>, Length)>) {
    let Some((line, margin)) = programme::greatest_margin(bounds, wanted) else {
        return (wanted, None);
    };
    let holds = |bound: &Bound| line.breach(bound) > -margin - HELD_MM;
    let stations = site.stations();
    let steps = stations
        .iter()
        .zip(bounds)
        .filter(|(_, bound)| holds(bound));
    (
        line,
        Some((
            steps.map(|(station, _)| station.step).collect(),
            Length::mm(-margin),
        )),
    )
}

/// A bound within this of the worst breach is one of those that hold the line: a hundred times the
/// simplex's own noise.
const HELD_MM: f64 = 1e-3;

/// How a rail that passes over its newels stands in its window: with what lies over each nosing
/// that it reaches, a fitting or the straight rail.
///
/// Fittings may lie higher than the rest (IRC R311.7.8.1, exception 2), so the greatest height is
/// that of the straight rail; nothing lets them lie lower.
pub(super) fn with_fittings(site: &Site, rail: &RailSet) -> WindowReport {
    let mut window = rail.window.clone();
    if rail.fittings.is_empty() {
        return window;
    }
    let stations = site.stations();
    let over = stations
        .iter()
        .filter_map(|station| Some((station, rail.top(station.x)?.z)));
    let lowest = over
        .clone()
        .map(|(station, top)| (Length::mm(top - station.low_high().1), station.step))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let highest = over
        .filter(|(station, _)| rail.straight_at(station.x))
        .map(|(station, top)| (Length::mm(top - station.low_high().0), station.step))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    window.lowest = lowest.unwrap_or(window.lowest);
    window.highest = highest.unwrap_or(window.highest);
    window
}

pub(super) fn report(
    site: &Site,
    rake: RakeLine,
    limits: &Limits,
    killed_by: Option<(Vec<u32>, Length)>,
) -> WindowReport {
    let mut lowest = (f64::INFINITY, 0);
    let mut highest = (f64::NEG_INFINITY, 0);
    for station in &site.stations() {
        let (low_side, high_side) = station.low_high();
        let top = rake.at(station.x);
        if top - high_side < lowest.0 {
            lowest = (top - high_side, station.step);
        }
        if top - low_side > highest.0 {
            highest = (top - low_side, station.step);
        }
    }
    WindowReport {
        lowest: (Length::mm(lowest.0), lowest.1),
        highest: (Length::mm(highest.0), highest.1),
        asked: (limits.rail_low, limits.rail_high),
        killed_by,
    }
}
