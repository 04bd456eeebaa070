//! Boards before a newel is notched into them, and what it takes out of each.

use crate::setout::SetOut;
use crate::site::Frame;

use super::build::{from_beside_but, notched_but};
use super::{Convex, Part, PartKind, Plane, Run, carcass, railing, winders};

/// A board of the stair with the notch of one newel not yet cut.
#[derive(Clone, Debug)]
pub struct Uncut {
    /// The board as it is before.
    pub part: Part,
    /// What the newel takes out of it.
    pub waste: Vec<Convex>,
}

/// Less waste than this is where two parts touch, mm^3: one cubic centimetre.
const TOUCHED_MM3: f64 = 1000.0;

/// Every board that a newel goes into, in the first run's frame: treads, kicks, skirts, and the
/// stringers behind them, which are never cut in [`super::build`]. `frames` has one for each run.
#[must_use]
pub fn uncut(runs: &[Run<'_>], frames: &[Frame], newel: &str) -> Vec<Uncut> {
    let owner = runs.iter().zip(frames).find_map(|(run, frame)| {
        let mut own = run.setout.newels.iter();
        let found = own.find(|one| one.name == newel)?;
        Some((found, frame))
    });
    let Some((found, frame)) = owner else {
        return Vec::new();
    };
    // A newel that stands on a surface is not let into it.
    let Some(body) = railing::newel_body(found).filter(|_| found.on_surface.is_none()) else {
        return Vec::new();
    };
    let body = body.moved(&frame.motion());
    // Only a run that has the newel, or is given it, is cut for it.
    let meets = |run: &&Run<'_>| run.setout.all_newels().any(|one| one.name == newel);
    let stairs: Vec<usize> = runs.iter().filter(meets).map(Run::stair).collect();
    let turns = runs.iter().flat_map(|run| run.turns);
    let turns = turns.flat_map(|turn| winders::placed_parts(turn, runs, frames, Some(newel)));
    runs.iter()
        .filter(|run| run.beside.is_none() && stairs.contains(&run.number))
        .flat_map(|run| boards(run, runs, frames, newel))
        .chain(turns)
        .filter_map(|part| {
            let waste = waste(&part, &body);
            (!waste.is_empty()).then_some(Uncut { part, waste })
        })
        .collect()
}

/// The boards of a run in the first run's frame, cut for every newel but one.
fn boards(run: &Run<'_>, runs: &[Run<'_>], frames: &[Frame], but: &str) -> Vec<Part> {
    let mut notchers: Vec<Vec<Plane>> = notched(run.setout, but);
    notchers.extend(from_beside_but(run.number, runs, frames, Some(but)));
    let motion = frames[run.number].motion();
    carcass::parts(run.job, run.site, &notchers)
        .into_iter()
        .filter(|part| part.kind != PartKind::Floor || run.site.upper_drawn)
        .map(|part| {
            let pieces = part.pieces.iter();
            let pieces = pieces.map(|piece| piece.moved(&motion)).collect();
            Part { pieces, ..part }
        })
        .collect()
}

fn notched(setout: &SetOut, but: &str) -> Vec<Vec<Plane>> {
    notched_but(setout, Some(but))
        .map(|body| body.planes().to_vec())
        .collect()
}

/// What a body takes out of a part.
fn waste(part: &Part, body: &Convex) -> Vec<Convex> {
    let pieces = part.pieces.iter();
    pieces
        .filter_map(|piece| piece.common(body.planes()))
        .filter(|waste| waste.volume() > TOUCHED_MM3)
        .collect()
}
