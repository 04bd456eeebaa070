//! Many draws on several threads, with one answer whatever their number.
//!
//! In: how to make an empty summary, add a draw to it and merge two; where it may stop. Out:
//! [`Ran`]. Draws are handed out in chunks; every chunk has a summary of its own, and these are
//! merged in the order of the chunks, on the calling thread: so the sums are made in the same order
//! and the answer has the same bits on 1 thread or 8. No thread runs further ahead than a few
//! chunks, so memory does not grow with the number of draws.
//! Does not: know what is drawn; make random numbers.

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::panic::resume_unwind;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;

/// A thread may be so many chunks per thread ahead of the one that is merged next.
const AHEAD: u64 = 4;

/// How much is drawn, and how.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Effort {
    /// The numbers of draws, rising, at which it may stop; at the last it does.
    pub ends: Vec<u64>,
    /// So many draws are handed out at a time. The answer depends on it in its last bits.
    pub chunk: u64,
    /// So many threads draw. The answer does not depend on it.
    pub threads: usize,
}

/// How far it has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Draws made.
    pub done: u64,
    /// Draws that it may come to.
    pub most: u64,
}

/// Why it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// The answer was good enough at one of the ends.
    Enough,
    /// It came to the last end without that.
    Most,
    /// The watcher broke it off.
    Cancelled,
}

/// What came of the draws.
#[derive(Clone, Debug, PartialEq)]
pub struct Ran<S> {
    /// The summary of the draws.
    pub summary: S,
    /// How many draws it sums up: those numbered from 0 to before this.
    pub draws: u64,
    /// Why it ended.
    pub ended: Ended,
}

/// Draws until it is enough.
///
/// `draw` adds the draw of a number to a summary (which may hold scratch space too: `empty` makes a
/// new one for every chunk). At each of the ends `enough` is asked with all so far and their number.
/// `watch` is called after each chunk, from the thread that made it, one call at a time and with
/// rising numbers. If it breaks, what was merged in order so far comes back.
///
/// # Panics
///
/// When one of the closures panics, with what it panicked with.
pub fn run<S: Send>(
    effort: &Effort,
    empty: impl Fn() -> S + Sync,
    draw: impl Fn(&mut S, u64) + Sync,
    mut merge: impl FnMut(&mut S, S),
    mut enough: impl FnMut(&S, u64) -> bool,
    watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
) -> Ran<S> {
    let most = effort.ends.iter().copied().max().unwrap_or(0);
    let mut ran = Ran {
        summary: empty(),
        draws: 0,
        ended: Ended::Most,
    };
    for &end in &effort.ends {
        if end <= ran.draws {
            continue;
        }
        let leg = Leg {
            from: ran.draws,
            to: end,
            most,
            chunk: effort.chunk.max(1),
            threads: effort.threads.max(1),
            shared: Mutex::default(),
            merged_one: Condvar::new(),
            done: Mutex::new(ran.draws),
        };
        ran.draws = leg.run(&empty, &draw, &mut merge, &mut ran.summary, watch);
        if ran.draws < end {
            ran.ended = Ended::Cancelled;
            return ran;
        }
        if enough(&ran.summary, ran.draws) {
            ran.ended = Ended::Enough;
            return ran;
        }
    }
    ran
}

/// The draws from one end to the next.
struct Leg {
    from: u64,
    to: u64,
    most: u64,
    chunk: u64,
    threads: usize,
    shared: Mutex<Shared>,
    merged_one: Condvar,
    done: Mutex<u64>,
}

/// What the threads of a leg know of each other.
#[derive(Default)]
struct Shared {
    /// The next chunk to hand out.
    next: u64,
    /// Chunks merged.
    merged: u64,
    /// No further chunk is to be begun.
    stop: bool,
}

/// Stops the others when its owner leaves, in whichever way: nobody waits for one that panicked.
struct StopsAll<'a>(&'a Leg);

impl Drop for StopsAll<'_> {
    fn drop(&mut self) {
        self.0.stop();
    }
}

impl Leg {
    fn chunks(&self) -> u64 {
        (self.to - self.from).div_ceil(self.chunk)
    }

    /// The numbers of the draws of a chunk.
    fn draws(&self, chunk: u64) -> std::ops::Range<u64> {
        let from = self.from + chunk * self.chunk;
        from..self.to.min(from + self.chunk)
    }

    /// The number of the draw after the last of those chunks that were merged.
    fn run<S: Send>(
        &self,
        empty: &(impl Fn() -> S + Sync),
        draw: &(impl Fn(&mut S, u64) + Sync),
        merge: &mut impl FnMut(&mut S, S),
        summary: &mut S,
        watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
    ) -> u64 {
        let merged = thread::scope(|scope| {
            let (send, receive) = channel();
            let workers: Vec<_> = (0..self.threads)
                .map(|_| {
                    let send = send.clone();
                    scope.spawn(move || self.work(empty, draw, &send, watch))
                })
                .collect();
            drop(send);
            let guard = StopsAll(self);
            let merged = self.merge_in_order(&receive, merge, summary);
            drop(guard);
            for worker in workers {
                if let Err(panic) = worker.join() {
                    resume_unwind(panic);
                }
            }
            merged
        });
        self.to.min(self.from + merged * self.chunk)
    }

    /// A worker's life: chunks, until there are no more.
    fn work<S>(
        &self,
        empty: &impl Fn() -> S,
        draw: &impl Fn(&mut S, u64),
        send: &Sender<(u64, S)>,
        watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
    ) {
        while let Some(chunk) = self.claim() {
            let panicking = StopsAll(self);
            let mut summary = empty();
            let draws = self.draws(chunk);
            let count = draws.end - draws.start;
            for number in draws {
                draw(&mut summary, number);
            }
            // Nobody takes it only when the merging panicked, and that is told from there.
            let taken = send.send((chunk, summary)).is_ok();
            let goes_on = self.tell(count, watch).is_continue();
            if !taken || !goes_on {
                return;
            }
            std::mem::forget(panicking);
        }
    }

    /// The next chunk, once it is not too far ahead of what is merged.
    fn claim(&self) -> Option<u64> {
        let window = AHEAD * self.threads as u64;
        let mut shared = locked(&self.shared);
        while !shared.stop && shared.next < self.chunks() && shared.next >= shared.merged + window {
            shared = self
                .merged_one
                .wait(shared)
                .unwrap_or_else(PoisonError::into_inner);
        }
        if shared.stop || shared.next >= self.chunks() {
            return None;
        }
        shared.next += 1;
        Some(shared.next - 1)
    }

    fn tell(
        &self,
        count: u64,
        watch: &(dyn Fn(Progress) -> ControlFlow<()> + Sync),
    ) -> ControlFlow<()> {
        let mut done = locked(&self.done);
        *done += count;
        watch(Progress {
            done: *done,
            most: self.most,
        })
    }

    fn stop(&self) {
        locked(&self.shared).stop = true;
        self.merged_one.notify_all();
    }

    /// Merges the chunks as they come, none before those in front of it; how many there were.
    fn merge_in_order<S>(
        &self,
        receive: &Receiver<(u64, S)>,
        merge: &mut impl FnMut(&mut S, S),
        summary: &mut S,
    ) -> u64 {
        let mut early = BTreeMap::new();
        let mut merged = 0;
        // It ends when the last worker has gone and let go of its end of the channel.
        for (chunk, part) in receive {
            early.insert(chunk, part);
            while let Some(part) = early.remove(&merged) {
                merge(summary, part);
                merged += 1;
            }
            locked(&self.shared).merged = merged;
            self.merged_one.notify_all();
        }
        merged
    }
}

/// A lock whatever happened to others who held it: a panic is told by joining the thread.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
