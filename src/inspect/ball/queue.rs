//! [`Ranked`]: an item in a queue that gives the greatest rank first.

use std::cmp::Ordering;

/// An item and its rank, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ranked<T> {
    pub(super) rank: f64,
    pub(super) item: T,
}

impl<T> PartialEq for Ranked<T> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl<T> Eq for Ranked<T> {}

impl<T> PartialOrd for Ranked<T> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<T> Ord for Ranked<T> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.rank.total_cmp(&other.rank)
    }
}
