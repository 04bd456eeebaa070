//! What has been fitted: it stands where it was measured, and what has not been is set out around
//! it. And how far it is from the plan, which is the set-out of the same job with nothing fitted.
//!
//! - A newel stands where its readings put it, with the lean and the height that they tell. The
//!   balusters on the treads keep to their kicks, so that the gap beside a moved newel takes all
//!   of the move.
//! - A baluster stands where it was read. On the treads, the first of every tread that is not
//!   fitted keeps to its kick; those between it and a fitted one share what is left evenly. Along a
//!   rail, those between two that are fixed (a fitted one, or an end of the rail) do.
//! - A rail read over one nosing turns about its farther end, as far as its window lets it; over
//!   two or more it lies as read.
//!
//! mm in the flight's frame; `q` is outward from y = 0, towards the open side.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::job::{Balusters, Built, Job, Lean, Len, Spacing};
use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;
use crate::site::Site;

use super::newel::Placed;
use super::programme::{Bound, Line};
use super::rail_window::{self, RakeLine, Span};
use super::spacing::Spot;
use super::{Limits, SetOut, WindowReport};

/// A newel as built: a straight line through the centres read, each at a height above its foot.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Stood {
    /// x and q of the foot's centre.
    foot: [f64; 2],
    /// Their change per height; `None` where one height alone was read.
    lean: Option<[f64; 2]>,
}

/// What has been fitted, and stays.
#[derive(Clone, Debug, Default)]
pub(super) struct Fixed {
    newels: BTreeMap<String, Stood>,
    /// By tread and place: x, and q where it was read.
    balusters: BTreeMap<(u32, u32), (f64, Option<f64>)>,
    /// Nosing and height over it.
    rail: Vec<(u32, f64)>,
}

impl Fixed {
    /// What the job says has been fitted.
    pub(super) fn of(job: &Job, site: &Site) -> Self {
        let mut fixed = Self::default();
        for reading in &job.built {
            match reading {
                Built::Baluster {
                    step,
                    place,
                    x,
                    y,
                    rail,
                    ..
                } if is_under(rail.as_deref(), job) => {
                    let q = y.as_ref().map(|y| site.outward * y.mm());
                    fixed.balusters.insert((*step, *place), (x.mm(), q));
                }
                Built::Rail {
                    name, nosing, is, ..
                } if *name == job.design.rail.name => fixed.rail.push((*nosing, is.mm())),
                _ => {}
            }
        }
        for newel in &job.design.newels {
            if let Some(stood) = stood(job, site, &newel.name, newel.lean.as_ref()) {
                fixed.newels.insert(newel.name.clone(), stood);
            }
        }
        fixed
    }

    /// The job with every fitted newel's own lean and height.
    pub(super) fn carried<'j>(&self, job: &'j Job) -> Cow<'j, Job> {
        if job.built.is_empty() {
            return Cow::Borrowed(job);
        }
        let mut job = job.clone();
        for newel in &mut job.design.newels {
            if let Some([x, q]) = self.newels.get(&newel.name).and_then(|stood| stood.lean) {
                newel.lean = Some(Lean {
                    up_flight: length(x * OVER_MM),
                    outward: length(q * OVER_MM),
                    over: length(OVER_MM),
                });
            }
            let top = job.built.iter().find_map(|reading| match reading {
                Built::NewelTop { name, is, .. } if *name == newel.name => Some(is),
                _ => None,
            });
            if let Some(top) = top {
                newel.height = Some(top.clone());
            }
        }
        Cow::Owned(job)
    }

    /// Placed newels, those that have been built where they stand.
    pub(super) fn newels(&self, placed: &[Placed]) -> Vec<Placed> {
        let mut placed = placed.to_vec();
        for one in &mut placed {
            if let Some(stood) = self.newels.get(&one.name) {
                (one.x, one.q) = (stood.foot[0], Some(stood.foot[1]));
            }
        }
        placed
    }

    /// Balusters on treads: the fitted ones where they stand, and even gaps beside those.
    pub(super) fn on_treads(&self, site: &Site, balusters: &Balusters, spots: &mut [Spot]) {
        let Spacing::PerTread { set_back, .. } = &balusters.spacing else {
            return;
        };
        let end = |x: f64| Neighbour {
            face: x + set_back.mm(),
            moved: false,
        };
        let steps = &site.steps;
        let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
            return;
        };
        let ends = [first, last].map(|step| end(step.kick_x));
        // The first baluster of a tread keeps to the face of the kick.
        self.share(spots, ends, |spot| spot.place == 1);
    }

    /// True where some balusters are fitted, so that how many there are is settled.
    pub(super) fn has_balusters(&self) -> bool {
        !self.balusters.is_empty()
    }

    /// Balusters along a rail: the fitted ones where they stand, the others evenly between them
    /// and the faces at the rail's ends. `spots` are those of the plan between its faces.
    pub(super) fn along_rail(
        &self,
        job: &Job,
        site: &Site,
        faces: Option<((f64, f64), (f64, f64))>,
        spots: &mut [Spot],
    ) {
        let balusters = &job.design.balusters;
        let Spacing::AlongRail { .. } = balusters.spacing else {
            return;
        };
        let Some((planned, faces)) = faces.filter(|_| self.has_balusters()) else {
            return;
        };
        let end = |planned: f64, face: f64| Neighbour {
            face,
            moved: (face - planned).abs() > SAME_POINT_MM,
        };
        let ends = [end(planned.0, faces.0), end(planned.1, faces.1)];
        self.share(spots, ends, |_| false);
        let mut former = (0, 0);
        for spot in spots {
            let step = site.tread_under(spot.x);
            let place = if former.0 == step { former.1 + 1 } else { 1 };
            former = (step, place);
            (spot.step, spot.place) = former;
        }
    }

    /// Puts fitted balusters where they stand, and spaces the others evenly between neighbours
    /// that are fixed or `keep` their planned place; only beside one that has moved: elsewhere the
    /// plan holds.
    fn share(&self, spots: &mut [Spot], ends: [Neighbour; 2], keep: impl Fn(&Spot) -> bool) {
        let mut before = ends[0];
        let mut first = 0;
        for at in 0..=spots.len() {
            let (next, width) = match spots.get_mut(at) {
                None => (ends[1], 0.0),
                Some(spot) => {
                    let mut moved = false;
                    if let Some(&(x, q)) = self.balusters.get(&(spot.step, spot.place)) {
                        moved = (x - spot.x).abs() > SAME_POINT_MM;
                        (spot.x, spot.q) = (x, q);
                    } else if !keep(spot) {
                        continue;
                    }
                    let near = spot.near();
                    (Neighbour { face: near, moved }, 2.0 * spot.half)
                }
            };
            if before.moved || next.moved {
                fill(&mut spots[first..at], (before.face, next.face));
            }
            before = Neighbour {
                face: next.face + width,
                moved: next.moved,
            };
            first = at + 1;
        }
    }

    /// The rail's height as far as it was read.
    pub(super) fn rail(
        &self,
        site: &Site,
        limits: &Limits,
        planned: (RakeLine, WindowReport),
    ) -> (RakeLine, WindowReport) {
        let span = Span::of(site);
        let read: Vec<(f64, f64)> = self
            .rail
            .iter()
            .filter_map(|&(nosing, height)| {
                let step = site.step(nosing)?;
                Some((span.s(step.nosing_x()), step.nosing_top(0.0) + height))
            })
            .collect();
        let line = match read.as_slice() {
            [] => return planned,
            [one] => turned(
                *one,
                span.line(planned.0),
                &rail_window::bounds(site, limits),
            ),
            several => match Line::through(several) {
                Some(line) => line,
                None => return planned,
            },
        };
        let rake = span.rake(line);
        let killed_by = planned.1.killed_by;
        (rake, rail_window::report(site, rake, limits, killed_by))
    }
}

/// The names of a run's own parts that have been fitted, as its job says: newels, balusters and its rail.
#[must_use]
pub fn fitted_parts(job: &Job, site: &Site, setout: &SetOut) -> Vec<String> {
    let named = |reading: &Built| -> Option<String> {
        match reading {
            Built::Newel { name, .. } | Built::NewelTop { name, .. } => {
                let own = setout.newels.iter().any(|newel| newel.name == *name);
                own.then(|| name.clone())
            }
            Built::Baluster {
                step,
                place,
                x,
                rail,
                ..
            } if is_under(rail.as_deref(), job) => {
                let off = |foot: f64| (foot - x.mm()).abs();
                // It stands where it was read, and goes by that; how it is counted may have changed.
                let all = || setout.balusters.iter();
                let here = all().find(|one| off(one.foot.x) < AS_READ_MM);
                let counted = || all().find(|one| (one.step, one.place) == (*step, *place));
                here.or_else(counted).map(|one| one.name.clone())
            }
            Built::Rail { name, nosing, .. } => {
                let over = site.step(*nosing).is_some();
                (over && *name == job.design.rail.name).then(|| name.clone())
            }
            Built::Baluster { .. } => None,
        }
    };
    job.built.iter().filter_map(named).collect()
}

/// A baluster's foot this near to a reading is the one that was read.
const AS_READ_MM: f64 = 0.5;

/// Whether a baluster belongs to this railing: on the open side, where no rail is named.
fn is_under(rail: Option<&str>, job: &Job) -> bool {
    rail.is_none_or(|rail| rail == job.design.rail.name)
}

/// The height over which a lean as built is written, mm.
const OVER_MM: f64 = 1000.0;

fn length(mm: f64) -> Len {
    Len::millimetres(mm)
}

/// A neighbour of those to be spaced.
#[derive(Clone, Copy)]
struct Neighbour {
    /// x of its face towards them.
    face: f64,
    /// It stands elsewhere than planned.
    moved: bool,
}

/// Spaces balusters evenly between two faces.
fn fill(spots: &mut [Spot], faces: (f64, f64)) {
    let widths: f64 = spots.iter().map(|spot| 2.0 * spot.half).sum();
    let gap = (faces.1 - faces.0 - widths) / (spots.len() as f64 + 1.0);
    let mut face = faces.0;
    for spot in spots {
        spot.x = face + gap + spot.half;
        face = spot.far();
    }
}

/// Where a newel stands, by all its readings: the least-squares line through them.
fn stood(job: &Job, site: &Site, newel: &str, lean: Option<&Lean>) -> Option<Stood> {
    let read: Vec<(f64, [f64; 2])> = job
        .built
        .iter()
        .filter_map(|reading| match reading {
            Built::Newel { name, x, y, up, .. } if name == newel => Some((
                up.as_ref().map_or(0.0, Len::mm),
                [x.mm(), site.outward * y.mm()],
            )),
            _ => None,
        })
        .collect();
    let &(up, place) = read.first()?;
    if read.len() == 1 {
        let planned = lean.map_or([0.0; 2], |lean| {
            [lean.up_flight.mm(), lean.outward.mm()].map(|off| off / lean.over.mm())
        });
        let foot = [0, 1].map(|axis| place[axis] - planned[axis] * up);
        return Some(Stood { foot, lean: None });
    }
    let line = |axis: usize| {
        let points: Vec<_> = read.iter().map(|(up, place)| (*up, place[axis])).collect();
        Line::through(&points)
    };
    let lines = [line(0)?, line(1)?];
    Some(Stood {
        foot: lines.map(|line| line.lower),
        lean: Some(lines.map(|line| line.upper - line.lower)),
    })
}

/// The line through a point that keeps the height of the planned line's farther end, turned no
/// further about the point than the bounds allow; where they allow nothing, as little past them.
fn turned((s, height): (f64, f64), planned: Line, bounds: &[Bound]) -> Line {
    let farther = if s < 0.5 { 1.0 } else { 0.0 };
    let wanted = (planned.at(farther) - height) / (farther - s);
    let (mut least, mut most) = (f64::NEG_INFINITY, f64::INFINITY);
    for bound in bounds {
        let arm = bound.s - s;
        // Over the point itself nothing turns.
        if arm.abs() > NO_ARM {
            let ends = [bound.low, bound.high].map(|end| (end - height) / arm);
            least = least.max(ends[0].min(ends[1]));
            most = most.min(ends[0].max(ends[1]));
        }
    }
    let turn = if least <= most {
        wanted.clamp(least, most)
    } else {
        wanted
    };
    Line {
        lower: height - turn * s,
        upper: height + turn * (1.0 - s),
    }
}

/// A share of the flight's length that is no arm to turn on.
const NO_ARM: f64 = 1e-9;

/// What was measured on a fitted part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measured {
    /// Level distance up the flight from the face of the first kick.
    Forward,
    /// Level distance from the baluster line's string towards the open side.
    Outward,
    /// A height: of a newel's top above its foot, of the rail over a nosing.
    Height,
}

/// A fitted part beside its plan.
#[derive(Clone, Debug, PartialEq)]
pub struct BuiltDifference {
    /// The reading's field, as `built[3]`.
    pub field: String,
    /// The part: `N1`, `B03`, `R1`; a baluster that the plan has not is told by its place.
    pub part: String,
    /// Where on the part, where that must be said: `over nosing 5`.
    pub place: String,
    /// What was measured.
    pub of: Measured,
    /// What was planned; `None` where the plan has no such part.
    pub plan: Option<Length>,
    /// What was built.
    pub built: Length,
}

impl BuiltDifference {
    /// Built less planned.
    #[must_use]
    pub fn difference(&self) -> Option<Length> {
        self.plan.map(|plan| self.built - plan)
    }

    /// True where it is so far from the plan that a slip of the pen is likely.
    #[must_use]
    pub fn is_far(&self) -> bool {
        let off = self.difference().map(Length::abs);
        off.is_none_or(|off| off > crate::job::limits::BUILT_OFF)
    }
}

/// Everything fitted beside the plan: the set-out of the same job without `built`. In the order of
/// the job, in the run's frame; what belongs to the railing on the other side is left out.
#[must_use]
pub fn compare(job: &Job, site: &Site, plan: &SetOut) -> Vec<BuiltDifference> {
    let teller = Teller { job, site, plan };
    let readings = job.built.iter().enumerate();
    readings
        .flat_map(|(at, one)| teller.tell(at, one))
        .collect()
}

struct Teller<'a> {
    job: &'a Job,
    site: &'a Site,
    plan: &'a SetOut,
}

impl Teller<'_> {
    fn tell(&self, reading: usize, built: &Built) -> Vec<BuiltDifference> {
        let one =
            |part: &str, place: String, of, plan: Option<f64>, built: Length| BuiltDifference {
                field: format!("built[{reading}]"),
                part: part.to_owned(),
                place,
                of,
                plan: plan.map(Length::mm),
                built,
            };
        let outward = self.site.outward;
        let design = &self.job.design;
        match built {
            Built::Newel { name, .. } | Built::NewelTop { name, .. }
                if design.newels.iter().all(|newel| newel.name != *name) =>
            {
                Vec::new()
            }
            Built::Baluster { rail, .. } if !is_under(rail.as_deref(), self.job) => Vec::new(),
            Built::Rail { name, .. } if *name != design.rail.name => Vec::new(),
            Built::Newel { name, x, y, up, .. } => {
                let height = up.as_ref().map_or(0.0, Len::mm);
                let newel = self.plan.newels.iter().find(|newel| newel.name == *name);
                let there = newel.map(|one| one.foot + one.axis.as_ref() * (height / one.axis.z));
                let place = match up {
                    Some(up) => format!("{} up", self.job.tape.print(up.value)),
                    None => "at its foot".to_owned(),
                };
                let (forward, q) = (there.map(|p| p.x), there.map(|p| outward * p.y));
                vec![
                    one(name, place.clone(), Measured::Forward, forward, x.value),
                    one(name, place, Measured::Outward, q, y.value * outward),
                ]
            }
            Built::NewelTop { name, is, .. } => {
                let newel = self.plan.newels.iter().find(|newel| newel.name == *name);
                let top = newel.map(|newel| newel.height.as_mm());
                let place = "its top".to_owned();
                vec![one(name, place, Measured::Height, top, is.value)]
            }
            Built::Baluster {
                step, place, x, y, ..
            } => {
                let mut row = self.plan.balusters.iter();
                let planned = row.find(|b| (b.step, b.place) == (*step, *place));
                let part = planned.map_or_else(String::new, |planned| planned.name.clone());
                let where_ = match step {
                    0 => format!("floor, place {place}"),
                    step => format!("tread {step}, place {place}"),
                };
                let forward = planned.map(|planned| planned.foot.x);
                let mut told = vec![one(
                    &part,
                    where_.clone(),
                    Measured::Forward,
                    forward,
                    x.value,
                )];
                if let Some(y) = y {
                    let q = planned.map(|planned| outward * planned.foot.y);
                    told.push(one(&part, where_, Measured::Outward, q, y.value * outward));
                }
                told
            }
            Built::Rail {
                name, nosing, is, ..
            } => {
                let rail = &self.plan.rail;
                let run = rail.upper - rail.lower;
                let planned = self.site.step(*nosing).map(|step| {
                    let top = rail.lower.z + (step.nosing_x() - rail.lower.x) * run.z / run.x;
                    top - step.nosing_top(0.0)
                });
                let place = format!("over nosing {nosing}");
                vec![one(name, place, Measured::Height, planned, is.value)]
            }
        }
    }
}
