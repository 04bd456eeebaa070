//! Newels in which rails of two runs meet: how high they must be, and how far one rail stands above
//! the other there.

use std::sync::Arc;

use crate::job::{OneRun, RailEnd};
use crate::measure::Length;
use crate::site::Placed;

use super::fitting::{Arrival, landing_rise};
use super::{BlockReveals, CapSet, LandingRise, NewelSet, RailMeets, SetOut};
use super::{height_from_rails, meets};

/// A newel in which rails of two runs meet.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnSet {
    /// The newel.
    pub newel: String,
    /// The run whose newel it is, and the one that goes on from it, by their numbers.
    pub runs: [usize; 2],
    /// Where each of the two rails meets it, the one that comes first.
    pub meets: [RailMeets; 2],
    /// How much higher the rail that goes on stands there, and what that may be.
    pub rise: LandingRise,
}

/// The end of a run's rail that meets a newel: true for its upper end.
fn end_at(run: &OneRun, newel: &str) -> Option<bool> {
    let rail = &run.job.design.rail;
    let is = |end: &RailEnd| matches!(end, RailEnd::Newel(name) if name == newel);
    if is(&rail.upper) {
        Some(true)
    } else {
        is(&rail.lower).then_some(false)
    }
}

/// What a newel in which rails of two runs meet is made: its height, and what shows of its block;
/// nothing where a rail lies on it. `None` where it keeps the height that its own run gave it.
///
/// A rail that lies on the newel gives its height: that of its own run before the other's. Where two
/// lie on it at different heights the inspection tells of the one that hangs.
fn head(
    owner: &SetOut,
    newel: &NewelSet,
    others: &[(&SetOut, RailMeets)],
    own: Option<&RailMeets>,
) -> Option<(Length, Option<BlockReveals>)> {
    let lies = |run: &SetOut| run.rail.over.iter().any(|over| over.newel == newel.name);
    if lies(owner) {
        return None;
    }
    let carries = others.iter().filter(|(run, _)| lies(run));
    let carries = carries.map(|(_, meets)| meets.underside);
    if let Some(least) = carries.min_by(Length::total_cmp) {
        return newel.height_free.then_some((least, None));
    }
    let everyone: Vec<RailMeets> = own
        .into_iter()
        .chain(others.iter().map(|(_, meets)| meets))
        .cloned()
        .collect();
    let found = height_from_rails(newel, &everyone)?;
    Some((found.height, Some(found.reveals)))
}

/// Every newel of a stair in which rails of two runs meet. A newel whose height was left to be
/// worked out is made as high as both rails ask, in its own run and where it is given.
pub(super) fn turns(runs: &[Arc<OneRun>], placed: &[Placed], done: &mut [SetOut]) -> Vec<TurnSet> {
    let mut found = Vec::new();
    for owner in 0..done.len() {
        for at in 0..done[owner].newels.len() {
            let name = done[owner].newels[at].name.clone();
            let others: Vec<usize> = (0..done.len())
                .filter(|&run| done[run].given.iter().any(|newel| newel.name == name))
                .collect();
            if others.is_empty() {
                continue;
            }
            let met = |run: usize| {
                let newel = done[run].newel(&name)?;
                let upper = end_at(&runs[run], &name)?;
                Some((upper, meets(newel, &done[run].rail, upper)?))
            };
            let own = met(owner);
            let all: Vec<(usize, (bool, RailMeets))> = others
                .iter()
                .filter_map(|&run| Some((run, met(run)?)))
                .collect();
            let meeting: Vec<(&SetOut, RailMeets)> = all
                .iter()
                .map(|(run, (_, meets))| (&done[*run], meets.clone()))
                .collect();
            let head = head(
                &done[owner],
                &done[owner].newels[at],
                &meeting,
                own.as_ref().map(|(_, meets)| meets),
            );
            for (run, (upper, other)) in &all {
                let Some((own_upper, own)) = &own else {
                    continue;
                };
                let floor = placed[owner].frame.to_first(&done[owner].newels[at].foot).z;
                let arrives = |run: usize, upper: bool| {
                    let here = Length::mm(floor - placed[run].frame.origin.z);
                    Arrival::of(&done[run].rail, upper, here)
                };
                found.push(TurnSet {
                    newel: name.clone(),
                    runs: [owner, *run],
                    meets: [own.clone(), other.clone()],
                    rise: landing_rise(&arrives(owner, *own_upper), &arrives(*run, *upper)),
                });
            }
            if let Some((height, reveals)) = head {
                let copies = done
                    .iter_mut()
                    .flat_map(|one| one.newels.iter_mut().chain(one.given.iter_mut()));
                for newel in copies.filter(|newel| newel.name == name) {
                    newel.height = height;
                    newel.reveals = reveals;
                    if reveals.is_none() {
                        newel.cap = CapSet::NONE;
                    }
                }
            }
        }
    }
    found
}
