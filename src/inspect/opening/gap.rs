//! The cell of a gap between two neighbours of a row, from tread (or what they stand on) to rail.

use nalgebra::Vector3;

use crate::setout::{Gap, SetOut};
use crate::site::{Site, Step};
use crate::solids;

use super::Look;
use super::place::{Extent, Place};

/// How far into a wall the cell reaches, so that the wall's face closes it.
const INTO_WALL: f64 = 40.0;
/// How far into a panel the cell of the gap beside it reaches: there it is closed by the panel.
const INTO_PANEL: f64 = 40.0;
/// Places over its height at which a wall that leans or bows is met.
const HEIGHTS: u32 = 8;

/// Where a gap's cell ends beside a neighbour, and what that takes up across the flight (outward)
/// between foot and rail.
struct Side {
    x: f64,
    q: Option<[f64; 2]>,
}

/// Which neighbour of a gap.
#[derive(Clone, Copy, PartialEq)]
enum Which {
    Below,
    Above,
}

impl Which {
    /// The farther from the gap of some places.
    fn farther(self, places: impl IntoIterator<Item = f64>) -> f64 {
        let places = places.into_iter();
        match self {
            Self::Below => places.fold(f64::INFINITY, f64::min),
            Self::Above => places.fold(f64::NEG_INFINITY, f64::max),
        }
    }

    /// Away from the gap.
    const fn away(self) -> f64 {
        match self {
            Self::Below => -1.0,
            Self::Above => 1.0,
        }
    }
}

impl<'a> Look<'a> {
    /// The cell of a gap between neighbours. `None` between two walls: there the rail itself is the
    /// only part, and no upright bounds an opening.
    pub(super) fn gap(&self, number: usize, gap: &Gap) -> Option<Place<'a>> {
        let run = self.run(number);
        let (site, setout) = (run.solid.site, run.solid.setout);
        let [below, above] = sides(site, setout, gap)?;
        let x = [below.x, above.x];
        let line = setout.line.at(f64::midpoint(x[0], x[1]));
        let half = setout.rail.width.as_mm() / 2.0;
        let q = [below.q, above.q]
            .into_iter()
            .flatten()
            .fold([line - half, line + half], |a, b| {
                [a[0].min(b[0]), a[1].max(b[1])]
            });
        let steps = steps_over(site, x);
        let row = Extent {
            x,
            q,
            z: [0.0, over(setout, x)],
        };
        let mut extent = row.through();
        extent.z[0] = lowest(site, &steps, x, extent.q);
        let mut place = Place::empty(extent.cell(site, &run.frame), gap.clear.as_mm());
        let beside = [&gap.below, &gap.above];
        for name in beside {
            place.add(self.bodies.pieces(number, name));
        }
        let row = Extent { z: extent.z, ..row };
        self.add_others(&mut place, number, &row, &beside);
        let blocks = steps
            .iter()
            .flat_map(|step| solids::step_block(site, step, extent.past()));
        place.block(&run.frame, blocks);
        place.block(&run.frame, solids::floor_block(site, extent.past()));
        place.block(&run.frame, solids::rail_up(&setout.rail));
        place.block(&run.frame, solids::fittings_up(&setout.rail));
        let sill = setout.sill();
        place.block(
            &run.frame,
            sill.and_then(|rail| solids::bottom_rail_down(rail, true)),
        );
        Some(place)
    }

    /// Puts in whatever else stands in a row: a newel in its middle, the end of another run, a wall.
    pub(super) fn add_others(
        &self,
        place: &mut Place<'a>,
        number: usize,
        row: &Extent,
        known: &[&String],
    ) {
        let run = self.run(number);
        let within = row.bounds(run.solid.site, &run.frame);
        for (of, name) in self.standing.meeting(number, &within) {
            if known.iter().any(|known| *known == name) {
                continue;
            }
            let pieces = self.bodies.pieces(of, name);
            let mut boxes = pieces.iter().map(solids::Convex::bounds);
            if boxes.any(|bounds| bounds.meets(&within, 0.0)) {
                place.add(pieces);
            }
        }
    }
}

/// A panel beside a gap: the cell ends in the strip of it next to the gap.
fn panel(setout: &SetOut, name: &str, which: Which) -> Option<Side> {
    let mut panels = setout.panels.as_ref()?.panels.iter();
    let one = panels.find(|one| one.name == name)?;
    let into = which.away() * INTO_PANEL.min(one.width.as_mm());
    let x = match which {
        Which::Below => one.corners[1].x,
        Which::Above => one.corners[0].x,
    };
    Some(Side {
        x: x + into,
        q: None,
    })
}

/// An upright neighbour: the cell ends at its axis, wherever that stands farthest from the gap.
fn upright(site: &Site, setout: &SetOut, name: &str, which: Which) -> Option<Side> {
    if let Some(one) = setout.balusters.iter().find(|one| one.name == name) {
        let (foot, top) = (site.outward * one.foot.y, site.outward * one.top.y);
        let half = one.across.as_mm() / 2.0;
        return Some(Side {
            x: which.farther([one.foot.x, one.top.x]),
            q: Some([foot.min(top) - half, foot.max(top) + half]),
        });
    }
    if let Some(half) = setout.half_newels.iter().find(|half| half.name == name) {
        return Some(Side {
            x: half.face.x,
            q: None,
        });
    }
    let newel = setout.newel(name)?;
    let head = newel.foot + newel.axis.into_inner() * newel.height.as_mm();
    Some(Side {
        x: which.farther([newel.foot.x, head.x]),
        q: None,
    })
}

/// A wall: the cell ends behind its face, wherever that stands farthest off over the gap's height.
fn wall(site: &Site, setout: &SetOut, name: &str, which: Which) -> Option<Side> {
    let wall = site.wall(name)?;
    let rail = &setout.rail;
    let end = if which == Which::Below {
        rail.lower
    } else {
        rail.upper
    };
    let q = site.outward * end.y;
    let ground = site.height_of(site.tread_under(end.x), end.x, q);
    let half = rail.width.as_mm() / 2.0;
    let places = (0..=HEIGHTS).flat_map(|step| {
        let share = f64::from(step) / f64::from(HEIGHTS);
        let z = ground + (end.z - ground) * share;
        [q - half, q + half].map(|q| site.at(end.x, q, z))
    });
    let met = places.filter_map(|from| wall.meet(&from, &Vector3::x()));
    let x = which.farther(met.map(|(point, ..)| point.x));
    x.is_finite().then_some(Side {
        x: x + which.away() * INTO_WALL,
        q: None,
    })
}

/// Both neighbours of a gap.
fn sides(site: &Site, setout: &SetOut, gap: &Gap) -> Option<[Side; 2]> {
    let beside = |name: &str, which: Which| {
        panel(setout, name, which).or_else(|| upright(site, setout, name, which))
    };
    let found = [
        beside(&gap.below, Which::Below),
        beside(&gap.above, Which::Above),
    ];
    match found {
        [Some(below), Some(above)] => Some([below, above]),
        [Some(below), None] => Some([below, wall(site, setout, &gap.above, Which::Above)?]),
        [None, Some(above)] => Some([wall(site, setout, &gap.below, Which::Below)?, above]),
        [None, None] => None,
    }
}

/// The height of the rail's top, fittings too, over the upper end of a stretch.
fn over(setout: &SetOut, x: [f64; 2]) -> f64 {
    let rail = &setout.rail;
    let slope = rail.pitch.slope();
    let ends = x.map(|x| rail.lower.z + slope * (x - rail.lower.x));
    let rake = ends[0].max(ends[1]);
    solids::fittings_top(rail, x).map_or(rake, |top| top.max(rake))
}

/// The lowest of what lies under a stretch.
fn lowest(site: &Site, steps: &[&Step], x: [f64; 2], q: [f64; 2]) -> f64 {
    let treads = steps.iter().flat_map(|step| {
        // A tread is a plane, so it is lowest at a corner.
        let corner = |x: f64, q: f64| step.top(x, q);
        q.map(|q| corner(step.nosing_at(q), q).min(corner(step.back_at(q), q)))
    });
    treads
        .chain(over_lower_floor(site, x, q))
        .fold(f64::INFINITY, f64::min)
}

/// The lowest of the lower floor under an opening, where it lies under it.
fn over_lower_floor(site: &Site, x: [f64; 2], q: [f64; 2]) -> Option<f64> {
    let before_first = site
        .steps
        .first()
        .is_none_or(|first| x[0] < first.nosing_x());
    before_first.then(|| {
        let corners = x.iter().flat_map(|&x| q.map(|q| site.lower_floor(x, q)));
        corners.fold(f64::INFINITY, f64::min)
    })
}

/// The steps that lie under a stretch of the flight.
fn steps_over(site: &Site, x: [f64; 2]) -> Vec<&Step> {
    let over = |step: &&Step| step.nosing_x() < x[1] && step.back_x() > x[0];
    site.steps.iter().filter(over).collect()
}
