//! Landings: how deep each is in the direction of travel, and whether it is narrower than its
//! flight.
//!
//! IRC R311.7.6 (R318.7.6 in 2024): as wide as the flight, and where the stair runs straight 36 in
//! deep in the direction of travel. Looked at are the floor that a flight reaches as far as it is
//! stated to go on, what lies between the runs of a stair as they are placed, and the landings that
//! the job names. A wall that bounds one is its face as found. Of a floor whose extent nobody stated
//! nothing is found.

use nalgebra::{Point3, Vector3};

use crate::measure::Length;
use crate::rules::Quantity;
use crate::site::{Site, Step};

use super::around::{Around, on_rule};
use super::width::Side;
use super::{Finding, Kind, Run};

/// Heights above a floor at which a wall is looked for, mm: from over a base to over a head.
const HEIGHTS: [f64; 4] = [150.0, 800.0, 1400.0, 2000.0];
/// Shares of the flight's width at which one walks on: an end of a partition beside the railing is
/// not in the way.
const WALKED: [f64; 3] = [0.25, 0.5, 0.75];
/// A run whose floor is within this of a floor's height starts on it, mm.
const SAME_FLOOR: f64 = 30.0;
/// A run turned by less than this goes straight on: 45 degrees, cosine.
const STRAIGHT_ON: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// How far it is to something, mm, and what it is.
struct Reach {
    far: f64,
    to: String,
}

impl Around<'_> {
    /// Every finding about landings.
    pub(super) fn landings(&self, sides: Option<&[Side<'_>; 2]>) -> Vec<Finding> {
        let mut found: Vec<Finding> = self.reached().into_iter().collect();
        found.extend(self.started_on());
        found.extend(sides.and_then(|sides| self.narrower(sides)));
        found.extend(self.named(sides));
        found
    }

    fn depth(&self, part: &str, reach: &Reach, at: Point3<f64>) -> Option<Finding> {
        let (rule, limit) = self.length(Quantity::LandingDepth)?;
        let value = Length::mm(reach.far);
        let says = format!(
            "the landing {part} is {} deep in the direction of travel, to {}; at least {} is asked",
            self.print(value),
            reach.to,
            self.print(limit)
        );
        let mut key = self.key(Kind::LandingDepth, &[]);
        key.parts.push(part.to_owned());
        Some(on_rule((rule, limit), (key, value), at, says))
    }

    /// The floor that the flight reaches, from its last kick on.
    fn reached(&self) -> Option<Finding> {
        let site = self.site();
        let last = site.steps.last().filter(|_| site.upper_drawn)?;
        let stated = self.run.solid.job.flight.reaches.on.as_ref();
        let end = stated.map(|on| Reach {
            far: on.mm(),
            to: "where it ends".to_owned(),
        });
        let others = || self.runs.iter().filter(|run| self.starts_here(run));
        let kicks = others().filter_map(|run| self.next_kick(run, last));
        let bounds: Vec<Reach> = end.into_iter().chain(kicks).collect();
        if bounds.is_empty() && others().next().is_none() {
            return None;
        }
        let way = Vector3::x();
        let middles = WALKED.map(|share| last.wall_q + (last.open_q - last.wall_q) * share);
        let walls = middles.into_iter().flat_map(|q| {
            let from = site.at(last.kick_at(q), q, last.height);
            wall_ahead(site, from, way)
        });
        let reach = bounds
            .into_iter()
            .chain(walls)
            .min_by(|a, b| a.far.total_cmp(&b.far))?;
        let middle = f64::midpoint(last.open_q, last.wall_q);
        let at = site.at(last.kick_x + reach.far / 2.0, middle, last.height);
        self.depth(&site.named("F1"), &reach, at)
    }

    /// Whether another flight starts on the floor that this one reaches.
    fn starts_here(&self, other: &Run<'_>) -> bool {
        let number = self.run.solid.number;
        let flight = other.solid.beside.is_none() && !other.solid.site.steps.is_empty();
        other.solid.number != number
            && flight
            && other.solid.turns.is_empty()
            && is_above(self.run, other)
    }

    /// The first kick of a flight that goes straight on, nosing to nosing.
    fn next_kick(&self, other: &Run<'_>, last: &Step) -> Option<Reach> {
        let first = other.solid.site.steps.first()?;
        let way = self
            .run
            .frame
            .way_from_first(&other.frame.way_to_first(&Vector3::x()));
        if way.x < STRAIGHT_ON {
            return None;
        }
        let middle = f64::midpoint(first.open_q, first.wall_q);
        let nosing = other.solid.site.at(first.nosing_at(middle), middle, 0.0);
        let here = self.run.frame.from_first(&other.frame.to_first(&nosing));
        let q = self.site().outward * here.y;
        // One that starts beside this flight is not in the way.
        (last.wall_q..=last.open_q).contains(&q).then_some(())?;
        Some(Reach {
            far: here.x - last.nosing_x(),
            to: format!(
                "kick {}",
                other.solid.site.named(format_args!("K{}", first.number))
            ),
        })
    }

    /// The landing that a flight starts on where it turns from the one before: from its first kick
    /// back to the wall or the stated end behind one who steps up.
    fn started_on(&self) -> Option<Finding> {
        let site = self.site();
        let first = site.steps.first()?;
        let mut others = self.runs.iter();
        let base = others.find(|base| {
            let number = self.run.solid.number;
            let flight = base.solid.beside.is_none() && !base.solid.site.steps.is_empty();
            base.solid.number != number
                && flight
                && self.run.solid.turns.is_empty()
                && base.solid.site.upper_drawn
                && is_above(base, self.run)
        })?;
        let back = -Vector3::x();
        let way = base
            .frame
            .way_from_first(&self.run.frame.way_to_first(&back));
        if way.x < -STRAIGHT_ON {
            // Straight on: it is told with the flight that reaches it.
            return None;
        }
        let middles = WALKED.map(|share| first.wall_q + (first.open_q - first.wall_q) * share);
        let reaches = middles.into_iter().flat_map(|q| {
            let from = site.at(first.kick_at(q), q, 0.0);
            let there = base.frame.from_first(&self.run.frame.to_first(&from));
            let end = end_of(base, there, way).map(|far| Reach {
                far,
                to: "where it ends".to_owned(),
            });
            let walls = wall_ahead(site, from, back);
            walls.into_iter().chain(end).collect::<Vec<_>>()
        });
        let reach = reaches.min_by(|a, b| a.far.total_cmp(&b.far))?;
        let middle = f64::midpoint(first.open_q, first.wall_q);
        let at = site.at(first.kick_x - reach.far / 2.0, middle, 0.0);
        self.depth(&site.named("F0"), &reach, at)
    }

    /// How much narrower than the flight the floor is that it reaches.
    fn narrower(&self, sides: &[Side<'_>; 2]) -> Option<Finding> {
        let site = self.site();
        let on = self.run.solid.job.flight.reaches.on.as_ref()?;
        let last = site.steps.last().filter(|_| site.upper_drawn)?;
        self.pack.rule(Quantity::LandingNarrower)?;
        let widths = (
            self.least_above(sides)?,
            self.least_on_landing(sides, on.mm())?,
        );
        let middle = f64::midpoint(last.open_q, last.wall_q);
        let at = site.at(last.kick_x, middle, last.height);
        self.width_told(&site.named("F1"), widths, at)
    }

    fn width_told(
        &self,
        part: &str,
        (flight, landing): (f64, f64),
        at: Point3<f64>,
    ) -> Option<Finding> {
        let (rule, limit) = self.length(Quantity::LandingNarrower)?;
        let says = format!(
            "the landing {part} is {} wide and its flight {}; a landing is as wide as its flight",
            self.print(Length::mm(landing)),
            self.print(Length::mm(flight))
        );
        let mut key = self.key(Kind::LandingWidth, &[]);
        key.parts.push(part.to_owned());
        let value = Length::mm(flight - landing);
        Some(on_rule((rule, limit), (key, value), at, says))
    }

    /// The landings that the job names, as found.
    fn named(&self, sides: Option<&[Side<'_>; 2]>) -> Vec<Finding> {
        let landings = &self.site().landings;
        if landings.is_empty() {
            return Vec::new();
        }
        let flight = sides.and_then(|sides| self.least_above(sides));
        landings
            .iter()
            .flat_map(|landing| {
                let [low_open, high_open, high_wall, low_wall] = &landing.corners;
                let side = |a: &Point3<f64>, b: &Point3<f64>| (b - a).xy().norm();
                let deep = side(low_open, high_open).min(side(low_wall, high_wall));
                let wide = side(low_open, low_wall).min(side(high_open, high_wall));
                let at = nalgebra::center(low_open, high_wall);
                let reach = Reach {
                    far: deep,
                    to: "its far edge".to_owned(),
                };
                let depth = self.depth(&landing.name, &reach, at);
                let width =
                    flight.and_then(|flight| self.width_told(&landing.name, (flight, wide), at));
                depth.into_iter().chain(width)
            })
            .collect()
    }
}

/// Whether a run starts on the floor that another reaches, ahead of its last kick.
fn is_above(base: &Run<'_>, run: &Run<'_>) -> bool {
    let site = base.solid.site;
    let Some(last) = site.steps.last() else {
        return false;
    };
    let start = base.frame.from_first(&run.frame.origin);
    let floor = last.top(start.x, site.outward * start.y);
    (start.z - floor).abs() < SAME_FLOOR && start.x > last.kick_x - SAME_FLOOR
}

/// How far it is from a place on the floor that a run reaches to where that floor is stated to end;
/// `None` where nobody stated it, or the place is off it.
fn end_of(base: &Run<'_>, from: Point3<f64>, way: Vector3<f64>) -> Option<f64> {
    let site = base.solid.site;
    let on = base.solid.job.flight.reaches.on.as_ref()?.mm();
    let last = site.steps.last()?;
    let q = [last.wall_q, last.open_q + site.floor_out];
    let bounds = [
        (from.x, way.x, [last.kick_x, last.kick_x + on]),
        (site.outward * from.y, site.outward * way.y, q),
    ];
    let mut far = f64::INFINITY;
    for (at, step, [low, high]) in bounds {
        if at < low - SAME_FLOOR || at > high + SAME_FLOOR {
            return None;
        }
        let end = if step > 0.0 { high } else { low };
        // A side that one walks along is never reached.
        if step.abs() > ALONG {
            far = far.min((end - at) / step);
        }
    }
    far.is_finite().then_some(far.max(0.0))
}

/// One who walks along a side comes nearer to it by less than this share of his way.
const ALONG: f64 = 1e-6;

/// The nearest wall that faces one who walks a level way from a place on a floor.
fn wall_ahead(site: &Site, from: Point3<f64>, way: Vector3<f64>) -> Option<Reach> {
    let reaches = site.walls.iter().flat_map(|wall| {
        HEIGHTS.into_iter().filter_map(move |up| {
            let from = from + Vector3::z() * up;
            if !(wall.foot..=wall.head).contains(&from.z) {
                return None;
            }
            let (point, along, normal) = wall.meet(&from, &way)?;
            let far = (point - from).dot(&way);
            let before = (0.0..=wall.length()).contains(&along) && normal.dot(&way) < -FACING;
            (before && far > 0.0).then(|| Reach {
                far,
                to: format!("wall {}", wall.name),
            })
        })
    });
    reaches.min_by(|a, b| a.far.total_cmp(&b.far))
}

/// A wall beside one's way is not ahead: cosine of 60 degrees.
const FACING: f64 = 0.5;
