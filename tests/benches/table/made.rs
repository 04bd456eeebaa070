//! What the stages start from: the chain with its set-out before anything was made of it.

use std::sync::Arc;

use rakewell::chain::{self, Chain, Laid};
use rakewell::inspect::{self, Care, Finding, Kind, Run, Watched};
use rakewell::job::{Job, OneRun};
use rakewell::solids;
use rakewell::survey::Survey;

/// The chain of a stair and what it was made of.
pub(crate) struct Made {
    pub(crate) chain: Chain,
    pub(crate) runs: Vec<Arc<OneRun>>,
    pub(crate) surveys: Vec<Arc<Survey>>,
    pub(crate) laid: Laid,
}

impl Made {
    pub(crate) fn of(job: &Job) -> Self {
        let chain = chain::run(job).expect("the stair can be set out");
        let runs = chain::again(&chain);
        let laid = chain::lay(&runs, &chain.estimates(), &[], &chain.pack);
        Self {
            surveys: chain.surveys(),
            laid: laid.expect("the stair can be set out"),
            chain,
            runs,
        }
    }

    /// The runs as they are inspected.
    pub(crate) fn inspected(&self) -> Vec<Run<'_>> {
        let placed = self.laid.placed.iter().zip(&self.laid.setouts);
        let runs = self.runs.iter().zip(placed).enumerate();
        runs.map(|(number, (run, (placed, setout)))| Run {
            name: &run.name,
            frame: placed.frame,
            survey: None,
            solid: solids::Run {
                number,
                beside: run.beside.as_ref().map(|(stair, _)| *stair),
                job: &run.job,
                site: &placed.site,
                turns: &placed.turns,
                setout,
            },
        })
        .collect()
    }

    /// Every opening with what bounds it.
    pub(crate) fn bounded(&self) -> Vec<inspect::Bounded> {
        inspect::bounded(&self.inspected(), &self.chain.solids, &self.chain.pack)
    }

    /// What is found with no ball sought.
    pub(crate) fn without_balls(&self, none: &Watched) -> Vec<Finding> {
        let care = Care::Some(none);
        inspect::drawn(
            &self.inspected(),
            &self.chain.solids,
            &self.chain.pack,
            care,
        )
    }

    /// All openings, to be passed over.
    pub(crate) fn no_openings(&self) -> Watched {
        let openings = self.chain.inspection.findings.iter();
        let openings =
            openings.filter(|one| matches!(one.key.kind, Kind::Opening | Kind::Triangle));
        Watched {
            passed_over: openings.map(|one| one.key.clone()).collect(),
            ..Watched::default()
        }
    }
}
