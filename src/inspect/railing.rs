//! The railing against its limits: height, landing, clearance, edges, leans, reveals, stringers.

use nalgebra::Point3;

use crate::job::{Align, Duty, Job};
use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;
use crate::rules::{Pack, Quantity, Rule, Sense};
use crate::setout::{BalusterSet, NewelSet, SetOut, WindowReport};
use crate::site::{Site, WallFace};

use super::bodies::Bodies;
use super::{Finding, Key, Kind, Run, Severity, clash, judge};

/// A wall further than this from the rail is no concern of a hand.
pub(super) const WALL_NEAR: f64 = 600.0;
pub(super) const PRACTICE: &str = "common practice";

/// What every finding is made from.
pub(super) struct Railing<'a> {
    pub(super) job: &'a Job,
    pub(super) site: &'a Site,
    pub(super) setout: &'a SetOut,
    pub(super) pack: &'a Pack,
}

impl<'a> Railing<'a> {
    pub(super) const fn of(run: &Run<'a>, pack: &'a Pack) -> Self {
        Self {
            job: run.solid.job,
            site: run.solid.site,
            setout: run.solid.setout,
            pack,
        }
    }
}

impl Railing<'_> {
    /// Every finding about the railing that needs no solids.
    pub(super) fn findings(&self) -> Vec<Finding> {
        let mut found = self.heights();
        found.extend(self.landings());
        found.extend(self.newel_ends());
        found.extend(self.on_newels());
        found.extend(self.half_newels());
        found.extend(self.heads_and_feet());
        found.extend(self.wall_rail());
        found.extend(self.continuity());
        found.extend(
            self.setout
                .newels
                .iter()
                .map(|newel| self.newel_lean(newel)),
        );
        found.extend(
            self.setout
                .all_newels()
                .flat_map(|newel| self.stringer_cuts(newel)),
        );
        found.extend(
            self.setout
                .balusters
                .iter()
                .filter_map(|one| self.edge(one)),
        );
        found.extend(
            self.setout
                .balusters
                .iter()
                .filter_map(|one| self.lean(one)),
        );
        found
    }

    pub(super) fn print(&self, length: Length) -> String {
        self.job.tape.print(length)
    }

    fn heights(&self) -> Vec<Finding> {
        let rail = &self.setout.rail;
        let over = |x: f64| {
            let rake = || {
                let z = rail.lower.z + rail.pitch.slope() * (x - rail.lower.x);
                self.site.at(x, self.setout.line.at(x), z)
            };
            rail.top(x).unwrap_or_else(rake)
        };
        self.heights_of((&rail.name, &rail.window), height_rules(self.job), &over)
    }

    /// A rail against its height window: the quantities that bound it from below and above. `over` gives a point of its top over a place
    /// up the flight.
    pub(super) fn heights_of(
        &self,
        (name, window): (&str, &WindowReport),
        (low, high): (Vec<Quantity>, Option<Quantity>),
        over_place: &dyn Fn(f64) -> Point3<f64>,
    ) -> Vec<Finding> {
        let mut least: Vec<&Rule> = low
            .into_iter()
            .filter_map(|quantity| self.pack.rule(quantity))
            .collect();
        // The greater first; two that ask alike are one.
        least.sort_by(|a, b| limit_of(b).total_cmp(&limit_of(a)));
        least.dedup_by(|a, b| (limit_of(a) - limit_of(b)).abs() <= Length::mm(SAME_POINT_MM));
        let most = high.and_then(|quantity| self.pack.rule(quantity));
        let ends = least
            .into_iter()
            .enumerate()
            .map(|(at, rule)| {
                let end = if at == 0 { "lowest" } else { "lowest to hold" };
                (Some(rule), window.lowest, end)
            })
            .chain([(most, window.highest, "highest")]);
        let the_rail = if name == self.setout.rail.name {
            "the rail".to_owned()
        } else {
            format!("rail {name}")
        };
        ends.filter_map(|(rule, (value, step), end)| {
            let rule = rule?;
            let limit = rule.length()?;
            let killed = window
                .killed_by
                .as_ref()
                .map_or_else(String::new, |(steps, by)| {
                    let steps: Vec<String> = steps.iter().map(ToString::to_string).collect();
                    format!(
                        "; no straight rail passes the window: steps {} hold it {} out",
                        steps.join(", "),
                        self.print(*by)
                    )
                });
            let side = if rule.sense == Sense::AtLeast {
                "at least"
            } else {
                "at most"
            };
            let over = if step == 0 {
                "the floor".to_owned()
            } else {
                format!("nosing {}", self.site.named(step))
            };
            let says = format!(
                "{the_rail} stands {} above {over} at its {}; {side} {} is asked{killed}",
                self.print(value),
                end.split(' ').next().unwrap_or(end),
                self.print(limit)
            );
            let stations = self.site.stations();
            let station = stations.iter().find(|station| station.step == step);
            let at = over_place(station.map_or(0.0, |station| station.x));
            let parts = vec![name.to_owned(), end.to_owned()];
            let key = Key {
                kind: Kind::RailHeight,
                parts,
            };
            let limit = Limit {
                limit,
                sense: rule.sense,
                source: &rule.clause,
            };
            Some(exact(key, value, limit, Severity::Stop, at, says))
        })
        .collect()
    }

    fn stringer_cuts(&self, newel: &NewelSet) -> Vec<Finding> {
        let cut = newel.behind.iter().filter(|behind| behind.carries);
        cut.map(|behind| {
            let left = match behind.remains < self.job.tape.mark() / 2.0 {
                true => format!("nothing of {} is left behind the notch", behind.part),
                false => format!(
                    "{} of {} is left behind the notch",
                    self.print(behind.remains),
                    behind.part
                ),
            };
            let says = format!(
                "newel {} cuts {} deep into stringer {}: {left}; ask an engineer before cutting a \
                 stringer",
                newel.name,
                self.print(behind.depth),
                behind.part,
            );
            let key = Key {
                kind: Kind::StringerCut,
                parts: vec![newel.name.clone(), behind.part.clone()],
            };
            let limit = Limit {
                limit: Length::ZERO,
                sense: Sense::AtMost,
                source: "a stringer carries the stair: an engineer decides",
            };
            exact(key, behind.depth, limit, Severity::Stop, newel.foot, says)
        })
        .collect()
    }

    fn edge(&self, one: &BalusterSet) -> Option<Finding> {
        if !self.setout.on_treads() {
            return None;
        }
        let edge = one.edge_distance?;
        let limit = self.job.design.balusters.edge_distance.value;
        let says = format!(
            "the peg of {} stands {} from the edge of tread {}; at least {} is asked",
            one.name,
            self.print(edge),
            one.step,
            self.print(limit)
        );
        let key = Key {
            kind: Kind::EdgeDistance,
            parts: vec![
                one.name.clone(),
                self.site.named(format_args!("T{}", one.step)),
            ],
        };
        let limit = Limit {
            limit,
            sense: Sense::AtLeast,
            source: "the job's edge distance",
        };
        Some(exact(key, edge, limit, Severity::Fix, one.foot, says))
    }

    fn lean(&self, one: &BalusterSet) -> Option<Finding> {
        if self.job.design.balusters.align == Align::Plumb {
            return None;
        }
        let value = one.lean.abs();
        let seen = self.job.design.eye().lean.value;
        let way = if one.lean > Length::ZERO {
            "outward"
        } else {
            "inward"
        };
        let says = format!(
            "{} leans {} {way} from foot to rail; {} is seen",
            one.name,
            self.print(value),
            self.print(seen)
        );
        let key = Key {
            kind: Kind::Lean,
            parts: vec![one.name.clone()],
        };
        let limit = Limit {
            limit: seen,
            sense: Sense::AtMost,
            source: PRACTICE,
        };
        Some(exact(key, value, limit, Severity::Remark, one.top, says))
    }

    /// The rail in words: by its name where the stair has more runs than one, each with its own.
    pub(super) fn the_rail(&self) -> String {
        if self.site.mark.is_empty() {
            "the rail".to_owned()
        } else {
            format!("rail {}", self.setout.rail.name)
        }
    }

    /// The rail's clearance from every wall near it but the one that it ends on.
    pub(super) fn clearances(&self, run: &Run<'_>, bodies: &Bodies<'_>) -> Vec<Finding> {
        let Some((rule, limit)) = self
            .pack
            .rule(Quantity::WallClearance)
            .and_then(|rule| Some((rule, rule.length()?)))
        else {
            return Vec::new();
        };
        let design = &self.job.design.rail;
        // The wall that a rail ends on, or is returned to, is met on purpose.
        let main = &self.setout.rail;
        let meets_main = |wall: &WallFace| {
            let mut ends = [&design.lower, &design.upper].into_iter();
            ends.any(|end| end.wall() == Some(&wall.name))
        };
        let rail = (&main.name, [main.lower, main.upper]);
        let beside = self.setout.wall_rail.as_ref();
        let rails = std::iter::once((rail, None))
            .chain(beside.map(|rail| ((&rail.name, [rail.lower, rail.upper]), Some(&rail.wall))));
        let pairs =
            rails.flat_map(|(rail, own)| self.site.walls.iter().map(move |wall| (rail, own, wall)));
        pairs
            .filter(|(_, own, wall)| own.map_or_else(|| !meets_main(wall), |own| own != &wall.name))
            .filter(|((_, ends), _, wall)| may_be_near(ends, wall))
            .filter_map(|((name, _), _, wall)| {
                let [of_rail, of_wall] =
                    [name, &wall.name].map(|name| bodies.pieces(run.solid.number, name));
                let gap = clash::nearest_pieces(&of_rail, &of_wall)?;
                (gap.distance < WALL_NEAR).then(|| {
                    let the_rail = if name == &main.name {
                        self.the_rail()
                    } else {
                        format!("rail {name}")
                    };
                    let value = Length::mm(gap.distance);
                    let says = format!(
                        "{the_rail} clears wall {} by {}; at least {} is asked",
                        wall.name,
                        self.print(value),
                        self.print(limit)
                    );
                    let key = Key {
                        kind: Kind::WallClearance,
                        parts: vec![name.clone(), wall.name.clone()],
                    };
                    let limit = Limit {
                        limit,
                        sense: rule.sense,
                        source: &rule.clause,
                    };
                    let at = run.frame.from_first(&gap.on_a);
                    exact(key, value, limit, Severity::Stop, at, says)
                })
            })
            .collect()
    }
}

/// Whether a wall's body can stand within [`WALL_NEAR`] of a rail: by the boxes around both in plan,
/// with room for fittings, and for a face that stands off its meant plane.
fn may_be_near(ends: &[Point3<f64>; 2], wall: &WallFace) -> bool {
    let room = WALL_NEAR + ROOM;
    let apart = |a: [f64; 2], b: [f64; 2]| {
        a[0].min(a[1]) - b[0].max(b[1]) > room || b[0].min(b[1]) - a[0].max(a[1]) > room
    };
    let [low, high] = ends;
    !apart([low.x, high.x], [wall.from.x, wall.to.x])
        && !apart([low.y, high.y], [wall.from.y, wall.to.y])
        && !apart([low.z, high.z], [wall.foot, wall.head])
}

/// Room for a rail's fittings and a wall's departures, mm.
const ROOM: f64 = 1500.0;

/// The quantities that bound a rail from below and from above: on a level run it guards an edge,
/// and no handrail is asked.
pub(super) fn height_rules(job: &Job) -> (Vec<Quantity>, Option<Quantity>) {
    if job.level.is_some() {
        return (vec![Quantity::GuardLevel], None);
    }
    match job.design.rail.duty {
        Duty::Guard => (vec![Quantity::GuardLow], None),
        Duty::Handrail => (vec![Quantity::HandrailLow], Some(Quantity::HandrailHigh)),
        Duty::Both => (
            vec![Quantity::GuardLow, Quantity::HandrailLow],
            Some(Quantity::HandrailHigh),
        ),
    }
}

fn limit_of(rule: &Rule) -> Length {
    rule.length().unwrap_or_default()
}

/// A limit with its sense and source.
#[derive(Clone, Copy)]
pub(super) struct Limit<'a> {
    pub(super) limit: Length,
    pub(super) sense: Sense,
    pub(super) source: &'a str,
}

/// A finding about an exact value.
pub(super) fn exact(
    key: Key,
    value: Length,
    limit: Limit<'_>,
    severity: Severity,
    at: Point3<f64>,
    says: String,
) -> Finding {
    Finding {
        key,
        run: 0,
        lower: value,
        upper: value,
        limit: limit.limit,
        sense: limit.sense,
        doubt: None,
        verdict: judge(value, value, limit.sense, limit.limit, None),
        severity,
        source: limit.source.to_owned(),
        at,
        says,
    }
}
