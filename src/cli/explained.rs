//! Troubles with their explanations: each runs the chain many times over, so they are made on every
//! core, and for the worst only.

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::chain::Chain;
use crate::explain::{Explanation, Reasons};
use crate::inspect::Finding;
use crate::publish::Told;

/// So many troubles are explained, the worst first: each takes the chain a few hundred times over.
pub(super) const EXPLAINED: usize = 30;

/// The troubles, the first of them explained.
pub(super) fn told<'a>(chain: &Chain, asked: &[&'a Finding]) -> Vec<Told<'a>> {
    let (first, others) = asked.split_at(asked.len().min(EXPLAINED));
    let mut troubles = explained(chain, first);
    troubles.extend(others.iter().map(|finding| Told {
        finding,
        explanation: Explanation::default(),
    }));
    troubles
}

/// Explains the troubles, on every core: each explanation runs the chain many times over.
fn explained<'a>(chain: &Chain, findings: &[&'a Finding]) -> Vec<Told<'a>> {
    if findings.is_empty() {
        return Vec::new();
    }
    let reasons = Reasons::of(chain);
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done: Vec<(usize, Explanation)> = Vec::new();
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(finding) = findings.get(place) else {
                return done;
            };
            done.push((place, reasons.explain(chain, &finding.key)));
        }
    };
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    let mut done: Vec<(usize, Explanation)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (1..workers.min(findings.len()))
            .map(|_| scope.spawn(work))
            .collect();
        let mut done = work();
        for worker in workers {
            match worker.join() {
                Ok(part) => done.extend(part),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|(place, _)| *place);
    findings
        .iter()
        .zip(done)
        .map(|(finding, (_, explanation))| Told {
            finding,
            explanation,
        })
        .collect()
}
