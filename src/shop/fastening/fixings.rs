//! Screws and bolts that the job tells of in newels and rails, against what they go into.

use crate::job::{Fixing, FixingFace};
use crate::measure::Length;
use crate::setout::{NewelSet, NewelSide, RailSet};

use super::usual::{COVER, plug_faults};
use super::{BoreLeft, HeldBy, Joiner, JointFault, JointKind, JointLine};

/// The fixings of a run.
pub(super) fn all(joiner: &Joiner<'_>) -> Vec<JointLine> {
    let fixings = joiner.job().design.fixings.iter();
    fixings.filter_map(|fixing| one(joiner, fixing)).collect()
}

/// What a bore goes through: its part's size along it, and across it; what stands behind, and how
/// much of that.
struct Way {
    size: Length,
    face: Length,
    behind: Option<(String, Option<Length>)>,
}

fn one(joiner: &Joiner<'_>, fixing: &Fixing) -> Option<JointLine> {
    let way = of_newel(joiner, fixing).or_else(|| of_rail(joiner, fixing))?;
    let (deep, diameter) = (fixing.deep.value, fixing.diameter.value);
    let behind = way.behind.as_ref().map(|(part, _)| part.clone());
    let past = deep - way.size;
    let goes_on = past > Length::ZERO;
    let parts = (fixing.part.clone(), behind.filter(|_| goes_on));
    let mut line = joiner.line(JointKind::Fixing, parts, HeldBy::Bored);
    line.bores.push(BoreLeft {
        part: fixing.part.clone(),
        name: fixing.name.clone(),
        number: 1,
        diameter,
        deep,
        left: way.size - deep,
    });
    if goes_on {
        line.faults.extend(beyond(&way, past, deep));
    }
    if let Some(plug) = &fixing.plug {
        let plug = (plug.diameter.value, plug.depth.value);
        line.faults.extend(plug_faults(plug, way.face, way.size));
    }
    Some(line)
}

/// What is wrong with a bore that goes on past its part.
fn beyond(way: &Way, past: Length, deep: Length) -> Option<JointFault> {
    match &way.behind {
        None => Some(JointFault::Through {
            by: past,
            at_most: way.size - COVER,
        }),
        Some((_, None)) => None,
        Some((_, Some(room))) => (past > *room - COVER).then(|| JointFault::TooLong {
            past: past - *room,
            at_most: Some(deep - past + *room - COVER),
        }),
    }
}

fn of_newel(joiner: &Joiner<'_>, fixing: &Fixing) -> Option<Way> {
    let mut runs = joiner.chain.runs.iter();
    let newel = runs.find_map(|run| {
        let mut newels = run.setout.newels.iter();
        newels.find(|newel| newel.name == fixing.part)
    })?;
    let (size, face, side) = match fixing.face {
        FixingFace::Downhill => (newel.along, newel.across, Some(NewelSide::Uphill)),
        FixingFace::Uphill => (newel.along, newel.across, None),
        FixingFace::Open => (newel.across, newel.along, Some(NewelSide::Inward)),
        FixingFace::Wall => (newel.across, newel.along, None),
        FixingFace::Top | FixingFace::Under => return None,
    };
    let behind = side.and_then(|side| behind(joiner, newel, side));
    Some(Way { size, face, behind })
}

/// What bears a side of a newel, and how much wood that is along a bore through the newel.
fn behind(
    joiner: &Joiner<'_>,
    newel: &NewelSet,
    side: NewelSide,
) -> Option<(String, Option<Length>)> {
    let mut bears = newel.bears_on.iter();
    let (_, part) = bears.find(|(on, _)| *on == side)?;
    let uphill = side == NewelSide::Uphill;
    let job = joiner.job();
    let stringer = job.stringers.iter().find(|one| one.name == *part);
    let block = job.blocking.iter().find(|one| one.name == *part);
    let room = match (stringer, block) {
        // Along a stringer there is more of it than any bolt.
        (Some(stringer), _) => (!uphill).then_some(stringer.thickness.value),
        (None, Some(block)) => Some(if uphill {
            block.along.value
        } else {
            block.across.value
        }),
        (None, None) => None,
    };
    Some((part.clone(), room))
}

fn of_rail(joiner: &Joiner<'_>, fixing: &Fixing) -> Option<Way> {
    let sizes = joiner.chain.runs.iter().find_map(|run| {
        let setout = &run.setout;
        let of = |rail: &RailSet| [rail.short_points, rail.width, rail.depth];
        let mut rails = std::iter::once(&setout.rail).chain(&setout.bottom_rail);
        let own = rails.find(|rail| rail.name == fixing.part).map(of);
        let wall = setout.wall_rail.as_ref();
        own.or_else(|| {
            wall.filter(|rail| rail.name == fixing.part)
                .map(|rail| [rail.short_points, rail.width, rail.depth])
        })
    })?;
    let [length, width, depth] = sizes;
    let (size, face) = match fixing.face {
        FixingFace::Downhill | FixingFace::Uphill => (length, width.min(depth)),
        FixingFace::Open | FixingFace::Wall => (width, depth),
        FixingFace::Top | FixingFace::Under => (depth, width),
    };
    Some(Way {
        size,
        face,
        behind: None,
    })
}
