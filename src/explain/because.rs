//! Shares "made true alone": the chain run again with one fault at a time made true, discrete
//! choices held.

use std::sync::Arc;

use crate::chain::{self, Chain};
use crate::inspect::{Inspection, Key};
use crate::job::OneRun;
use crate::measure::Length;
use crate::measure::tolerance::SHARE_MM;
use crate::setout::Choices;
use crate::survey::Estimates;

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
    pub fn of(chain: &Chain) -> Self {
        let (runs, held) = (chain::again(chain), chain.choices());
        let found = chain.estimates();
        let several = chain.stairs().count() > 1;
        let alone = chain
            .stairs()
            .flat_map(|(number, run)| {
                let faults = run.estimates.faults();
                faults.into_iter().map(move |fault| (number, run, fault))
            })
            .map(|(number, run, (fault, readings))| {
                let mut estimates = found.clone();
                estimates[number] = run.estimates.made_true(&fault);
                let again = chain::run_on(&runs, estimates, &held);
                let of = if several {
                    format!(" of run {}", run.run.name)
                } else {
                    String::new()
                };
                Alone {
                    what: format!("{fault}{of}"),
                    readings: readings.iter().map(|path| run.run.path(path)).collect(),
                    inspection: again.ok().map(|chain| chain.inspection),
                }
            })
            .chain(turns(chain, &runs, &found, &held))
            .collect();
        let all_true = chain::run_true(chain).ok().map(|run| run.inspection);
        Self { alone, all_true }
    }

    /// Why one quantity is what it is, and what would cure it.
    #[must_use]
    pub fn explain(&self, chain: &Chain, key: &Key) -> Explanation {
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
            cure::cures(chain, finding)
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

/// What is read of each turn on winders, made true alone.
fn turns(chain: &Chain, runs: &[Arc<OneRun>], found: &[Estimates], held: &[Choices]) -> Vec<Alone> {
    let read = chain.runs.iter().enumerate().filter_map(|(number, run)| {
        let readings: Vec<String> = run
            .run
            .turns
            .iter()
            .flat_map(|turn| {
                let count = turn.winders.readings.len();
                (0..count).map(|at| format!("{}.winders.readings[{at}]", turn.path))
            })
            .collect();
        (!readings.is_empty()).then_some((number, readings))
    });
    read.map(|(number, readings)| {
        let mut changed = runs.to_vec();
        changed[number] = Arc::new(runs[number].with_true_turns());
        let names: Vec<&str> = runs[number]
            .turns
            .iter()
            .map(|turn| turn.name.as_str())
            .collect();
        Alone {
            what: format!("winders {} as read", names.join(" and ")),
            readings,
            inspection: chain::run_on(&changed, found.to_vec(), held)
                .ok()
                .map(|chain| chain.inspection),
        }
    })
    .collect()
}

/// The value of a quantity in another run. A clash or a cut that is not there has no depth.
fn value_of(inspection: &Inspection, key: &Key) -> Option<Length> {
    let absent = key.kind.goes_when_cleared().then_some(Length::ZERO);
    inspection
        .find(key)
        .map(crate::inspect::Finding::value)
        .or(absent)
}
