//! Explanations of troubles: each runs the chain many times over, so they are made on every core, and
//! for the worst only.

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::chain::Chain;
use crate::inspect::Finding;

use super::{Explanation, Reasons};

/// So many troubles are explained, the worst first: each takes the chain a few hundred times over.
pub const EXPLAINED: usize = 30;

/// An explanation for each of these troubles, the worst first: all past the first [`EXPLAINED`] are
/// without one.
#[must_use]
pub fn worst(chain: &Chain, findings: &[&Finding]) -> Vec<Explanation> {
    let first = &findings[..findings.len().min(EXPLAINED)];
    let mut all = explained(chain, first);
    all.resize_with(findings.len(), Explanation::default);
    all
}

/// Explains the troubles, on every core.
fn explained(chain: &Chain, findings: &[&Finding]) -> Vec<Explanation> {
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
    done.into_iter()
        .map(|(_, explanation)| explanation)
        .collect()
}
