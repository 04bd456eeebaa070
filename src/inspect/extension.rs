//! How far a rail to hold runs on past the flight: level beyond the top kick, and at the slope
//! beyond the lowest.
//!
//! IBC 1014.6 and ADA 505.10: level for 12 in beyond the top riser, and at the slope of the flight
//! for one tread depth beyond the bottom one; ADA measures from the nosings. Of the two places the one
//! that leaves less is taken: the kick at the top, the nosing at the bottom. A rail that goes on to the next flight's, at a newel
//! of both, needs neither there.

use nalgebra::Point3;

use crate::job::{Duty, RailEnd};
use crate::measure::{Length, tolerance};
use crate::rules::{Limit, Quantity};
use crate::setout::RailSet;

use super::around::{Around, on_rule};
use super::{Finding, Kind};

/// A rail's end: how far it runs on, and where it ends.
struct Past {
    rail: String,
    by: f64,
    at: Point3<f64>,
    /// How far on it goes, but not as it must.
    otherwise: f64,
}

impl Around<'_> {
    /// How far each rail to hold runs on at both ends.
    pub(super) fn extensions(&self) -> Vec<Finding> {
        let mut found = self.tops();
        found.extend(self.bottoms());
        found
    }

    fn tops(&self) -> Vec<Finding> {
        let (Some((rule, limit)), Some(last)) = (
            self.length(Quantity::ExtensionTop),
            self.site().steps.last(),
        ) else {
            return Vec::new();
        };
        let ends = self.ends(true, last.kick_x);
        ends.into_iter()
            .map(|past| {
                let otherwise = if past.otherwise > tolerance::SAME_POINT_MM {
                    let on = self.print(Length::mm(past.otherwise));
                    format!(" (it runs on {on} there, but not level)")
                } else {
                    String::new()
                };
                let says = format!(
                    "rail {} runs on level for {} beyond the top kick{otherwise}; at least {} is \
                     asked",
                    past.rail,
                    self.print(Length::mm(past.by)),
                    self.print(limit)
                );
                let mut key = self.key(Kind::Extension, &[]);
                key.parts.extend([past.rail, "top".to_owned()]);
                on_rule((rule, limit), (key, Length::mm(past.by)), past.at, says)
            })
            .collect()
    }

    fn bottoms(&self) -> Vec<Finding> {
        let steps = &self.site().steps;
        let (Some(rule), [first, second, ..]) =
            (self.pack.rule(Quantity::ExtensionBottom), steps.as_slice())
        else {
            return Vec::new();
        };
        let depth = Length::mm(second.nosing_x() - first.nosing_x());
        let limit = match &rule.limit {
            Limit::Treads(treads) => depth * *treads,
            Limit::Length(length) => length.value,
            _ => return Vec::new(),
        };
        let ends = self.ends(false, first.nosing_x());
        ends.into_iter()
            .map(|past| {
                let says = format!(
                    "rail {} runs on at the slope for {} beyond the lowest nosing; at least {} is \
                     asked",
                    past.rail,
                    self.print(Length::mm(past.by)),
                    self.print(limit)
                );
                let mut key = self.key(Kind::Extension, &[]);
                key.parts.extend([past.rail, "bottom".to_owned()]);
                on_rule((rule, limit), (key, Length::mm(past.by)), past.at, says)
            })
            .collect()
    }

    /// The rails to hold whose upper or lower end is an end of theirs, and how far each runs on past
    /// a kick: level at the top, at the slope at the bottom. Never less than nothing: how far a rail
    /// stops short is told by its reach.
    fn ends(&self, upper: bool, kick: f64) -> Vec<Past> {
        let setout = self.run.solid.setout;
        let design = &self.run.solid.job.design.rail;
        let sign = if upper { 1.0 } else { -1.0 };
        let on = |x: f64| (sign * (x - kick)).max(0.0);
        let mut ends = Vec::new();
        let end = if upper { &design.upper } else { &design.lower };
        if design.duty != Duty::Guard && !self.is_shared(end) {
            ends.push(main(&setout.rail, upper, &on));
        }
        if let Some(rail) = &setout.wall_rail {
            let at = if upper { rail.upper } else { rail.lower };
            // It is straight from end to end, so past the top kick it goes on climbing.
            let level = rail.pitch.slope().abs() < LEVEL;
            let as_asked = level || !upper;
            ends.push(Past {
                rail: rail.name.clone(),
                by: if as_asked { on(at.x) } else { 0.0 },
                at,
                otherwise: if as_asked { 0.0 } else { on(at.x) },
            });
        }
        ends
    }

    /// Whether another run's rail meets this one at its newel.
    fn is_shared(&self, end: &RailEnd) -> bool {
        let RailEnd::Newel(name) = end else {
            return false;
        };
        let number = self.run.solid.number;
        let others = self.runs.iter().filter(|run| run.solid.number != number);
        others
            .flat_map(|run| {
                let rail = &run.solid.job.design.rail;
                [&rail.lower, &rail.upper]
            })
            .any(|end| matches!(end, RailEnd::Newel(other) if other == name))
    }
}

/// A rail that climbs less than this is level, no unit.
const LEVEL: f64 = 1e-6;

/// The rail of the open side: its level pieces past the newel at the top, or its straight rail at
/// the bottom.
fn main(rail: &RailSet, upper: bool, on: &dyn Fn(f64) -> f64) -> Past {
    let straight = if upper { rail.upper } else { rail.lower };
    let pieces = rail.fittings.iter().filter(|one| one.upper == upper);
    let farther = |a: &Point3<f64>, b: &Point3<f64>| on(a.x).total_cmp(&on(b.x));
    let far = pieces
        .clone()
        .map(|one| one.end)
        .chain([straight])
        .max_by(farther)
        .unwrap_or(straight);
    let by = if upper {
        // Only what lies at one height counts.
        let level = pieces.filter(|one| {
            let climb = (one.end.z - one.start.z).abs();
            climb <= tolerance::SAME_POINT_MM
        });
        let long = level.map(|one| on(one.end.x.max(one.start.x)) - on(one.end.x.min(one.start.x)));
        long.sum()
    } else {
        on(straight.x)
    };
    Past {
        rail: rail.name.clone(),
        by,
        at: far,
        otherwise: if upper {
            (on(far.x) - by).max(0.0)
        } else {
            0.0
        },
    }
}
