//! Openings: the cell of each, the pieces that bound it, and the ball that passes.

use nalgebra::{Isometry3, Vector3};

use crate::job::Job;
use crate::measure::Length;
use crate::measure::tolerance::{BALL_AT_LIMIT_MM, BALL_MM};
use crate::rules::{Pack, Quantity, Rule};
use crate::setout::{self, Gap, PanelSet, SetOut};
use crate::site::{Site, Step};
use crate::solids::{self, Convex, Solids};

use super::ball::{Asked, Ball, Cell, largest_ball};
use super::{Finding, Key, Kind, Opening, Severity, judge};

/// How far the cell reaches out on either side of the pieces: more than the radius of any ball
/// that a rule names, so that the ball starts and ends clear of them.
const REACH_THROUGH: f64 = 120.0;
/// How far obstacles reach past the cell, so that the ball cannot slip round their ends.
const REACH_PAST: f64 = 200.0;
/// How far into a wall the cell reaches, so that the wall's face closes it.
const INTO_WALL: f64 = 40.0;

/// One opening to judge.
struct Place {
    kind: Kind,
    between: Vec<String>,
    cell: Cell,
    pieces: Vec<Convex>,
}

/// Every opening with its ball, and every finding about them.
pub(super) fn openings(
    job: &Job,
    site: &Site,
    setout: &SetOut,
    solids: &Solids,
    pack: &Pack,
    only: Option<&Key>,
) -> (Vec<Opening>, Vec<Finding>) {
    let asked = |place: &Place| {
        only.is_none_or(|key| key.kind == place.kind && key.parts == place.between)
    };
    let gaps = setout
        .gaps
        .iter()
        .filter(|gap| only.is_none_or(|key| key.parts == [gap.below.clone(), gap.above.clone()]))
        .filter_map(|gap| between(site, setout, solids, gap));
    let belows = std::iter::once(None).chain(site.steps.iter().map(Some));
    let triangles = belows
        .zip(&site.steps)
        .filter_map(|(below, next)| triangle(site, setout, solids, below, next));
    gaps.chain(triangles)
        .chain(under_level(site, setout, solids))
        .filter(asked)
        .filter_map(|place| {
            let rule = pack.rule(quantity(job, place.kind))?;
            Some(measured(job, &place, rule, rule.length()?))
        })
        .chain(over_panels(job, setout, pack))
        .unzip()
}

fn quantity(job: &Job, kind: Kind) -> Quantity {
    if kind == Kind::Triangle {
        Quantity::OpeningTriangle
    } else if job.level.is_some() {
        Quantity::OpeningLevel
    } else {
        Quantity::OpeningStair
    }
}

fn measured(job: &Job, place: &Place, rule: &Rule, limit: Length) -> (Opening, Finding) {
    let asked = Asked {
        width: BALL_MM,
        limit: Some(limit.as_mm()),
        width_at_limit: BALL_AT_LIMIT_MM,
    };
    let pieces: Vec<&Convex> = place.pieces.iter().collect();
    let ball = largest_ball(&pieces, &place.cell, &asked);
    told(job, (place.kind, &place.between), ball, rule, limit)
}

/// An opening and the ball that passes it, as it is told.
fn told(
    job: &Job,
    (kind, between): (Kind, &[String]),
    ball: Ball,
    rule: &Rule,
    limit: Length,
) -> (Opening, Finding) {
    let Ball {
        lower,
        upper,
        centre,
    } = ball;
    let (lower, upper) = (Length::mm(lower), Length::mm(upper));
    let tape = job.tape;
    let what = match (kind, &job.design.bottom_rail) {
        (Kind::Triangle, Some(_)) => "under the bottom rail at",
        (Kind::Triangle, None) => "under the panels at",
        _ => "between",
    };
    let says = format!(
        "a ball of {} passes {what} {}; it must stay under {}",
        tape.print((lower + upper) / 2.0),
        between.join(" and "),
        tape.print(limit)
    );
    let opening = Opening {
        between: between.to_vec(),
        ball: lower,
        ball_upper: upper,
        limit,
        at: centre,
    };
    let finding = Finding {
        key: Key {
            kind,
            parts: between.to_vec(),
        },
        run: 0,
        lower,
        upper,
        limit,
        sense: rule.sense,
        verdict: judge(lower, upper, rule.sense, limit, None),
        severity: Severity::Stop,
        source: rule.clause.clone(),
        at: centre,
        says,
    };
    (opening, finding)
}

/// The bounds of an opening along the flight, across it and up.
struct Extent {
    x: [f64; 2],
    q: [f64; 2],
    z: [f64; 2],
}

impl Extent {
    fn cell(&self, site: &Site) -> Cell {
        let middle = |pair: [f64; 2]| f64::midpoint(pair[0], pair[1]);
        let half = |pair: [f64; 2]| (pair[1] - pair[0]) / 2.0;
        let centre = site.at(middle(self.x), middle(self.q), middle(self.z));
        Cell {
            frame: Isometry3::translation(centre.x, centre.y, centre.z),
            half: Vector3::new(half(self.x), half(self.q), half(self.z)),
        }
    }

    fn past(&self) -> [f64; 2] {
        [self.q[0] - REACH_PAST, self.q[1] + REACH_PAST]
    }
}

/// A neighbour of a gap: x of its middle, half its size along the flight, and what it takes up
/// across the flight between foot and rail.
struct Side {
    x: f64,
    half: f64,
    q: Option<[f64; 2]>,
}

/// How far into a panel the cell of the gap beside it reaches: there it is closed by the panel.
const INTO_PANEL: f64 = 40.0;

/// A panel beside a gap, as the strip of it next to the gap that lies above (or below) it.
fn panel(setout: &SetOut, name: &str, gap_above: bool) -> Option<Side> {
    let panels = setout.panels.as_ref()?.panels.iter();
    let one = panels.into_iter().find(|one| one.name == name)?;
    let half = INTO_PANEL.min(one.width.as_mm() / 2.0);
    let x = if gap_above {
        one.corners[1].x - half
    } else {
        one.corners[0].x + half
    };
    Some(Side { x, half, q: None })
}

/// An upright neighbour; `None` for a wall, whose place the gap itself tells.
fn upright(site: &Site, setout: &SetOut, name: &str) -> Option<Side> {
    if let Some(one) = setout.balusters.iter().find(|one| one.name == name) {
        let (foot, top) = (site.outward * one.foot.y, site.outward * one.top.y);
        let half = one.across.as_mm() / 2.0;
        let q = Some([foot.min(top) - half, foot.max(top) + half]);
        return Some(Side {
            x: one.foot.x,
            half: one.along.as_mm() / 2.0,
            q,
        });
    }
    if let Some(half) = setout.half_newels.iter().find(|half| half.name == name) {
        return Some(Side {
            x: half.face.x,
            half: 0.0,
            q: None,
        });
    }
    let newel = setout.newel(name)?;
    let (low, high) = setout::plan::extent(&newel.footprint, |point| point.x);
    Some(Side {
        x: newel.foot.x,
        half: (high - low) / 2.0,
        q: None,
    })
}

/// Both neighbours of a gap.
fn sides(site: &Site, setout: &SetOut, gap: &Gap) -> Option<[Side; 2]> {
    let clear = gap.clear.as_mm();
    let wall = |x: f64| Side {
        x,
        half: 0.0,
        q: None,
    };
    let sides = [(&gap.below, true), (&gap.above, false)];
    let upright = |name: &str, gap_above: bool| {
        panel(setout, name, gap_above).or_else(|| upright(site, setout, name))
    };
    match sides.map(|(name, gap_above)| upright(name, gap_above)) {
        [Some(below), Some(above)] => Some([below, above]),
        [Some(below), None] => {
            let face = below.x + below.half + clear;
            Some([below, wall(face + INTO_WALL)])
        }
        [None, Some(above)] => {
            let face = above.x - above.half - clear;
            Some([wall(face - INTO_WALL), above])
        }
        // Nothing but two walls: there the rail itself is the only part, and it has no opening
        // that an upright bounds.
        [None, None] => None,
    }
}

/// The cell of a gap between neighbours, from tread (or bottom rail) to rail.
fn between(site: &Site, setout: &SetOut, solids: &Solids, gap: &Gap) -> Option<Place> {
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
    let q = [q[0] - REACH_THROUGH, q[1] + REACH_THROUGH];
    let steps = steps_over(site, x);
    let lowest = steps
        .iter()
        .flat_map(|step| {
            // A tread is a plane, so it is lowest at a corner.
            let corner = |x: f64, q: f64| step.top(x, q);
            q.map(|q| corner(step.nosing_at(q), q).min(corner(step.back_at(q), q)))
        })
        .chain(over_lower_floor(site, x, q))
        .fold(f64::INFINITY, f64::min);
    let slope = setout.rail.pitch.slope();
    let highest = setout.rail.lower.z + slope * (x[1] - setout.rail.lower.x);
    let highest = solids::fittings_top(&setout.rail, x).map_or(highest, |top| top.max(highest));
    let extent = Extent {
        x,
        q,
        z: [lowest, highest],
    };
    let mut pieces = body(solids, &gap.below, &extent);
    pieces.extend(body(solids, &gap.above, &extent));
    pieces.extend(
        steps
            .iter()
            .flat_map(|step| solids::step_block(site, step, extent.past())),
    );
    pieces.extend(solids::floor_block(site, extent.past()));
    pieces.extend(solids::rail_up(&setout.rail));
    pieces.extend(solids::fittings_up(&setout.rail));
    pieces.extend(
        setout
            .sill()
            .and_then(|rail| solids::bottom_rail_down(rail, true)),
    );
    let between = vec![gap.below.clone(), gap.above.clone()];
    Some(Place {
        kind: Kind::Opening,
        between,
        cell: extent.cell(site),
        pieces,
    })
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

/// The pieces of a part that come near an opening.
fn body(solids: &Solids, name: &str, extent: &Extent) -> Vec<Convex> {
    let near = |piece: &&Convex| {
        let bounds = piece.bounds();
        let reach = REACH_THROUGH;
        bounds.low.x < extent.x[1] + reach
            && bounds.high.x > extent.x[0] - reach
            && bounds.low.z < extent.z[1] + reach
            && bounds.high.z > extent.z[0] - reach
    };
    let parts = solids.parts.iter().filter(|part| part.name == name);
    parts
        .flat_map(|part| part.pieces.iter().filter(near).cloned())
        .collect()
}

/// The triangle of a tread or the lower floor, the kick above it and the bottom rail.
fn triangle(
    site: &Site,
    setout: &SetOut,
    solids: &Solids,
    below: Option<&Step>,
    next: &Step,
) -> Option<Place> {
    let rail = setout.raised_edge()?;
    let front = below.map_or(f64::NEG_INFINITY, Step::nosing_x);
    // As far as the bottom rail reaches; a newel closes the rest.
    let x = [front.max(rail.lower.x), next.nosing_x().min(rail.upper.x)];
    if x[1] - x[0] < TRIANGLE_LEAST {
        return None;
    }
    let middle = setout.line.at(f64::midpoint(x[0], x[1]));
    let half = rail.width.as_mm() / 2.0 + REACH_THROUGH;
    let q = [middle - half, middle + half];
    let over = |x: f64| rail.lower.z + rail.pitch.slope() * (x - rail.lower.x);
    let foot = below.map_or_else(
        || x.map(|x| site.lower_floor(x, middle)),
        |tread| x.map(|x| tread.top(x, middle)),
    );
    let foot = foot[0].min(foot[1]);
    let extent = Extent {
        x,
        q,
        z: [foot, over(x[1]).max(next.nosing_top(middle))],
    };
    let steps = below.into_iter().chain([next]);
    let mut pieces: Vec<Convex> = steps
        .flat_map(|step| solids::step_block(site, step, extent.past()))
        .collect();
    if below.is_none() {
        pieces.extend(solids::floor_block(site, extent.past()));
    }
    pieces.extend(solids::bottom_rail_down(rail, false));
    for newel in setout.all_newels() {
        pieces.extend(body(solids, &newel.name, &extent));
    }
    let ground = below.map_or_else(
        || site.named("F0"),
        |tread| site.named(format_args!("T{}", tread.number)),
    );
    let between = vec![ground, site.named(format_args!("K{}", next.number))];
    Some(Place {
        kind: Kind::Triangle,
        between,
        cell: extent.cell(site),
        pieces,
    })
}

/// The slot between the floor of a level run and a bottom rail or panels that stand clear of it.
fn under_level(site: &Site, setout: &SetOut, solids: &Solids) -> Option<Place> {
    let rail = setout.raised_edge()?;
    site.level?;
    let x = [rail.lower.x, rail.upper.x];
    let middle = setout.line.at(f64::midpoint(x[0], x[1]));
    let half = rail.width.as_mm() / 2.0 + REACH_THROUGH;
    let floor = x.map(|x| site.lower_floor(x, middle));
    let foot = floor[0].min(floor[1]);
    let over = rail.lower.z.max(rail.upper.z);
    if over - foot < SLOT_LEAST {
        return None;
    }
    let extent = Extent {
        x,
        q: [middle - half, middle + half],
        z: [foot, over],
    };
    let mut pieces: Vec<Convex> = solids::floor_block(site, extent.past())
        .into_iter()
        .collect();
    pieces.extend(solids::bottom_rail_down(rail, false));
    for newel in setout.all_newels() {
        pieces.extend(body(solids, &newel.name, &extent));
    }
    Some(Place {
        kind: Kind::Opening,
        between: vec![site.named("F0"), rail.name.clone()],
        cell: extent.cell(site),
        pieces,
    })
}

/// The slots between the panels' upper edges and the rail.
fn over_panels<'a>(
    job: &'a Job,
    setout: &'a SetOut,
    pack: &'a Pack,
) -> impl Iterator<Item = (Opening, Finding)> + 'a {
    let panels = setout.panels.iter().flat_map(|run| &run.panels);
    panels.filter_map(move |panel| {
        let rule = pack.rule(quantity(job, Kind::Opening))?;
        let ball = slot_over(setout, panel)?;
        let between = [panel.name.clone(), setout.rail.name.clone()];
        Some(told(
            job,
            (Kind::Opening, &between),
            ball,
            rule,
            rule.length()?,
        ))
    })
}

/// The ball that passes over one panel: two parallel edges stand their plumb distance times the
/// cosine of the pitch apart. Where the rail is bent over a newel the wider end counts.
fn slot_over(setout: &SetOut, panel: &PanelSet) -> Option<Ball> {
    let rail = &setout.rail;
    let [_, _, upper, lower] = panel.corners;
    let cos = rail.pitch.angle().as_radians().cos();
    let top = |x: f64| {
        let rake = rail.lower.z + rail.pitch.slope() * (x - rail.lower.x);
        rail.top(x).map_or(rake, |point| point.z.max(rake))
    };
    let head = |corner: nalgebra::Point3<f64>| top(corner.x) - rail.depth.as_mm() / cos - corner.z;
    let wider = if head(lower) > head(upper) {
        lower
    } else {
        upper
    };
    let slot = head(wider) * cos;
    let centre = wider + Vector3::z() * (head(wider) / 2.0);
    (slot >= SLOT_LEAST).then_some(Ball {
        lower: slot,
        upper: slot,
        centre,
    })
}

/// A slot narrower than this lets nothing through.
const SLOT_LEAST: f64 = 1.0;

/// A stretch of bottom rail shorter than this bounds no triangle.
const TRIANGLE_LEAST: f64 = 5.0;
