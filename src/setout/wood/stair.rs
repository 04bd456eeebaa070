//! The stair's own boards at another moisture content: treads, their return nosings, kicks, skirts.

use crate::job::{Ground, Held, Job, Meets};
use crate::measure::{Length, Typed};
use crate::site::{Site, Step};

use super::Strains;

/// Moves treads and kicks. The upper floor is no part of the stair and stays.
pub(super) fn steps(job: &Job, site: &mut Site, strains: &Strains, held: Held) {
    let treads = site.steps.len().saturating_sub(1);
    let nosing = return_nosing(job) * strains.treads.first;
    let both_ends = job.design.other.is_some();
    let mut lifted_below = 0.0;
    for (at, step) in site.steps.iter_mut().enumerate() {
        step.kick_thickness *= 1.0 + strains.kicks.second;
        let mut lifted = 0.0;
        if at < treads {
            step.overhang += match held {
                Held::Back => depth(step) * strains.treads.first,
                Held::Front => step.overhang * strains.treads.first,
            };
            lifted = step.thickness * strains.treads.second;
            step.thickness += lifted;
            step.height += lifted;
            step.open_q += nosing;
            if both_ends {
                step.wall_q -= nosing;
            }
        }
        step.rise += lifted - lifted_below;
        lifted_below = lifted;
    }
}

/// From the nosing to the back edge, mm.
fn depth(step: &Step) -> f64 {
    step.going + step.overhang
}

/// Width of the return nosing on the open ends of the treads, mm; none where they meet something.
/// Its grain runs up the flight, so that its width stands across the flight.
fn return_nosing(job: &Job) -> f64 {
    let boards = job.boards.clone().unwrap_or_default();
    let shoe = matches!(job.design.balusters.on, Ground::Shoe { .. });
    let usual = if shoe { Meets::Skirt } else { Meets::Return };
    if boards.open_end.unwrap_or(usual) == Meets::Return {
        boards.returns.width.mm()
    } else {
        0.0
    }
}

/// Where a place on a tread goes: x up the flight, as fitted, at an outward offset. `None` for what
/// is no tread.
pub(super) fn on_tread(
    site: &Site,
    strains: &Strains,
    held: Held,
    step: u32,
    (x, q): (f64, f64),
) -> Option<f64> {
    let treads = u32::try_from(site.steps.len().saturating_sub(1)).unwrap_or(u32::MAX);
    let tread = site.step(step).filter(|tread| tread.number <= treads)?;
    let fixed = match held {
        Held::Back => tread.back_at(q),
        Held::Front => tread.kick_at(q),
    };
    Some(fixed + (x - fixed) * (1.0 + strains.treads.first))
}

/// Moves the sections of the skirts, as the job has them.
pub(super) fn skirts(job: &mut Job, strains: &Strains) {
    let scaled = |length: &Length, by: f64| Typed {
        value: *length * (1.0 + by),
        text: String::new(),
    };
    for skirt in &mut job.skirts {
        skirt.above = scaled(&skirt.above.value, strains.skirts.first);
        skirt.width = scaled(&skirt.width.value, strains.skirts.first);
        skirt.thickness = scaled(&skirt.thickness.value, strains.skirts.second);
    }
}
