//! The shop: what the set-out means at the saw and the bench.
//!
//! In: the chain of a job. Out: full-size templates ([`templates`]) and the story pole ([`pole`]),
//! lengths and angles exact, millimetres.
//! Does not: lay out pages; word lengths on a tape.

pub mod pole;
pub mod templates;
