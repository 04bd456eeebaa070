//! A run at another moisture content, part by part.

use nalgebra::Vector3;

use crate::job::{Infill, Job, RailEnd, Wood};
use crate::measure::Length;
use crate::site::Site;

use super::super::rail::newel_face;
use super::super::{BalusterSet, Gap, NewelSet, RailSet, SetOut, plan, rail_window, solve};
use super::{Strains, parts, stair};

/// A run at another moisture content.
#[derive(Clone, Debug)]
pub struct Moved {
    /// Its job: the skirts' sections.
    pub job: Job,
    /// Its treads and kicks.
    pub site: Site,
    /// Its railing.
    pub setout: SetOut,
}

/// Moves a run as fitted to another moisture content, per cent. `None` where its job does not say
/// what it is made of.
#[must_use]
pub fn moved(job: &Job, site: &Site, setout: &SetOut, moisture: f64) -> Option<Moved> {
    let wood = job.design.wood.as_ref()?;
    let strains = Strains::of(wood, moisture);
    let mut after = Moved {
        job: job.clone(),
        site: site.clone(),
        setout: setout.clone(),
    };
    stair::skirts(&mut after.job, &strains);
    stair::steps(job, &mut after.site, &strains, wood.treads_held);
    let run = &mut after.setout;
    for newel in run.newels.iter_mut().chain(&mut run.given) {
        parts::newel(newel, strains.newels);
    }
    for half in &mut run.half_newels {
        parts::half_newel(half, strains.newels);
    }
    rails(job, setout, &mut after, &strains);
    let before = Before { job, site, wood };
    for one in &mut after.setout.balusters {
        parts::baluster(one, strains.balusters);
        before.stands(one, setout.on_treads(), &after.site, &strains);
    }
    if let Some(panels) = &mut after.setout.panels
        && panels.of == Infill::Solid
    {
        parts::panels(panels, strains.balusters);
    }
    after.setout.gaps = gaps(setout, &after.setout);
    after.setout.reveals = solve::reveals(job, &after.site, &after.setout.balusters);
    Some(after)
}

/// Moves the rails, their heights over the nosings and what shows of the newels' blocks.
fn rails(job: &Job, before: &SetOut, after: &mut Moved, strains: &Strains) {
    let Moved { site, setout, .. } = after;
    let lift = parts::rail(&mut setout.rail, strains.rail);
    for newel in &mut setout.newels {
        if let Some(reveals) = &mut newel.reveals {
            reveals.above -= lift;
        }
    }
    if let Some(rail) = &mut setout.bottom_rail {
        parts::bottom_rail(rail, strains.bottom_rail);
    }
    let design = &job.design.rail;
    for (end, upper) in [(&design.lower, false), (&design.upper, true)] {
        let along = (before.rail.upper - before.rail.lower).normalize();
        let towards = if upper { -along } else { along };
        let Some(by) = face_moves(before, setout, end, &towards) else {
            continue;
        };
        let bases = setout.base.iter_mut().flat_map(|base| {
            let strips = base.cap.iter_mut().chain([&mut base.shoe, &mut base.body]);
            strips.collect::<Vec<_>>()
        });
        let rails = [&mut setout.rail].into_iter();
        let rails = rails.chain(&mut setout.bottom_rail).chain(bases);
        rails.for_each(|rail: &mut RailSet| parts::follow(rail, upper, by));
    }
    let rail = &mut setout.rail;
    rail.window = parts::window(site, rail.lower, rail.pitch.slope(), &rail.window);
    rail.window = rail_window::with_fittings(site, rail);
    if let Some(rail) = &mut setout.wall_rail {
        parts::wall_rail(site, rail, strains.rail);
    }
}

/// How far the face that an end of the rail meets goes towards the rail, mm.
fn face_moves(
    before: &SetOut,
    after: &SetOut,
    end: &RailEnd,
    towards: &Vector3<f64>,
) -> Option<f64> {
    match end {
        RailEnd::Newel(name) => {
            let face = |setout: &SetOut| newel_face(setout.newel(name)?, towards);
            let (old, new) = (face(before)?, face(after)?);
            Some((new.point - old.point).dot(&old.normal))
        }
        RailEnd::HalfNewel { wall, .. } => {
            let half = |setout: &SetOut| {
                let mut halves = setout.half_newels.iter();
                halves.find(|half| &half.wall == wall).map(|half| half.face)
            };
            let (old, new) = (half(before)?, half(after)?);
            Some((new - old).norm() * (new - old).dot(towards).signum())
        }
        RailEnd::Wall { .. } => None,
    }
}

/// A run as it was fitted.
struct Before<'a> {
    job: &'a Job,
    site: &'a Site,
    wood: &'a Wood,
}

impl Before<'_> {
    /// A baluster's foot goes with its tread, and its head stays in the rail: where the tread goes
    /// down, the head comes out of its seat by so much. Where it comes up the head lifts the rail,
    /// and its seat is no deeper.
    fn stands(&self, one: &mut BalusterSet, on_treads: bool, after: &Site, strains: &Strains) {
        let (x, q) = (one.foot.x, self.site.outward * one.foot.y);
        let held = self.wood.treads_held;
        let goes = stair::on_tread(self.site, strains, held, one.step, (x, q));
        let Some(x_after) = goes.filter(|_| on_treads) else {
            return;
        };
        let lifted = after.height_of(one.step, x_after, q) - self.site.height_of(one.step, x, q);
        one.foot.x = x_after;
        one.foot.z += lifted;
        one.seat = one.seat.min(one.seat + Length::mm(lifted));
        one.edge_distance = self.edge(one, after, q);
    }

    /// From the side of a peg to the nearest of the tread's open end, the joint of its return nosing
    /// and its nosing. The joint itself stays.
    fn edge(&self, one: &BalusterSet, after: &Site, q: f64) -> Option<Length> {
        let design = &self.job.design.balusters;
        let (Some(before), Some(step)) = (self.site.step(one.step), after.step(one.step)) else {
            return one.edge_distance;
        };
        let joint = design.return_joint.as_ref();
        let joint = joint.map_or(f64::INFINITY, |joint| {
            (before.open_q - joint.mm() - q).abs()
        });
        let nearest = (step.open_q - q)
            .min(one.foot.x - step.nosing_x())
            .min(joint);
        Some(Length::mm(nearest - design.peg_diameter.mm() / 2.0))
    }
}

/// The gaps, with how far the faces on both sides of each went.
fn gaps(before: &SetOut, after: &SetOut) -> Vec<Gap> {
    let went = |name: &str, upper: bool| {
        let pick = |faces: [f64; 2]| faces[usize::from(upper)];
        let (old, new) = (faces(before, name)?, faces(after, name)?);
        Some(pick(new) - pick(old))
    };
    let moved = |gap: &Gap| {
        let below = went(&gap.below, true).unwrap_or(0.0);
        let above = went(&gap.above, false).unwrap_or(0.0);
        Gap {
            clear: gap.clear + Length::mm(above - below),
            ..gap.clone()
        }
    };
    before.gaps.iter().map(moved).collect()
}

/// The faces of what stands beside a gap: x of the lower and of the upper one. `None` for a wall,
/// which stays.
fn faces(setout: &SetOut, name: &str) -> Option<[f64; 2]> {
    let mut balusters = setout.balusters.iter();
    let baluster = balusters.find(|one| one.name == name).map(|one| {
        let half = one.along.as_mm() / 2.0;
        [one.foot.x - half, one.foot.x + half]
    });
    let newel = || {
        setout.newel(name).map(|newel: &NewelSet| {
            let (low, high) = plan::extent(&newel.footprint, |point| point.x);
            [low, high]
        })
    };
    let half = || {
        let mut halves = setout.half_newels.iter();
        let half = halves.find(|half| half.name == name)?;
        Some([half.face.x, half.face.x])
    };
    let panel = || {
        let mut panels = setout.panels.as_ref()?.panels.iter();
        let panel = panels.find(|panel| panel.name == name)?;
        Some([panel.corners[0].x, panel.corners[1].x])
    };
    baluster.or_else(newel).or_else(half).or_else(panel)
}
