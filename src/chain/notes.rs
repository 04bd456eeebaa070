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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Document;
    use approx::assert_relative_eq;

    fn straight() -> Chain {
        let text = include_str!("../../scenes/straight.ron");
        let document = Document::parse(text, "straight.ron").unwrap();
        super::super::run(document.job()).unwrap()
    }

    #[test]
    fn the_gap_of_the_set_out_is_the_clear_distance_of_newel_and_baluster() {
        let chain = straight();
        let mut compared = 0;
        for gap in &chain.first().setout.gaps {
            let ends = [&gap.below, &gap.above];
            if ends.iter().any(|name| name.starts_with('N')) {
                let [from, to] = ends.map(|name| Hooked::whole(name));
                let read = taped(&chain, &from, &to).span.unwrap();
                assert_relative_eq!(read.clear.as_mm(), gap.clear.as_mm(), epsilon = 0.05);
                assert_relative_eq!(read.up_flight.as_mm(), gap.clear.as_mm(), epsilon = 0.05);
                compared += 1;
            }
        }
        assert!(compared >= 1);
    }

    #[test]
    fn a_note_of_a_part_that_is_gone_says_so() {
        let chain = straight();
        let note = Note {
            from: Hooked::whole("N1"),
            to: Hooked::whole("B99"),
            says: String::new(),
        };
        let told = notes(&chain, std::slice::from_ref(&note));
        assert_eq!(told[0].1.gone, ["B99"]);
        assert!(told[0].1.span.is_none() && told[0].1.from.is_some());
    }
}
