//! Clear width: from what bounds a flight on its wall side to what bounds it on its open side.
//!
//! IRC R311.7.1 (R318.7.1 in 2024) has two: above the height that a handrail may have and below the
//! headroom; and at and below the rail, treads included, where it asks less for a rail on one side
//! and least for rails on both. Both are looked for all along the nosings. A wall is its face as
//! found, where it comes nearest at the heights that count.
//!
//! Above the rail nothing stands on an open side: there the stair is counted out to the end of its
//! treads, or to the outer face of its railing where that stands further out. A railing higher than a
//! handrail may be counts there with its inner face. A newel's head is not counted above the rail,
//! for width is taken between what runs along the flight: common practice, no source. Below the rail
//! every part of a railing counts.

use std::borrow::Cow;

use nalgebra::{Point3, Vector3};

use crate::job::Duty;
use crate::measure::{Length, tolerance};
use crate::rules::Quantity;
use crate::setout::rail_window::{RakeLine, nosing_line};
use crate::site::{Site, Step, WallFace};
use crate::solids::{Convex, Part, PartKind, of_run};

use super::around::{Around, on_rule};
use super::slice::slice;
use super::{Finding, Kind, Run};

/// The headroom up to which a width counts where the pack asks for none, mm: our own choice.
const HEADROOM: f64 = 2000.0;
/// The top of a handrail at most, where the pack does not say, mm: our own choice.
const RAIL_TOP: f64 = 1000.0;
/// A wall further than this beyond the ends of the treads, mm, does not bound the stair: what lies
/// between is no skirt but a gap. Our own choice.
const BESIDE: f64 = 50.0;
/// The width is looked at this close along the flight, mm: closer than any bow.
const STATION_MM: f64 = 100.0;
/// Spaces between the places up a wall that are looked at.
const UP: u32 = 4;

/// Heights above the line of the nosings, mm.
type Band = [f64; 2];

/// What stands on one side of a flight.
pub(super) struct Side<'a> {
    /// 1 on the open side, -1 on the wall side: outward offsets times this grow away from the
    /// middle of the stair.
    sign: f64,
    /// The parts of its railing, in the flight's frame.
    railing: Vec<Cow<'a, Part>>,
    /// The top of its rail above the nosings where it is highest, mm; `None` where there is none.
    top: Option<f64>,
}

/// What bounds a side at a place: its offset times the side's sign, and what it is.
#[derive(Clone, Debug)]
struct Bound {
    off: f64,
    by: String,
}

impl Bound {
    fn nearer(self, other: Option<Self>) -> Self {
        match other {
            // Of two in one place it is the one that stands there.
            Some(other) if other.off <= self.off + tolerance::SAME_POINT_MM => other,
            _ => self,
        }
    }
}

/// The width at a place up the flight: on the open side, on the wall side.
struct Width {
    x: f64,
    bounds: [Bound; 2],
}

impl Width {
    fn clear(&self) -> f64 {
        self.bounds[0].off + self.bounds[1].off
    }
}

impl Around<'_> {
    /// The least width above the rails, and at and below them.
    pub(super) fn widths(&self, sides: &[Side<'_>; 2]) -> Vec<Finding> {
        let Some((ends, above)) = self.above(sides) else {
            return Vec::new();
        };
        let tops = sides.iter().filter_map(|side| side.top);
        let below = Look {
            band: [0.0, tops.fold(0.0, f64::max)],
            above: None,
            ..above
        };
        let rails = if self.handrails() > 1 {
            Quantity::WidthTwoRails
        } else {
            Quantity::WidthOneRail
        };
        let asked = [
            (Quantity::WidthClear, "above the rails", above),
            (rails, "at the rails", below),
        ];
        asked
            .into_iter()
            .filter_map(|(quantity, what, look)| self.width(quantity, what, &look, ends))
            .collect()
    }

    /// The open side and the wall side; nothing where the pack asks no width of a stair.
    pub(super) fn sides(&self) -> Option<[Side<'_>; 2]> {
        let asked = [
            Quantity::WidthClear,
            Quantity::WidthOneRail,
            Quantity::WidthTwoRails,
            Quantity::LandingNarrower,
        ];
        let any = asked.iter().any(|one| self.pack.rule(*one).is_some());
        any.then(|| [self.open_side(), self.wall_side()])
    }

    /// A look along the flight above the rails, from its first nosing to its last.
    fn above<'a>(&'a self, sides: &'a [Side<'a>; 2]) -> Option<([f64; 2], Look<'a>)> {
        let site = self.site();
        let (first, last) = (site.steps.first()?, site.steps.last()?);
        let or = |quantity: Quantity, else_mm: f64| {
            self.pack.length(quantity).map_or(else_mm, Length::as_mm)
        };
        let allowed = or(Quantity::HandrailHigh, RAIL_TOP);
        let headroom = or(Quantity::Headroom, HEADROOM).max(allowed);
        let look = Look {
            site,
            line: nosing_line(site),
            sides,
            band: [allowed, headroom],
            above: Some(allowed),
        };
        Some(([first.nosing_x(), last.nosing_x()], look))
    }

    /// The least width of the flight above its rails, mm.
    pub(super) fn least_above(&self, sides: &[Side<'_>; 2]) -> Option<f64> {
        let (ends, look) = self.above(sides)?;
        Some(look.least(ends)?.clear())
    }

    /// The least width above the rails of the floor that the last kick reaches, as far as it goes on,
    /// mm. Nobody reads where its ends lie: it is as wide as the stair at the tread before it and what it goes out
    /// beyond, where no wall closes in.
    pub(super) fn least_on_landing(&self, sides: &[Side<'_>; 2], on: f64) -> Option<f64> {
        let (_, look) = self.above(sides)?;
        let [.., tread, upper] = self.site().steps.as_slice() else {
            return None;
        };
        let [open, wall] = look.over(tread, tread.nosing_x()).bounds;
        let floor = Step {
            open_q: open.off + self.site().floor_out,
            wall_q: -wall.off,
            ..upper.clone()
        };
        let count = (on / STATION_MM).ceil().max(1.0) as u32;
        let places = (0..=count).map(|at| upper.kick_x + on * f64::from(at) / f64::from(count));
        // The line of the nosings goes on climbing; the floor does not.
        let level = Look {
            line: RakeLine {
                at_foot: upper.height,
                slope: 0.0,
            },
            ..look
        };
        let widths = places.map(|x| level.over(&floor, x).clear());
        widths.reduce(f64::min)
    }

    fn width(
        &self,
        quantity: Quantity,
        what: &str,
        look: &Look<'_>,
        ends: [f64; 2],
    ) -> Option<Finding> {
        let (rule, limit) = self.length(quantity)?;
        let least = look.least(ends)?;
        let value = Length::mm(least.clear());
        let [open, wall] = &least.bounds;
        let says = format!(
            "{what} the stair is {} wide at step {}, from {} to {}; at least {} is asked",
            self.print(value),
            self.site().named(self.site().tread_under(least.x)),
            wall.by,
            open.by,
            self.print(limit)
        );
        let middle = (open.off - wall.off) / 2.0;
        let up = look.line.at(least.x) + look.band[0];
        let at = self.site().at(least.x, middle, up);
        // Nothing is claimed of a wall side that nobody stated: neither a wall nor a railing.
        let nothing = self.other().is_none() && self.run.solid.setout.wall_rail.is_none();
        if nothing && self.site().walls.is_empty() {
            return None;
        }
        let key = self.key(Kind::Width, &[what]);
        Some(on_rule((rule, limit), (key, value), at, says))
    }

    /// The open side with the run's own railing.
    fn open_side(&self) -> Side<'_> {
        let setout = self.run.solid.setout;
        let beside = setout.wall_rail.as_ref();
        let parts = self.about().parts.iter();
        let own = parts.filter(|part| {
            is_railing(part.kind) && beside.is_none_or(|rail| !is_of(part, &rail.name))
        });
        Side {
            sign: 1.0,
            railing: own.map(Cow::Borrowed).collect(),
            top: Some(setout.rail.window.highest.0.as_mm()),
        }
    }

    /// The wall side with the handrail on brackets, or with the railing of the run that shares this
    /// stair.
    fn wall_side(&self) -> Side<'_> {
        let mut side = Side {
            sign: -1.0,
            railing: Vec::new(),
            top: None,
        };
        if let Some(rail) = &self.run.solid.setout.wall_rail {
            let parts = self.about().parts.iter();
            let own = parts.filter(|part| is_railing(part.kind) && is_of(part, &rail.name));
            side.railing.extend(own.map(Cow::Borrowed));
            side.top = Some(rail.window.highest.0.as_mm());
        }
        if let Some(other) = self.other() {
            let here = self.run.frame.motion().inverse() * other.frame.motion();
            let parts = of_run(&other.solid).parts.into_iter();
            let carried = |part: Part| Part {
                pieces: part.pieces.iter().map(|piece| piece.moved(&here)).collect(),
                ..part
            };
            let own = parts.filter(|part| is_railing(part.kind));
            side.railing.extend(own.map(carried).map(Cow::Owned));
            let top = other.solid.setout.rail.window.highest.0.as_mm();
            side.top = Some(side.top.map_or(top, |own| own.max(top)));
        }
        side
    }

    /// The railing on the wall side of this stair.
    fn other(&self) -> Option<&Run<'_>> {
        let number = self.run.solid.number;
        let mut runs = self.runs.iter();
        runs.find(|run| run.solid.beside == Some(number))
    }

    /// On how many sides there is a rail to hold.
    fn handrails(&self) -> usize {
        let held = |run: &Run<'_>| run.solid.job.design.rail.duty != Duty::Guard;
        let on_wall = self.run.solid.setout.wall_rail.is_some() || self.other().is_some_and(held);
        usize::from(held(self.run)) + usize::from(on_wall)
    }
}

const fn is_railing(kind: PartKind) -> bool {
    matches!(
        kind,
        PartKind::Newel
            | PartKind::Rail
            | PartKind::BottomRail
            | PartKind::Baluster
            | PartKind::Rosette
            | PartKind::HalfWall
            | PartKind::Shoe
            | PartKind::Panel
    )
}

/// Whether a part is a rail of this name or its bracket.
fn is_of(part: &Part, rail: &str) -> bool {
    part.name == rail || part.name.ends_with(&format!(" of {rail}"))
}

/// A look along a flight at the heights of a band.
struct Look<'a> {
    site: &'a Site,
    line: RakeLine,
    /// The open side, the wall side.
    sides: &'a [Side<'a>; 2],
    band: Band,
    /// Above the rails: how high a handrail may be.
    above: Option<f64>,
}

impl Look<'_> {
    /// The places that are looked at: close enough for a wall, and where a part stands furthest in.
    fn stations(&self, ends: [f64; 2]) -> Vec<f64> {
        let [from, to] = ends;
        let count = ((to - from) / STATION_MM).ceil().max(1.0) as u32;
        let even = (0..=count).map(|at| from + (to - from) * f64::from(at) / f64::from(count));
        let nosings = self.site.steps.iter().map(Step::nosing_x);
        let parts = self.sides.iter().flat_map(|side| {
            let parts = side.railing.iter();
            parts.filter_map(|part| self.furthest_in(side, part))
        });
        let mut places: Vec<f64> = even.chain(nosings).chain(parts).collect();
        places.retain(|x| (from..=to).contains(x));
        places
    }

    /// Where a part stands furthest into the stair.
    fn furthest_in(&self, side: &Side<'_>, part: &Part) -> Option<f64> {
        let off = |point: &Point3<f64>| side.sign * self.site.outward * point.y;
        let corners = part.pieces.iter().flat_map(Convex::corners);
        let least = corners.min_by(|a, b| off(a).total_cmp(&off(b)))?;
        Some(least.x)
    }

    fn least(&self, ends: [f64; 2]) -> Option<Width> {
        let widths = self.stations(ends).into_iter().filter_map(|x| {
            let step = self.site.step(self.site.tread_under(x))?;
            Some(self.over(step, x))
        });
        widths.min_by(|a, b| a.clear().total_cmp(&b.clear()))
    }

    /// The width at a place over a step.
    fn over(&self, step: &Step, x: f64) -> Width {
        let [open, wall] = self.sides;
        Width {
            x,
            bounds: [
                self.bound(open, step, step.open_q, x),
                self.bound(wall, step, step.wall_q, x),
            ],
        }
    }

    fn bound(&self, side: &Side<'_>, step: &Step, end: f64, x: f64) -> Bound {
        let end = Bound {
            off: side.sign * end,
            by: format!("the end of tread {}", self.site.named(step.number)),
        };
        let middle = f64::midpoint(step.open_q, step.wall_q);
        let walls = self.site.walls.iter();
        let wall = walls
            .filter_map(|wall| self.wall(side, wall, (x, middle)))
            .min_by(|a, b| a.off.total_cmp(&b.off));
        let Some(allowed) = self.above else {
            let railing = self.railing(side, x, |_| true);
            return end.nearer(wall).nearer(railing);
        };
        let high = side.top.is_some_and(|top| top > allowed);
        if high {
            let railing = self.railing(side, x, |kind| kind != PartKind::Newel);
            return end.nearer(wall).nearer(railing);
        }
        let outer = self.outer(side, x).filter(|outer| outer.off > end.off);
        let end = outer.unwrap_or(end);
        // A wall behind a skirt stands a little further out than the treads end.
        wall.filter(|wall| wall.off <= end.off + BESIDE)
            .unwrap_or(end)
    }

    /// The part of a railing that stands furthest in at a place.
    fn railing(&self, side: &Side<'_>, x: f64, counts: fn(PartKind) -> bool) -> Option<Bound> {
        let base = self.line.at(x);
        let heights = self.band.map(|up| base + up);
        let parts = side.railing.iter().filter(|part| counts(part.kind));
        let bounds = parts.filter_map(|part| {
            let pieces = part.pieces.iter();
            let offs = pieces.filter_map(|piece| {
                let ends = slice(piece, x, heights)?.map(|y| side.sign * self.site.outward * y);
                Some(ends[0].min(ends[1]))
            });
            let off = offs.reduce(f64::min)?;
            let by = part.name.clone();
            Some(Bound { off, by })
        });
        bounds.min_by(|a, b| a.off.total_cmp(&b.off))
    }

    /// The outer face of a railing's rail; before and beyond the rail it is where its end is.
    fn outer(&self, side: &Side<'_>, x: f64) -> Option<Bound> {
        let all = [f64::NEG_INFINITY, f64::INFINITY];
        let rails = side.railing.iter();
        let rails = rails.filter(|part| part.kind == PartKind::Rail);
        let bounds = rails.filter_map(|part| {
            let extent = part.bounds()?;
            let place = x.clamp(extent.low.x, extent.high.x);
            let pieces = part.pieces.iter();
            let offs = pieces.filter_map(|piece| {
                let ends = slice(piece, place, all)?.map(|y| side.sign * self.site.outward * y);
                Some(ends[0].max(ends[1]))
            });
            Some(Bound {
                off: offs.reduce(f64::max)?,
                by: format!("the outer face of {}", part.name),
            })
        });
        bounds.max_by(|a, b| a.off.total_cmp(&b.off))
    }

    /// A wall that faces the stair from this side, where it comes nearest within the band.
    fn wall(&self, side: &Side<'_>, wall: &WallFace, (x, middle): (f64, f64)) -> Option<Bound> {
        let outward = self.site.outward;
        let way = Vector3::new(0.0, side.sign * outward, 0.0);
        let base = self.line.at(x);
        let [low, high] = self.band;
        let offs = (0..=UP).filter_map(|place| {
            let z = base + low + (high - low) * f64::from(place) / f64::from(UP);
            if !(wall.foot..=wall.head).contains(&z) {
                return None;
            }
            let (point, along, normal) = wall.meet(&Point3::new(x, outward * middle, z), &way)?;
            let off = side.sign * outward * point.y;
            let before = (0.0..=wall.length()).contains(&along) && normal.dot(&way) < 0.0;
            (before && off > side.sign * middle).then_some(off)
        });
        Some(Bound {
            off: offs.reduce(f64::min)?,
            by: format!("wall {}", wall.name),
        })
    }
}
