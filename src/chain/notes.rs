//! Tapes laid between two things of the stair as found, by the names of what they are hooked on.
//!
//! In: a chain and what a tape is hooked on. Out: what it reads, or whose part is gone.

use super::Chain;
use crate::inspect::span::{self, Hook, Rake, Span};
use crate::job::{Hooked, HookedOn, Note};
use crate::solids::{Part, Solids};

/// A tape that is laid.
#[derive(Clone, Debug)]
pub struct Taped {
    /// What its first end is hooked on; `None` where that part is gone.
    pub from: Option<Hook>,
    /// What the other one is.
    pub to: Option<Hook>,
    /// What it reads.
    pub span: Option<Span>,
    /// The parts that are gone.
    pub gone: Vec<String>,
}

/// What of a part of some solids a tape can be hooked on: the whole of it first, then faces, edges and
/// corners. The solids may be the chain's own or the same parts as they are drawn. Empty where there
/// is no such part.
#[must_use]
pub fn hooks_of(chain: &Chain, solids: &Solids, part: &str) -> Vec<Hook> {
    let Some((run, part)) = part_of(solids, part) else {
        return Vec::new();
    };
    let Some(run) = chain.runs.get(run) else {
        return Vec::new();
    };
    span::hooks(part, &run.frame, run.site.outward)
}

/// A part and its run.
fn part_of<'a>(solids: &'a Solids, name: &str) -> Option<(usize, &'a Part)> {
    let at = solids.parts.iter().position(|part| part.name == name)?;
    Some((solids.runs.get(at).copied().unwrap_or(0), &solids.parts[at]))
}

/// Lays a tape on the stair as found. The rake is that of the first end's run.
#[must_use]
pub fn taped(chain: &Chain, from: &Hooked, to: &Hooked) -> Taped {
    let end = |hooked: &Hooked| {
        if hooked.on == HookedOn::Whole {
            return part_of(&chain.solids, &hooked.part).and_then(|(_, part)| span::whole(part));
        }
        let hooks = hooks_of(chain, &chain.solids, &hooked.part);
        span::find(&hooks, hooked).cloned()
    };
    let (first, other) = (end(from), end(to));
    let rake = part_of(&chain.solids, &from.part).and_then(|(run, _)| rake(chain, run));
    let span = match (&first, &other, rake) {
        (Some(first), Some(other), Some(rake)) => span::span(&first.hold, &other.hold, &rake),
        _ => None,
    };
    let ends = [(&first, from), (&other, to)].into_iter();
    Taped {
        gone: ends
            .filter(|(end, _)| end.is_none())
            .map(|(_, hooked)| hooked.part.clone())
            .collect(),
        from: first,
        to: other,
        span,
    }
}

/// Which way a run goes, and how steeply.
fn rake(chain: &Chain, run: usize) -> Option<Rake> {
    let run = chain.runs.get(run)?;
    Some(Rake {
        frame: run.frame,
        pitch: run.setout.rail.pitch,
    })
}

/// The notes of a job, measured on the stair as found.
#[must_use]
pub fn notes<'a>(chain: &Chain, notes: &'a [Note]) -> Vec<(&'a Note, Taped)> {
    let told = notes.iter();
    told.map(|note| (note, taped(chain, &note.from, &note.to)))
        .collect()
}
