//! Shares "made true alone": the chain run again with one fault at a time made true, discrete
//! choices held.

use crate::chain::{self, Chain};
use crate::inspect::{Inspection, Key, Kind};
use crate::job::Job;
use crate::measure::Length;
use crate::measure::tolerance::SHARE_MM;

use super::{Because, Explanation, cure};

/// The chain's answers with each fault made true alone, and with all of them: run once, asked for
/// every trouble.
#[derive(Clone, Debug)]
pub struct Reasons {
    alone: Vec<Alone>,
    all_true: Option<Inspection>,
}

#[derive(Clone, Debug)]
struct Alone {
    what: String,
    readings: Vec<String>,
    /// `None` where the stair cannot be set out with this fault made true.
    inspection: Option<Inspection>,
}

impl Reasons {
    /// Runs the chain once for every fault that was measured.
    #[must_use]
    pub fn of(job: &Job, chain: &Chain) -> Self {
        let held = &chain.setout.choices;
        let alone = chain
            .estimates
            .faults()
            .into_iter()
            .map(|(fault, readings)| {
                let run = chain::run_on(job, chain.estimates.made_true(&fault), held);
                Alone {
                    what: fault.to_string(),
                    readings,
                    inspection: run.ok().map(|run| run.inspection),
                }
            })
            .collect();
        let all_true = chain::run_true(job, chain).ok().map(|run| run.inspection);
        Self { alone, all_true }
    }

    /// Why one quantity is what it is, and what would cure it.
    #[must_use]
    pub fn explain(&self, job: &Job, chain: &Chain, key: &Key) -> Explanation {
        let Some(finding) = chain.inspection.find(key) else {
            return Explanation::default();
        };
        let value = finding.value();
        let mut because: Vec<Because> = self
            .alone
            .iter()
            .filter_map(|alone| {
                let then = value_of(alone.inspection.as_ref()?, key)?;
                Some(Because {
                    what: alone.what.clone(),
                    share: value - then,
                    readings: alone.readings.clone(),
                })
            })
            .filter(|because| because.share.abs().as_mm() > SHARE_MM)
            .collect();
        because.sort_by(|a, b| b.share.abs().total_cmp(&a.share.abs()));
        let when_true = self
            .all_true
            .as_ref()
            .and_then(|inspection| value_of(inspection, key));
        let shares: Length = because.iter().map(|because| because.share).sum();
        let whole = when_true.map_or(shares, |when_true| value - when_true);
        let cures = if finding.is_trouble() {
            cure::cures(job, chain, finding)
        } else {
            Vec::new()
        };
        Explanation {
            because,
            remainder: whole - shares,
            when_true,
            cures,
        }
    }
}

/// The value of a quantity in another run. A clash or a cut that is not there has no depth.
fn value_of(inspection: &Inspection, key: &Key) -> Option<Length> {
    let absent = matches!(key.kind, Kind::Clash | Kind::StringerCut).then_some(Length::ZERO);
    inspection
        .find(key)
        .map(crate::inspect::Finding::value)
        .or(absent)
}
