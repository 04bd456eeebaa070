//! The shop: what the set-out means at the saw and the bench.

mod templates;
