//! The dry fit: a newel set down on the stair as found before anything is cut, so that it is placed
//! before it is notched.
//!
//! In: a run's site and set-out. Out: [`DryFit`], in the run's frame, mm: the lines to knife, with
//! distances that a tape reads; what lies behind; what would stand open were the notch cut square;
//! what stands beside.
//! Does not: know solids.
//!
//! Boards are taken as flat: a tread out of level is a tilted plane, a kick out of plumb a leaning
//! one.

mod beside;
mod boards;
mod knife;
mod shows;
#[cfg(test)]
mod tests;
mod types;
mod winders;

pub use types::*;
pub use winders::Turns;

use nalgebra::{Point3, Vector3};

use crate::job::{Job, Operation};
use crate::measure::{Angle, Length};
use crate::site::{Site, Step};

use super::notch::Body;
use super::{BlockNeeded, NewelSet, SetOut, newel};
use boards::Face;

/// Sets a newel of the run down on it, one of its own or one that an earlier run gave; `None` where
/// it has none of this name. A newel of its own is set down on the winders of `turns` too.
#[must_use]
pub fn dry_fit(
    job: &Job,
    site: &Site,
    setout: &SetOut,
    (name, turns): (&str, &Turns<'_>),
) -> Option<DryFit> {
    let own = setout.newels.iter().find(|newel| newel.name == name);
    let newel = own.or_else(|| setout.given.iter().find(|newel| newel.name == name))?;
    let body = Body {
        ring: &newel.footprint,
        foot: newel.foot,
        axis: newel.axis,
    };
    let surface = newel::surface(site, newel, own.is_some());
    let planes = knife::sides(site, &body, newel.round);
    let mut fit = empty(job, site, newel);
    fit.beside = beside::beside(setout, name, &body);
    let ground = own.and_then(|_| {
        let winder = turns.ground(newel);
        winder.or_else(|| boards::ground(site, surface, &newel.foot))
    });
    fit.foot = ground.and_then(|ground| knife::face(&ground, &planes, &body, 0.0));
    if let Some(foot) = &fit.foot {
        fit.gaps.extend(shows::under_foot(foot, &body));
    }
    if let Some(on) = newel.on_surface.as_ref().filter(|_| own.is_some()) {
        fit.stands = Standing::OnTop(on.step);
        return Some(fit);
    }
    let mut faces = faces(job, site, surface, newel);
    if own.is_some() {
        faces.extend(turns.faces(newel));
        faces.sort_by_key(|(face, _)| face.on);
    }
    for (face, deep) in faces {
        let Some(cut) = knife::face(&face, &planes, &body, deep) else {
            continue;
        };
        fit.gaps.extend(shows::along(&face, &cut, &planes));
        fit.strips.extend(shows::strips(&face, &cut));
        fit.faces.push(cut);
    }
    fit.gaps
        .extend(shows::against_kick(job, site, surface, &body));
    fit.stands = match (fit.cuts(), own) {
        (true, _) => Standing::Notched,
        (false, Some(_)) => Standing::Clear(surface),
        (false, None) => Standing::Elsewhere,
    };
    Some(fit)
}

/// What is known of a newel without its place on the boards.
fn empty(job: &Job, site: &Site, newel: &NewelSet) -> DryFit {
    let head = newel.axis.into_inner() * newel.height.as_mm();
    DryFit {
        newel: newel.name.clone(),
        round: newel.round,
        stands: Standing::Elsewhere,
        foot: None,
        faces: Vec::new(),
        behind: newel.behind.clone(),
        fasteners: newel.fasteners.clone(),
        bears_on: newel.bears_on.clone(),
        needs: newel.needs.iter().map(block).collect(),
        gaps: Vec::new(),
        strips: Vec::new(),
        beside: Vec::new(),
        cap: AtCap {
            up_flight: Length::mm(head.x),
            outward: Length::mm(head.y * site.outward),
            lean: Angle::radians(newel.axis.z.clamp(-1.0, 1.0).acos()),
        },
        allowance: job.design.tolerances.of(Operation::Notch),
    }
}

/// The faces that a newel above a surface may go into, in the order in which one marks them.
fn faces(job: &Job, site: &Site, surface: u32, newel: &NewelSet) -> Vec<(Face, f64)> {
    let above = || site.steps.iter().filter(|step| step.number > surface);
    // What the last kick reaches may be a winder, whose faces are its own.
    let (winder, last) = (site.surfaces.upper.is_some(), site.steps.len());
    let treads = || above().filter(|step| !winder || (step.number as usize) < last);
    let mut faces: Vec<Face> = treads().map(|step| boards::top(site, step)).collect();
    faces.extend(treads().map(|step| boards::nose(site, step)));
    faces.extend(treads().map(|step| boards::end(site, step)));
    faces.extend(above().filter_map(|step| boards::kick(job, site, step)));
    faces.extend(above().flat_map(|step| boards::skirts(job, site, step, newel.foot.z)));
    let deep = |face: Face| {
        let deep = deep(newel, &face);
        (face, deep)
    };
    faces.into_iter().map(deep).collect()
}

/// The top of a tread, or of the upper floor as far as it is drawn, in the run's frame.
#[must_use]
pub fn tread_top(site: &Site, step: &Step) -> BoardFace {
    boards::top(site, step).whole()
}

/// How far a newel goes in behind a face: through a tread, and as deep as it is cut into a kick or
/// skirt.
fn deep(newel: &NewelSet, face: &Face) -> f64 {
    match face.on {
        Board::Top => face.thick,
        Board::Nose | Board::End => 0.0,
        Board::Kick | Board::Skirt => {
            let mut cut = newel.cutouts.iter();
            let cut = cut.find(|cut| cut.part == face.part && cut.step == face.step);
            cut.map_or(face.thick, |cut| cut.depth.as_mm())
        }
    }
}

/// A block with its corners.
fn block(need: &BlockNeeded) -> BlockPlace {
    let half = [need.along, need.across, need.height].map(|size| size.as_mm() / 2.0);
    let signs = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    let corner = |(x, y): (f64, f64), z: f64| -> Point3<f64> {
        need.at + Vector3::new(x * half[0], y * half[1], z * half[2])
    };
    let [a, b, c, d] = signs.map(|sign| corner(sign, -1.0));
    let [e, f, g, h] = signs.map(|sign| corner(sign, 1.0));
    BlockPlace {
        need: need.clone(),
        corners: [a, b, c, d, e, f, g, h],
    }
}
