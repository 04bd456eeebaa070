//! What each length of the design does to each finding: the stair set out with it a little more and a
//! little less.

use std::sync::Arc;

use crate::chain::{self, Chain};
use crate::explain::{Lever, Pulled};
use crate::inspect::{Care, Finding};
use crate::job::OneRun;
use crate::measure::Tape;

use super::super::model::Model;
use super::super::sample::margin;
use super::MOVE_MOST;

/// It is looked this many marks away.
const LOOK: i32 = 4;
/// What has gone is so far within its limit, mm.
const GONE_MM: f64 = 1.0;

/// The levers and what they do.
pub(super) struct Pull {
    pub(super) tape: Tape,
    runs: Vec<Arc<OneRun>>,
    pub(super) levers: Vec<Lever>,
    /// What is found on the plan; nothing is in doubt.
    pub(super) plan: Vec<Finding>,
    /// What each lever does.
    pub(super) moved: Vec<Moved>,
}

/// What a mark of one lever does to each finding of the plan, mm of its margin.
pub(super) struct Moved {
    pub(super) more: Vec<f64>,
    pub(super) less: Vec<f64>,
    /// Marks that it may be moved.
    pub(super) most: i32,
    pub(super) least: i32,
}

impl Moved {
    /// True where it moves a finding's margin either way.
    pub(super) fn moves(&self, at: usize, least: f64) -> bool {
        self.more[at].abs().max(self.less[at].abs()) > least
    }
}

impl Pull {
    pub(super) fn of(model: &Model, chain: &Chain) -> Self {
        let runs = model.runs().to_vec();
        let tape = chain.first().run.job.tape;
        let mut pull = Self {
            tape,
            levers: Lever::all(chain),
            plan: Vec::new(),
            moved: Vec::new(),
            runs,
        };
        pull.plan = pull.found(model, chain, &pull.runs).unwrap_or_default();
        pull.moved = (0..pull.levers.len())
            .map(|lever| pull.look(model, chain, lever))
            .collect();
        pull
    }

    fn found(&self, model: &Model, chain: &Chain, runs: &[Arc<OneRun>]) -> Option<Vec<Finding>> {
        let laid = chain::lay(runs, &chain.estimates(), &[], model.pack()).ok()?;
        Some(laid.findings(runs, model.pack(), Care::Gauge))
    }

    fn look(&self, model: &Model, chain: &Chain, lever: usize) -> Moved {
        let way = |way: i32| {
            let runs = self.runs_with(&[(lever, way * LOOK)])?;
            let found = self.found(model, chain, &runs)?;
            let by = |before: &Finding| {
                let after = found.iter().find(|one| one.key == before.key);
                let moves = match after {
                    Some(after) => margin(after) - margin(before),
                    None if before.key.kind.goes_when_cleared() => GONE_MM - margin(before),
                    None => 0.0,
                };
                if moves.is_finite() {
                    moves / f64::from(LOOK)
                } else {
                    0.0
                }
            };
            Some(self.plan.iter().map(by).collect::<Vec<f64>>())
        };
        let (more, less) = (way(1), way(-1));
        #[expect(clippy::cast_possible_truncation, reason = "3 in of marks")]
        let most = (MOVE_MOST / self.tape.mark()).floor() as i32;
        let reach = |looked: bool, way: i32| {
            let within = |marks: &i32| self.at(lever, way * marks).is_some();
            if looked {
                (1..=most).take_while(within).last().unwrap_or(0)
            } else {
                0
            }
        };
        let still = || vec![0.0; self.plan.len()];
        Moved {
            most: reach(more.is_some(), 1),
            least: -reach(less.is_some(), -1),
            more: more.unwrap_or_else(still),
            less: less.unwrap_or_else(still),
        }
    }

    /// A lever moved by itself; `None` past what a job may hold.
    pub(super) fn at(&self, lever: usize, marks: i32) -> Option<Pulled> {
        let lever = &self.levers[lever];
        let mut job = self.runs.get(lever.run())?.job.clone();
        lever.pull(&mut job, marks)
    }

    /// The runs with some levers moved.
    pub(super) fn runs_with(&self, pulled: &[(usize, i32)]) -> Option<Vec<Arc<OneRun>>> {
        Some(self.made(pulled)?.0)
    }

    /// The same with the edits of the file.
    pub(super) fn made(&self, pulled: &[(usize, i32)]) -> Option<Made> {
        let mut runs = self.runs.clone();
        let mut edits = Vec::new();
        for &(lever, marks) in pulled {
            let lever = &self.levers[lever];
            let run = runs.get_mut(lever.run())?;
            let mut job = run.job.clone();
            edits.push(lever.pull(&mut job, marks)?.edit);
            *run = Arc::new(run.with(job));
        }
        Some((runs, edits))
    }
}

/// Runs as they are then, and the edits that make them so.
pub(super) type Made = (Vec<Arc<OneRun>>, Vec<(String, String)>);
