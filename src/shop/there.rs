//! What is there already: parts that have been fitted, and parts that were delivered.
//!
//! In: a [`Chain`]. Out: their names, and the marks on those that were delivered. What has been fitted is
//! neither cut nor bought again; what was delivered and is taken is cut from what came.

use std::collections::{BTreeMap, BTreeSet};

use crate::chain::{Chain, weigh};
use crate::setout::built::fitted_parts;
use crate::setout::received::Verdict;

use super::cuts::{CutPiece, Standing};

/// Parts that are there already, by name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct There {
    /// Those that have been fitted, in the order of the stair.
    pub fitted: Vec<String>,
    /// Those that were delivered and are taken, each with the mark of what came for it.
    pub received: Vec<(String, String)>,
    /// What was delivered and goes back, by its mark.
    pub goes_back: Vec<String>,
}

/// What was delivered for a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Delivered {
    /// The mark on a baluster, the name of a newel or rail.
    pub mark: String,
    /// False where it goes back.
    pub taken: bool,
}

/// What the job says is there.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// The names of the parts that have been fitted.
    pub fitted: BTreeSet<String>,
    /// What was delivered, by the part that it is for. Newels and rails come by name, balusters go
    /// where they do least harm.
    pub received: BTreeMap<String, Delivered>,
    /// What was delivered and goes back, by its mark.
    pub goes_back: Vec<String>,
}

impl Known {
    /// What a stair's job says.
    #[must_use]
    pub fn of(chain: &Chain) -> Self {
        let mut known = Self::default();
        for run in &chain.runs {
            let fitted = fitted_parts(&run.run.job, &run.site, &run.setout);
            known.fitted.extend(fitted);
            let Some(set) = weigh(run, &chain.pack) else {
                continue;
            };
            let newels = set.newels.into_iter();
            let newels = newels.map(|one| (Some(one.name.clone()), one.name, one.verdict));
            let rails = set.rails.into_iter();
            let rails = rails.map(|one| (Some(one.name.clone()), one.name, one.verdict));
            let balusters = set.balusters.into_iter();
            let balusters = balusters.map(|one| (one.at.map(|at| at.place), one.mark, one.verdict));
            for (part, mark, verdict) in newels.chain(rails).chain(balusters) {
                let taken = verdict != Verdict::SendBack;
                if !taken {
                    known.goes_back.push(mark.clone());
                }
                let delivered = Delivered { mark, taken };
                known.received.extend(part.map(|part| (part, delivered)));
            }
        }
        known
    }

    /// What of the pieces is there already; and what came and goes back.
    #[must_use]
    pub fn of_pieces(self, pieces: &[CutPiece]) -> There {
        let mut told = There {
            goes_back: self.goes_back,
            ..There::default()
        };
        for piece in pieces {
            let Some(name) = piece.members.first() else {
                continue;
            };
            match &piece.there {
                Standing::Wanted => {}
                Standing::Fitted if told.fitted.contains(name) => {}
                Standing::Fitted => told.fitted.push(name.clone()),
                Standing::Received(marks) => {
                    let marks = marks.iter().map(|mark| (name.clone(), mark.clone()));
                    told.received.extend(marks);
                }
            }
        }
        told
    }
}

impl There {
    /// True where nothing is there yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.fitted.is_empty() && self.received.is_empty() && self.goes_back.is_empty()
    }
}
