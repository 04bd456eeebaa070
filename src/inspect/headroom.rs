//! Headroom: what hangs over a run against the line of the nosings and the floors under it.
//!
//! The codes measure plumb from the sloped line that adjoins the nosings, and from the floor of a
//! landing (IRC R311.7.2, R318.7.2 in 2024; ADK 1.11 from the pitch line; NBC 9.8.2.2 from the
//! nosings). The line goes from each nosing straight to the next, over the higher end of each
//! tread; before the first nosing the lower floor counts, beyond the last the floor reached.

use crate::job::Overhead;
use crate::measure::{Length, tolerance};
use crate::rules::Quantity;

use super::around::{Around, on_rule};
use super::{Finding, Kind};

/// Room under something at a place up the run.
#[derive(Clone, Copy, Debug)]
struct Room {
    x: f64,
    under: f64,
    high: f64,
    over: Over,
}

/// What lies under a place.
#[derive(Clone, Copy, Debug)]
enum Over {
    /// The line of the nosings, from this nosing on.
    Nosing(u32),
    /// The lower floor, or that of a level run.
    Lower,
    /// The floor that the last kick reaches.
    Upper,
}

impl Around<'_> {
    /// The least room under each thing that hangs over the run.
    pub(super) fn headroom(&self) -> Vec<Finding> {
        let Some((rule, limit)) = self.length(Quantity::Headroom) else {
            return Vec::new();
        };
        let overheads = &self.run.solid.job.overheads;
        overheads
            .iter()
            .filter_map(|one| {
                let least = self.least_room(one)?;
                let value = Length::mm(least.high - least.under);
                let above = match least.over {
                    Over::Nosing(step) => {
                        format!(
                            "the line of the nosings at nosing {}",
                            self.site().named(step)
                        )
                    }
                    Over::Lower => "the floor below".to_owned(),
                    Over::Upper => "the floor above".to_owned(),
                };
                let says = format!(
                    "{} hangs {} above {above}, where it leaves least room; at least {} is asked",
                    one.name,
                    self.print(value),
                    self.print(limit)
                );
                let mut key = self.key(Kind::Headroom, &[]);
                key.parts.push(one.name.clone());
                let at = self.site().at(least.x, 0.0, least.high);
                Some(on_rule((rule, limit), (key, value), at, says))
            })
            .collect()
    }

    /// Both the underside and what lies under it are straight between these places, so the least
    /// room is at one of them.
    fn least_room(&self, one: &Overhead) -> Option<Room> {
        let (from, to) = (one.from.mm(), one.to.mm());
        let long = to - from;
        let underside = |x: f64| {
            if long > tolerance::SAME_POINT_MM {
                one.low.mm() + (one.high.mm() - one.low.mm()) * (x - from) / long
            } else {
                one.low.mm().min(one.high.mm())
            }
        };
        let nosings = self.site().steps.iter().map(crate::site::Step::nosing_x);
        let between = nosings.filter(|x| (from..=to).contains(x));
        // A level run ends between the ends of what hangs over it, perhaps.
        let level = self.site().level.as_ref();
        let ends = level.into_iter().flat_map(|level| [0.0, level.length]);
        let within = ends.filter(|x| (from..=to).contains(x));
        let places = [from, to].into_iter().chain(between).chain(within);
        places
            .flat_map(|x| self.under(x).map(|(under, over)| (x, under, over)))
            .map(|(x, under, over)| Room {
                x,
                under,
                high: underside(x),
                over,
            })
            .min_by(|a, b| (a.high - a.under).total_cmp(&(b.high - b.under)))
    }

    /// What lies under a place, its higher end; at the first nosing it is the floor before it too,
    /// which is the lower of the two and so never counts.
    fn under(&self, x: f64) -> Option<(f64, Over)> {
        let site = self.site();
        let higher = |ends: [f64; 2]| ends[0].max(ends[1]);
        let steps = &site.steps;
        let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
            let level = site.level?;
            let ends = [level.open_q, level.wall_q].map(|q| site.lower_floor(x, q));
            let on_it = (0.0..=level.length).contains(&x);
            return on_it.then(|| (higher(ends), Over::Lower));
        };
        if x < first.nosing_x() {
            let ends = [first.open_q, first.wall_q].map(|q| site.lower_floor(x, q));
            return Some((higher(ends), Over::Lower));
        }
        if x > last.nosing_x() {
            let ends = [last.open_q, last.wall_q].map(|q| last.top(x, q));
            return Some((higher(ends), Over::Upper));
        }
        let top = |step: &crate::site::Step| {
            higher([step.open_q, step.wall_q].map(|q| step.nosing_top(q)))
        };
        let (at, step) = steps
            .iter()
            .enumerate()
            .rfind(|(_, step)| step.nosing_x() <= x)?;
        let next = steps.get(at + 1);
        let height = next.map_or(top(step), |next| {
            let share = (x - step.nosing_x()) / (next.nosing_x() - step.nosing_x());
            top(step) + (top(next) - top(step)) * share
        });
        Some((height, Over::Nosing(step.number)))
    }
}
