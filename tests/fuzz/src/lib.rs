//! What every fuzz target holds its subject against, beside that it does not panic: time, memory, and
//! numbers that are none.
//!
//! A target runs its subject in [`held`]: past [`Bounds`] it fails. Output goes through [`told`] or
//! [`debugged`], which fail on a NaN or an infinity.

mod chain;
mod numbers;
pub mod subjects;

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use cpu_time::ProcessTime;

pub use chain::{Edited, chain};
pub use numbers::{debugged, told};

/// How much a subject may take.
#[derive(Clone, Copy, Debug)]
pub struct Bounds {
    /// Of the processor, on all threads together.
    pub time: Duration,
    /// Of memory at a time beyond what was held before, bytes.
    pub bytes: usize,
}

impl Bounds {
    /// One second, and so many MiB.
    #[must_use]
    pub const fn mib(mib: usize) -> Self {
        Self {
            time: Duration::from_secs(1),
            bytes: mib * 1024 * 1024,
        }
    }
}

/// Runs a subject and fails where it takes more than it may.
///
/// # Panics
/// Past the bounds.
pub fn held<R>(bounds: Bounds, subject: impl FnOnce() -> R) -> R {
    let before = NOW.load(Ordering::Relaxed);
    MOST.store(before, Ordering::Relaxed);
    let began = ProcessTime::now();
    let done = subject();
    let took = began.elapsed();
    let bytes = MOST.load(Ordering::Relaxed).saturating_sub(before);
    assert!(
        took <= bounds.time * slower(),
        "it took {took:?} of the processor"
    );
    assert!(bytes <= bounds.bytes, "it held {bytes} bytes at a time");
    done
}

/// How many times slower than meant the build is that is tried: `FUZZ_SLOWER`, for one that is not
/// optimised.
fn slower() -> u32 {
    static SLOWER: OnceLock<u32> = OnceLock::new();
    let asked = || std::env::var("FUZZ_SLOWER").ok()?.parse().ok();
    *SLOWER.get_or_init(|| asked().unwrap_or(1))
}

static NOW: AtomicUsize = AtomicUsize::new(0);
static MOST: AtomicUsize = AtomicUsize::new(0);

/// The system's allocator, counted.
struct Counted;

impl Counted {
    fn more(bytes: usize) {
        let now = NOW.fetch_add(bytes, Ordering::Relaxed) + bytes;
        MOST.fetch_max(now, Ordering::Relaxed);
    }
}

// SAFETY: each call goes to the system's allocator as it came; beside it only numbers are counted.
unsafe impl GlobalAlloc for Counted {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        Self::more(layout.size());
        // SAFETY: as the caller holds.
        unsafe { System.alloc(layout) }
    }

    unsafe fn alloc_zeroed(&self, layout: Layout) -> *mut u8 {
        Self::more(layout.size());
        // SAFETY: as the caller holds.
        unsafe { System.alloc_zeroed(layout) }
    }

    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        NOW.fetch_sub(layout.size(), Ordering::Relaxed);
        // SAFETY: as the caller holds.
        unsafe { System.dealloc(pointer, layout) }
    }

    unsafe fn realloc(&self, pointer: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        // The old and the new one are there at a time while bytes are carried over.
        Self::more(size);
        NOW.fetch_sub(layout.size(), Ordering::Relaxed);
        // SAFETY: as the caller holds.
        unsafe { System.realloc(pointer, layout, size) }
    }
}

#[global_allocator]
static COUNTED: Counted = Counted;
