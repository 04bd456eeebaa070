//! [`Again`]: the chain run again with something made true, as far as one number asks for it.

use std::sync::Arc;

use crate::chain::{self, Chain, ChainError, Laid};
use crate::inspect::{Finding, Kind, Sense, clash, judge};
use crate::job::OneRun;
use crate::measure::Length;
use crate::rules::Pack;
use crate::setout::Choices;
use crate::survey::{Estimates, Survey};

use super::groups::Makes;

/// What the chain runs on, choices held.
#[derive(Clone, Debug)]
pub(super) struct Again {
    runs: Vec<Arc<OneRun>>,
    found: Vec<Estimates>,
    held: Vec<Choices>,
    pack: Arc<Pack>,
    surveys: Vec<Arc<Survey>>,
}

/// A stair set out again.
#[derive(Clone, Debug)]
pub(super) struct State {
    pub(super) runs: Vec<Arc<OneRun>>,
    pub(super) laid: Laid,
}

impl Again {
    pub(super) fn of(chain: &Chain) -> Self {
        Self {
            runs: chain::again(chain),
            found: chain.estimates(),
            held: chain.choices(),
            pack: chain.pack.clone(),
            surveys: chain.surveys(),
        }
    }

    /// The same, but nothing held.
    pub(super) fn free(chain: &Chain) -> Self {
        Self {
            held: Vec::new(),
            ..Self::of(chain)
        }
    }

    pub(super) fn pack(&self) -> &Pack {
        &self.pack
    }

    /// The runs and their estimates with something made true.
    fn made(&self, makes: &Makes) -> (Vec<Arc<OneRun>>, Vec<Estimates>) {
        let mut runs = self.runs.clone();
        for &turn in &makes.turns {
            if let Some(run) = runs.get_mut(turn) {
                *run = Arc::new(run.with_true_turns());
            }
        }
        let estimates = self.found.iter().enumerate().map(|(number, found)| {
            let own = makes.faults.iter().filter(|(run, _)| *run == number);
            found.made_true_all(own.map(|(_, fault)| fault))
        });
        (runs, estimates.collect())
    }

    /// The stair set out with something made true; `None` where it cannot be.
    pub(super) fn lay(&self, makes: &Makes) -> Option<State> {
        let (runs, estimates) = self.made(makes);
        let laid = chain::lay(&runs, &estimates, &self.held, &self.pack).ok()?;
        Some(State { runs, laid })
    }

    /// The stair set out with one run changed; `None` where it cannot be.
    pub(super) fn lay_changed(&self, number: usize, run: OneRun) -> Option<State> {
        let mut runs = self.runs.clone();
        *runs.get_mut(number)? = Arc::new(run);
        let laid = chain::lay(&runs, &self.found, &self.held, &self.pack).ok()?;
        Some(State { runs, laid })
    }

    /// All of the chain with something made true.
    pub(super) fn run(&self, makes: &Makes) -> Result<Chain, ChainError> {
        let (runs, estimates) = self.made(makes);
        chain::run_on(&runs, estimates, &self.held)
    }

    /// All of the chain on runs that are changed already, with the doubt of the readings.
    pub(super) fn run_changed(&self, runs: &[Arc<OneRun>]) -> Result<Chain, ChainError> {
        chain::run_with(runs, self.found.clone(), &self.held, &self.surveys)
    }
}

impl State {
    /// A finding measured again, with nothing else looked at. Of a clash only its depth is.
    pub(super) fn finding(&self, pack: &Pack, like: &Finding) -> Option<Finding> {
        if like.key.kind != Kind::Clash {
            return self.laid.finding(&self.runs, pack, &like.key);
        }
        let solids = self.laid.solids(&self.runs);
        let named = |at: usize| &solids.parts[at].name;
        let clashes = clash::clashes(&solids).into_iter();
        let here = clashes.filter(|one| {
            let parts = [named(one.a), named(one.b)];
            like.key.parts.iter().eq(parts)
        });
        let depth = Length::mm(here.map(|one| one.depth).reduce(f64::max)?);
        Some(Finding {
            lower: depth,
            upper: depth,
            verdict: judge(depth, depth, like.sense, like.limit, None),
            ..like.clone()
        })
    }
}

/// What a quantity is where it is not found any more: a depth that should not be there has none.
pub(super) fn absent(finding: &Finding) -> Option<Length> {
    // No lean is told where the balusters stand plumb.
    let never = finding.key.kind.goes_when_cleared()
        || finding.key.kind == Kind::Lean
        || (is_depth(finding.key.kind)
            && finding.sense == Sense::AtMost
            && finding.limit <= Length::ZERO);
    never.then_some(Length::ZERO)
}

/// Depths that are told only where they are.
fn is_depth(kind: Kind) -> bool {
    matches!(kind, Kind::SeatDeep | Kind::PastEdge | Kind::PloughMiss)
}
