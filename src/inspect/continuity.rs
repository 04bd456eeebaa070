//! Rails to hold: whether they run from the first nosing to the last, and how they end; and the
//! handrail on the wall side against its own limits.
//!
//! A rail of one flight: where it goes on past a landing's newel is for the stair of several runs.

use nalgebra::Point3;

use crate::job::{Duty, RailEnd, WallRailEnd};
use crate::measure::Length;
use crate::rules::{Quantity, Rule};
use crate::setout::{RailSet, WallRailSet, plan};
use crate::site::Step;

use super::railing::{Limit, Railing, exact};
use super::{Finding, Key, Kind, Severity};

/// Where a step begins, by the one or the other measure.
type PlaceOf = fn(&Step) -> f64;

/// A rail to hold, as far as it can be held: its ends up the flight, the newels at them included.
struct Held<'a> {
    name: &'a str,
    ends: [Point3<f64>; 2],
}

impl Railing<'_> {
    /// How far each rail to hold reaches.
    pub(super) fn continuity(&self) -> Vec<Finding> {
        let main = (self.job.design.rail.duty != Duty::Guard).then(|| self.held());
        let beside = self.setout.wall_rail.as_ref().map(|rail| Held {
            name: &rail.name,
            ends: [rail.lower, rail.upper],
        });
        let quantities: [(Quantity, PlaceOf, &str); 2] = [
            (Quantity::RailOverKicks, |step| step.kick_x, "kick"),
            (Quantity::RailOverNosings, Step::nosing_x, "nosing"),
        ];
        let rails: Vec<Held<'_>> = main.into_iter().chain(beside).collect();
        quantities
            .into_iter()
            .filter_map(|(quantity, at, what)| Some((self.pack.rule(quantity)?, at, what)))
            .flat_map(|(rule, at, what)| {
                rails
                    .iter()
                    .flat_map(|held| self.reach(held, rule, at, what))
                    .collect::<Vec<_>>()
            })
            .collect()
    }

    /// The rail of the open side: it is held to its fittings' ends, and the newel that it ends on
    /// stands for it.
    fn held(&self) -> Held<'_> {
        let rail = &self.setout.rail;
        let design = &self.job.design.rail;
        Held {
            name: &rail.name,
            ends: [
                self.end_of(rail, &design.lower, false),
                self.end_of(rail, &design.upper, true),
            ],
        }
    }

    fn end_of(&self, rail: &RailSet, end: &RailEnd, upper: bool) -> Point3<f64> {
        let sign = if upper { 1.0 } else { -1.0 };
        let straight = if upper { rail.upper } else { rail.lower };
        let pieces = rail.fittings.iter().filter(|one| one.upper == upper);
        let mut far = pieces
            .map(|one| one.end)
            .chain([straight])
            .max_by(|a, b| (sign * a.x).total_cmp(&(sign * b.x)))
            .unwrap_or(straight);
        if let RailEnd::Newel(name) = end
            && let Some(newel) = self.setout.newel(name)
        {
            let (low, high) = plan::extent(&newel.footprint, |point| point.x);
            far.x = if upper {
                far.x.max(high)
            } else {
                far.x.min(self.starts_at(low))
            };
        }
        far
    }

    /// Where a rail is taken to start that starts at a newel whose downhill face stands here. A newel
    /// over the lowest tread may break it (IRC 2024 R320.5), so that it misses nothing there.
    fn starts_at(&self, face: f64) -> f64 {
        match self.site.steps.as_slice() {
            [first, second, ..] if face < second.kick_x => face.min(first.nosing_x()),
            _ => face,
        }
    }

    fn reach(&self, held: &Held<'_>, rule: &Rule, at: PlaceOf, what: &str) -> Vec<Finding> {
        let steps = &self.site.steps;
        let Some(limit) = rule.length() else {
            return Vec::new();
        };
        let ends = [
            ("lower", steps.first(), held.ends[0], 1.0),
            ("upper", steps.last(), held.ends[1], -1.0),
        ];
        ends.into_iter()
            .filter_map(|(end, step, point, sign)| {
                let step = step?;
                let short = sign * (point.x - at(step));
                let way = if short > 0.0 { "short of" } else { "past" };
                let says = format!(
                    "the {end} end of rail {} stops {} {way} {what} {}; a rail to hold runs over \
                     the whole flight",
                    held.name,
                    self.print(Length::mm(short.abs())),
                    step.number
                );
                let key = Key {
                    kind: Kind::RailReach,
                    parts: vec![held.name.to_owned(), end.to_owned()],
                };
                let limit = Limit {
                    limit,
                    sense: rule.sense,
                    source: &rule.clause,
                };
                Some(exact(
                    key,
                    Length::mm(short),
                    limit,
                    Severity::Stop,
                    point,
                    says,
                ))
            })
            .collect()
    }

    /// The handrail on the wall side: height, clearance, how far it stands out, its ends.
    pub(super) fn wall_rail(&self) -> Vec<Finding> {
        let Some(rail) = &self.setout.wall_rail else {
            return Vec::new();
        };
        let along = rail.upper - rail.lower;
        let asked = (vec![Quantity::HandrailLow], Some(Quantity::HandrailHigh));
        let over = |x: f64| rail.lower + along * ((x - rail.lower.x) / along.x);
        let mut found = self.heights_of((&rail.name, &rail.window), asked, &over);
        let clear = |(clear, x): (Length, Length)| (clear, over(x.as_mm()));
        found.extend(self.of_rule(Quantity::WallClearance, |limit| {
            let (value, at) = clear(rail.least_clear);
            let says = format!(
                "rail {} clears wall {} by {} where it comes nearest; at least {} is asked",
                rail.name,
                rail.wall,
                self.print(value),
                self.print(limit)
            );
            let key = Key {
                kind: Kind::WallClearance,
                parts: vec![rail.name.clone(), rail.wall.clone()],
            };
            (key, value, at, says)
        }));
        found.extend(self.of_rule(Quantity::RailProjection, |limit| {
            let (clear, at) = clear(rail.most_clear);
            let value = clear + rail.width;
            let says = format!(
                "rail {} stands {} into the stair from wall {}; at most {} is asked",
                rail.name,
                self.print(value),
                rail.wall,
                self.print(limit)
            );
            let key = Key {
                kind: Kind::Projection,
                parts: vec![rail.name.clone(), rail.wall.clone()],
            };
            (key, value, at, says)
        }));
        found.extend(self.open_ends(rail));
        found
    }

    fn of_rule(
        &self,
        quantity: Quantity,
        told: impl Fn(Length) -> (Key, Length, Point3<f64>, String),
    ) -> Option<Finding> {
        let rule = self.pack.rule(quantity)?;
        let limit = rule.length()?;
        let (key, value, at, says) = told(limit);
        let limit = Limit {
            limit,
            sense: rule.sense,
            source: &rule.clause,
        };
        Some(exact(key, value, limit, Severity::Stop, at, says))
    }

    /// An end that is returned leaves no gap to its wall; one left open leaves all of it. Where the
    /// pack allows no gap by number, its clause on continuity asks for the return.
    fn open_ends(&self, rail: &WallRailSet) -> Vec<Finding> {
        let asked = [Quantity::RailReturnGap, Quantity::RailOverKicks];
        let Some(rule) = asked.into_iter().find_map(|one| self.pack.rule(one)) else {
            return Vec::new();
        };
        let Some((limit, design)) = rule.length().zip(self.job.design.wall_rail.as_ref()) else {
            return Vec::new();
        };
        let ends = [
            (design.lower, rail.lower, "lower", 0),
            (design.upper, rail.upper, "upper", 1),
        ];
        ends.into_iter()
            .map(|(end, point, word, index)| {
                let open = end == WallRailEnd::Plain || rail.returns[index].is_none();
                let value = if open {
                    self.gap_at(rail, index)
                } else {
                    Length::ZERO
                };
                let says = format!(
                    "the {word} end of rail {} leaves {} between itself and wall {}; an end is \
                     returned to the wall, so that no sleeve catches on it",
                    rail.name,
                    self.print(value),
                    rail.wall
                );
                let key = Key {
                    kind: Kind::RailOpenEnd,
                    parts: vec![rail.name.clone(), word.to_owned()],
                };
                let limit = Limit {
                    limit,
                    sense: rule.sense,
                    source: &rule.clause,
                };
                exact(key, value, limit, Severity::Stop, point, says)
            })
            .collect()
    }

    /// From the wall to the rail's side at an end, told by the bracket next to it.
    fn gap_at(&self, rail: &WallRailSet, index: usize) -> Length {
        let bracket = if index == 0 {
            rail.brackets.first()
        } else {
            rail.brackets.last()
        };
        bracket.map_or(rail.least_clear.0, |bracket| {
            bracket.stand_off - rail.width / 2.0
        })
    }
}
