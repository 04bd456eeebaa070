//! [`Stair`]: the whole stair with what is asked of it again and again: its runs, and where a part
//! stands in the list.

use std::collections::BTreeMap;

use crate::measure::Tape;
use crate::solids::{Part, PartKind, Solids};

use super::Run;

/// The whole stair, in the first run's frame.
pub(super) struct Stair<'a> {
    pub(super) runs: &'a [Run<'a>],
    pub(super) solids: &'a Solids,
    /// Where each part stands in the list.
    places: BTreeMap<&'a str, usize>,
}

impl<'a> Stair<'a> {
    pub(super) fn of(runs: &'a [Run<'a>], solids: &'a Solids) -> Self {
        let mut places = BTreeMap::new();
        for (place, part) in solids.parts.iter().enumerate() {
            // Of two with one name the first is meant.
            places.entry(part.name.as_str()).or_insert(place);
        }
        Self {
            runs,
            solids,
            places,
        }
    }

    pub(super) fn place(&self, name: &str) -> Option<usize> {
        self.places.get(name).copied()
    }

    pub(super) fn part(&self, place: usize) -> Option<&'a Part> {
        self.solids.parts.get(place)
    }

    pub(super) fn kind(&self, place: usize) -> Option<PartKind> {
        self.part(place).map(|part| part.kind)
    }

    /// The name of a part; empty for none.
    pub(super) fn name(&self, place: usize) -> &'a str {
        self.part(place).map_or("", |part| part.name.as_str())
    }

    /// The number of the run that a part belongs to.
    pub(super) fn run_of(&self, place: usize) -> usize {
        self.solids.runs.get(place).copied().unwrap_or(0)
    }

    pub(super) fn tape(&self) -> Tape {
        self.runs
            .first()
            .map_or_else(Tape::default, |first| first.solid.job.tape)
    }
}
