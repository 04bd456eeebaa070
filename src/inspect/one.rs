//! [`one`]: one finding measured again, with nothing worked out that it does not rest on.

use crate::rules::Pack;
use crate::solids;

use super::bodies::Bodies;
use super::opening::Look;
use super::railing::Railing;
use super::{
    Care, Finding, Key, Kind, Run, clearances, drawn, drifts, of_pack, of_stair_itself, of_turns,
    told,
};

/// Where a kind of finding comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Source {
    /// The cells of the openings: only the one that is asked for is measured.
    Opening,
    /// The set-out of the railing alone.
    Railing,
    /// The rails beside the walls.
    Clearance,
    /// The steps, and the winders before them.
    Stair,
    /// What shows along the run.
    Drift,
    /// What a pack asks beyond the rises and the railing.
    Pack,
    /// The whole of what is inspected.
    Whole,
}

const fn source(kind: Kind) -> Source {
    match kind {
        Kind::Opening | Kind::Triangle => Source::Opening,
        Kind::RailHeight
        | Kind::Landing
        | Kind::StringerCut
        | Kind::EdgeDistance
        | Kind::Lean
        | Kind::BlockReveal
        | Kind::NewelFoot
        | Kind::FastenerCut
        | Kind::RailReach
        | Kind::RailOpenEnd
        | Kind::Projection => Source::Railing,
        Kind::WallClearance => Source::Clearance,
        Kind::Rise
        | Kind::RiseVariation
        | Kind::RiseAdjacent
        | Kind::FlightRise
        | Kind::TreadDepth
        | Kind::TreadVariation
        | Kind::GoingAdjacent
        | Kind::TwoRisesAndGoing
        | Kind::Pitch
        | Kind::WinderWalkDepth
        | Kind::WinderLeastDepth
        | Kind::WinderVariation
        | Kind::Nosing
        | Kind::NosingVariation
        | Kind::TreadSlope => Source::Stair,
        Kind::Headroom
        | Kind::Width
        | Kind::NosingShape
        | Kind::KickSlope
        | Kind::OpenKick
        | Kind::Risers
        | Kind::LandingDepth
        | Kind::LandingWidth
        | Kind::Grip
        | Kind::Extension => Source::Pack,
        Kind::RevealDrift | Kind::RevealStep | Kind::RevealSlope => Source::Drift,
        _ => Source::Whole,
    }
}

/// True where a kind of finding is measured with the whole of what is inspected, which takes long.
#[must_use]
pub const fn rests_on_all(kind: Kind) -> bool {
    matches!(source(kind), Source::Whole)
}

/// The finding that has this key, as [`super::inspect`] would find it among all the others; `None` where
/// it would find none. Solids are made for what the finding rests on only: for an opening its own
/// neighbours, for a clash the whole stair.
#[must_use]
pub fn one(runs: &[Run<'_>], pack: &Pack, key: &Key) -> Option<Finding> {
    one_with(runs, pack, key, Care::Measure)
}

/// The same with as much care as is asked.
#[must_use]
pub fn one_with(runs: &[Run<'_>], pack: &Pack, key: &Key, care: Care<'_>) -> Option<Finding> {
    let source = source(key.kind);
    if source == Source::Whole {
        return whole(runs, pack, key);
    }
    let bodies = Bodies::one_by_one(runs);
    if source == Source::Opening {
        // Treads without kicks and what is not in a row are found with the whole.
        return Look::at(&bodies, pack, care).one(key);
    }
    let of_run = |run: &Run<'_>| match source {
        Source::Railing => Railing::of(run, pack).findings(),
        Source::Drift => drifts(run).1,
        Source::Pack => of_pack(runs, run, pack).1,
        Source::Clearance => {
            let mut found = Railing::of(run, pack).findings();
            found.extend(clearances(run, pack, &bodies));
            found
        }
        _ => {
            let mut found = of_stair_itself(runs, run, pack);
            found.extend(of_turns(run, pack));
            found
        }
    };
    runs.iter().find_map(|run| {
        let found = told(runs, run, of_run(run));
        found.into_iter().find(|finding| &finding.key == key)
    })
}

fn whole(runs: &[Run<'_>], pack: &Pack, key: &Key) -> Option<Finding> {
    let solid: Vec<_> = runs.iter().map(|run| run.solid).collect();
    let frames: Vec<_> = runs.iter().map(|run| run.frame).collect();
    let solids = solids::build(&solid, &frames);
    // It is no opening: of those it is only told which side of their limits they are on.
    let found = drawn(runs, &solids, pack, Care::Decide);
    found.into_iter().find(|finding| &finding.key == key)
}
