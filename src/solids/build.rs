//! The parts of a run on its site, and of a whole stair.

use crate::setout::SetOut;
use crate::site::Frame;

use super::{
    Convex, Part, Plane, Run, Solids, carcass, fitting, infill, joints, railing, wall, winders,
};

/// Makes the parts of one run in its own frame: what belongs to it first, then the newels that an
/// earlier run set and the walls of the other runs, which stand about it. The joints are those of a
/// whole stair and are not among them.
#[must_use]
pub fn of_run(run: &Run<'_>) -> Solids {
    let mut parts = own_parts(run, &[]);
    let given = run.setout.given.iter();
    parts.extend(given.map(|newel| railing::newel_part(newel, &run.setout.rail)));
    parts.extend(wall::others(run.site));
    Solids {
        runs: vec![run.number; parts.len()],
        parts,
        joints: Vec::new(),
    }
}

/// A run's own parts; `cut` are the bodies of newels of other runs that are notched into its stair.
fn own_parts(run: &Run<'_>, cut: &[Vec<Plane>]) -> Vec<Part> {
    let Run {
        job, site, setout, ..
    } = *run;
    let notchers: Vec<Vec<Plane>> = notched_but(setout, None)
        .map(|body| body.planes().to_vec())
        .chain(cut.iter().cloned())
        .collect();
    // A railing on the wall side stands on a stair that has its parts already.
    let mut parts = if run.beside.is_none() {
        carcass::parts(job, site, &notchers)
    } else {
        Vec::new()
    };
    parts.extend(wall::own(site));
    let newels = setout.newels.iter();
    parts.extend(newels.map(|newel| railing::newel_part(newel, &setout.rail)));
    parts.push(railing::rail_part(job, &setout.rail));
    parts.extend(setout.bottom_rail.iter().map(railing::bottom_rail_part));
    parts.extend(setout.base.iter().flat_map(infill::base_parts));
    parts.extend(railing::rosette_parts(job, site, setout));
    parts.extend(setout.half_newels.iter().map(fitting::half_newel_part));
    parts.extend(beside(run));
    parts.extend(
        setout
            .balusters
            .iter()
            .map(|one| railing::baluster_part(site, setout, one)),
    );
    let panels = setout.panels.iter();
    parts.extend(panels.flat_map(|run| infill::panel_parts(site, run)));
    parts
}

/// One part of a run by its name, in the run's frame, just as [`build`] makes it: of its railing, or
/// a wall of its own. `None` for a part of the stair itself, and for a name that the run has not.
#[must_use]
pub fn one_part(run: &Run<'_>, name: &str) -> Option<Part> {
    let Run {
        job, site, setout, ..
    } = *run;
    if let Some(one) = setout.balusters.iter().find(|one| one.name == name) {
        return Some(railing::baluster_part(site, setout, one));
    }
    if let Some(newel) = setout.newels.iter().find(|newel| newel.name == name) {
        return Some(railing::newel_part(newel, &setout.rail));
    }
    if let Some(half) = setout.half_newels.iter().find(|half| half.name == name) {
        return Some(fitting::half_newel_part(half));
    }
    if setout.rail.name == name {
        return Some(railing::rail_part(job, &setout.rail));
    }
    if let Some(rail) = setout.bottom_rail.iter().find(|rail| rail.name == name) {
        return Some(railing::bottom_rail_part(rail));
    }
    let mut walls = site.walls.iter().take(site.own_walls);
    if let Some(wall) = walls.find(|wall| wall.name == name) {
        return Some(wall::part(wall));
    }
    let panels = setout.panels.iter();
    let panels = panels.flat_map(|panels| infill::panel_parts(site, panels));
    let base = setout.base.iter().flat_map(infill::base_parts);
    let mut others = panels
        .chain(base)
        .chain(railing::rosette_parts(job, site, setout))
        .chain(beside(run));
    others.find(|part| part.name == name)
}

/// The handrail on the wall side, its returns and its brackets.
fn beside(run: &Run<'_>) -> Vec<Part> {
    let rail = run.setout.wall_rail.as_ref();
    rail.map_or_else(Vec::new, |rail| fitting::wall_rail_parts(run.job, rail))
}

/// The bodies of the newels that are notched into a run's stair, one left out where it is named.
pub(super) fn notched_but<'a>(
    setout: &'a SetOut,
    but: Option<&'a str>,
) -> impl Iterator<Item = Convex> + 'a {
    setout
        .all_newels()
        .filter(move |newel| but != Some(newel.name.as_str()))
        .filter(|newel| !newel.notches.is_empty() || !newel.cutouts.is_empty())
        .filter_map(railing::newel_body)
}

/// The bodies of the newels of railings on the wall side that are notched into a run's stair, in
/// its frame, one left out where it is named.
pub(super) fn from_beside_but(
    number: usize,
    runs: &[Run<'_>],
    frames: &[Frame],
    but: Option<&str>,
) -> Vec<Vec<Plane>> {
    let back = frames[number].motion().inverse();
    runs.iter()
        .zip(frames)
        .filter(|(run, _)| run.beside == Some(number))
        .flat_map(|(run, frame)| {
            let motion = back * frame.motion();
            notched_but(run.setout, but).map(move |body| body.moved(&motion).planes().to_vec())
        })
        .collect()
}

/// Makes the solids of a whole stair in the first run's frame, with the joints between its parts.
/// `frames` has one for each run.
#[must_use]
pub fn build(runs: &[Run<'_>], frames: &[Frame]) -> Solids {
    let mut solids = Solids::default();
    for (run, frame) in runs.iter().zip(frames) {
        let motion = frame.motion();
        let still = *frame == Frame::default();
        for part in own_parts(run, &from_beside_but(run.number, runs, frames, None)) {
            let pieces = if still {
                part.pieces
            } else {
                part.pieces
                    .iter()
                    .map(|piece| piece.moved(&motion))
                    .collect()
            };
            solids.parts.push(Part { pieces, ..part });
            solids.runs.push(run.number);
        }
        for turn in run.turns {
            let parts = winders::placed_parts(turn, runs, frames, None);
            solids.runs.extend(vec![run.number; parts.len()]);
            solids.parts.extend(parts);
        }
    }
    solids.joints = joints::joints(runs, &solids);
    solids
}
