//! [`Bodies`]: the pieces of a part by its name, in the first run's frame, mm.
//!
//! Taken from the whole stair's solids where those are at hand, else made for the one part that is
//! asked for, by the same steps and so to the last digit alike.

use std::borrow::Cow;

use crate::site::Frame;
use crate::solids::{self, Convex, Solids};

use super::Run;

/// Where pieces are looked up.
pub(super) struct Bodies<'a> {
    runs: &'a [Run<'a>],
    whole: Option<Whole<'a>>,
}

/// All solids with their places sorted by run and name.
struct Whole<'a> {
    solids: &'a Solids,
    places: Vec<(usize, &'a str, usize)>,
}

impl<'a> Bodies<'a> {
    /// Of solids that are at hand.
    pub(super) fn of(runs: &'a [Run<'a>], solids: &'a Solids) -> Self {
        let named = solids.parts.iter().zip(&solids.runs).enumerate();
        let mut places: Vec<_> = named
            .map(|(at, (part, run))| (*run, part.name.as_str(), at))
            .collect();
        places.sort_unstable();
        let whole = Some(Whole { solids, places });
        Self { runs, whole }
    }

    /// Each made when it is asked for.
    pub(super) const fn one_by_one(runs: &'a [Run<'a>]) -> Self {
        Self { runs, whole: None }
    }

    /// The runs, by their numbers.
    pub(super) const fn runs(&self) -> &'a [Run<'a>] {
        self.runs
    }

    /// The pieces of a part of the railing, or of a wall, as a run calls it: its own, or one that
    /// another run gave it. None where there is no such part.
    pub(super) fn pieces(&self, run: usize, name: &str) -> Cow<'a, [Convex]> {
        let others = (0..self.runs.len()).filter(|&other| other != run);
        std::iter::once(run)
            .chain(others)
            .find_map(|run| self.own(run, name))
            .unwrap_or_default()
    }

    fn own(&self, run: usize, name: &str) -> Option<Cow<'a, [Convex]>> {
        if let Some(Whole { solids, places }) = &self.whole {
            let at = places.partition_point(|&(of, part, _)| (of, part) < (run, name));
            let &(of, part, place) = places.get(at)?;
            return ((of, part) == (run, name))
                .then(|| Cow::Borrowed(solids.parts[place].pieces.as_slice()));
        }
        let one = self.runs.get(run)?;
        let part = solids::one_part(&one.solid, name)?;
        Some(Cow::Owned(placed(part.pieces, &one.frame)))
    }
}

/// Pieces of a run's frame in the first run's.
pub(super) fn placed(pieces: Vec<Convex>, frame: &Frame) -> Vec<Convex> {
    if *frame == Frame::default() {
        return pieces;
    }
    let motion = frame.motion();
    pieces.iter().map(|piece| piece.moved(&motion)).collect()
}
