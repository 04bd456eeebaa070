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

#[cfg(test)]
mod tests {
    use super::super::stream::stream;
    use super::*;
    use std::panic::{AssertUnwindSafe, catch_unwind};
    use std::sync::atomic::{AtomicI64, AtomicU64, Ordering};
    use std::time::Duration;

    fn effort(ends: &[u64], chunk: u64, threads: usize) -> Effort {
        Effort {
            ends: ends.to_vec(),
            chunk,
            threads,
        }
    }

    fn goes_on(_: Progress) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }

    /// A sum whose last bits depend on the order of adding, and the numbers of the draws.
    fn sum_of_normals(
        effort: &Effort,
        enough: impl FnMut(&(f64, u64), u64) -> bool,
    ) -> Ran<(f64, u64)> {
        run(
            effort,
            || (0.0, 0),
            |sum, number| {
                sum.0 += stream(4, number).normal().exp();
                sum.1 += number;
            },
            |sum, more| {
                sum.0 += more.0;
                sum.1 += more.1;
            },
            enough,
            &goes_on,
        )
    }

    #[test]
    fn the_answer_has_the_same_bits_on_any_number_of_threads() {
        let on = |threads| {
            let ran = sum_of_normals(&effort(&[1000, 5003], 16, threads), |_, _| false);
            (ran.summary.0.to_bits(), ran.summary.1, ran.draws, ran.ended)
        };
        let one = on(1);
        assert_eq!((one.1, one.2, one.3), (5003 * 5002 / 2, 5003, Ended::Most));
        for threads in [2, 3, 8] {
            assert_eq!(on(threads), one, "{threads} threads");
        }
    }

    #[test]
    fn it_stops_at_an_end_only() {
        let mut asked = Vec::new();
        let ran = sum_of_normals(&effort(&[10, 35, 60, 200], 16, 2), |sum, draws| {
            asked.push((draws, sum.1));
            draws > 20
        });
        assert_eq!(asked, [(10, 45), (35, 595)]);
        assert_eq!((ran.draws, ran.ended), (35, Ended::Enough));
    }

    #[test]
    fn odd_efforts_are_taken_as_they_can_be_meant() {
        let none = sum_of_normals(&effort(&[], 16, 2), |_, _| true);
        assert_eq!((none.draws, none.ended), (0, Ended::Most));
        // An end that is not beyond the one before is none; no thread means one, no chunk one draw.
        let ran = sum_of_normals(&effort(&[20, 20, 5, 30], 0, 0), |_, _| false);
        assert_eq!((ran.draws, ran.summary.1), (30, 435));
    }

    #[test]
    fn broken_off_it_gives_the_draws_from_the_first_on() {
        for threads in [1, 3] {
            let ran = run(
                &effort(&[100, 1_000_000], 10, threads),
                Vec::new,
                |numbers: &mut Vec<u64>, number| numbers.push(number),
                Vec::extend,
                |_, _| false,
                &|progress| {
                    assert_eq!(progress.most, 1_000_000);
                    if progress.done >= 200 {
                        ControlFlow::Break(())
                    } else {
                        ControlFlow::Continue(())
                    }
                },
            );
            assert_eq!(ran.ended, Ended::Cancelled);
            assert!(ran.draws >= 100 && ran.draws <= 240, "{}", ran.draws);
            assert_eq!(ran.summary, (0..ran.draws).collect::<Vec<_>>());
        }
    }

    #[test]
    fn the_watcher_sees_every_draw_once() {
        let seen = Mutex::new(Vec::new());
        let watch = |progress: Progress| {
            seen.lock().expect("nobody panics").push(progress.done);
            ControlFlow::Continue(())
        };
        run(
            &effort(&[50, 95], 10, 3),
            || (),
            |(), _| (),
            |(), ()| (),
            |(), _| false,
            &watch,
        );
        let seen = seen.into_inner().expect("nobody panics");
        assert!(
            seen.is_sorted() && seen.len() == 10 && seen.last() == Some(&95),
            "{seen:?}"
        );
    }

    #[test]
    fn a_draw_that_panics_is_heard_and_nobody_waits_for_it() {
        for threads in [1, 4] {
            let panic = catch_unwind(AssertUnwindSafe(|| {
                run(
                    &effort(&[100_000], 5, threads),
                    || (),
                    // The first chunk: all others wait for it to be merged.
                    |(), number| assert!(number != 3, "draw {number} fell through"),
                    |(), ()| (),
                    |(), _| false,
                    &goes_on,
                )
            }));
            let payload = panic.expect_err("it must be passed on");
            let told = payload.downcast_ref::<String>();
            assert_eq!(told.map(String::as_str), Some("draw 3 fell through"));
        }
    }

    #[test]
    fn a_merge_or_a_watcher_that_panics_is_heard_too() {
        let ran = |merges: bool| {
            catch_unwind(AssertUnwindSafe(|| {
                run(
                    &effort(&[100_000], 5, 3),
                    || (),
                    |(), _| (),
                    |(), ()| assert!(!merges, "no merging"),
                    |(), _| false,
                    &|_| {
                        assert!(merges, "no watching");
                        ControlFlow::Continue(())
                    },
                )
            }))
        };
        assert!(ran(true).is_err() && ran(false).is_err());
    }

    /// Summaries that are alive at a time: no more with a thousand chunks than with fifty.
    #[test]
    fn a_slow_chunk_does_not_let_the_others_pile_up() {
        static ALIVE: AtomicI64 = AtomicI64::new(0);
        static MOST: AtomicI64 = AtomicI64::new(0);
        struct Counted;
        impl Drop for Counted {
            fn drop(&mut self) {
                ALIVE.fetch_sub(1, Ordering::SeqCst);
            }
        }
        let threads = 3;
        let waited = AtomicU64::new(0);
        run(
            &effort(&[2000], 2, threads),
            || {
                MOST.fetch_max(ALIVE.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                Counted
            },
            |_, number| {
                if number % 500 == 0 {
                    waited.fetch_add(1, Ordering::SeqCst);
                    thread::sleep(Duration::from_millis(10));
                }
            },
            |_, _| (),
            |_, _| false,
            &goes_on,
        );
        assert_eq!(waited.into_inner(), 4);
        // The total, those handed out ahead, and one in the merger's hand.
        let most = i64::try_from(AHEAD).unwrap_or(0) * threads as i64 + 2;
        let seen = MOST.load(Ordering::SeqCst);
        assert!(seen <= most && seen > threads as i64, "{seen} of {most}");
    }
}
