//! The cells under a raised edge: the triangle of tread, kick and bottom rail at each step, what the
//! upper floor leaves under it past the last nosing, and the slot along a level run's floor.

use crate::measure::Pitch;
use crate::setout::{RailSet, SetOut};
use crate::site::Step;
use crate::solids::{self, Convex};

use super::Look;
use super::place::{Extent, Place};
use super::slot::SLOT_LEAST;

/// What a raised edge ends at stands within this of its end, mm: an end cut leans with its face.
const PAST_END: f64 = 20.0;
/// A stretch of raised edge shorter than this bounds no triangle, mm.
const TRIANGLE_LEAST: f64 = 5.0;

/// An edge that may stand clear of the treads: a bottom rail's underside, that of panels which stand
/// on nothing, or that of a closed string or half wall.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edge<'a> {
    pub(super) name: &'a str,
    rail: &'a RailSet,
    /// How far it lies under the rail's reference edge, plumb, mm.
    under: f64,
    /// Where it begins and ends up the flight, mm.
    ends: [f64; 2],
}

/// The raised edge of a run, if it has one.
pub(super) fn edge(setout: &SetOut) -> Option<Edge<'_>> {
    if let Some(rail) = setout.raised_edge() {
        let panels = setout.panels.as_ref();
        let panels = panels.filter(|_| setout.bottom_rail.is_none());
        let panels = panels.and_then(|run| run.panels.first().zip(run.panels.last()));
        return Some(Edge {
            name: &rail.name,
            rail,
            under: 0.0,
            // Beside the panels themselves their gaps are open.
            ends: panels.map_or([rail.lower.x, rail.upper.x], |(first, last)| {
                [first.corners[0].x, last.corners[1].x]
            }),
        });
    }
    // A half wall that reaches the floor leaves nothing open under it.
    let rail = &setout.base.as_ref()?.body;
    Some(Edge {
        name: &rail.name,
        rail,
        under: rail.depth.as_mm() / rail.pitch.angle().as_radians().cos(),
        ends: [rail.lower.x, rail.upper.x],
    })
}

impl Edge<'_> {
    const fn pitch(&self) -> Pitch {
        self.rail.pitch
    }

    /// Its height at a place up the flight.
    fn at(&self, x: f64) -> f64 {
        let rake = self.rail.lower.z + self.pitch().slope() * (x - self.rail.lower.x);
        rake - self.under
    }

    /// As an obstacle that reaches up.
    fn up(&self) -> Option<Convex> {
        if self.under > 0.0 {
            solids::rail_up(self.rail)
        } else {
            solids::bottom_rail_down(self.rail, false)
        }
    }
}

impl<'a> Look<'a> {
    /// The cell over a tread or the lower floor (`None`), before a kick or, past the last of them,
    /// before what ends the rail.
    pub(super) fn under(
        &self,
        number: usize,
        below: Option<&Step>,
        next: Option<&Step>,
    ) -> Option<Place<'a>> {
        let run = self.run(number);
        let (site, setout) = (run.solid.site, run.solid.setout);
        let edge = edge(setout)?;
        if site.level.is_some() || below.is_none() && next.is_none() {
            return None;
        }
        let front = below.map_or(f64::NEG_INFINITY, Step::nosing_x);
        let back = next.map_or(f64::INFINITY, Step::nosing_x);
        // As far as the edge reaches; a newel closes the rest.
        let ends = edge.ends;
        let x = [front.max(ends[0]), back.min(ends[1])];
        if x[1] - x[0] < TRIANGLE_LEAST {
            return None;
        }
        let middle = setout.line.at(f64::midpoint(x[0], x[1]));
        let half = edge.rail.width.as_mm() / 2.0;
        let ground = |x: f64| {
            below.map_or_else(|| site.lower_floor(x, middle), |tread| tread.top(x, middle))
        };
        // Highest over the ground at the kick, or where the edge ends.
        let deep = next.map_or(x[1], |next| next.kick_x);
        if edge.at(deep.min(ends[1])) - ground(deep.min(ends[1])) < SLOT_LEAST {
            return None;
        }
        let foot = x.map(ground);
        let head = edge.at(x[0]).max(edge.at(x[1]));
        let head = next.map_or(head, |next| head.max(next.nosing_top(middle)));
        let row = Extent {
            x,
            q: [middle - half, middle + half],
            z: [foot[0].min(foot[1]), head],
        };
        let extent = row.through();
        let mut place = Place::empty(extent.cell(site, &run.frame), head - row.z[0]);
        let steps = below.into_iter().chain(next);
        let blocks = steps.flat_map(|step| solids::step_block(site, step, extent.past()));
        place.block(&run.frame, blocks);
        if below.is_none() {
            place.block(&run.frame, solids::floor_block(site, extent.past()));
        }
        self.close(&mut place, number, &edge, &row);
        Some(place)
    }

    /// The slot between the floor of a level run and a raised edge.
    pub(super) fn under_level(&self, number: usize) -> Option<Place<'a>> {
        let run = self.run(number);
        let (site, setout) = (run.solid.site, run.solid.setout);
        let edge = edge(setout)?;
        site.level?;
        let x = edge.ends;
        let middle = setout.line.at(f64::midpoint(x[0], x[1]));
        let half = edge.rail.width.as_mm() / 2.0;
        let floor = x.map(|x| site.lower_floor(x, middle));
        let foot = floor[0].min(floor[1]);
        let over = edge.at(x[0]).max(edge.at(x[1]));
        if over - foot < SLOT_LEAST {
            return None;
        }
        let row = Extent {
            x,
            q: [middle - half, middle + half],
            z: [foot, over],
        };
        let extent = row.through();
        let mut place = Place::empty(extent.cell(site, &run.frame), over - foot);
        place.block(&run.frame, solids::floor_block(site, extent.past()));
        self.close(&mut place, number, &edge, &row);
        Some(place)
    }

    /// What ends a raised edge and stands about it: the edge itself, newels, walls, other runs.
    fn close(&self, place: &mut Place<'a>, number: usize, edge: &Edge<'_>, row: &Extent) {
        let run = self.run(number);
        place.block(&run.frame, edge.up());
        let setout = run.solid.setout;
        let given: Vec<&String> = setout.given.iter().map(|newel| &newel.name).collect();
        for name in &given {
            place.add(self.bodies.pieces(number, name));
        }
        let row = Extent {
            x: [row.x[0] - PAST_END, row.x[1] + PAST_END],
            ..*row
        };
        self.add_others(place, number, &row, &given);
    }
}
