//! Work done by all cores in parts of a fixed size: the answer is the same for any number of them.

use std::ops::Range;
use std::sync::atomic::{AtomicUsize, Ordering};

/// How many points are worked on at a time.
pub(super) const POINTS: usize = 64 * 1024;

/// Does `work` on parts of `0..count`, the results in order.
pub(super) fn by_parts<T: Send>(
    count: usize,
    part: usize,
    work: impl Fn(Range<usize>) -> T + Sync,
) -> Vec<T> {
    let parts = count.div_ceil(part);
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let range = |at: usize| at * part..count.min((at + 1) * part);
    if parts <= 1 || cores <= 1 {
        return (0..parts).map(|at| work(range(at))).collect();
    }
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut done = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            if at >= parts {
                return done;
            }
            done.push((at, work(range(at))));
        }
    };
    let mut all: Vec<(usize, T)> = std::thread::scope(|scope| {
        let others: Vec<_> = (1..cores.min(parts)).map(|_| scope.spawn(worker)).collect();
        let mut all = worker();
        for other in others {
            match other.join() {
                Ok(done) => all.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    all.sort_by_key(|(at, _)| *at);
    all.into_iter().map(|(_, done)| done).collect()
}
